"""Where people, stock and machines pass a level line, and the ground that is kept clear for them."""

from dataclasses import dataclass

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_between, check_one_of
from swalekit._one_line import one_line
from swalekit.contours.obstacles import CROSSING, KeepOut
from swalekit.errors import GeometryError
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

GAP, PIPE, FORD = "gap", "pipe", "ford"
CROSSING_KINDS = (GAP, PIPE, FORD)
"""How a crossing passes a swale: a gap between two that end beside it, each in a return; a bank over a pipe that joins
the halves of one; a dip through its ditch and berm, whose top stays at the crest."""

POINT_REACH_M = 10.0
"""A crossing that is a point is kept clear this far uphill and downhill of it: our choice."""

LEAST_WIDTH_M, GREATEST_WIDTH_M = 0.5, 50.0
"""Widths beyond these are slips."""

_FALL_SUPPORT_M = 5.0


@one_line("kind", "name", "width_m")
@dataclass(frozen=True)
class Crossing:
    """A way across the lines of a site.

    Parameters
    ----------
    kind : str
        One of `CROSSING_KINDS`.
    geometry : shapely Point or LineString
        Where it is, in the site's CRS: a gateway, or the middle of a track [m].
    width_m : float
        Width that is kept clear [m].
    name : str
        What the client calls it.
    use : str
        What passes, one of the table ``crossings``; '' where it isn't said.

    Raises
    ------
    InputError
        If the kind is unknown or the width is none that a track has.
    GeometryError
        If the geometry is no point and no line, or a line of no length.

    Examples
    --------
    >>> Crossing("gap", shapely.Point(3.0, 4.0), 4.0, "North gate").title
    "crossing 'North gate'"
    """

    kind: str
    geometry: BaseGeometry
    width_m: float
    name: str = ""
    use: str = ""

    def __post_init__(self) -> None:
        check_one_of(CROSSING_KINDS, kind=self.kind)
        check_between(LEAST_WIDTH_M, GREATEST_WIDTH_M, width_m=self.width_m)
        if self.geometry.geom_type not in ("Point", "LineString"):
            message = f"{self.title} is a {self.geometry.geom_type}; draw the middle of the way as a line, or a point"
            raise GeometryError(message)
        if self.geometry.geom_type == "LineString" and not self.geometry.length > 0.0:
            message = f"{self.title} is a line of no length; draw it along the way, or as a point"
            raise GeometryError(message)

    @property
    def parts_swales(self) -> bool:
        """Whether swales end on both sides of it; they go on beneath the others."""
        return self.kind == GAP

    @property
    def title(self) -> str:
        """What it is, with its name."""
        return f"{CROSSING} '{self.name}'" if self.name.lower() not in {"", CROSSING} else CROSSING


def kept_clear_for(crossing: Crossing, terrain: Terrain) -> KeepOut:
    """The ground that a crossing takes, which no works and no pond may reach.

    Parameters
    ----------
    crossing : Crossing
        The crossing.
    terrain : Terrain
        The ground, in the same CRS.

    Returns
    -------
    KeepOut
        A strip of its width: along its line, or for a point along the fall of the ground there, `POINT_REACH_M`
        uphill and downhill; round a point on flat or unknown ground.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(60.0)[::-1], np.ones(80))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((60, 80), cell_m=1.0, west_m=0.0, north_m=60.0))
    >>> kept_clear_for(Crossing("gap", shapely.Point(40.0, 30.0), 4.0), terrain).geometry.bounds
    (38.0, 20.0, 42.0, 40.0)
    """
    half_m, way = crossing.width_m / 2.0, crossing.geometry
    if way.geom_type == "Point":
        way = _down_the_fall(way, terrain)
    strip = way.buffer(half_m) if way.geom_type == "Point" else way.buffer(half_m, cap_style="flat")
    return KeepOut(CROSSING, strip, 0.0, crossing.name)


def _down_the_fall(place: shapely.Point, terrain: Terrain) -> BaseGeometry:
    """A way through a point straight up and down the ground; the point where that is flat or unknown."""
    support_m = max(_FALL_SUPPORT_M, 2.0 * terrain.grid.cell_m)
    east, west, north, south = sample_heights(
        terrain,
        place.x + support_m * np.array([1.0, -1.0, 0.0, 0.0]),
        place.y + support_m * np.array([0.0, 0.0, 1.0, -1.0]),
    )
    rise = np.array([east - west, north - south])
    steepness = float(np.hypot(*rise))
    if not steepness > 0.0:  # nor where it isn't known
        return place
    uphill = POINT_REACH_M * rise / steepness
    here = np.array([place.x, place.y])
    return shapely.LineString([here + uphill, here - uphill])
