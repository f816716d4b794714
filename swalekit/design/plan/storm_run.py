"""Each swale through the storm: sills sized for the routed check storm, levels, spills and soaking in time."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.conditions_part import EMPTY, FULL, ConditionsPart
from swalekit.design.brief.settings import course_of, sill_coefficient, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.design.plan.breach_run import Failure, fail_in_turn, swales_to_fail
from swalekit.design.plan.chosen_sills import SillChoice, SillSite, sill_sites
from swalekit.flow.accumulation import longest_paths
from swalekit.flow.catchments import label_means, trace_path
from swalekit.flow.hollow_ponds import pond_beds
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.outcome import StormOutcome
from swalekit.hydrology.routing.pond import Pond, Weir
from swalekit.hydrology.routing.routing import route_stores, standing_m3, storm_outcome
from swalekit.hydrology.routing.sill_sizing import LENGTH_STEP_M, size_sills
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.travel_time import (
    LEAST_CONCENTRATION_H,
    lag_concentration_h,
    overland_travel_h,
)
from swalekit.hydrology.routing.unit_hydrograph import storm_inflow_m3s
from swalekit.section.shape import ShapedSwale
from swalekit.section.stage_storage import stage_storage
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.slope import slope

_MANY_STORES = 300
"""With more stores than this the step is five minutes, so that the series stay small."""


@one_line("ponds", "rain_h", "failures")
@dataclass(frozen=True, eq=False)
class StormRun(Frozen):
    """Both storms in time; arrays and ponds run over lines, then hollows.

    Parameters
    ----------
    stores : Stores
        What drains to each, and where its surplus goes.
    ponds : tuple of Pond
        The stores with their sills.
    design, check : StormOutcome
        The design storm and the check storm.
    choices : tuple of SillChoice
        The sill of each swale with what is laid below it, for the check storm's peak.
    rain_h : float
        Duration of the rain [h].
    standing_m3 : ndarray of float64, shape (n,)
        Water in every store when the check storm comes [m³].
    failures : tuple of Failure
        The design storm with each swale failing in turn; where there are a great many, with the one asked for, if any.
    check_failures : tuple of Failure
        The same in the check storm.
    concentration_h : ndarray of float64, shape (n,)
        Time of concentration of each store's ground [h].
    """

    stores: Stores
    ponds: tuple[Pond, ...]
    design: StormOutcome
    check: StormOutcome
    choices: tuple[SillChoice, ...]
    rain_h: float
    standing_m3: NDArray[np.float64]
    failures: tuple[Failure, ...]
    check_failures: tuple[Failure, ...]
    concentration_h: NDArray[np.float64]


def run_storms(
    site: Site,
    ground: Ground,
    layout: Layout,
    shapes: tuple[ShapedSwale, ...],
    stores: Stores,
    *,
    failures: bool = True,
) -> StormRun | None:
    """Choose the sills for the check storm and pass both storms through all stores; None where there is no store.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, the ground, the lines on it.
    shapes : tuple of ShapedSwale
        The swale on each line.
    stores : Stores
        With the strips of the swales.
    failures : bool
        Whether swales fail in turn; none does where this is left out.

    Returns
    -------
    StormRun or None
        Ponds, both storms in time, what is laid below sills, and failures.

    Raises
    ------
    BriefError
        If the brief asks for the failure of a swale that isn't there.

    Notes
    -----
    The design storm falls on empty ditches; the check storm finds them as the brief's ``[conditions]`` say: empty,
    full, or as the design storm left them (with the shortest sills, behind which most stays). What spills reaches the
    store below after its travel time.

    Examples
    --------
    >>> shapes = tuple(swale.sized.shape for swale in design.swales)
    >>> run_storms(site, ground, layout, shapes, design.run.stores).rain_h
    24.0
    """
    if not stores.downstream.size:
        return None
    storm, step_min = storm_of(site), 1.0 if stores.downstream.size <= _MANY_STORES else 5.0
    hours = concentration_h(site, ground, layout.drainage.stops, layout.drainage.labels, layout.stores)
    swales = [line.name for line in layout.lines]
    names = tuple(store_name(store, swales) for store in range(stores.downstream.size))
    failing = swales_to_fail(site.brief.breach, names[: len(shapes)]) if failures else ()
    part = site.brief.sill

    def inflow_m3s(depth_mm: float) -> NDArray[np.float64]:
        return storm_inflow_m3s(stores, ground.soil, course_of(site, depth_mm), hours, step_min=step_min)

    check_m3s, design_m3s = inflow_m3s(storm.check_depth_mm), inflow_m3s(storm.depth_mm)
    rain_h = course_of(site, storm.depth_mm).duration_h
    empty = _ponds(site, ground, layout, shapes)
    sills = sill_sites(site, ground, layout, shapes)
    standing = _standing_m3(site.brief.conditions, stores, empty, design_m3s, step_min=step_min, rain_h=rain_h)
    ponds = _with_sills(stores, _with_water(empty, standing), check_m3s, sills, step_min=step_min, head_m=part.head_m)

    def passed(ponds: tuple[Pond, ...], inflow: NDArray[np.float64]) -> tuple[StormOutcome, tuple[Failure, ...]]:
        if not failing:
            return storm_outcome(stores, ponds, inflow, step_min=step_min), ()
        routed = route_stores(stores, ponds, inflow, step_min=step_min)
        return routed.outcome, fail_in_turn(routed, failing, minutes=site.brief.breach.minutes, names=names)

    check, check_failures = passed(ponds, check_m3s)
    ponds = _with_water(ponds, np.zeros(len(ponds)))
    design, design_failures = passed(ponds, design_m3s)
    choices = _choices(sills, ponds, check)
    return StormRun(stores, ponds, design, check, choices, rain_h, standing, design_failures, check_failures, hours)


def _with_sills(
    stores: Stores,
    ponds: tuple[Pond, ...],
    check_m3s: NDArray[np.float64],
    sills: tuple[SillSite, ...],
    *,
    step_min: float,
    head_m: float,
) -> tuple[Pond, ...]:
    """The stores with the sills chosen for them.

    Each sill is the best for itself. A longer one holds back less, though, and those below get more: so the whole is
    tried too with sills as short as may be, and taken if fewer of them dig then, or else if it is cheaper.
    """
    tried = []
    least_m = [*(sill.least_m for sill in sills), *(LENGTH_STEP_M for _ in ponds[len(sills) :])]
    for chosen in ([sill.chosen_m for sill in sills], [sill.shortest_m for sill in sills]):
        sized = size_sills(
            stores, ponds, check_m3s, step_min=step_min, head_m=head_m, least_length_m=least_m, choice=chosen
        )
        choices = _choices(sills, sized, storm_outcome(stores, sized, check_m3s, step_min=step_min))
        tried.append((sum(choice.lacking != "" for choice in choices), [choice.cost for choice in choices], sized))
    priced = all(cost is not None for _, costs, _ in tried for cost in costs)
    return min(tried, key=lambda each: (each[0], sum(filter(None, each[1])) if priced else 0.0))[2]


def _choices(sills: Sequence[SillSite], ponds: Sequence[Pond], check: StormOutcome) -> tuple[SillChoice, ...]:
    """The sills with what is laid below them, for the peaks of the check storm."""
    count = len(sills)
    return tuple(
        sill.with_length(float(flow_m3s), pond.sill.length_m)
        for sill, pond, flow_m3s in zip(sills, ponds[:count], check.peak_spill_m3s[:count], strict=True)
    )


def _standing_m3(
    part: ConditionsPart,
    stores: Stores,
    ponds: tuple[Pond, ...],
    design_m3s: NDArray[np.float64],
    *,
    step_min: float,
    rain_h: float,
) -> NDArray[np.float64]:
    """Water that the check storm finds in every store, at most up to its sill [m³]."""
    full_m3 = np.array([float(pond.stage.volume_m3_at(pond.sill.level_m)) for pond in ponds])
    if part.ditches == FULL:
        return full_m3
    if part.ditches == EMPTY:
        return np.zeros(len(ponds))
    at_h = rain_h + part.hours_between
    return standing_m3(stores, ponds, design_m3s, step_min=step_min, at_h=at_h).clip(max=full_m3)


def _with_water(ponds: Sequence[Pond], water_m3: NDArray[np.float64]) -> tuple[Pond, ...]:
    """Stores with so much water in them."""
    return tuple(replace(pond, stored_m3=float(water)) for pond, water in zip(ponds, water_m3, strict=True))


OFF_THE_TILE = "off the tile"


def store_name(store: int, swales: Sequence[str]) -> str:
    """Name of a swale or hollow by its place among the stores; -1 is off the tile.

    Parameters
    ----------
    store : int
        Place of the store, lines before hollows, from 0.
    swales : sequence of str
        Names of the lines.

    Returns
    -------
    str
        The swale's, or H for a hollow, numbered from 1.

    Examples
    --------
    >>> [store_name(store, ["S1", "S7"]) for store in (0, 1, 2, -1)]
    ['S1', 'S7', 'H1', 'off the tile']
    """
    if store < 0:
        return OFF_THE_TILE
    return swales[store] if store < len(swales) else f"H{store - len(swales) + 1}"


def concentration_h(
    site: Site, ground: Ground, stops: NDArray[np.int32], labels: NDArray[np.int32], stores: Stores
) -> NDArray[np.float64]:
    """Travel time of the longest way to each store, by the velocity method or the lag formula, six minutes at least.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, and the ground.
    stops, labels : ndarray of int32, shape (rows, columns)
        Cells of the stores, and the store that each cell's water meets first, from 1.
    stores : Stores
        The n stores.

    Returns
    -------
    ndarray of float64, shape (n,)
        Time of concentration [h].

    Examples
    --------
    >>> drainage = layout.drainage
    >>> hours = concentration_h(site, ground, drainage.stops, drainage.labels, layout.stores)
    >>> hours.shape, bool((hours >= 0.1).all())
    ((2,), True)
    """
    n_labels = 1 + stores.downstream.size
    length_m, fall_m = longest_paths(ground.network, ground.terrain, stops, labels, n_labels=n_labels)
    if site.brief.soil.travel == "lag":
        mean_slope = label_means(labels, slope(ground.terrain), n_labels=n_labels)
        hours = lag_concentration_h(stores, ground.soil, length_m[1:], mean_slope[1:])
    else:
        hours = overland_travel_h(length_m[1:], fall_m[1:], site.brief.soil.surface)
    return np.fmax(hours, LEAST_CONCENTRATION_H)


def _ponds(site: Site, ground: Ground, layout: Layout, shapes: tuple[ShapedSwale, ...]) -> tuple[Pond, ...]:
    """Swales, then hollows, with the travel time of their spill."""
    ponds = (*_swale_ponds(site, ground, shapes), *_hollow_ponds(site, ground))
    delays_min = _spill_delays_min(ground, layout, site.brief.soil.surface)
    return tuple(replace(pond, delay_min=float(delay)) for pond, delay in zip(ponds, delays_min, strict=True))


def _swale_ponds(site: Site, ground: Ground, shapes: tuple[ShapedSwale, ...]) -> tuple[Pond, ...]:
    coefficient, least_m = sill_coefficient(site), site.brief.sill.least_length_m
    return tuple(
        Pond(
            stage_storage(shape),
            Weir(max(shape.sill_level_m, shape.floor_level_m), least_m, coefficient),
            intake_mm_h=ground.soil.design_intake_mm_h or 0.0,
            berm=Weir(shape.crest_level_m, shape.stations.length_m, coefficient),
        )
        for shape in shapes
    )


def _hollow_ponds(site: Site, ground: Ground) -> tuple[Pond, ...]:
    """Hollows run over at their spill level; their floor is taken as sealed by silt."""
    hollows, terrain = ground.network.hollows, ground.terrain
    if not len(hollows.pit):
        return ()
    return tuple(
        Pond(
            StageStorage.of_bed(*bed, float(level)),
            Weir(float(level), terrain.grid.cell_m, sill_coefficient(site)),
        )
        for bed, level in zip(pond_beds(ground.network, terrain), hollows.spill_level_m, strict=True)
    )


_MINUTES_PER_HOUR = 60.0


def _spill_delays_min(ground: Ground, layout: Layout, surface: str) -> NDArray[np.float64]:
    """Travel time of each store's spill to the store below or off the tile, by the velocity method.

    Parameters
    ----------
    ground, layout : Ground, Layout
        The ground and the lines on it.
    surface : str
        What the water runs over, a row of ``overland_velocity``.

    Returns
    -------
    ndarray of float64, shape (n,)
        Lines from their sill, then hollows from their spill point, each at the mean slope of its way [min].

    Notes
    -----
    A way that ends where the ground is unknown, or no lower than it began, is given the least slope.
    """
    ways = [*(path.xy for path in layout.spill_paths), *_ways_from_hollows(ground, layout)]
    length_m = np.array([np.hypot(*np.diff(way, axis=0).T).sum() for way in ways])
    ends = np.array([way[[0, -1]] for way in ways]).reshape(-1, 2)
    heights = sample_heights(ground.terrain, ends[:, 0], ends[:, 1]).reshape(-1, 2)
    fall_m = np.nan_to_num(heights[:, 0] - heights[:, 1]).clip(min=0.0)
    return _MINUTES_PER_HOUR * overland_travel_h(length_m, fall_m, surface)


def _ways_from_hollows(ground: Ground, layout: Layout) -> list[NDArray[np.float64]]:
    """Cell centres from the spill point of each hollow downhill to the next store or off the tile [m]."""
    grid, hollows, ways = ground.terrain.grid, ground.network.hollows, []
    for spill, below in zip(hollows.spill, hollows.spill_to, strict=True):
        cells, _ = trace_path(ground.network, int(below), layout.drainage.stops)
        ways.append(np.column_stack(grid.centres(*np.unravel_index([spill, *cells], grid.shape))))
    return ways
