"""The water of each swale's trees: where they may stand, what is harvested, how many it carries."""

from dataclasses import replace
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.brief.settings import soil_of
from swalekit.design.growth.chosen_species import Chosen
from swalekit.design.growth.growth import Conditions, SwaleGrowth, TreeWater
from swalekit.design.layout.kept_clear import kept_clear
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design, Swale
from swalekit.flow.catchments import label_cells
from swalekit.planting.plants.plant_positions import Planting, plant_positions
from swalekit.planting.plants.plant_rows import ditch_lip_m, usual_rows
from swalekit.planting.water.carrying_capacity import CarryingCapacity, CarryRule, carrying_capacity
from swalekit.planting.water.daily_water import DailyWater, harvest_m3
from swalekit.planting.water.measures import PLANTED, compare_measures
from swalekit.planting.water.months import mean_year, month_table
from swalekit.planting.water.root_spread import reached_share, spread_range
from swalekit.planting.water.water_budget import Ditch, water_budget

_STEPS = (-0.1, 0.0, 0.1, 0.2)
"""Neighbours of the least share of full transpiration, at which trees are counted too."""


def grow_swales(design: Design, shared: Conditions) -> tuple[SwaleGrowth, ...]:
    """Work out what each swale carries.

    Parameters
    ----------
    design : Design
        The swales.
    shared : Conditions
        Weather, species, stand and soil.

    Returns
    -------
    tuple of SwaleGrowth
        One a swale, as in the design.

    Notes
    -----
    Each swale harvests the runoff of its own catchment; what the swale above spills to it is left out, on the safe
    side, as is the rain on its ditch. Of what soaks in, trees get what their roots reach; places from
    which they reach none are left out, as are those too near to trees of the swale above, and all of a swale whose
    berm the designer leaves bare.
    """
    areas, free = class_areas_m2(design), _plantable(design)
    works = [swale.works for swale in design.swales]
    tree, apart_m = shapely.STRtree(works), 0.5 * shared.chosen.tree_area_m2**0.5
    grown: list[SwaleGrowth] = []
    for number, swale in enumerate(design.swales):
        near = tree.query(works[number].buffer(100.0))
        others = shapely.union_all([works[neighbour] for neighbour in near if neighbour != number])
        bare = swale.own.planting is False
        grown.append(
            _grow(design, swale, shared, areas[number], shapely.Polygon() if bare else free.difference(others))
        )
        free = free.difference(shapely.MultiPoint(grown[-1].planting.xy).buffer(apart_m))
    return tuple(grown)


def class_areas_m2(design: Design) -> NDArray[np.float64]:
    """Measure the catchment of each swale on each soil class.

    Parameters
    ----------
    design : Design
        The swales and their ground.

    Returns
    -------
    ndarray of float64, shape (swales, classes)
        Areas [m²].

    Examples
    --------
    >>> class_areas_m2(design).shape
    (2, 1)
    """
    ground = design.ground
    cells = label_cells(
        design.catchments.astype(np.int32),
        n_labels=1 + len(design.swales),
        classes=ground.soil_class,
        n_classes=len(ground.soil.losses),
    )
    return np.asarray(cells[1:] * ground.terrain.grid.cell_area_m2, np.float64)


def ditch_of(design: Design, swale: Swale) -> Ditch:
    """Describe a swale as the daily budget sees it.

    Parameters
    ----------
    design : Design
        Its ground.
    swale : Swale
        The swale.

    Returns
    -------
    Ditch
        Storage [m³], floor [m²] and intake [mm/h].

    Examples
    --------
    >>> ditch_of(design, design.swales[0]).capacity_m3 == design.swales[0].storage_m3
    True
    """
    floor_m2 = swale.sized.shape.section.bottom_width_m * swale.line.length_m
    return Ditch(swale.storage_m3, floor_m2, design.ground.soil.design_intake_mm_h or 0.0)


def _grow(
    design: Design, swale: Swale, shared: Conditions, areas_m2: NDArray[np.float64], free: BaseGeometry
) -> SwaleGrowth:
    part, chosen = design.site.brief.planting, shared.chosen
    water = _daily_water(design, shared, areas_m2)
    latitude_deg = shared.weather.place.latitude_deg
    places = _tree_places(swale, chosen, free, rows_below=part.rows_below, latitude_deg=latitude_deg)
    ditch, given, wet_m = ditch_of(design, swale), part.irrigation_mm_month, wetted_m(swale, part)

    def carried_by(rule: CarryRule, spread: float) -> CarryingCapacity:
        radius_m = 0.5 * spread * chosen.mean_canopy_m
        planting = places.only(_within_reach(places, swale, radius_m, wet_m=wet_m))

        def reached(trees: int) -> float:
            carried = planting.carrying(trees)
            return reached_share(swale.line, carried.xy[carried.of_roles("fruit")], radius_m, wet_m=wet_m)

        ground: dict[str, Any] = {"tree_area_m2": chosen.tree_area_m2, "room": planting.trees, "reached": reached}
        return carrying_capacity(water, shared.stand, shared.zone, ditch, **ground, rule=rule)

    rule = CarryRule(part.reliability, part.least_ratio, given, shared.season.first)
    spread = part.root_spread
    found = {ratio: carried_by(replace(rule, least_ratio=ratio), spread) for ratio in _ratios(part.least_ratio)}
    capacity = found[part.least_ratio]
    reached = places.only(_within_reach(places, swale, 0.5 * spread * chosen.mean_canopy_m, wet_m=wet_m))
    return SwaleGrowth(
        swale=swale.id,
        catchment_m2=swale.catchment_m2,
        harvested_m3=mean_year(water.harvested_m3, water.dates),
        capacity=capacity,
        out_of_reach=places.trees - reached.trees,
        trees_unwatered=carried_by(replace(rule, irrigation_mm_month=0.0), spread).trees if given else capacity.trees,
        capacity_at=found,
        trees_at_spread={spread: carried_by(rule, spread).trees for spread in spread_range()},
        planting=reached.carrying(capacity.trees),
        water=_tree_water(water, shared, ditch, part, capacity) if capacity.trees else None,
    )


def _ratios(least_ratio: float) -> list[float]:
    """The brief's least share and its neighbours, those between 0 and 1."""
    near = [least_ratio if step == 0.0 else round(least_ratio + step, 2) for step in _STEPS]
    return [ratio for ratio in near if 0.0 < ratio < 1.0]


def _daily_water(design: Design, shared: Conditions, areas_m2: NDArray[np.float64]) -> DailyWater:
    """Rain, runoff and want of every day; the planted ground sheds as the largest class of the catchment does."""
    soil, rain_mm = soil_of(design.site), shared.weather.rain_mm
    depths, place = np.unique(rain_mm, return_inverse=True)
    return DailyWater(
        shared.weather.dates,
        rain_mm,
        soil.runoff_mm(depths)[place, int(areas_m2.argmax())],
        shared.reference.et_mm,
        harvest_m3(soil, areas_m2, depths)[place],
    )


def _tree_water(
    water: DailyWater, shared: Conditions, ditch: Ditch, part: PlantingPart, carried: CarryingCapacity
) -> TreeWater:
    """The budgets of the trees that are carried."""
    least = part.least_ratio
    given = {
        "planted_m2": carried.planted_m2,
        "reached_share": carried.reached_share,
        "irrigation_mm_month": part.irrigation_mm_month,
    }
    budgets = compare_measures(water, shared.stand, shared.zone, ditch, **given)
    given["irrigation_mm_month"] = np.inf
    watered = water_budget(water, shared.stand, shared.zone, ditch, **given)
    return TreeWater(
        budgets[PLANTED],
        {name: month_table(budget, least_ratio=least) for name, budget in budgets.items()},
        month_table(watered, least_ratio=least),
    )


_OVERFLOW_M = 1.5
"""Ground kept free on both sides of an overflow's way at least; common practice."""


def _plantable(design: Design) -> BaseGeometry:
    """Ground that may be planted: the site less its own and keep-outs' setbacks, watercourses and ways of overflow."""
    site, ground = design.site, design.ground
    land = ground.area if site.boundary is None else workable_area(site, ground)
    gap_m = site.brief.lines.watercourse_gap_m
    taken: list[Any] = [keep_out.zone for keep_out in kept_clear(site, ground)]
    taken += [way.buffer(gap_m) for way in ground.watercourse_ways]
    taken += [
        shapely.LineString(swale.sill.path).buffer(max(0.5 * swale.sill.length_m, _OVERFLOW_M))
        for swale in design.swales
        if len(swale.sill.path) > 1
    ]
    return land.difference(shapely.union_all(taken)) if taken else land


def _tree_places(swale: Swale, chosen: Chosen, free: BaseGeometry, *, rows_below: int, latitude_deg: float) -> Planting:
    """Every place along a swale that lies on free ground, with the plant that would stand there."""
    shape = swale.sized.shape
    rows = usual_rows(shape, chosen.pioneers, chosen.sheltered, ground_cover=chosen.ground_cover, rows_below=rows_below)
    return plant_positions(swale.line, rows, latitude_deg=latitude_deg, allowed=free)


def wetted_m(swale: Swale, part: PlantingPart) -> float:
    """How far from its line the ground below a swale is wetted: to the ditch's lip, and as far as water creeps [m].

    Parameters
    ----------
    swale : Swale
        The swale.
    part : PlantingPart
        How far water creeps.

    Returns
    -------
    float
        Distance downhill [m].

    Examples
    --------
    >>> part = site.brief.planting
    >>> wetted_m(design.swales[0], part) > part.seep_m
    True
    """
    return float(ditch_lip_m(swale.sized.shape).mean()) + part.seep_m


def _within_reach(planting: Planting, swale: Swale, radius_m: float, *, wet_m: float) -> NDArray[np.bool_]:
    """Mark plants whose roots reach ground that the ditch wets; ground cover lives on rain and is marked too."""
    way = shapely.LineString(swale.line.path)
    distance_m = shapely.distance(way, shapely.points(planting.xy))
    return np.asarray(planting.of_roles("ground cover") | (distance_m < wet_m + radius_m))
