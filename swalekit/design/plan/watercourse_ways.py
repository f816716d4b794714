"""Where a way runs through a watercourse: what the check storm brings there, and the pipe that would carry it."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from scipy.ndimage import label

from swalekit._one_line import one_line
from swalekit.design.brief.settings import course_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import crossing_strips
from swalekit.design.plan.built_crossings import by_way_of_hollows
from swalekit.design.plan.design import Caution
from swalekit.design.plan.storm_run import concentration_h
from swalekit.flow.accumulation import accumulate
from swalekit.flow.catchments import first_met, label_cells
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.unit_hydrograph import storm_inflow_m3s
from swalekit.section.culvert import least_diameter_m, pipe_length_m
from swalekit.terrain.terrain import cells_within

THROUGH_WATERCOURSE = "way through a watercourse"
"""Name of the caution."""

_STEP_MIN = 1.0
_EIGHT_SIDES = np.ones((3, 3))


@one_line("title", "area_m2", "flow_m3s", "pipe_m")
@dataclass(frozen=True)
class WatercourseWay:
    """A place where a crossing runs through a watercourse.

    Parameters
    ----------
    title : str
        The crossing.
    xy : tuple of float
        Easting and northing [m].
    area_m2 : float
        Ground that drains to it on the tile, by way of hollows too [m²].
    flow_m3s : float
        Peak of the check storm there as if no swale held any of it [m³/s].
    pipe_m : float or None
        Diameter of the least usual pipe that carries it under the way [m]; None where none does.
    """

    title: str
    xy: tuple[float, float]
    area_m2: float
    flow_m3s: float
    pipe_m: float | None

    def caution(self) -> Caution:
        """What must be told of it.

        Returns
        -------
        Caution
            With place, flow and pipe.

        Examples
        --------
        >>> WatercourseWay("crossing 'Track'", (5.0, 7.0), 20_000.0, 0.21, 0.6).caution().name
        'way through a watercourse'
        """
        (east, north), title = self.xy, f"{self.title[:1].upper()}{self.title[1:]}"
        cure = (
            "no usual pipe carries it"
            if self.pipe_m is None
            else f"a bank across it needs a pipe of {self.pipe_m:g} m at least"
        )
        return Caution(
            THROUGH_WATERCOURSE,
            f"{title} runs through a watercourse at {east:.0f} east, {north:.0f} north: the check storm brings up to "
            f"{self.flow_m3s:.2f} m³/s there from {self.area_m2 / 10_000.0:.1f} ha if no swale holds any; {cure}. "
            "Lead the way through at the level of the bed, or have an engineer lay out the pipe.",
        )


def watercourse_ways(site: Site, ground: Ground) -> tuple[WatercourseWay, ...]:
    """Every place where a crossing runs through a watercourse.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.

    Returns
    -------
    tuple of WatercourseWay
        By crossing; where a way follows a watercourse the place farthest down alone.

    Notes
    -----
    The flow is the peak of the runoff that the check storm makes on all ground uphill, through the NRCS unit
    hydrograph with its travel time, as if there were no swales: they hold much of it until they are full or fail.

    Examples
    --------
    >>> watercourse_ways(site, ground)
    ()
    """
    grid, found = ground.terrain.grid, []
    strips = crossing_strips(site, ground)
    if not strips or not ground.watercourses.any():
        return ()
    drained_m2 = accumulate(ground.network)
    for crossing, strip in strips:
        near = ground.watercourses & cells_within(grid, strip.geometry.buffer(grid.cell_m))
        pieces, count = label(near, structure=_EIGHT_SIDES)
        for piece in range(1, count + 1):
            cells = np.flatnonzero(pieces.ravel() == piece)
            cell = int(cells[np.argmax(drained_m2.ravel()[cells])])
            area_m2, flow_m3s = _check_flow(site, ground, cell)
            x, y = grid.centres(*np.divmod(np.array([cell]), grid.shape[1]))
            pipe_m = least_diameter_m(flow_m3s, length_m=pipe_length_m(crossing.width_m))
            found.append(WatercourseWay(crossing.title, (float(x[0]), float(y[0])), area_m2, flow_m3s, pipe_m))
    return tuple(found)


def _check_flow(site: Site, ground: Ground, cell: int) -> tuple[float, float]:
    """Ground that drains to a cell [m²], and the peak of the check storm's runoff from it [m³/s]."""
    grid = ground.terrain.grid
    stops: NDArray[np.int32] = grid.zeros(np.int32)
    stops.ravel()[cell] = 1
    labels = by_way_of_hollows(ground, first_met(ground.network, stops, n_stops=1), n_stops=1)
    cells = label_cells(labels, n_labels=2, classes=ground.soil_class, n_classes=len(ground.soil.losses))
    area_m2 = cells[1:].astype(np.float64) * grid.cell_area_m2
    stores = Stores(area_m2, np.zeros(1), np.full(1, -1, np.int32))
    hours = concentration_h(site, ground, stops, labels, stores)
    course = course_of(site, storm_of(site).check_depth_mm)
    flow_m3s = storm_inflow_m3s(stores, ground.soil, course, hours, step_min=_STEP_MIN)
    return float(area_m2.sum()), float(flow_m3s.max())
