"""What takes parts of a line out: the site's edge, keep-outs, water, bends, voids and slopes."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from functools import cached_property
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from shapely import Geometry

from swalekit._checks import check_not_negative, check_one_of
from swalekit._one_line import one_line
from swalekit.contours.course import Course
from swalekit.contours.cuts import Cut, outside, over_cells, runs, within_polygon
from swalekit.contours.line import LineRules
from swalekit.errors import GeometryError, InputError
from swalekit.frozen import Frozen
from swalekit.grid import Grid


class KeepOutKind(NamedTuple):
    """What a kind of keep-out is to water, and its form.

    Parameters
    ----------
    takes_water : bool
        Whether overflow may be led there.
    exposed : bool
        Whether it is named where the water of a failed berm would reach it.
    is_long : bool
        Whether it runs along a line; the others stand on an area, which one may walk round.
    """

    takes_water: bool
    exposed: bool = False
    is_long: bool = False


KEEP_OUT_KINDS: Mapping[str, KeepOutKind] = {
    "building": KeepOutKind(takes_water=False, exposed=True),
    "slip-prone ground": KeepOutKind(takes_water=False, exposed=True),
    "septic field": KeepOutKind(takes_water=False, exposed=True),
    "well": KeepOutKind(takes_water=False, exposed=True),
    "spring": KeepOutKind(takes_water=False, exposed=True),
    "heritage": KeepOutKind(takes_water=False, exposed=True),
    "property line": KeepOutKind(takes_water=False, is_long=True),
    "buried utility": KeepOutKind(takes_water=False, is_long=True),
    "road": KeepOutKind(takes_water=False, is_long=True),
    "other": KeepOutKind(takes_water=False),
    "tree": KeepOutKind(takes_water=False),
    "fence": KeepOutKind(takes_water=True, is_long=True),
    "power line": KeepOutKind(takes_water=True, is_long=True),
    "rock": KeepOutKind(takes_water=True),
    "wetland": KeepOutKind(takes_water=True),
}
"""Kinds of keep-out, what overflow harms most first (common practice); each has a row in `tables/setbacks.csv`."""

CROSSING = "crossing"
"""Kind of the ground that is kept clear for a way across lines; a file of keep-outs can't name it."""

HARM_ORDER: tuple[str, ...] = (*(kind for kind, to in KEEP_OUT_KINDS.items() if not to.takes_water), CROSSING)
"""Kinds of ground that overflow should not reach, worst first."""

EXPOSED_KINDS: tuple[str, ...] = tuple(kind for kind, to in KEEP_OUT_KINDS.items() if to.exposed)
"""Kinds that a failed berm must not reach without being named."""

OUTSIDE = "outside"
"""Reason of the cut beyond the site's edge, which is not the site's own ground."""


@one_line("kind", "name", "setback_m")
@dataclass(frozen=True)
class KeepOut:
    """A thing on the ground with its setback.

    Parameters
    ----------
    kind : str
        One of `KEEP_OUT_KINDS`, or `CROSSING`.
    geometry : shapely geometry
        Where it is, in the site's CRS [m].
    setback_m : float
        Least distance from it to a line [m].
    name : str
        What the client calls it; of the kind ``other`` it says what it is.

    Raises
    ------
    InputError
        If the kind is unknown, the setback negative, or the kind ``other`` without a name.
    GeometryError
        If the geometry with its setback covers no ground.

    Examples
    --------
    >>> from shapely import Point
    >>> well = KeepOut("well", Point(0.0, 0.0), 30.0, "old well")
    >>> well.label, [round(side_m) for side_m in well.zone.bounds]
    ("well 'old well', setback 30 m", [-30, -30, 30, 30])
    """

    kind: str
    geometry: Geometry
    setback_m: float
    name: str = ""

    def __post_init__(self) -> None:
        check_one_of((*KEEP_OUT_KINDS, CROSSING), kind=self.kind)
        if self.kind == "other" and not self.name:
            message = "a keep-out of kind 'other' has no name; give it one that says what it is"
            raise InputError(message)
        check_not_negative(setback_m=self.setback_m)
        if self.zone.is_empty:
            message = (
                f"keep-out {self.label} covers no ground: its geometry is a {self.geometry.geom_type}; "
                "give it a setback greater than zero or draw it as a polygon"
            )
            raise GeometryError(message)

    @cached_property
    def zone(self) -> Geometry:
        """The thing and its setback around it."""
        return self.geometry.buffer(self.setback_m)

    @property
    def title(self) -> str:
        """Kind and name in words; of the kind ``other`` the name alone."""
        if self.kind == "other":
            return f"'{self.name}'"
        return f"{self.kind} '{self.name}'" if self.name.lower() not in {"", self.kind} else self.kind

    @property
    def label(self) -> str:
        """Kind, name and setback in words."""
        return self.title if self.kind == CROSSING else f"{self.title}, setback {self.setback_m:g} m"


@one_line("grid", "keep_outs")
@dataclass(frozen=True, eq=False)
class Obstacles(Frozen):
    """All that lies in the way of lines on a site.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    area : shapely geometry
        Ground that lines may use.
    keep_outs : sequence of KeepOut
        Things to keep away from.
    blocked, ponds : ndarray of bool, shape (rows, columns), optional
        Cells of watercourses and of ponds.

    Attributes
    ----------
    zones : tuple of shapely geometry
        Ground that each keep-out keeps free, its setback included.
    """

    grid: Grid
    area: Geometry
    keep_outs: Sequence[KeepOut] = ()
    blocked: NDArray[np.bool_] | None = None
    ponds: NDArray[np.bool_] | None = None
    zones: tuple[Geometry, ...] = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "zones", tuple(keep_out.zone for keep_out in self.keep_outs))
        super().__post_init__()


def cuts_of(course: Course, obstacles: Obstacles, rules: LineRules) -> list[Cut]:
    """All that takes parts of a course out, the weightier reason first.

    Parameters
    ----------
    course : Course
        The line on its ground.
    obstacles : Obstacles
        What lies in the way.
    rules : LineRules
        Limits of bend and slope.

    Returns
    -------
    list of Cut
        In the order site's edge, keep-outs, watercourses, ponds, voids, bends, slopes.
    """
    inside = within_polygon(course.path, obstacles.area)
    return [
        Cut(outside(inside, course.length_m), OUTSIDE),
        *_keep_out_cuts(course, obstacles),
        *_water_cuts(course, obstacles, rules),
        *_ground_cuts(course, rules),
    ]


def _keep_out_cuts(course: Course, obstacles: Obstacles) -> list[Cut]:
    """Parts within a keep-out's setback."""
    pairs = zip(obstacles.keep_outs, obstacles.zones, strict=True)
    return [Cut(within_polygon(course.path, zone), keep_out.kind, keep_out.label) for keep_out, zone in pairs]


def _water_cuts(course: Course, obstacles: Obstacles, rules: LineRules) -> list[Cut]:
    """Parts over watercourses, with a gap either side, and over ponds."""
    cuts = []
    if obstacles.blocked is not None:
        gap_m = rules.watercourse_gap_m
        wet = over_cells(course.path, obstacles.grid, obstacles.blocked)
        cuts.append(Cut(wet + np.array([-gap_m, gap_m]), "watercourse", f"gap {gap_m:g} m either side"))
    if obstacles.ponds is not None:
        cuts.append(Cut(over_cells(course.path, obstacles.grid, obstacles.ponds), "pond", "ground that ponds"))
    return cuts


def _ground_cuts(course: Course, rules: LineRules) -> list[Cut]:
    """Parts beside voids, at sharp bends, on ground too flat or too steep."""
    at = course.chainage_m
    bend = f"radius below {rules.bend_radius_m:g} m within {rules.tolerance_m:g} m of the level"
    flat = f"cross slope below {rules.least_slope:g}"
    steep = f"cross slope above {rules.greatest_slope:g}"
    return [
        Cut(runs(at, np.isnan(course.fall)), "void", "no ground heights beside the line"),
        Cut(runs(at, course.sharp), "bend", bend),
        Cut(runs(at, course.fall < rules.least_slope), "too flat", flat),
        Cut(runs(at, course.fall > rules.greatest_slope), "too steep", steep),
    ]
