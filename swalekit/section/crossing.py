"""A way for people, stock and machines over a swale that goes on beneath it: a bank over a pipe, or a ford."""

from collections.abc import Sequence
from dataclasses import dataclass, field
from math import pi
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.contours.crossing import FORD, Crossing
from swalekit.kernels.section_crossing import Roadways, measure_crossing
from swalekit.kernels.section_nodes import CREST_OUTER_EDGE, UPHILL_LIP
from swalekit.section.profile import profile
from swalekit.section.section import Section
from swalekit.tables.load import named_row

BEYOND_PLANE = 1.5
"""A roadway is followed so far, as a share of its reach on plane ground, on ground that isn't plane."""

_STEP_M = 0.1
"""Columns in which a crossing is added up: at half of it volumes differ by less than 0.1 %."""
_FINE_M = 0.01
"""Points across a ford at which its opening is measured."""
_NONE, _NO_NODES = np.empty(0), np.empty((0, 4))
_NO_ROADWAYS = Roadways(
    _NONE, _NONE, _NONE, _NONE, _NO_NODES, _NO_NODES, _NONE, _NONE, np.empty(0, np.bool_), _NONE, _NONE
)


class PipeBed(NamedTuple):
    """Pipes side by side on the floor of a ditch.

    Chainage of their middle, length, inner diameter and level of their inverts [m], and how many there are.
    """

    chainage_m: float
    length_m: float
    diameter_m: float
    invert_m: float
    pipes: int = 1

    @property
    def bore_m3(self) -> float:
        """What they hold when full [m³]."""
        return self.pipes * pi * self.diameter_m**2 / 4.0 * self.length_m


@one_line("crossing.title", "chainage_m", "width_m")
@dataclass(frozen=True)
class CrossingPlace:
    """Where a crossing meets a line that goes on beneath it.

    Parameters
    ----------
    crossing : Crossing
        What crosses, of the kind pipe or ford.
    chainage_m : float
        Chainage of the middle of its roadway [m].
    width_m : float
        Width of the roadway along the line [m].
    station : int
        Station of the line next to its middle.
    """

    crossing: Crossing
    chainage_m: float
    width_m: float
    station: int


@one_line("place.crossing.title", "place.chainage_m", "top_m", "fill_m3", "cut_m3")
@dataclass(frozen=True, eq=False)
class CrossingWorks:
    """What is built of a crossing on the plane ground of its station.

    Parameters
    ----------
    place : CrossingPlace
        Where.
    section : Section
        Of the swale.
    depth_m, crest_m, ground_m, slope, reach_m, curvature_per_m : float
        Dig depth and height of the crest above the ground at the stake, level of the ground there [m], its slope
        across the line [m/m], how far uphill the pond may stand [m], and curvature of the line [1/m].

    Attributes
    ----------
    ways : Roadways
        Its roadway as kernels take it, levels above the ground at the stake.
    cut_m3, fill_m3 : float
        What it adds to the soil cut, mostly negative since the ground beneath it isn't dug, and to the compacted fill
        [m³].
    half_length_m : float
        Half the length of line on which it changes anything, its faces included [m].

    Notes
    -----
    A **bank over a pipe** is level from the ditch's uphill lip to the berm's crest: at the crest or, where that gives
    too little, so high above the sill that a pipe whose crown lies below the sill has its cover. The ground beneath it
    isn't dug, but for the pipe's trench. A **ford** is a dip: ground that isn't dug, its floor so deep below the sill
    that a full swale stands on it no deeper than a farm vehicle wades, as wide as the ditch's floor; from there the
    roadway rises to the ground uphill, and downhill to the crest, which goes on round it, so that no water is lost.
    Ramps have the grade of the table ``crossing_works``, or fall by so much more than the ground that they meet it.
    Faces along the line are as flat as the berm's inner face.
    """

    place: CrossingPlace
    section: Section
    depth_m: float
    crest_m: float
    ground_m: float
    slope: float
    reach_m: float
    curvature_per_m: float
    ways: Roadways = field(init=False)
    cut_m3: float = field(init=False)
    fill_m3: float = field(init=False)
    half_length_m: float = field(init=False)

    def __post_init__(self) -> None:
        object.__setattr__(self, "ways", self._roadway())
        cut, fill, half, _, _ = self._measured(np.empty(0))
        for name, value in (("cut_m3", cut), ("fill_m3", fill), ("half_length_m", half)):
            object.__setattr__(self, name, float(value))

    @property
    def is_ford(self) -> bool:
        """Whether the roadway dips through the swale."""
        return self.place.crossing.kind == FORD

    @property
    def ramp(self) -> float:
        """Grade of its steepest ramp, which the one downhill of the berm is [m/m]."""
        return ramp_grade(self.slope)

    @property
    def top_m(self) -> float:
        """Level of the bank over a pipe, or of the crest beside a ford [m]."""
        return self.ground_m + float(self.ways.level[0, 3])

    @property
    def floor_m(self) -> float:
        """Level of the ditch's floor, on which a pipe lies, or of the floor of a ford [m]."""
        return self.ground_m + (float(self.ways.level[0, 0]) if self.is_ford else -self.depth_m)

    @property
    def span_m(self) -> tuple[float, float]:
        """Distances from the line between which it moves earth on plane ground, the first uphill [m]."""
        least, greatest = float(self.ways.least[0]), float(self.ways.greatest[0])
        return least / BEYOND_PLANE, greatest / BEYOND_PLANE

    @property
    def profile_m(self) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Its roadway from end to end on plane ground: distances from the line, and levels, shape (6,) each [m]."""
        ways, (least, greatest) = self.ways, self.span_m
        x = np.array([least, *ways.x[0], greatest])
        ground = -self.slope * x
        level = np.array([ground[0], *ways.level[0], ground[-1]])
        return x, self.ground_m + (level if self.is_ford else np.maximum(level, ground))

    @property
    def pipe_length_m(self) -> float:
        """Length of a pipe on the ditch's floor from face to face of the bank [m]."""
        return self.place.width_m + 2.0 * float(self.ways.side[0]) * (self.top_m - self.floor_m)

    def most_pipes(self, diameter_m: float) -> int:
        """How many pipes have room side by side in the ditch's section at the height of their middle.

        Parameters
        ----------
        diameter_m : float
            Inner diameter [m].

        Returns
        -------
        int
            None where its crown would lie above the sill.
        """
        section = self.section
        if self.crest_m - section.freeboard_m + self.depth_m < diameter_m:
            return 0
        sides = section.uphill_side_slope + section.downhill_side_slope
        width_m, between = section.bottom_width_m + sides * diameter_m / 2.0, _figure("between pipes")
        return max(int((width_m / diameter_m + between) / (1.0 + between) + 1e-9), 1)

    @property
    def opening_m2(self) -> float:
        """Area of the dip of a ford below the sill's level, through which water passes from half to half [m²]."""
        x = np.arange(*self.span_m, _FINE_M) + _FINE_M / 2.0
        level = np.interp(x, self.ways.x[0], self.ways.level[0])
        uphill = self.ways.level[0, 0] + self.ways.uphill[0] * (self.ways.x[0, 0] - x)
        level = np.where(x < self.ways.x[0, 0], np.minimum(-self.slope * x, uphill), level)
        inside = x < self.ways.x[0, 2]
        return float(np.maximum(self.crest_m - self.section.freeboard_m - level, 0.0)[inside].sum() * _FINE_M)

    @property
    def paved_m2(self) -> float:
        """Ground of a ford that is paved with stone: the floor and both faces below the sill, roadway wide [m²]."""
        if not self.is_ford:
            return 0.0
        sill_m = self.crest_m - self.section.freeboard_m
        rise_m = max(sill_m - float(self.ways.level[0, 0]), 0.0)
        up = min(rise_m / float(self.ways.uphill[0]), self.ways.x[0, 0] - self.span_m[0])
        down = rise_m * float(self.ways.x[0, 2] - self.ways.x[0, 1]) / max(self.crest_m - self.ways.level[0, 1], 1e-9)
        return self.place.width_m * float(self.ways.x[0, 1] - self.ways.x[0, 0] + up + down)

    @property
    def ground_m2(self) -> float:
        """Plan area of its ramps beyond ditch and berm [m²]."""
        x, _ = profile(self.section, self.depth_m, self.crest_m, self.slope, reach_m=0.0)
        least, greatest = self.span_m
        return 2.0 * self.half_length_m * float(max(x[UPHILL_LIP] - least, 0.0) + max(greatest - x[-1], 0.0))

    def lost(self, level_m: NDArray[np.float64]) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Storage and plan area that it takes of the swale's pond.

        Parameters
        ----------
        level_m : ndarray of float64, shape (k,)
            Levels of the water [m].

        Returns
        -------
        lost_m3, area_m2 : ndarray of float64, shape (k,)
            Volume [m³] and area [m²]. What a pipe holds isn't counted as storage.
        """
        _, _, _, lost, area = self._measured(np.asarray(level_m, np.float64) - self.ground_m)
        return lost, area

    def _measured(
        self, water: NDArray[np.float64]
    ) -> tuple[float, float, float, NDArray[np.float64], NDArray[np.float64]]:
        return measure_crossing(
            self.section.dimensions,
            float(self.depth_m),
            float(self.crest_m),
            float(self.slope),
            float(self.reach_m),
            float(self.curvature_per_m),
            self.ways,
            min(_STEP_M, self.section.crest_width_m / 3.0),
            water,
        )

    def _roadway(self) -> Roadways:
        """Its roadway, levels above the ground at the stake."""
        section, slope, ramp = self.section, self.slope, ramp_grade(self.slope)
        x, _ = profile(section, self.depth_m, self.crest_m, slope, reach_m=0.0)
        lip, edge, side = float(x[UPHILL_LIP]), float(x[CREST_OUTER_EDGE]), section.berm_uphill_side_slope
        sill, crest, wider = self.crest_m - section.freeboard_m, self.crest_m, 0.0
        if self.is_ford:
            half, floor = section.bottom_width_m / 2.0, max(min(sill - _figure("water in a ford"), 0.0), -self.depth_m)
            begins = half + max(crest - floor, 0.0) / _figure("ramp")
            ends = max(begins + section.crest_width_m, edge)
            at, level, uphill = [-half, half, begins, ends], [floor, floor, crest, crest], ramp
            wider = side * max(float(crest - np.interp(edge, at, level)), 0.0)
            least = (floor - ramp * half) / (ramp - slope)
        else:
            top, uphill = max(crest, sill + _figure("cover")), -_figure("ramp")
            at, level, ends = [lip, lip, edge, edge], [top] * 4, edge
            least = lip - max(top + slope * lip, 0.0) / (slope - uphill)
        greatest = ends + max(level[3] + slope * ends, 0.0) / (ramp - slope)
        return Roadways(
            at=np.zeros(1),
            half=np.array([self.place.width_m / 2.0]),
            wider=np.array([wider]),
            side=np.array([side]),
            x=np.array([at], np.float64),
            level=np.array([level], np.float64),
            uphill=np.array([uphill], np.float64),
            downhill=np.array([ramp], np.float64),
            dips=np.array([self.is_ford]),
            least=np.array([BEYOND_PLANE * min(least, lip)]),
            greatest=np.array([BEYOND_PLANE * max(greatest, ends)]),
        )


def ramp_grade(slope: float) -> float:
    """Grade of a ramp that runs down with the ground.

    Parameters
    ----------
    slope : float
        Slope of the ground across the line [m/m].

    Returns
    -------
    float
        Grade of the table ``crossing_works``, or so much more than the ground's that the ramp meets it [m/m].

    Examples
    --------
    >>> ramp_grade(0.05), round(ramp_grade(0.12), 3)
    (0.167, 0.2)
    """
    return max(_figure("ramp"), slope + _figure("fall beyond the ground"))


def works_at(
    place: CrossingPlace,
    section: Section,
    *,
    depth_m: float,
    crest_level_m: float,
    ground_m: float,
    slope: float,
    reach_m: float,
    curvature_per_m: float,
) -> CrossingWorks:
    """Works of a crossing at one station of a swale.

    Parameters
    ----------
    place : CrossingPlace
        Where the crossing meets the line.
    section : Section
        The cross-section.
    depth_m, crest_level_m : float
        Dig depth at the stake, and level of the berm's crest [m].
    ground_m, slope, reach_m, curvature_per_m : float
        Level of the ground at the stake [m], its slope across the line [m/m], how far uphill the pond may stand [m],
        and curvature of the line [1/m].

    Returns
    -------
    CrossingWorks
        The works.

    Examples
    --------
    A bank 4 m wide over a ditch 0.5 m deep on ground of 5 %, its crest 0.4 m above the stake:

    >>> import shapely
    >>> track = CrossingPlace(Crossing("pipe", shapely.Point(0.0, 0.0), 4.0, "Track"), 30.0, 4.0, 15)
    >>> bank = works_at(track, Section(), depth_m=0.5, crest_level_m=10.4, ground_m=10.0, slope=0.05, reach_m=20.0,
    ...     curvature_per_m=0.0)
    >>> round(bank.top_m, 2), round(bank.floor_m, 2), round(bank.pipe_length_m, 2)
    (10.55, 9.5, 8.2)
    """
    return CrossingWorks(place, section, depth_m, crest_level_m - ground_m, ground_m, slope, reach_m, curvature_per_m)


def roadways_of(works: Sequence[CrossingWorks]) -> Roadways:
    """Roadways of all crossings of a swale in the datum of the terrain.

    Parameters
    ----------
    works : sequence of CrossingWorks
        The crossings.

    Returns
    -------
    Roadways
        As kernels take them.

    Examples
    --------
    >>> roadways_of([]).at.shape
    (0,)
    """
    if not works:
        return _NO_ROADWAYS
    rows = [
        each.ways._replace(at=np.array([each.place.chainage_m]), level=each.ways.level + each.ground_m)
        for each in works
    ]
    return Roadways(*(np.concatenate(figures) for figures in zip(*rows, strict=True)))


def _figure(name: str) -> float:
    return named_row("crossing_works", name=name).value
