"""Lines with how sure they are, and the bands in which they may lie, as layers."""

import geopandas
import shapely

from swalekit.contours.wander import wander_band
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import reliability_rows


def reliability_layers(reliability: Reliability) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``swales`` and ``bands`` in the CRS of the project.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    """
    swales, sigma_m = reliability.layout.swales, reliability.spreads.terrain_sigma_m
    *rows, _ = reliability_rows(reliability)
    crs = reliability.ground.terrain.grid.crs
    names = ("swale", "wander_m", "greatest_wander_m")
    paths = [shapely.LineString(each.line.path) for each in swales]
    lines = geopandas.GeoDataFrame(rows, geometry=paths, crs=crs)
    bands = geopandas.GeoDataFrame(
        [{name: row[name] for name in names} for row in rows],
        geometry=[wander_band(each.line, sigma_m) for each in swales],
        crs=crs,
    )
    lines.attrs["geometry_type"], bands.attrs["geometry_type"] = "LineString", "Unknown"
    return {"swales": lines, "bands": bands}
