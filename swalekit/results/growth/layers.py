"""A planting as layers of features, in the CRS of the project, and what its map shows."""

from functools import partial
from typing import Any

import geopandas
import numpy as np
import shapely

from swalekit.design.growth.bed_table import BED_COLUMNS, BED_STAKE_COLUMNS, bed_rows, bed_stake_rows
from swalekit.design.growth.greywater import CleanedWater
from swalekit.design.growth.greywater_plan import bed_outline
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.house_table import BASIN_COLUMNS, basin_rows
from swalekit.design.growth.plant_table import PLANT_COLUMNS, plant_rows
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column
from swalekit.design.plan.record import PlanRecord
from swalekit.formats.exchange.layers import feature_layer, outlines_on
from swalekit.formats.exchange.wgs84 import DEGREE_COLUMNS, longitude_latitude
from swalekit.greywater.branched_drain import BranchedDrain, basin_outlines
from swalekit.reporting.charts.growth.map import planting_content
from swalekit.reporting.map.content import MapContent

TREE_COLUMNS: tuple[Column, ...] = (*PLANT_COLUMNS, *DEGREE_COLUMNS)

_PLACE_DECIMALS = {"ground_m": 2, "outlet_level_m": 2, "distance_m": 1, "commanded_m2": 0}


def tree_rows(growth: Growth) -> list[Row]:
    """Every plant by the names of `TREE_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a plant.

    Examples
    --------
    >>> row = tree_rows(growth)[0]
    >>> row["species"], row["swale"], round(row["longitude"], 2)
    ('rosemary', 'S1', -3.0)
    """
    rows = plant_rows(growth)
    xy = np.array([[row["easting_m"], row["northing_m"]] for row in rows], np.float64).reshape(-1, 2)
    places = longitude_latitude(xy, growth.design.ground.terrain.grid.crs).tolist()
    return [row | {"longitude": x, "latitude": y} for row, (x, y) in zip(rows, places, strict=True)]


def growth_layers(growth: Growth) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``plants``, ``reed bed``, ``bed places``, ``served ground`` and ``pipe``, empty ones too.

    Where annual beds are asked for, ``beds`` and ``bed stakes`` besides.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    dict of str to GeoDataFrame
        In the CRS of the project.

    Examples
    --------
    >>> {name: len(layer) for name, layer in growth_layers(growth).items()}
    {'plants': 224, 'reed bed': 1, 'bed places': 5, 'served ground': 5, 'pipe': 1}
    """
    layer = partial(feature_layer, crs=growth.design.ground.terrain.grid.crs)
    trees, places, found = tree_rows(growth), _places(growth), growth.greywater
    served = [{"rank": rank, "served_ha": round(water.served.area_ha, 2)} for rank, water in enumerate(places, 1)]
    stands = [
        {"rank": row["rank"], **place_figures(water), "served_ha": row["served_ha"]}
        for row, water in zip(served, places, strict=True)
    ]
    drain = None if found is None else found.drain
    beds = [(found.bed, outline) for outline in [_reed_bed(growth)] if found is not None and outline is not None]
    pipes = [] if found is None or found.route is None else [found.route]
    return (
        {
            "plants": layer(
                trees,
                [shapely.Point(row["easting_m"], row["northing_m"]) for row in trees],
                kind="Point",
                columns=[column.name for column in TREE_COLUMNS],
            ),
            "reed bed": layer(
                [{"area_m2": round(bed.area_m2, 1), "depth_m": round(bed.depth_m, 2)} for bed, _ in beds],
                [outline for _, outline in beds],
                kind="Polygon",
                columns=["area_m2", "depth_m"],
            ),
            "bed places": layer(
                stands,
                [shapely.Point(water.place.xy) for water in places],
                kind="Point",
                columns=["rank", *_PLACE_DECIMALS, "served_ha"],
            ),
            "served ground": layer(
                served,
                [_served(growth, rank) for rank in range(len(places))],
                kind="MultiPolygon",
                columns=["rank", "served_ha"],
            ),
            "pipe": layer(
                [{"length_m": round(pipe.length_m, 1), "deepest_m": round(pipe.deepest_m, 2)} for pipe in pipes],
                [shapely.LineString(pipe.xy) for pipe in pipes],
                kind="LineString",
                columns=["length_m", "deepest_m"],
            ),
        }
        | (_bed_layers(growth) if growth.garden is not None else {})
        | ({} if drain is None else _drain_layers(growth, drain))
    )


def _drain_layers(growth: Growth, drain: BranchedDrain) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``basins`` and ``branches``."""
    layer, rows = partial(feature_layer, crs=growth.design.ground.terrain.grid.crs), basin_rows(growth)
    lengths = [{"length_m": round(float(np.hypot(*(leg[1] - leg[0]))), 1)} for leg in drain.legs_m]
    return {
        "basins": layer(rows, basin_outlines(drain), kind="Polygon", columns=[column.name for column in BASIN_COLUMNS]),
        "branches": layer(
            lengths, [shapely.LineString(leg) for leg in drain.legs_m], kind="LineString", columns=["length_m"]
        ),
    }


def _bed_layers(growth: Growth) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``beds`` and ``bed stakes``."""
    layer = partial(feature_layer, crs=growth.design.ground.terrain.grid.crs)
    stakes, garden = bed_stake_rows(growth), growth.garden
    return {
        "beds": layer(
            bed_rows(growth),
            [] if garden is None else [bed.outline for bed in garden.beds],
            kind="Polygon",
            columns=[column.name for column in BED_COLUMNS],
        ),
        "bed stakes": layer(
            stakes,
            [shapely.Point(row["easting_m"], row["northing_m"]) for row in stakes],
            kind="Point",
            columns=[column.name for column in BED_STAKE_COLUMNS],
        ),
    }


def growth_content(growth: Growth, plan: PlanRecord) -> MapContent:
    """What the map of a planting on a plan shows, with the reed bed at its best place and the ground that it serves.

    Parameters
    ----------
    growth : Growth
        The planting.
    plan : PlanRecord
        The plan that it stands on.

    Returns
    -------
    MapContent
        What is drawn.

    Examples
    --------
    >>> content = growth_content(growth, record)
    >>> content.title, len(content.lines), len(content.sills)
    ('Unnamed site', 2, 2)
    """
    drained = growth.greywater is not None and growth.greywater.drain is not None
    served = _served(growth, 0) if _places(growth) and not drained else shapely.MultiPolygon()
    return planting_content(growth, plan, served=served, bed=_reed_bed(growth))


def place_figures(found: CleanedWater) -> dict[str, Any]:
    """Figures of a place for the reed bed.

    Parameters
    ----------
    found : CleanedWater
        What the greywater comes to at the place.

    Returns
    -------
    dict
        Figures by name.

    Examples
    --------
    >>> place_figures(growth.greywater.places[0])
    {'ground_m': 109.75, 'outlet_level_m': 109.35, 'distance_m': 8.6, 'commanded_m2': 518.0}
    """
    return {name: round(getattr(found.place, name), decimals) for name, decimals in _PLACE_DECIMALS.items()}


def _reed_bed(growth: Growth) -> shapely.Polygon | None:
    """Outline of the reed bed at its best place; None where there is none."""
    found = growth.greywater
    if found is None or not found.places or found.drain is not None:
        return None
    return bed_outline(growth.design.ground.terrain, found.places[0], found.bed)


def _places(growth: Growth) -> tuple[CleanedWater, ...]:
    return () if growth.greywater is None else growth.greywater.places


def _served(growth: Growth, place: int) -> shapely.MultiPolygon:
    """Ground that a place of the bed serves by gravity, along the edges of cells."""
    cells = _places(growth)[place].served.cells.astype(np.uint8)
    return outlines_on(growth.design.ground.terrain.grid, cells).get(1, shapely.MultiPolygon())
