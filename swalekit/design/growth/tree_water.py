"""The water of each swale's trees: where they may stand, what is harvested, how many it carries."""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import cache
from math import floor
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.brief.settings import soil_of
from swalekit.design.growth.chosen_species import stand_of_cover
from swalekit.design.growth.growth import ByHand, Conditions, SwaleGrowth, TreeWater
from swalekit.design.growth.plant_groups import COVER, FRUIT, HARDY, PIONEER, PlantGroup, living_on
from swalekit.design.growth.root_ground import root_grounds
from swalekit.design.layout.kept_clear import kept_free
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design, Swale
from swalekit.flow.catchments import label_cells
from swalekit.planting.plants.plant_positions import Planting, plant_positions
from swalekit.planting.plants.plant_rows import berm_row, ditch_lip_m, usual_rows
from swalekit.planting.water.carrying_capacity import (
    CarryingCapacity,
    CarryRule,
    PlantedGround,
    carrying_capacity,
    least_hand_water_l_week,
)
from swalekit.planting.water.daily_water import DailyWater, harvest_m3
from swalekit.planting.water.measures import PLANTED, UNMULCHED, compare_measures
from swalekit.planting.water.months import mean_year, month_table
from swalekit.planting.water.root_spread import reached_share, rooted_m2, spread_range
from swalekit.planting.water.water_budget import Ditch, WaterBudget, water_budget
from swalekit.planting.weather.reference_et import ReferenceEt
from swalekit.planting.weather.weather import Weather
from swalekit.planting.work.work_calendar import RainySeason
from swalekit.tables.load import named_row

_STEPS = (-0.1, 0.0, 0.1, 0.2)
"""Neighbours of the least share of full transpiration, at which trees are counted too."""
HAND_L_WEEK = (0.0, 20.0, 50.0, 100.0, 200.0)
"""Water by hand, a tree and week of the dry months, at which trees are counted [L]."""


def grow_swales(design: Design, shared: Conditions) -> tuple[SwaleGrowth, ...]:
    """Work out what each swale carries.

    Parameters
    ----------
    design : Design
        The swales.
    shared : Conditions
        Weather, groups of plants and soil.

    Returns
    -------
    tuple of SwaleGrowth
        One a swale, as in the design.

    Notes
    -----
    Each swale harvests the runoff of its own catchment; what the swale above spills to it is left out, on the safe
    side, as is the rain on its ditch. Of what soaks in, trees get what their roots reach; rain comes to all the ground
    that their roots fill, which is the larger for each the fewer there are, and no ground of the next swale's.
    A swale that carries no fruit tree gets pockets in its floor, one beside each plant, in which the water of small
    storms gathers; and is then asked for the next group of plants, down to the cover of its berm. Where rain alone
    carries no cover, the low plants of a berm live on what soaks in between its trees. Places from
    which roots reach no ditch are left out, as are those too near to trees of the swale above, and all of a swale whose
    berm the designer leaves bare.
    """
    areas, rooted = class_areas_m2(design), root_grounds(design)
    free, berms = plantable(design), _open_berms(design)
    works = [swale.works for swale in design.swales]
    tree, apart_m = shapely.STRtree(works), 0.5 * shared.chosen.tree_area_m2**0.5
    grown: list[SwaleGrowth] = []
    for number, swale in enumerate(design.swales):
        near = tree.query(works[number].buffer(100.0))
        others = shapely.union_all([works[neighbour] for neighbour in near if neighbour != number])
        bare = swale.own.planting is False
        open_ground, berm = (shapely.Polygon() if bare else ground.difference(others) for ground in (free, berms))
        grown.append(_grow(design, swale, shared, _Ground(areas[number], open_ground, berm, rooted[number])))
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


def daily_water(design: Design, weather: Weather, reference: ReferenceEt, areas_m2: NDArray[np.float64]) -> DailyWater:
    """Rain, runoff, harvest and want of every day.

    Parameters
    ----------
    design : Design
        The soil.
    weather, reference : Weather, ReferenceEt
        Rain, and what the air asks for.
    areas_m2 : ndarray of float64, shape (classes,)
        Catchment by soil class [m²].

    Returns
    -------
    DailyWater
        The planted ground sheds as the largest class of the catchment does.

    Examples
    --------
    >>> bool(daily_water(design, growth.weather, growth.reference, class_areas_m2(design)[0]).harvested_m3.any())
    True
    """
    soil, rain_mm = soil_of(design.site), weather.rain_mm
    depths, place = np.unique(rain_mm, return_inverse=True)
    return DailyWater(
        weather.dates,
        rain_mm,
        soil.runoff_mm(depths)[place, int(areas_m2.argmax())],
        reference.et_mm,
        harvest_m3(soil, areas_m2, depths)[place],
    )


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


@dataclass(frozen=True, eq=False)
class _Ground:
    """Ground of a swale.

    Parameters
    ----------
    areas_m2 : ndarray of float64, shape (classes,)
        Its catchment by soil class [m²].
    free : shapely geometry
        Where trees and pioneers may stand.
    berm : shapely geometry
        Where low plants may.
    rooted : shapely geometry
        Where roots may spread.
    """

    areas_m2: NDArray[np.float64]
    free: BaseGeometry
    berm: BaseGeometry
    rooted: BaseGeometry


@dataclass(frozen=True, eq=False)
class _Trial:
    """A group of plants that a swale is asked to carry.

    Parameters
    ----------
    swale, shared, group : Swale, Conditions, PlantGroup
        The swale, what it shares with others, and the plants.
    part : PlantingPart
        What the brief says of the planting.
    water, ditch : DailyWater, Ditch
        What comes, and what holds it.
    places : Planting
        Every place on free ground.
    rooted : shapely geometry
        Where roots may spread.
    pocket_m3, pocket_depth_m : float
        Pocket in the ditch's floor beside each plant, 0 for none [m³], and its depth [m].
    holds : float
        Share of the ditch along which that water soaks in [-].
    """

    swale: Swale
    shared: Conditions
    group: PlantGroup
    part: PlantingPart
    water: DailyWater
    ditch: Ditch
    places: Planting
    rooted: BaseGeometry
    pocket_m3: float = 0.0
    pocket_depth_m: float = 1.0
    holds: float = 1.0

    def within_reach(self, spread: float) -> Planting:
        """Places from which roots reach ground that the ditch wets."""
        radius_m = 0.5 * spread * self.group.chosen.mean_canopy_m
        return self.places.only(_within_reach(self.places, self.swale, radius_m, wet_m=wetted_m(self.swale, self.part)))

    def ground(self, spread: float) -> tuple[int, Callable[[int], PlantedGround]]:
        """Room for plants, and the ground of so many of them."""
        planting, chosen = self.within_reach(spread), self.group.chosen
        radius_m, wet_m = 0.5 * spread * chosen.mean_canopy_m, wetted_m(self.swale, self.part)

        @cache
        def of(plants: int) -> PlantedGround:
            carried = planting.carrying(plants, self.group.role, nurses=self.part.pioneers_per_tree)
            xy = carried.xy[carried.of_roles(self.group.role)]
            canopies_m2 = plants * chosen.mean_canopy_m2
            planted_m2 = max(rooted_m2(xy, radius_m, self.rooted), canopies_m2)
            stand = stand_of_cover(
                chosen,
                self.shared.days,
                cover=canopies_m2 / planted_m2,
                mulch_cover=min(1.0, self.part.mulch_cover * plants * chosen.tree_area_m2 / planted_m2),
            )
            share, pockets_m3 = reached_share(self.swale.line, xy, radius_m, wet_m=wet_m), plants * self.pocket_m3
            return PlantedGround(
                planted_m2, min(1.0, share / self.holds), stand, pockets_m3, pockets_m3 / self.pocket_depth_m
            )

        return planting.plants_of(self.group.role), of

    def carried(self, rule: CarryRule, ground: tuple[int, Callable[[int], PlantedGround]]) -> CarryingCapacity:
        """Most plants of the group that don't suffer."""
        room, of = ground
        return carrying_capacity(self.water, of, self.group.zone, self.ditch, room=room, rule=rule)


def _grow(design: Design, swale: Swale, shared: Conditions, site: _Ground) -> SwaleGrowth:
    part = design.site.brief.planting
    water, ditch = daily_water(design, shared.weather, shared.reference, site.areas_m2), ditch_of(design, swale)
    trials = [
        _Trial(swale, shared, group, part, water, ditch, _places(swale, group, site, shared, part), site.rooted)
        for group in shared.groups
        if group.name != COVER or shared.cover.spacing_m is None  # where rain carries it, it stands on every berm
    ]
    rules = [rule_of(part, shared.season, trial.group.least_ratio) for trial in trials]
    pocket_m3 = _practice("pocket") if part.pocket_m3 is None else part.pocket_m3
    grounds = [trial.ground(part.root_spread) for trial in trials]
    if pocket_m3 and not trials[0].carried(replace(rules[0], hand_l_week=0.0), grounds[0]).trees:
        deep_m = pocket_depth_m(design)
        trials = [
            trial if trial.group.name == COVER else replace(trial, pocket_m3=pocket_m3, pocket_depth_m=deep_m)
            for trial in trials
        ]
        grounds = [trial.ground(part.root_spread) for trial in trials]
    tried: dict[str, CarryingCapacity] = {}
    for trial, ground, rule in zip(trials, grounds, rules, strict=True):
        tried[trial.group.name] = trial.carried(rule, ground)
        if tried[trial.group.name].trees:
            break
    trial, rule, (room, of) = trials[len(tried) - 1], rules[len(tried) - 1], grounds[len(tried) - 1]
    capacity = tried[trial.group.name]
    wild = None if capacity.trees else _on_rain(design, trials, site)
    if wild is not None:
        trial, rule, (room, of), capacity = wild
        tried[trial.group.name] = capacity
    fruit = trials[0]
    given = part.irrigation_mm_month or part.hand_water_l_week
    dry = replace(rules[0], irrigation_mm_month=0.0, hand_l_week=0.0)
    carried = trial.within_reach(part.root_spread).carrying(
        capacity.trees, trial.group.role, nurses=part.pioneers_per_tree
    )
    grown = _tree_water(trial, rule, capacity, of(capacity.trees)) if capacity.trees else None
    cover = _berm_cover(swale, shared, site, part)
    if grown is not None and trials[-1].group.name == COVER and trial.group.name != COVER:
        cover = _cover_between(trials[-1], rules[-1], carried, grown.budget, trial)
    return SwaleGrowth(
        swale=swale.id,
        catchment_m2=swale.catchment_m2,
        harvested_m3=mean_year(water.harvested_m3, water.dates),
        group=trial.group if capacity.trees else None,
        pocket_m3=trial.pocket_m3 if capacity.trees else 0.0,
        capacity=capacity,
        tried=tried,
        out_of_reach=trial.places.plants_of(trial.group.role) - room,
        trees_unwatered=fruit.carried(dry, grounds[0]).trees if given else tried[fruit.group.name].trees,
        capacity_at={
            ratio: fruit.carried(replace(rules[0], least_ratio=ratio), grounds[0])
            for ratio in _ratios(part.least_ratio)
        },
        trees_at_spread={spread: fruit.carried(rules[0], fruit.ground(spread)).trees for spread in spread_range()},
        by_hand=tuple(_by_hand(trials, grounds, rules, part)),
        least_l_week=_least_by_hand(trials, grounds, rules),
        planting=cover.joined(carried),
        water=None if trial.group.name == COVER else grown,
    )


def _on_rain(
    design: Design, trials: Sequence[_Trial], site: _Ground
) -> tuple[_Trial, CarryRule, tuple[int, Callable[[int], PlantedGround]], CarryingCapacity] | None:
    """Pioneers, or else hardy trees, that are known to live on such rain, so far apart that roots don't meet.

    They get what share of their want the budget gives in enough years: where they grow wild they live on no more.
    """
    for name in (PIONEER, HARDY):
        for trial in (trial for trial in trials if trial.group.name == name):
            shared, part = trial.shared, trial.part
            group = living_on(trial.group, mean_year(trial.water.rain_mm, trial.water.dates), design.site.brief)
            if group is None:
                continue
            asked = replace(trial, group=group, places=_places(trial.swale, group, site, shared, part))
            room, of = asked.ground(part.root_spread)
            if not room:
                continue
            apart_m = part.root_spread * group.chosen.mean_canopy_m
            plants = min(room, max(1, floor(trial.swale.line.length_m / apart_m)))
            found, rule = of(plants), rule_of(part, shared.season, 0.0)
            budget = water_budget(
                asked.water,
                found.stand,
                group.zone,
                found.dug(asked.ditch),
                planted_m2=found.planted_m2,
                reached_share=found.reached_share,
                irrigation_mm_month=rule.allowed_mm(plants, found.planted_m2),
            )
            shares = sorted(month_table(budget).year_ratio.values())
            enough = floor(100.0 * shares[floor((1.0 - part.reliability) * len(shares))]) / 100.0
            kept = replace(asked, group=replace(group, least_ratio=enough))
            sure = sum(share >= enough for share in shares) / len(shares)
            capacity = CarryingCapacity(plants, room, found.planted_m2, sure, found.reached_share, "rain")
            return kept, replace(rule, least_ratio=enough), (room, of), capacity
    return None


def pocket_depth_m(design: Design) -> float:
    """Depth of pockets in the floors of ditches: the usual one, or as much less as lets them soak away in time.

    Parameters
    ----------
    design : Design
        Intake, and hours in which ditches should be dry.

    Returns
    -------
    float
        To 5 cm, 10 cm at least [m].

    Examples
    --------
    >>> pocket_depth_m(design)
    0.2
    """
    soaks_m = (design.ground.soil.design_intake_mm_h or 0.0) * design.site.brief.soil.empty_within_h / 1000.0
    return max(0.1, min(_practice("pocket depth"), floor(20.0 * soaks_m) / 20.0))


def rule_of(part: PlantingPart, season: RainySeason, least_ratio: float) -> CarryRule:
    """When water is said to carry plants of one least share.

    Parameters
    ----------
    part : PlantingPart
        What the brief says of the planting.
    season : RainySeason
        When it rains.
    least_ratio : float
        Least share of their want [-].

    Returns
    -------
    CarryRule
        With the irrigation and the water by hand that the brief allows.

    Examples
    --------
    >>> rule_of(site.brief.planting, growth.season, 0.3).dry_months
    (4, 5, 6, 7, 8, 9, 10)
    """
    wet = season.months
    dry = tuple(month for month in range(1, 13) if month not in wet)
    return CarryRule(part.reliability, least_ratio, part.irrigation_mm_month, season.first, part.hand_water_l_week, dry)


def _cover_between(low: _Trial, rule: CarryRule, carried: Planting, budget: WaterBudget, trial: _Trial) -> Planting:
    """Low plants of the berm on the water that soaks in beyond the reach of the plants that a swale carries."""
    beyond = 1.0 - budget.reached_share
    spread = low.part.root_spread
    apart_m = 0.5 * spread * (trial.group.chosen.mean_canopy_m + low.group.chosen.mean_canopy_m)
    near = shapely.MultiPoint(carried.xy[carried.of_roles(trial.group.role)])
    clear = shapely.distance(shapely.points(low.places.xy), near) > apart_m
    if beyond <= 0.0 or not clear.any():
        return low.places.carrying(0, low.group.role)
    water = replace(low.water, harvested_m3=np.ascontiguousarray(budget.beyond_m3))
    soaking = Ditch(float(budget.beyond_m3.max()) + 1.0, 1.0, float(budget.beyond_m3.max()) * 1000.0 + 1000.0)
    between = replace(low, water=water, ditch=soaking, places=low.places.only(clear), holds=beyond)
    found = between.carried(rule, between.ground(spread))
    return between.within_reach(spread).carrying(found.trees, low.group.role)


Grounds = Sequence[tuple[int, Callable[[int], PlantedGround]]]


def _by_hand(
    trials: Sequence[_Trial], grounds: Grounds, rules: Sequence[CarryRule], part: PlantingPart
) -> Iterator[ByHand]:
    """Trees by the water that each is given by hand; hardy ones where no fruit tree is carried."""
    for litres in sorted({*HAND_L_WEEK, part.hand_water_l_week}):
        found = dict.fromkeys((FRUIT, HARDY), 0)
        for trial, ground, rule in zip(trials, grounds, rules, strict=True):
            if trial.group.name in found:
                found[trial.group.name] = trial.carried(replace(rule, hand_l_week=litres), ground).trees
                if found[trial.group.name]:
                    break
        yield ByHand(litres, found[FRUIT], found[HARDY])


def _least_by_hand(trials: Sequence[_Trial], grounds: Grounds, rules: Sequence[CarryRule]) -> float | None:
    """Least water by hand with which one tree lives; None where there is no room or none is enough."""
    trees = [place for place, trial in enumerate(trials) if trial.group.name in (FRUIT, HARDY)]
    trial, (room, of), rule = trials[trees[-1]], grounds[trees[-1]], rules[trees[-1]]
    if not room:
        return None
    return least_hand_water_l_week(trial.water, of, trial.group.zone, trial.ditch, rule=rule)


def _ratios(least_ratio: float) -> list[float]:
    """The brief's least share and its neighbours, those between 0 and 1."""
    near = [least_ratio if step == 0.0 else round(least_ratio + step, 2) for step in _STEPS]
    return [ratio for ratio in near if 0.0 < ratio < 1.0]


def _tree_water(trial: _Trial, rule: CarryRule, carried: CarryingCapacity, ground: PlantedGround) -> TreeWater:
    """The budgets of the plants that are carried."""
    least = trial.group.least_ratio
    ditch = ground.dug(trial.ditch)
    given: dict[str, Any] = {
        "planted_m2": ground.planted_m2,
        "reached_share": ground.reached_share,
        "irrigation_mm_month": rule.allowed_mm(carried.trees, ground.planted_m2),
    }
    budgets = compare_measures(trial.water, ground.stand, trial.group.zone, ditch, **given)
    given["irrigation_mm_month"] = np.inf
    watered = water_budget(trial.water, ground.stand, trial.group.zone, ditch, **given)
    return TreeWater(
        budgets[PLANTED],
        {name: month_table(budget, least_ratio=least) for name, budget in budgets.items()},
        month_table(watered, least_ratio=least),
        ground.stand,
        ditch,
        mean_year(budgets[UNMULCHED].evaporation_mm - budgets[PLANTED].evaporation_mm, trial.water.dates)
        * ground.planted_m2
        / 1000.0,
    )


_OVERFLOW_M = 1.5
"""Ground kept free on both sides of an overflow's way at least; common practice."""


def plantable(design: Design) -> BaseGeometry:
    """Ground that may be planted: the site less its own and keep-outs' setbacks, watercourses and ways of overflow.

    Parameters
    ----------
    design : Design
        The swales and their ground.

    Returns
    -------
    shapely geometry
        In the CRS of the terrain.

    Examples
    --------
    >>> bool(plantable(design).area > 0.0)
    True
    """
    site, ground = design.site, design.ground
    land = ground.area if site.boundary is None else workable_area(site, ground)
    return _less(land, [keep_out.zone for keep_out in kept_free(site, ground)], design)


def _open_berms(design: Design) -> BaseGeometry:
    """Ground whose berms may bear low plants: within the boundary, up to it and to what stands on the site."""
    site = design.site
    land = design.ground.area if site.boundary is None else site.boundary
    return _less(land, [keep_out.geometry for keep_out in site.keep_outs], design)


def _less(land: BaseGeometry, taken: Sequence[Any], design: Design) -> BaseGeometry:
    """Ground less what is taken, watercourses and ways of overflow."""
    gap_m = design.site.brief.lines.watercourse_gap_m
    ways = [way.buffer(gap_m) for way in design.ground.watercourse_ways]
    ways += [
        shapely.LineString(swale.sill.path).buffer(max(0.5 * swale.sill.length_m, _OVERFLOW_M))
        for swale in design.swales
        if len(swale.sill.path) > 1
    ]
    kept = [*taken, *ways]
    return land.difference(shapely.union_all(kept)) if kept else land


def _places(swale: Swale, group: PlantGroup, site: _Ground, shared: Conditions, part: PlantingPart) -> Planting:
    """Every place of a swale that lies on free ground, with the plant that would stand there."""
    chosen, latitude_deg = group.chosen, shared.weather.place.latitude_deg
    if group.name == COVER:
        closest = [berm_row(swale.sized.shape, chosen.sheltered, shared.cover.closest_m)]
        low = plant_positions(swale.line, closest, latitude_deg=latitude_deg, allowed=site.berm)
        return shared.cold.spared(low, chosen.sheltered)
    rows = usual_rows(
        swale.sized.shape,
        chosen.pioneers,
        chosen.sheltered,
        rows_below=part.rows_below,
        pioneers_per_tree=part.pioneers_per_tree,
    )
    places = plant_positions(swale.line, rows, latitude_deg=latitude_deg, allowed=site.free, above=1)
    return shared.cold.spared(places, (*chosen.pioneers, *chosen.sheltered))


def _practice(name: str) -> float:
    return named_row("planting_practice", practice=name).value


def _berm_cover(swale: Swale, shared: Conditions, site: _Ground, part: PlantingPart) -> Planting:
    """Low plants of the berm, as far apart as rain carries them; none where it carries none."""
    cover, spacing_m = shared.chosen.ground_cover, shared.cover.spacing_m
    rows = [berm_row(swale.sized.shape, cover, spacing_m)] if cover and spacing_m is not None else []
    low = plant_positions(swale.line, rows, latitude_deg=shared.weather.place.latitude_deg, allowed=site.berm)
    return shared.cold.spared(low, cover)


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
    """Mark plants whose roots reach ground that the ditch wets."""
    way = shapely.LineString(swale.line.path)
    distance_m = shapely.distance(way, shapely.points(planting.xy))
    return np.asarray(distance_m < wet_m + radius_m)
