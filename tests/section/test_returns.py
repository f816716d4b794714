"""Returns at the ends of a berm, against hand figures and the solid itself."""

from dataclasses import replace

import numpy as np
import pytest

from swalekit.contours.line import LevelLine
from swalekit.section.profile import profile
from swalekit.section.returns import BermReturns, end_axes, outline_xy, shape_returns
from swalekit.section.section import Section
from swalekit.section.shape import shape_swale
from swalekit.section.stations import Stations


def plane_stations(slope: float, *, reach_m: float = 20.0, closed: bool = False) -> Stations:
    """Stations of a line of 55 m on a plane."""
    return Stations(
        100.0, np.full(11, 100.0), np.full(11, slope), np.full(11, 5.0), np.full(11, reach_m), closed=closed
    )


def summed_solid(
    section: Section, depth: float, crest: float, slope: float, reach: float
) -> tuple[float, float, float]:
    """Volume and ground of the L beyond one end station, and the ground that sheds inward, in squares of 1 cm."""
    x = profile(section, depth, crest, slope, reach_m=reach)[0]
    lip, inner, outer = x[4], x[6], x[7]
    beyond, downhill = np.meshgrid(np.arange(0.005, 8.0, 0.01), np.arange(-reach + 0.005, 9.0, 0.01))
    rising = np.maximum(beyond - (inner - lip), downhill - inner) / section.berm_uphill_side_slope
    falling = np.minimum(outer - lip - beyond, outer - downhill) / section.berm_downhill_side_slope
    height = crest + np.minimum(np.minimum(rising, falling), 0.0) + slope * downhill
    middle = (inner + outer) / 2.0
    inward = (height > 0) & (beyond < middle - lip) & (downhill < middle)
    return float(height.clip(min=0.0).sum()) * 1e-4, float((height > 0).sum()) * 1e-4, float(inward.sum()) * 1e-4


def one_end(crest: float, slope: float, *, reach_m: float) -> BermReturns:
    """The return at one end station, dug 0.5 m deep."""
    return shape_returns(Section(), *np.array([[0.5], [crest], [slope]]), reach_m=reach_m)


def test_level_ground_by_hand() -> None:
    """Floor 0.6, sides 1.5:1, bench 0.3, faces 2:1, crest 0.5 wide and 0.4 high, 3 m of reach: 0.52 m² over 6.75 m.

    The middle of the crest lies 1.05 + 0.3 + 0.8 + 0.25 = 2.4 m from the stake, 1.35 m from the lip: the berm goes on
    for 1.35 m and the return is 2.4 + 3 m long.
    """
    ends = one_end(0.4, 0.0, reach_m=3.0)
    assert ends.length_m == pytest.approx(5.4)
    assert ends.volume_m3 == pytest.approx((0.5 * 0.4 + 2.0 * 0.4**2) * (1.35 + 5.4))


def test_straight_part_by_hand() -> None:
    """From 0.2 to 0.1 m of height on a slope of 10 %: [0.5 h² / 2 + 4 h³ / 6] / 0.1 = 0.1217 m³."""
    long, short = one_end(0.4, 0.1, reach_m=3.0), one_end(0.4, 0.1, reach_m=2.0)
    assert long.length_m - short.length_m == pytest.approx(1.0)
    assert long.volume_m3 - short.volume_m3 == pytest.approx((0.25 * 0.03 + 4 / 6 * 0.007) / 0.1)


@pytest.mark.parametrize("slope", [0.03, 0.1, 0.2])
@pytest.mark.parametrize("faces", [(2.0, 2.0), (3.0, 2.0), (2.0, 3.0)])
@pytest.mark.parametrize("reach", [4.0, 15.0])
def test_volume_and_ground_are_those_of_the_solid(slope: float, faces: tuple[float, float], reach: float) -> None:
    """The corner is counted once, whatever the slope and the faces."""
    section = Section(berm_uphill_side_slope=faces[0], berm_downhill_side_slope=faces[1])
    ends = shape_returns(section, *np.array([[0.5], [0.15], [slope]]), reach_m=reach)
    volume, ground, inward = summed_solid(section, 0.5, 0.15, slope, reach)
    assert ends.volume_m3 == pytest.approx(volume, rel=0.002)
    assert ends.ground_m2 == pytest.approx(ground, rel=0.005)
    assert ends.caught_m2 == pytest.approx(inward, abs=0.03)  # of squares along its edge


def test_return_stands_clear_of_the_ditch() -> None:
    """Its inner toe is nowhere nearer to the ditch's end than the bench is wide."""
    ends = one_end(0.25, 0.1, reach_m=20.0)
    inner_toe = ends.outline_m[0, 1:3, 0]
    assert inner_toe.min() == pytest.approx(Section().bench_m)


def test_crest_below_the_ground_needs_no_return() -> None:
    """Where the ground stands above the crest there is nothing to close."""
    ends = one_end(-0.4, 0.1, reach_m=20.0)
    assert ends.length_m == 0
    assert ends.volume_m3 == pytest.approx(0.0, abs=1e-12)


def test_ring_has_no_returns_and_both_ends_of_a_line_have_one() -> None:
    """A closed line's spoil is all along the line; an open one's also closes its ends, so its crest is lower."""
    ring, line = (shape_swale(plane_stations(0.1, closed=closed), 0.5, Section()) for closed in (True, False))
    assert (ring.returns_m3, ring.returns.length_m.size) == (0.0, 0)
    assert ring.berm_m3 == ring.line_berm_m3
    assert line.returns.length_m.tolist() == pytest.approx([line.returns.length_m[0]] * 2)
    assert line.crest_level_m < ring.crest_level_m
    assert line.line_berm_m3 + line.returns_m3 == pytest.approx(0.9 * line.cut_m3, abs=1e-6)


def test_ground_under_the_returns_is_disturbed() -> None:
    """The strip of an open line is that of its sections and the ground under its returns."""
    line = shape_swale(plane_stations(0.1), 0.5, Section())
    x = profile(Section(), 0.5, line.crest_level_m - 100.0, 0.1, reach_m=0.0)[0]
    assert line.strip_m2 == pytest.approx(55.0 * (x[8] - x[1]) + line.returns.ground_m2.sum())


def test_return_ends_with_the_reach_of_the_pond() -> None:
    """On nearly level ground a return goes no farther than the pond reaches along half of the line."""
    stations = replace(plane_stations(0.001), reach_m=np.array([0.5, *[12.0] * 10]))
    line = shape_swale(stations, 0.5, Section())
    assert line.returns.outline_m[:, :, 1].min(axis=1).tolist() == pytest.approx([-12.0, -12.0])


def test_returns_lie_beyond_their_own_ends() -> None:
    """The outline of each lies outside its end station, and turns uphill."""
    xy = np.column_stack([np.linspace(0.0, 50.0, 11), np.zeros(11)])  # downhill is south
    line = LevelLine(100.0, False, xy, np.full(11, 100.0), np.full(11, 0.1))
    shape = shape_swale(Stations.of_line(line, np.full(11, 20.0)), 0.5, Section())
    west, east = outline_xy(line, shape.returns)
    assert west[:, 0].max() == pytest.approx(0.0)
    assert east[:, 0].min() == pytest.approx(50.0)
    np.testing.assert_allclose(west * [-1, 1] + [50.0, 0.0], east, atol=1e-9)
    middle = (shape.returns.inner_corner_m + shape.returns.outer_corner_m)[:, 1] / 2
    assert east[:, 1].max() == pytest.approx(shape.returns.length_m[1] - middle[1])


def test_ring_has_no_end_axes() -> None:
    """A closed line has no ends to lay anything out from."""
    angle = np.linspace(0.0, 2 * np.pi, 37)[:-1]
    ring = 20.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    line = LevelLine(10.0, True, ring, np.full(36, 10.0), np.full(36, 0.1))
    assert end_axes(line).shape == (0, 2, 2)
