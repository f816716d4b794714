"""What takes parts of a line out: the site's edge, keep-outs, water, bends, voids and slopes."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from shapely import Geometry

from swalekit._checks import check_not_negative, check_one_of
from swalekit._one_line import one_line
from swalekit.contours.course import Course
from swalekit.contours.cuts import Cut, outside, over_cells, runs, within_polygon
from swalekit.contours.line import LineRules
from swalekit.errors import GeometryError
from swalekit.frozen import Frozen
from swalekit.grid import Grid

KEEP_OUT_KINDS = ("building", "septic field", "well", "buried utility", "property line", "road", "tree")

OUTSIDE = "outside"
"""Reason of the cut beyond the site's edge, which is not the site's own ground."""


@one_line("kind", "name", "setback_m")
@dataclass(frozen=True)
class KeepOut:
    """A thing on the ground with its setback.

    Parameters
    ----------
    kind : str
        One of `KEEP_OUT_KINDS`.
    geometry : shapely geometry
        Where it is, in the site's CRS [m].
    setback_m : float
        Least distance from it to a line [m].
    name : str
        What the client calls it.

    Raises
    ------
    InputError
        If the kind is unknown or the setback negative.
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
        check_one_of(KEEP_OUT_KINDS, kind=self.kind)
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
        """Kind and name in words."""
        return f"{self.kind} '{self.name}'" if self.name.lower() not in {"", self.kind} else self.kind

    @property
    def label(self) -> str:
        """Kind, name and setback in words."""
        return f"{self.title}, setback {self.setback_m:g} m"


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
