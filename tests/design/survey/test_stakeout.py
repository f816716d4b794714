"""The stakes of a design, and a design cut anew to levelled points."""

from dataclasses import replace

import numpy as np
import pytest
from sites import make_site, plane

from swalekit.design.plan.pipeline import plan
from swalekit.design.survey.relevel import relevel
from swalekit.design.survey.stakeout import stake_design
from swalekit.errors import BriefError, InputError
from swalekit.terrain.survey_points import SurveyPoints

LEVELS = {"levels_m": [108.0, 104.0]}


def found(stakes, *, south_m: float = 0.0, up_m: float = 0.0, **changes) -> SurveyPoints:
    """Points of stakes, moved south and up."""
    points = SurveyPoints(
        number=np.array([stake.number for stake in stakes]),
        easting_m=np.array([stake.x_m for stake in stakes]),
        northing_m=np.array([stake.y_m - south_m for stake in stakes]),
        height_m=np.array([stake.ground_m + up_m for stake in stakes]),
        description=("",) * len(stakes),
    )
    return replace(points, **changes)


@pytest.fixture(scope="module")
def site():
    """Two lines across a plane."""
    return make_site(levels=LEVELS)


@pytest.fixture(scope="module")
def design(site):
    """Their design."""
    return plan(site, plane())


# --- by the brief ---------------------------------------------------------------------------------------------------


def test_stakes_follow_the_brief():
    """Spacing, benchmark and margin of the brief are those of the stakes; swales are numbered from the top."""
    part = {"spacing_m": 5.0, "margin_m": 2.0, "benchmark": "well cap", "benchmark_m": 100.0}
    design = plan(make_site(levels=LEVELS, stakes=part), plane())
    stakeout = stake_design(design)
    assert [(swale.number, swale.id) for swale in stakeout.swales] == [(1, "S1"), (2, "S2")]
    assert stakeout.benchmark.name == "well cap"
    ordinary = [stake for stake in stake_design(plan(make_site(levels=LEVELS), plane())).stakes if stake.mark == "line"]
    closer = {stake.chainage_m: stake for stake in stakeout.stakes if stake.mark == "line" and stake.swale == "S1"}
    assert {10.0, 15.0, 20.0, 25.0} <= set(closer)
    assert closer[ordinary[0].chainage_m].uphill.distance_m == pytest.approx(ordinary[0].uphill.distance_m + 1.0)


@pytest.mark.parametrize(
    ("part", "match"),
    [
        ({"benchmark": "well"}, "benchmark is given without benchmark_m"),
        ({"benchmark_m": 3.0}, "benchmark_m is given without benchmark"),
        ({"benchmark": "a\nb", "benchmark_m": 3.0}, "one line of plain text"),
        ({"spacing_m": 0.1}, "spacing_m"),
        ({"point_order": "ENZPD"}, "point_order"),
    ],
)
def test_wrong_part_is_one_line(part, match):
    """The key, the value and the rule."""
    with pytest.raises(BriefError, match=match):
        make_site(stakes=part)


# --- levelled points ------------------------------------------------------------------------------------------------


def test_points_as_staked_change_nothing(site, design):
    """Levelled points that stand where the stakes do give the same lines, depths and volumes."""
    again = relevel(plan(site, plane()), found(stake_design(design).stakes))
    for old, new in zip(design.swales, again.swales, strict=True):
        assert (new.id, new.sized.shape.depth_m) == (old.id, old.sized.shape.depth_m)
        assert new.line.level_m == pytest.approx(old.line.level_m, abs=1e-3)
        assert new.line.length_m == pytest.approx(old.line.length_m, abs=0.01)
        assert new.quantities.dug_m3 == pytest.approx(old.quantities.dug_m3, rel=1e-3)


def test_line_follows_its_points(site, design):
    """Stakes of S1 found 2 m farther down, on ground 0.2 m lower: so are the line, its floor and its catchment."""
    stakes = [stake for stake in stake_design(design).stakes if stake.swale == "S1"]
    again = relevel(plan(site, plane()), found(stakes, south_m=2.0, up_m=-0.2))
    old, new = design.swales[0], again.swales[0]
    assert new.line.level_m == pytest.approx(old.line.level_m - 0.2, abs=1e-3)
    assert new.line.xy[:, 1].mean() == pytest.approx(old.line.xy[:, 1].mean() - 2.0, abs=0.01)
    assert new.catchment_m2 > old.catchment_m2
    moved = [stake for stake in stake_design(again).stakes if stake.swale == "S1"]
    assert [point.number for point in moved] == [stake.number for stake in stakes]
    assert moved[3].y_m == pytest.approx(stakes[3].y_m - 2.0, abs=0.05)
    assert any(warning.startswith("S2: no levelled point; left where laid") for warning in again.warnings)


def test_points_that_move_nothing_are_named(site, design):
    """An offset stake and a number of nobody are told; points that differ in height are too."""
    stakes = [stake for stake in stake_design(design).stakes if stake.swale == "S2"]
    points = found(
        stakes, height_m=np.array([stake.ground_m for stake in stakes]) + 0.3 * (np.arange(len(stakes)) == 2)
    )
    more = SurveyPoints(
        np.append(points.number, [2301, 9999]),
        np.append(points.easting_m, [0.0, 0.0]),
        np.append(points.northing_m, [0.0, 0.0]),
        np.append(points.height_m, [np.nan, np.nan]),
        (*points.description, "", ""),
    )
    warnings = " ".join(relevel(plan(site, plane()), more).warnings)
    assert "move nothing: 2301, 9999" in warnings
    assert "S2: its levelled points are not level, point 2003" in warnings


@pytest.mark.parametrize(
    ("change", "match"),
    [
        (lambda p: {"easting_m": p.northing_m, "northing_m": p.easting_m}, "lies .* from its stake; check order"),
        (lambda p: {"height_m": p.height_m * np.nan}, "point 1001 has no height"),
        (lambda p: {"number": p.number + 5000}, "none of the .* points has the number of a stake"),
        (lambda p: {"number": np.where(p.number == 1001, 1001, p.number + 5000)}, "it takes two"),
        (lambda p: {"easting_m": p.easting_m + 15.0 * (p.number == 1003)}, "cross itself"),
    ],
    ids=["swapped axes", "no height", "other numbers", "one point", "crossing"],
)
def test_points_that_cannot_be_used_fail(site, design, change, match):
    """What is wrong, at which point, and the way out."""
    points = found(stake_design(design).stakes)
    with pytest.raises(InputError, match=match):
        relevel(plan(site, plane()), replace(points, **change(points)))
