"""Where along a line its sill may stand."""

import numpy as np
import pytest
import shapely

from swalekit.contours.line import LevelLine
from swalekit.kernels.section_nodes import CREST_OUTER_EDGE
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale
from swalekit.section.sill_place import sill_chainage_m
from swalekit.section.stations import Stations

RADIUS_M, STRAIGHT_M = 5.0, 20.0
BEND_M = RADIUS_M * np.pi / 2.0


def swale_on(xy, *, closed=False) -> tuple[LevelLine, ShapedSwale]:
    """A swale 0.5 m deep on a slope of 10 %, crest 0.4 m above the line."""
    line = LevelLine(10.0, closed, xy, np.full(len(xy), 10.0), np.full(len(xy), 0.1))
    return line, ShapedSwale(Stations.of_line(line, np.full(len(xy), 20.0)), Section(), 0.5, 10.4)


def bent_swale(*, berm_inside: bool) -> tuple[LevelLine, ShapedSwale]:
    """Two straight legs of 20 m and a quarter of a circle of 5 m between them."""
    angle = np.linspace(np.pi, np.pi / 2.0, 9)
    bend = RADIUS_M * np.column_stack([1.0 + np.cos(angle), np.sin(angle)])
    along = np.arange(STRAIGHT_M, 0.0, -1.0)
    legs = np.column_stack([0.0 * along, -along]), np.column_stack([RADIUS_M + along[::-1], 0.0 * along + RADIUS_M])
    xy = np.vstack([legs[0], bend, legs[1]])
    return swale_on(xy if berm_inside else xy[::-1].copy())


def crest_length_m(line: LevelLine, shape: ShapedSwale, middle_m: float, length_m: float) -> float:
    """Length of the crest's outer edge beside a stretch of the line, by the geometry library."""
    edge = shapely.LineString(line.xy + line.downhill * shape.nodes[0][CREST_OUTER_EDGE, :, np.newaxis])
    ends = [line.path[0] * 0.0 + line.at(line.xy.T, [middle_m + side * length_m / 2.0])[:, 0] for side in (-1.0, 1.0)]
    start, stop = (edge.project(shapely.Point(end)) for end in ends)
    return abs(stop - start)


@pytest.mark.parametrize("length_m", [1.0, 4.0, 8.0])
def test_a_sill_leaves_a_bend_round_its_berm(length_m):
    """Wanted in the middle of a bend of 5 m, it moves to where its crest is as long as it is, and no farther."""
    line, shape = bent_swale(berm_inside=True)
    wanted_m = STRAIGHT_M + BEND_M / 2.0 + 0.5
    middle_m = sill_chainage_m(line, shape, wanted_m=wanted_m, length_m=length_m)
    assert crest_length_m(line, shape, wanted_m, length_m) < 0.5 * length_m
    assert crest_length_m(line, shape, middle_m, length_m) >= 0.94 * length_m
    assert middle_m - length_m / 2.0 == pytest.approx(STRAIGHT_M + BEND_M, abs=1.5)


def test_a_sill_stays_outside_a_bend():
    """Where the berm goes round the outside, the crest is longer than the line and the sill stays."""
    line, shape = bent_swale(berm_inside=False)
    wanted_m = STRAIGHT_M + BEND_M / 2.0
    assert sill_chainage_m(line, shape, wanted_m=wanted_m, length_m=4.0) == wanted_m


def test_a_sill_lies_on_the_line():
    """Wanted at an end it begins there; one longer than its line takes all of it."""
    line, shape = swale_on(np.column_stack([np.arange(31.0), np.zeros(31)]))
    middles = [sill_chainage_m(line, shape, wanted_m=30.0, length_m=length) for length in (4.0, 40.0)]
    assert middles == [28.0, 15.0]


def test_a_ring_round_its_berm_has_no_better_place():
    """Where the crest is everywhere as short, the sill stays where it is wanted."""
    angle = np.linspace(0.0, -2.0 * np.pi, 40, endpoint=False)
    line, shape = swale_on(7.0 * np.column_stack([np.cos(angle), np.sin(angle)]), closed=True)
    assert sill_chainage_m(line, shape, wanted_m=10.0, length_m=4.0) == pytest.approx(10.0, abs=1.0)
