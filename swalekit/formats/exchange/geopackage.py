"""GeoPackage: layers of features in the CRS of the project."""

from collections.abc import Mapping
from pathlib import Path

import geopandas
import pyogrio

_FIXED_DATE = "2000-01-01T00:00:00.000Z"
"""Written in place of the time of day, so that the same design gives the same bytes."""


def write_layers(frames: Mapping[str, geopandas.GeoDataFrame], path: str | Path) -> None:
    """Write layers by their names, empty ones too.

    Parameters
    ----------
    frames : mapping
        Name -> features, whose ``attrs`` name their ``geometry_type``.
    path : str or Path
        File to write.
    """
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": _FIXED_DATE})
    try:
        for name, frame in frames.items():
            pyogrio.write_dataframe(
                frame,
                path,
                layer=name,
                driver="GPKG",
                geometry_type=frame.attrs["geometry_type"],
                append=Path(path).exists(),
                promote_to_multi=False,
            )
    finally:
        pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": None})
