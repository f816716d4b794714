"""A planting as layers of features, in the CRS of the project."""

from collections.abc import Sequence
from typing import Any

import geopandas
import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.design.growth.greywater_plan import bed_outline
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.plant_table import PLANT_COLUMNS, plant_rows
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column
from swalekit.formats.exchange.wgs84 import DEGREE_DECIMALS, longitude_latitude
from swalekit.results.plan.layers import outlines_on

TREE_COLUMNS: tuple[Column, ...] = (
    *PLANT_COLUMNS,
    Column("longitude", "degrees", "longitude on WGS 84", DEGREE_DECIMALS),
    Column("latitude", "degrees", "latitude on WGS 84", DEGREE_DECIMALS),
)


def tree_rows(growth: Growth) -> list[Row]:
    """Every plant by the names of `TREE_COLUMNS`."""
    rows = plant_rows(growth)
    xy = np.array([[row["easting_m"], row["northing_m"]] for row in rows], np.float64).reshape(-1, 2)
    places = longitude_latitude(xy, growth.design.ground.terrain.grid.crs).tolist()
    return [row | {"longitude": x, "latitude": y} for row, (x, y) in zip(rows, places, strict=True)]


def growth_layers(growth: Growth) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``plants``, ``reed bed``, ``bed places``, ``served ground`` and ``pipe``, empty ones too."""
    rows = tree_rows(growth)
    plants = [shapely.Point(row["easting_m"], row["northing_m"]) for row in rows]
    names = [column.name for column in TREE_COLUMNS]
    found = growth.greywater
    places = () if found is None else found.places
    beds = list(enumerate(places, 1))
    best = places[:1]
    pipes = [] if found is None or found.route is None else [found.route]
    return {
        "plants": _layer(growth, rows, plants, "Point", columns=names),
        "reed bed": _layer(
            growth,
            [{"area_m2": round(found.bed.area_m2, 1), "depth_m": round(found.bed.depth_m, 2)} for _ in best if found],
            [bed_outline(growth.design.ground.terrain, each, found.bed) for each in best if found],
            "Polygon",
            columns=["area_m2", "depth_m"],
        ),
        "bed places": _layer(
            growth,
            [_place_row(rank, each.place, each.served.area_ha) for rank, each in beds],
            [shapely.Point(each.place.xy) for _, each in beds],
            "Point",
            columns=["rank", "ground_m", "outlet_level_m", "distance_m", "commanded_m2", "served_ha"],
        ),
        "served ground": _layer(
            growth,
            [{"rank": rank, "served_ha": round(each.served.area_ha, 2)} for rank, each in beds],
            [served_polygon(growth, rank) for rank, _ in beds],
            "MultiPolygon",
            columns=["rank", "served_ha"],
        ),
        "pipe": _layer(
            growth,
            [{"length_m": round(each.length_m, 1), "deepest_m": round(each.deepest_m, 2)} for each in pipes],
            [shapely.LineString(each.xy) for each in pipes],
            "LineString",
            columns=["length_m", "deepest_m"],
        ),
    }


def served_polygon(growth: Growth, rank: int) -> shapely.MultiPolygon:
    """Ground that the bed's place of a rank, from 1, serves by gravity, along the edges of cells."""
    places = () if growth.greywater is None else growth.greywater.places
    if rank > len(places):
        return shapely.MultiPolygon()
    served = outlines_on(growth.design.ground.terrain.grid, places[rank - 1].served.cells.astype(np.uint8))
    return served.get(1, shapely.MultiPolygon())


def _place_row(rank: int, place: Any, served_ha: float) -> dict[str, Any]:
    return {
        "rank": rank,
        "ground_m": round(place.ground_m, 2),
        "outlet_level_m": round(place.outlet_level_m, 2),
        "distance_m": round(place.distance_m, 1),
        "commanded_m2": round(place.commanded_m2, 0),
        "served_ha": round(served_ha, 2),
    }


def _layer(
    growth: Growth,
    rows: Sequence[dict[str, Any]],
    geometries: Sequence[BaseGeometry],
    kind: str,
    *,
    columns: Sequence[str],
) -> geopandas.GeoDataFrame:
    crs = growth.design.ground.terrain.grid.crs
    frame = geopandas.GeoDataFrame(list(rows), columns=list(columns), geometry=list(geometries), crs=crs)
    frame.attrs["geometry_type"] = kind
    return frame
