"""Rules for lines, no finer than the cells can tell."""

import pytest
from sites import make_site, plane

from swalekit.design.brief.line_rules import cell_notes, line_rules_of, watercourse_area_m2
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import make_layout


@pytest.mark.parametrize(
    ("cell_m", "expected"),
    [(0.5, (15.0, 5.0, 10_000.0)), (2.0, (20.0, 5.0, 10_000.0)), (20.0, (200.0, 50.0, 20_000.0))],
)
def test_least_length_gap_and_watercourse_grow_with_the_cell(cell_m, expected):
    """Ten cells long, three cells from the middle of a watercourse, fifty cells that make one; or as the brief says."""
    site, terrain = make_site(), plane(shape=(9, 9), cell_m=cell_m)
    rules = line_rules_of(site, terrain)
    assert (rules.least_length_m, rules.watercourse_gap_m, watercourse_area_m2(site, terrain)) == expected


def test_a_note_tells_which_rules_the_cells_raise():
    """Those alone that count for more than the brief says; the note is one of the layout's."""
    site, terrain = make_site(lines={"watercourse_gap_m": 1.0, "least_length_m": 30.0}), plane(cell_m=2.0)
    note = "cells of 2 m are too wide for some of [lines]: watercourse_gap_m counts as 5"
    assert cell_notes(site, terrain) == (note,)
    assert note in make_layout(site, study_ground(site, terrain)).notes
    assert cell_notes(make_site(), plane()) == ()


def test_watercourses_are_those_of_fifty_cells():
    """On a plane of 20 m cells, 60 long, a path of 50 cells makes a watercourse, though the brief asks for 25."""
    ground = study_ground(make_site(), plane(shape=(60, 9), cell_m=20.0))
    assert ground.watercourses.any(axis=1).nonzero()[0].tolist() == list(range(49, 60))
