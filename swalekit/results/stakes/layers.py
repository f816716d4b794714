"""Stakes as layers of features, in the CRS of the project."""

from collections.abc import Sequence

import geopandas

from swalekit.design.plan.columns import Column, Entry
from swalekit.results.stakes.table import OFFSET_COLUMNS, STAKE_COLUMNS, offset_rows, stake_rows
from swalekit.staking.stake import Stakeout


def stake_layers(stakeout: Stakeout) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``stakes`` and ``stake offsets`` of the GeoPackage, a point a stake."""
    return {
        "stakes": _layer(stakeout, stake_rows(stakeout), STAKE_COLUMNS),
        "stake offsets": _layer(stakeout, offset_rows(stakeout), OFFSET_COLUMNS),
    }


def _layer(stakeout: Stakeout, rows: Sequence[dict[str, Entry]], columns: tuple[Column, ...]) -> geopandas.GeoDataFrame:
    """Points at the place that the rows give; columns with a unit hold numbers even where all are empty."""
    points = geopandas.points_from_xy([row["easting_m"] for row in rows], [row["northing_m"] for row in rows])
    names = [column.name for column in columns]
    frame = geopandas.GeoDataFrame(list(rows), columns=names, geometry=points, crs=stakeout.crs)
    frame = frame.astype({column.name: "float64" for column in columns if column.unit})
    frame.attrs["geometry_type"] = "Point"
    return frame
