"""Plans with lines that are given in place of traced ones."""

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, hills, make_site, plane

from swalekit import KeepOut, plan
from swalekit.design.plan.table import swale_row


@pytest.mark.compiled
def test_level_lines_of_a_plan_give_the_plan():
    """The lines of a design, given back, are dug as they were."""
    site, terrain = make_site(), hills()
    traced = plan(site, terrain)
    given = plan(site, terrain, lines=[swale.line for swale in traced.swales])
    rows = [swale_row(swale) | {"state": "held"} for swale in traced.swales]
    assert [swale_row(swale) for swale in given.swales] == rows
    assert np.array_equal(given.surface.heights, traced.surface.heights, equal_nan=True)


@pytest.mark.compiled
def test_lines_drawn_beside_traced_ones_become_them():
    """On a plane, where the mean height of a line is sure, a wavy line is the traced one of its level."""
    site, terrain = make_site(levels={"levels_m": [108.0, 104.0]}), plane()
    traced = plan(site, terrain)
    drawn = [_wavy(swale.line.xy) for swale in reversed(traced.swales)]
    given = plan(site, terrain, lines=drawn)
    assert [swale.line.level_m for swale in given.swales] == pytest.approx([108.0, 104.0], abs=0.001)
    for mine, theirs in zip(given.swales, traced.swales, strict=True):
        assert mine.line.length_m == pytest.approx(theirs.line.length_m, abs=0.1)
        assert mine.catchment_m2 == pytest.approx(theirs.catchment_m2, abs=101.0)
        assert mine.sized.shape.depth_m == theirs.sized.shape.depth_m


def test_given_and_drawn_lines_stand_in_order_with_their_refusals():
    """Level lines and drawn ones keep their names, and others are numbered on from the top down; refusals say why."""
    traced = plan(make_site(levels={"levels_m": [106.0]}), plane())
    site = make_site()
    object.__setattr__(site, "keep_outs", (KeepOut("well", shapely.Point(WEST + 50.0, NORTH - 80.0), 10.0),))
    above = [(WEST + 5.0, NORTH - 20.0), (WEST + 95.0, NORTH - 20.5)]
    below = [(WEST + 5.0, NORTH - 80.0), (WEST + 95.0, NORTH - 80.0)]
    astray = [(WEST + 50.0, NORTH - 10.0), (WEST + 50.0, NORTH - 90.0)]
    design = plan(site, plane(), lines=[below, traced.swales[0].line, astray, above])
    levels = [swale.line.level_m for swale in design.swales]
    assert levels == sorted(levels, reverse=True)
    assert [swale.id for swale in design.swales] == ["S2", "S1", "S3", "S4"]
    assert sorted(line.reason for line in design.refused) == ["not level", "well"]
    assert any("no boundary is given" in note for note in design.warnings)


def _wavy(xy: np.ndarray) -> np.ndarray:
    """A line drawn to and fro across another, as far up as down."""
    return xy + np.column_stack([np.zeros(len(xy)), 0.5 * (-1.0) ** np.arange(len(xy))])
