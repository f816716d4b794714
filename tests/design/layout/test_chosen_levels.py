"""Which levels get a line: by rule and matched to the storm, beside interval, spacing and list."""

import numpy as np
import pytest
from sites import make_site, plane

from swalekit.contours.spacing_rules import vertical_interval_m
from swalekit.design.layout.chosen_levels import choose_levels
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import make_layout, workable_area
from swalekit.design.layout.matched_levels import matched_levels
from swalekit.design.plan.pipeline import plan
from swalekit.errors import BriefError, InputError
from swalekit.tables.spacing_rules import spacing_rule


def chosen(slope: float, **levels):
    """Levels and notes on a plane of 150 m by 80 m."""
    site = make_site(levels=levels)
    ground = study_ground(site, plane(slope, shape=(150, 80)))
    return choose_levels(site, ground, workable_area(site, ground))


@pytest.mark.parametrize(("name", "slope"), [("ramser", 0.05), ("kenya", 0.1), ("nrcs 0.6 resistant", 0.08)])
def test_levels_of_a_rule_lie_its_interval_apart(name, slope):
    """On a plane every level is the rule's interval below the last."""
    levels_m = chosen(slope, rule=name).levels_m
    assert levels_m.size >= 3
    np.testing.assert_allclose(-np.diff(levels_m), vertical_interval_m(spacing_rule(name), slope), rtol=2e-3)


def test_rule_starts_where_asked():
    """The first level is the start."""
    assert chosen(0.05, rule="ramser", start_m=105.0).levels_m[0] == 105.0


@pytest.mark.parametrize(("slope", "noted"), [(0.05, False), (0.1, True)])
def test_a_rule_beyond_its_range_says_so(slope, noted):
    """Up to 6 % Ramser's rule has no note; on 10 % the plan carries it as a warning."""
    design = plan(make_site(levels={"rule": "ramser"}), plane(slope, shape=(60, 50)))
    told = "rule 'ramser' is meant for slopes up to 6 %; the ground here has 10 %"
    assert (told in design.warnings) == noted


def test_a_rule_from_memory_says_so():
    """Its coefficients were not read in print."""
    (note,) = chosen(0.05, rule="kenya").notes
    assert note.startswith("the coefficients of rule 'kenya' are from memory")


@pytest.mark.parametrize("depth_m", [None, 0.35])
def test_matched_levels_come_with_their_notes(depth_m):
    """The brief's levels are those of `matched_levels`, at its depth, and the layout tells their notes."""
    levels = {"matched": True} | ({} if depth_m is None else {"matched_depth_m": depth_m})
    site = make_site(levels=levels, section={"greatest_depth_m": 0.45})
    ground = study_ground(site, plane(shape=(120, 80)))
    alone = matched_levels(site, ground, workable_area(site, ground), depth_m=depth_m)
    layout = make_layout(site, ground)
    assert list(dict.fromkeys(line.level_m for line in layout.lines)) == alone.levels_m.tolist()
    assert layout.level_notes == alone.notes
    assert set(alone.notes) <= set(layout.notes)


@pytest.mark.parametrize(
    ("levels", "words"),
    [
        ({"rule": "ramser", "matched": True}, "found rule and matched"),
        ({"rule": "ramsar"}, "'ramsar' is unknown; near it are ramser"),
        ({"matched": False}, "matched"),
        ({"interval_m": 2.0, "matched_depth_m": 0.5}, "goes with matched"),
        ({"matched": True, "matched_depth_m": 0.0}, "matched_depth_m"),
    ],
)
def test_levels_that_contradict(levels, words):
    """Two ways at once, an unknown rule, a depth without levels to match."""
    with pytest.raises(BriefError, match=words):
        make_site(levels=levels)


def test_more_levels_than_a_thousand_are_refused():
    """Also on ground that was studied without a look at what it carries."""
    with pytest.raises(InputError, match=r"1,001 levels .* at most 1,000 are laid; give a larger interval"):
        chosen(0.1, levels_m=[100.0 + i / 250 for i in range(1001)])
