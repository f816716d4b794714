"""Spacing by published rules and by water."""

from itertools import pairwise

import numpy as np
import pytest
import shapely
from sites import plane

from swalekit.contours.levels import levels_by_spacing, spacing_ground
from swalekit.contours.spacing_rules import (
    horizontal_interval_m,
    line_length_m_per_ha,
    ratio_spacing_m,
    slope_note,
    vertical_interval_m,
    wedge_spacing_m,
)
from swalekit.errors import GeometryError, InputError
from swalekit.planting.water.harvest_ratio import harvest_ratio
from swalekit.tables.load import read_table
from swalekit.tables.spacing_rules import spacing_rule, spacing_rules

EVERY_RULE = pytest.mark.parametrize("rule", spacing_rules(), ids=lambda rule: rule.name)


def test_vi_1_ramser():
    """IIT Kharagpur, Soil and Water Conservation Engineering, lecture 13, problem 1: 1.05 m, hence 23.3 m apart."""
    rule = spacing_rule("ramser")
    assert vertical_interval_m(rule, 0.045) == pytest.approx(1.05)
    assert horizontal_interval_m(rule, 0.045) == pytest.approx(23.3, abs=0.05)


@pytest.mark.parametrize(("slope", "published"), [(0.01, 0.549), (0.02, 0.793)])
def test_vi_2_cox(slope, published):
    """Rajasthan bund design sheet: 0.305 (0.8 S + 1) is 0.549 m at 1 %; at 2 % the formula gives 0.793 m."""
    assert vertical_interval_m(spacing_rule("cox scanty poor"), slope) == pytest.approx(published, abs=0.001)


@pytest.mark.parametrize(
    ("name", "slope", "interval_m"),
    [
        ("nrcs 0.8 erodible", 0.10, 9.0 * 0.3048),  # ASABE S268, from memory: 0.8 S + 1 ft
        ("nrcs 0.4 resistant", 0.10, 8.0 * 0.3048),
        ("ramser light rain", 0.04, 1.2),  # from memory: 0.15 S + 0.6 m
        ("cox moderate mixed", 0.02, 2.7 * 0.3048),  # 0.6 S + 1.5 ft
        ("fao hillside ditch erodible", 0.20, 2.4),  # Sheng, from memory: (S + 4) / 10 m
        ("fao hillside ditch", 0.20, 2.6),  # Sheng, from memory: (S + 6) / 10 m
        ("zimbabwe erodible", 0.05, 4.0 * 0.3048),  # Hudson, from memory: (S + f) / 2 ft, f = 3
        ("kenya", 0.08, 1.2),  # from memory: 0.3 (S / 4 + 2) m
        ("israel 0.25 erodible", 0.10, 4.0),  # from memory: 0.25 S + 1.5 m
    ],
)
def test_interval_of_other_rules(name, slope, interval_m):
    """Each family of rules gives what its formula gives by hand."""
    assert vertical_interval_m(spacing_rule(name), slope) == pytest.approx(interval_m)


def test_bh_1_depth_behind_a_bund():
    """Rajasthan bund design sheet: 35 cm of runoff, VI 0.549 m on 1 %, so 54.9 m apart, water 0.6199 m deep."""
    assert wedge_spacing_m(0.01, 350.0, 0.6199) == pytest.approx(54.9, abs=0.01)


@pytest.mark.parametrize("slope", [0.01, 0.07, 0.25])
@pytest.mark.parametrize("spacing_m", [8.0, 45.0])
def test_wedge_holds_the_runoff(slope, spacing_m):
    """Water √(Re · VI / 50) deep takes the spacing with the interval VI, and its wedge holds the runoff."""
    depth_m = np.sqrt(2.5 * slope * spacing_m / 50.0)
    assert wedge_spacing_m(slope, 25.0, depth_m) == pytest.approx(spacing_m)
    assert depth_m**2 / (2.0 * slope) == pytest.approx(0.025 * spacing_m)


def test_len_1_length_on_a_hectare():
    """A problem on contour bunds: 5 % and VI 1.25 m are 25 m apart, 400 m/ha; at 0.875 m² that is 350 m³/ha."""
    assert line_length_m_per_ha(1.25 / 0.05) == pytest.approx(400.0)
    assert line_length_m_per_ha(25.0) * (0.5 + 1.25) / 2 * 1.0 == pytest.approx(350.0)


@EVERY_RULE
def test_distance_times_slope_is_the_interval(rule):
    """HI · slope = VI at every slope; both grow or shrink as a straight line with a part for no slope must."""
    slopes = np.array([0.02, 0.1, 0.3])
    interval, distance = vertical_interval_m(rule, slopes), horizontal_interval_m(rule, slopes)
    np.testing.assert_allclose(distance * slopes, interval)
    assert (np.diff(interval) > 0).all()
    assert (np.diff(distance) < 0).all()
    assert horizontal_interval_m(rule, 0.0) == np.inf


@EVERY_RULE
def test_every_rule_says_where_it_comes_from(rule):
    """A rule has a region, a source, a status, positive coefficients and a slope range that is one."""
    assert rule.region
    assert rule.source
    assert rule.status in {"verified", "from memory"}
    assert rule.x > 0
    assert rule.y > 0
    assert (rule.least_slope or 0.0) < (rule.greatest_slope or 1.0)
    assert spacing_rule(rule.name.upper()) == rule


def test_names_of_rules_are_their_own():
    """No two rows of the table have one name."""
    names = [row["name"] for row in read_table("spacing_rules")]
    assert len(set(names)) == len(names)


@pytest.mark.parametrize(
    ("name", "slope", "words"),
    [
        ("ramser", 0.08, "slopes up to 6 %; the ground here has 8 %"),
        ("fao hillside ditch", 0.05, "slopes from 12 to 47 %; the ground here has 5 %"),
        ("fao hillside ditch", 0.5, "slopes from 12 to 47 %; the ground here has 50 %"),
        ("ramser", 0.06, None),
        ("kenya", 0.6, None),
    ],
)
def test_outside_its_slopes_a_rule_says_so(name, slope, words):
    """The note names the rule, its slopes and the slope found; within them, or where none are said, it is empty."""
    note = slope_note(spacing_rule(name), slope)
    assert note == "" if words is None else words in note
    assert note == "" or name in note


@pytest.mark.parametrize(
    ("name", "words"),
    [
        ("cox", "near it are cox scanty poor, cox scanty mixed"),
        ("ramsar", "near it are ramser"),
        ("qqqq", "there are nrcs 0.4 erodible, .*israel 0.30 resistant"),
        ("", "there are nrcs 0.4 erodible"),
    ],
)
def test_unknown_rule_lists_near_ones(name, words):
    """An unknown rule ends in one line with the names near it, or all."""
    with pytest.raises(InputError, match=words) as error:
        spacing_rule(name)
    assert "\n" not in str(error.value)


@pytest.mark.parametrize("slope", [-0.01, np.nan, np.inf])
def test_slope_that_is_none_fails(slope):
    """A slope must be finite and not negative."""
    with pytest.raises(InputError, match="slope is"):
        vertical_interval_m(spacing_rule("kenya"), [0.1, slope])


def test_spacing_by_the_catchment_ratio():
    """Critchley & Siegert (1991), from memory: sorghum 1.85 : 1 on strips of 3 m is 8.55 m from strip to strip."""
    ratio = harvest_ratio(525.0, 310.0, runoff_coefficient=0.5, efficiency=0.75)
    assert ratio_spacing_m(ratio, 3.0) == pytest.approx(3.0 + 3.0 * 1.849, abs=0.005)
    with pytest.raises(InputError, match="planted_width_m"):
        ratio_spacing_m(ratio, 0.0)


@pytest.mark.parametrize("slope", [0.04, 0.1])
@pytest.mark.parametrize("name", ["cox heavy good", "nrcs 0.5 erodible"])
@pytest.mark.parametrize("start_m", [None, 107.0])
def test_levels_by_rule_on_a_plane(slope, name, start_m):
    """On a plane the levels lie the rule's interval apart, from one below the top or from the start."""
    terrain = plane(slope, shape=(240, 60))
    rule = spacing_rule(name)
    heights, slopes = spacing_ground(terrain, shapely.box(*terrain.grid.bounds))
    levels = levels_by_spacing(heights, slopes, rule.x_m, base_interval_m=rule.y_m, start_m=start_m)
    interval = float(vertical_interval_m(rule, slope))
    assert levels.size >= 3
    np.testing.assert_allclose(-np.diff(levels), interval, rtol=1e-3)
    assert levels[0] == pytest.approx(heights.max() - interval if start_m is None else start_m, abs=0.01)


def test_levels_by_rule_follow_the_slope_between_levels():
    """Where the ground steepens the interval grows as the rule says for the slope of that ground."""
    gentle, steep = np.linspace(120.0, 116.3, 2001), np.linspace(116.3, 100.0, 2001)
    heights, slopes = np.concatenate([gentle, steep[1:]]), np.concatenate([np.full(2001, 0.02), np.full(2000, 0.08)])
    levels = levels_by_spacing(heights, slopes, 10.0, base_interval_m=0.6)
    for upper, lower in pairwise(levels):
        between = slopes[(heights > lower) & (heights <= upper)]
        assert upper - lower == pytest.approx(0.6 + 10.0 * between.mean(), abs=0.01)
    assert len(set((-np.diff(levels)).round(1))) > 2


def test_site_narrower_than_a_cell_fails():
    """A site that holds no cell of 3 m can't be judged."""
    terrain = plane()
    west, _, _, north = terrain.grid.bounds
    sliver = shapely.box(west + 0.1, north - 1.0, west + 0.9, north - 0.2)
    with pytest.raises(GeometryError, match="too narrow"):
        spacing_ground(terrain, sliver)
