"""Crossings as they are built on swales: the water that must pass from half to half, and what lets it pass."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import course_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.design.plan.storm_run import concentration_h
from swalekit.flow.catchments import first_met, label_cells
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.unit_hydrograph import storm_inflow_m3s
from swalekit.section.crossing import CrossingWorks, PipeBed
from swalekit.section.culvert import GRAVITY_M_S2, USUAL_DIAMETERS_M, full_flow_m3s
from swalekit.section.shape import ShapedSwale
from swalekit.tables.load import named_row

_STEP_MIN = 1.0
_LEAST_HEAD_M = 0.01
"""Head from half to half that counts even where the check storm leaves no freeboard, which has its own caution."""


@one_line("works.place.crossing.title", "flow_m3s", "carries_m3s", "pipe_m")
@dataclass(frozen=True, eq=False)
class BuiltCrossing:
    """A bank over a pipe, or a ford, on a swale.

    Parameters
    ----------
    works : CrossingWorks
        What is built.
    flow_m3s : float
        Peak of the check storm that must pass it, from the half without the sill to the one with it [m³/s].
    head_m : float
        Fall of the water from half to half that the freeboard allows [m].
    pipe_m : float or None
        Diameter of the least usual pipe that carries the flow and whose crown lies below the sill [m]; None where none
        does, and of a ford.
    carries_m3s : float
        What the pipes, or the dip of a ford, let pass at that head [m³/s]; the most that there is room for where none
        carry it.
    pipes : int
        How many pipes lie side by side, as few as carry the flow.
    """

    works: CrossingWorks
    flow_m3s: float
    head_m: float
    pipe_m: float | None
    carries_m3s: float
    pipes: int = 0

    @property
    def bed(self) -> PipeBed | None:
        """The pipes as they lie on the ditch's floor; None of a ford, or where none have room."""
        works = self.works
        if self.pipe_m is None:
            return None
        return PipeBed(works.place.chainage_m, works.pipe_length_m, self.pipe_m, works.floor_m, self.pipes)

    @property
    def trench_m3(self) -> float:
        """Soil dug for the pipe beneath its bank and put back beside it, bank measure [m³]."""
        if self.pipe_m is None:
            return 0.0
        beside_m = (self.pipes - 1) * (1.0 + _figure("between pipes")) * self.pipe_m
        width_m = self.pipe_m + beside_m + 2.0 * _figure("pipe trench room")
        return width_m * self.works.depth_m * self.works.place.width_m

    @property
    def pipe_length_m(self) -> float:
        """Length of all its pipes [m]."""
        return 0.0 if self.pipe_m is None else self.pipes * self.works.pipe_length_m

    @property
    def stone_m3(self) -> float:
        """Stone that paves a ford [m³]."""
        return self.works.paved_m2 * _figure("stone in a ford")

    @property
    def lost_m3(self) -> float:
        """Storage that it takes of the swale below the sill [m³]."""
        works = self.works
        sill_m = works.ground_m + works.crest_m - works.section.freeboard_m
        return float(works.lost(np.array([sill_m]))[0][0])


class _Swale(NamedTuple):
    """What the crossings of one swale are worked out from."""

    line: LevelLine
    shape: ShapedSwale
    sill_at_m: float
    left_m: float


def built_crossings(
    site: Site,
    ground: Ground,
    layout: Layout,
    shapes: Sequence[ShapedSwale],
    *,
    sills_m: Sequence[float],
    freeboard_left_m: NDArray[np.float64],
    spills_m3s: NDArray[np.float64],
) -> tuple[tuple[BuiltCrossing, ...], ...]:
    r"""Find what must pass every crossing in the check storm, and the pipe that lets it.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, the ground, the lines on it.
    shapes : sequence of ShapedSwale
        The n swales.
    sills_m : sequence of float
        Chainage of the middle of each sill [m].
    freeboard_left_m : ndarray of float64, shape (n,)
        Crest above the highest water of the check storm [m].
    spills_m3s : ndarray of float64, shape (n,)
        Peak over each sill in the check storm [m³/s].

    Returns
    -------
    tuple of tuple of BuiltCrossing
        Those of every swale, in the order of its shape.

    Notes
    -----
    A swale stays one pond with one level: all that reaches the part without the sill must pass on, as if it were full
    already. Of the check storm that is the peak of the runoff from the ground that drains to this part, hollows taken
    as full, with all rain on its ditch, and the peak overflow of swales whose way ends there. It passes while the part
    without the sill stands higher by half of the freeboard that the check storm leaves (table ``crossing_works``).
    Pipes run full from pond to pond (`full_flow_m3s`), as few as will do; the dip of a ford passes
    :math:`A \sqrt{2 g h / (1 + k_e)}` with A below the sill. Round a ring with one crossing water goes the other way
    about; with more each of them is laid out for all of it.

    Examples
    --------
    >>> shapes = [swale.sized.shape for swale in design.swales]
    >>> built_crossings(site, ground, layout, shapes, sills_m=[50.0, 50.0], freeboard_left_m=np.full(2, 0.05),
    ...     spills_m3s=np.zeros(2))
    ((), ())
    """
    if not any(shape.crossings for shape in shapes):
        return tuple(() for _ in shapes)
    swales = [_Swale(*each) for each in zip(layout.lines, shapes, sills_m, freeboard_left_m.tolist(), strict=True)]
    flows_m3s, first = _part_flows_m3s(site, ground, layout, swales, spills_m3s)
    return tuple(
        tuple(
            _built(works, float(flows_m3s[first[number] + _beyond(swale, way)].sum(axis=0).max(initial=0.0)), swale)
            for way, works in enumerate(swale.shape.crossings)
        )
        for number, swale in enumerate(swales)
    )


def _built(works: CrossingWorks, flow_m3s: float, swale: _Swale) -> BuiltCrossing:
    """A crossing with its least pipe."""
    head_m = max(_figure("share of freeboard") * swale.left_m, _LEAST_HEAD_M)
    if works.is_ford:
        speed_m_s = (2.0 * GRAVITY_M_S2 * head_m / (1.0 + _figure("ford entrance loss"))) ** 0.5
        return BuiltCrossing(works, flow_m3s, head_m, None, works.opening_m2 * speed_m_s)
    carried = {
        (count, diameter_m): count * full_flow_m3s(diameter_m, head_m, works.pipe_length_m)
        for diameter_m in USUAL_DIAMETERS_M
        for count in range(1, works.most_pipes(diameter_m) + 1)
    }
    enough = min((pipes for pipes, passed in carried.items() if passed >= flow_m3s), default=None)
    if enough is None:
        return BuiltCrossing(works, flow_m3s, head_m, None, max(carried.values(), default=0.0))
    count, pipe_m = enough
    return BuiltCrossing(works, flow_m3s, head_m, pipe_m, carried[enough], count)


def _beyond(swale: _Swale, way: int) -> NDArray[np.intp]:
    """Parts of a swale whose water must pass one of its crossings on its way to the sill."""
    count = len(swale.shape.crossings)
    at_sill = _part_at(swale, np.array([swale.sill_at_m]))[0]
    if swale.line.closed:
        return np.array([part for part in range(count) if part != at_sill], np.intp)
    return np.arange(way + 1, count + 1) if at_sill <= way else np.arange(way + 1)


def _part_at(swale: _Swale, chainage_m: NDArray[np.float64]) -> NDArray[np.intp]:
    """Part of a swale, counted from its first station, at places on its line; round a ring the last is the first."""
    middles_m = [works.place.chainage_m for works in swale.shape.crossings]
    part = np.searchsorted(middles_m, chainage_m)
    return part % len(middles_m) if swale.line.closed else part


def _part_flows_m3s(
    site: Site, ground: Ground, layout: Layout, swales: Sequence[_Swale], spills_m3s: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.intp]]:
    """Flow of the check storm to every part of every swale in time, and the first part of each swale."""
    grid, n_lines = ground.terrain.grid, len(swales)
    counts = [max(len(swale.shape.crossings) + (not swale.line.closed), 1) for swale in swales]
    first = np.append(0, np.cumsum(counts)).astype(np.intp)
    stops: NDArray[np.int32] = grid.zeros(np.int32)
    lines = layout.drainage.stops.ravel()
    strip_m2, spilled = np.zeros(first[-1]), np.zeros(first[-1])
    for number, swale in enumerate(swales):
        cells = np.flatnonzero(lines == number + 1)
        centres = np.column_stack(grid.centres(*np.divmod(cells, grid.shape[1])))
        stops.ravel()[cells] = 1 + first[number] + _parts_near(swale, centres)
        along = np.bincount(
            _part_at(swale, swale.line.chainage_m) if swale.shape.crossings else np.zeros(len(swale.line.xy), np.intp),
            weights=swale.line.width_m,
            minlength=counts[number],
        )
        strip_m2[first[number] : first[number + 1]] = swale.shape.catch_m2 * along / along.sum()
    for number, path in enumerate(layout.spill_paths):
        if 0 < path.met <= n_lines:
            below = path.met - 1
            spilled[first[below] + _parts_near(swales[below], path.xy[-1:])[0]] += spills_m3s[number]
    labels = by_way_of_hollows(ground, first_met(ground.network, stops, n_stops=int(first[-1])), n_stops=int(first[-1]))
    cells = label_cells(
        labels, n_labels=1 + int(first[-1]), classes=ground.soil_class, n_classes=len(ground.soil.losses)
    )
    area_m2 = cells[1:].astype(np.float64) * grid.cell_area_m2
    stores = Stores(area_m2, strip_m2, np.full(int(first[-1]), -1, np.int32))
    hours = concentration_h(site, ground, stops, labels, stores)
    course = course_of(site, storm_of(site).check_depth_mm)
    flows_m3s = storm_inflow_m3s(stores, ground.soil, course, hours, step_min=_STEP_MIN)
    return flows_m3s + spilled[:, np.newaxis], first[:-1]


def _parts_near(swale: _Swale, xy: NDArray[np.float64]) -> NDArray[np.intp]:
    """Part of a swale next to points."""
    if not swale.shape.crossings:
        return np.zeros(len(xy), np.intp)
    return _part_at(swale, swale.line.chainage_m[cKDTree(swale.line.xy).query(xy)[1]])


def by_way_of_hollows(ground: Ground, labels: NDArray[np.int32], *, n_stops: int) -> NDArray[np.int32]:
    """Labels of which each hollow has that of the stop which its water goes on to.

    Parameters
    ----------
    ground : Ground
        The ground with its hollows.
    labels : ndarray of int32, shape (rows, columns)
        From `swalekit.flow.catchments.first_met`.
    n_stops : int
        Number of stops.

    Returns
    -------
    ndarray of int32, shape (rows, columns)
        1 to ``n_stops``, 0 for none, -1 at voids.

    Examples
    --------
    >>> int(by_way_of_hollows(ground, layout.drainage.labels, n_stops=2).max())
    2
    """
    hollows = ground.network.hollows
    leads = np.concatenate([np.arange(n_stops + 1), labels.ravel()[hollows.spill_to]]).astype(np.int32)
    for _ in range(len(hollows.pit).bit_length() + 1):  # each round looks twice as far
        further = leads[np.maximum(leads, 0)]
        if np.array_equal(further, leads):
            break
        leads = further
    known: NDArray[np.int32] = np.where((leads > 0) & (leads <= n_stops), leads, 0).astype(np.int32)
    return np.where(labels < 0, np.int32(-1), known[np.maximum(labels, 0)])


def _figure(name: str) -> float:
    return named_row("crossing_works", name=name).value
