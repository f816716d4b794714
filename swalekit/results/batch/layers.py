"""The swales of many sites as one layer, in WGS 84."""

import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

import geopandas
import shapely

from swalekit.design.brief.site import WGS84


def batch_layers(folders: Mapping[str, Path]) -> dict[str, geopandas.GeoDataFrame]:
    """Level lines of every site with their figures and the name of the site.

    Parameters
    ----------
    folders : mapping
        Site -> folder that its plan was written to.
    """
    rows: list[dict[str, Any]] = []
    lines = []
    for site, folder in folders.items():
        collection = json.loads((folder / "swales.geojson").read_text(encoding="utf-8"))
        for feature in collection["features"]:
            rows.append({"site": site} | feature["properties"])
            lines.append(shapely.geometry.shape(feature["geometry"]))
    frame = geopandas.GeoDataFrame(rows, geometry=lines, crs=WGS84)
    frame.attrs["geometry_type"] = "LineString"
    return {"swales": frame}
