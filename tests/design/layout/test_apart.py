"""Lines whose works would bury one another: trimmed or refused, never counted."""

import numpy as np
import pytest
import shapely
from sites import make_site, plane

from swalekit.contours.line import LevelLine
from swalekit.design.layout.apart import kept_apart
from swalekit.design.plan.pipeline import plan


def straight(y_m, level_m, *, x_m=(0.0, 60.0), slope=0.1):
    """A line that runs west to east, downhill southward."""
    x = np.arange(x_m[0], x_m[1] + 1.0, 2.0)
    xy = np.column_stack([x, np.full(x.size, y_m)])
    return LevelLine(level_m, False, xy, np.full(x.size, level_m), np.full(x.size, slope))


def ring(radius_m, level_m):
    """A ring round a knoll of 10 %, downhill outward."""
    angle = np.linspace(0.0, 2 * np.pi, round(np.pi * radius_m), endpoint=False)
    xy = radius_m * np.column_stack([np.sin(angle), np.cos(angle)])
    line = LevelLine(level_m, True, xy, np.full(len(xy), level_m), np.full(len(xy), 0.1))
    outward = (line.downhill * line.xy).sum(axis=1).mean() > 0
    return line if outward else LevelLine(level_m, True, xy[::-1].copy(), line.ground_m, line.cross_slope)


@pytest.mark.parametrize(("gap_m", "kept"), [(2.5, 1), (6.0, 2)])
def test_the_upper_line_stays(gap_m, kept):
    """The least works fit 6 m apart and not 2.5 m apart; the lower line is refused whole, with its reason."""
    lines = (straight(0.0, 10.0), straight(-gap_m, 10.0 - 0.1 * gap_m))
    left, refused = kept_apart(make_site(), lines, least_length_m=15.0)
    assert left == lines[:kept]
    assert [stretch.reason for stretch in refused] == ["too close"] * (2 - kept)
    assert sum(stretch.length_m for stretch in refused) == pytest.approx(60.0 * (2 - kept))


def test_only_the_close_stretch_is_taken_out():
    """A short line above takes out of the line below what lies beneath it and in its reach; the rest stays."""
    short, long = straight(0.0, 10.0, x_m=(20.0, 30.0)), straight(-2.0, 9.8, x_m=(0.0, 80.0))
    left, refused = kept_apart(make_site(), (short, long), least_length_m=15.0)
    assert left[0] is short
    (west, east), (stretch,) = left[1:], refused
    assert (west.xy[0, 0], east.xy[-1, 0]) == (0.0, 80.0)
    assert 14.0 <= west.xy[-1, 0] < 20.0
    assert 30.0 < east.xy[0, 0] <= 36.0
    assert stretch.reason == "too close"
    assert west.length_m + stretch.length_m + east.length_m == pytest.approx(78.0)
    _, more = kept_apart(make_site(), (short, long), least_length_m=20.0)
    assert sorted(stretch.reason for stretch in more) == ["short", "too close"]


def test_a_ring_is_opened_once():
    """What is left of a ring is one open line across its seam."""
    above = straight(22.0, 11.0, x_m=(-6.0, 6.0))
    left, refused = kept_apart(make_site(), (above, ring(20.0, 10.0)), least_length_m=15.0)
    assert [line.closed for line in left] == [False, False]
    assert {stretch.reason for stretch in refused} == {"too close"}
    taken_m = sum(stretch.length_m for stretch in refused)
    assert left[1].length_m + taken_m == pytest.approx(2 * np.pi * 20.0, abs=4.5)
    assert taken_m > 8.0


def test_pieces_of_one_contour_stay():
    """Lines of one level are no line above one another, however near their ends."""
    lines = (straight(0.0, 10.0, x_m=(0.0, 20.0)), straight(0.0, 10.0, x_m=(21.0, 41.0)))
    assert kept_apart(make_site(), lines, least_length_m=15.0) == (lines, ())


def test_no_works_of_a_plan_overlap():
    """At an interval of 0.3 m on 10 % every other line is refused; what is planned can be built, by its polygons."""
    design = plan(make_site(levels={"interval_m": 0.3}), plane(0.1, shape=(80, 60), cell_m=0.5))
    works = [swale.works for swale in design.swales]
    assert 6 <= len(works) <= 8
    assert {stretch.reason for stretch in design.refused} == {"too close"}
    assert shapely.union_all(works).area == pytest.approx(sum(work.area for work in works), rel=1e-6)
