"""The design storm on a layout: sections sized from the top down, what each swale holds, spills and hands on."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.settings import depths_of, limits_of, section_of, soil_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.cascade import Cascade, ground_runoff, held_storm_mm, local_runoff_m3, pass_down
from swalekit.hydrology.routing.stores import Stores
from swalekit.section.shape import ShapedSwale
from swalekit.section.sizing import SizedSwale, size_swale
from swalekit.section.uneven_ground import SAME_SOIL, soil_ratio, soil_short

_SOIL_ROUNDS = 4
_MARGIN = 1.01
"""On what a swale must hold, for what is left between its catchment as sized and as built, of which the ground's cells
show the works by no more than whole fine cells: our choice."""


@one_line("sized", "unspilt.received_m3", "held_storm_mm")
@dataclass(frozen=True, eq=False)
class Water(Frozen):
    """What the storms do on a sized layout; arrays run over lines, then hollows.

    Parameters
    ----------
    sized : tuple of SizedSwale
        The swale on each line.
    stores : Stores
        With the strips of the sized swales.
    design : Cascade
        The design storm.
    unspilt : Cascade
        The same if no swale spilled.
    ground_runoff_m3 : ndarray of float64
        Runoff of the design storm from each store's ground, without the rain that its ditch catches in full [m³].
    local_m3 : ndarray of float64
        The same with that rain [m³].
    held_storm_mm : ndarray of float64
        Deepest storm that each store holds [mm].
    held_dry_mm, held_wet_mm : ndarray of float64
        The same on ground that was dry or wet before: antecedent runoff condition I and III [mm].
    """

    sized: tuple[SizedSwale, ...]
    stores: Stores
    design: Cascade
    unspilt: Cascade
    ground_runoff_m3: NDArray[np.float64]
    local_m3: NDArray[np.float64]
    held_storm_mm: NDArray[np.float64]
    held_dry_mm: NDArray[np.float64]
    held_wet_mm: NDArray[np.float64]


def pour(site: Site, ground: Ground, layout: Layout) -> Water:
    """Size every swale for what reaches it, from the top down, then pour the design storm over the whole.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, the ground, the lines on it.

    Returns
    -------
    Water
        Sizes, and what each store receives, holds and spills.

    Examples
    --------
    >>> water = pour(site, ground, layout)
    >>> len(water.sized), bool((water.held_storm_mm >= 50.0).all())
    (2, True)
    """
    storm, n_lines = storm_of(site), len(layout.lines)
    sized = _size_downward(site, ground, layout)
    no_strips = layout.stores
    caught_m2 = [swale.shape.catch_m2 for swale in sized]
    strips = np.concatenate([caught_m2, np.zeros(no_strips.downstream.size - n_lines)])
    stores = replace(no_strips, strip_area_m2=strips)
    capacity = np.concatenate([[swale.shape.storage_m3 for swale in sized], ground.network.hollows.volume_m3])
    local = local_runoff_m3(stores, storm.depth_mm, ground.soil)
    unlimited = np.where(np.arange(capacity.size) < n_lines, np.inf, capacity)
    return Water(
        sized=sized,
        stores=stores,
        design=pass_down(stores, local, capacity),
        unspilt=pass_down(stores, local, unlimited),
        ground_runoff_m3=local_runoff_m3(no_strips, storm.depth_mm, ground.soil),
        local_m3=local,
        held_storm_mm=held_storm_mm(stores, capacity, ground.soil),
        held_dry_mm=held_storm_mm(stores, capacity, soil_of(site).with_condition("dry")),
        held_wet_mm=held_storm_mm(stores, capacity, soil_of(site).with_condition("wet")),
    )


def _size_downward(site: Site, ground: Ground, layout: Layout) -> tuple[SizedSwale, ...]:
    """Each swale after all that spill to it; hollows hand on their surplus on the way."""
    depth_mm, n_lines = storm_of(site).depth_mm, len(layout.lines)
    stores, hollow_m3 = layout.stores, ground.network.hollows.volume_m3
    received = np.zeros(stores.downstream.size)
    runoff_m3, kept_m = ground_runoff(stores, depth_mm, ground.soil)
    sized: dict[int, SizedSwale] = {}
    for store in stores.order.tolist():
        if store < n_lines:
            arriving_m3, silt_m = float(received[store] + runoff_m3[store]), site.brief.allowances.silt_depth_m
            need_m3 = partial(_need_m3, arriving_m3, float(kept_m[store]), silt_m)
            sized[store] = _size_on_ground(site, ground, layout, store, need_m3)
            surplus = sized[store].short_m3
        else:
            surplus = max(received[store] + runoff_m3[store] - hollow_m3[store - n_lines], 0.0)
        if stores.downstream[store] >= 0:
            received[stores.downstream[store]] += surplus
    return tuple(sized[store] for store in range(n_lines))


def _size_on_ground(
    site: Site, ground: Ground, layout: Layout, number: int, need_m3: Callable[[ShapedSwale], float]
) -> SizedSwale:
    """A swale whose berm the soil of its ditch makes on the ground as it is, unless soil is brought for it."""
    soil, line = site.brief.soil, layout.lines[number]
    factor, section, depths = soil.fill_factor, section_of(site, line.name), depths_of(site, line.name)
    limits = limits_of(site, line.name)
    for _ in range(_SOIL_ROUNDS):
        sized = size_swale(
            layout.stations[number], need_m3, section=section, depths=depths, fill_factor=factor, limits=limits
        )
        ratio = soil_ratio(ground.terrain, line, sized.shape)
        before, factor = factor, soil.fill_factor / soil_short(ratio)
        if soil.bring_soil or abs(factor - before) <= SAME_SOIL * before:
            break
    return replace(sized, soil_ratio=ratio)


def _need_m3(arriving_m3: float, kept_m: float, silt_m: float, shape: ShapedSwale) -> float:
    """Room that a swale of a shape needs: for water from above and its own ground, rain on its strip, and silt."""
    return _MARGIN * (arriving_m3 + kept_m * shape.catch_m2) + shape.room_above_floor_m3(silt_m)
