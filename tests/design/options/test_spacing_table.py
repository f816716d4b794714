"""Spacing rules side by side on a site."""

import numpy as np
import pytest
from sites import make_site, plane

from swalekit.contours.spacing_rules import horizontal_interval_m, vertical_interval_m
from swalekit.design.layout.ground import study_ground
from swalekit.design.options.spacing_table import (
    MATCHED,
    RATIO,
    SPACING_COLUMNS,
    WEDGE,
    PlantedStrip,
    SpacingTable,
    spacing_table,
)
from swalekit.errors import InputError
from swalekit.hydrology.losses.curve_number import runoff_mm
from swalekit.section.even_slope import matched_spacing_m, metre_of_swale
from swalekit.section.section import Section
from swalekit.tables.spacing_rules import spacing_rule, spacing_rules


def table_of(slope: float, **parts: dict[str, float]) -> SpacingTable:
    """The table of a plane of 150 m by 80 m."""
    site = make_site(**parts)
    return spacing_table(site, study_ground(site, plane(slope, shape=(150, 80))))


@pytest.fixture(scope="module")
def table() -> SpacingTable:
    """The table of a plane of 10 %."""
    return table_of(0.1)


def test_every_rule_has_a_row_and_every_row_the_columns(table):
    """Rows follow the table of rules, those by storm last; figures have the declared names in order."""
    assert [row.rule for row in table.rows] == [*(rule.name for rule in spacing_rules()), WEDGE, MATCHED]
    for row in table.rows:
        assert list(table.figures(row)) == [column.name for column in SPACING_COLUMNS]


@pytest.mark.parametrize("name", ["ramser", "nrcs 0.6 resistant", "israel 0.25 erodible"])
def test_figures_of_a_rule(table, name):
    """On a plane quartiles agree; length is 10 000 m² over the spacing a hectare, 1.2 ha here; lines fill the fall."""
    figures = {row.rule: table.figures(row) for row in table.rows}[name]
    rule = spacing_rule(name)
    assert table.slopes == pytest.approx((0.1, 0.1, 0.1), abs=1e-4)
    assert figures["interval_m"] == pytest.approx(float(vertical_interval_m(rule, 0.1)), abs=0.006)
    for place in ("spacing_gentle_m", "spacing_m", "spacing_steep_m"):
        assert figures[place] == pytest.approx(float(horizontal_interval_m(rule, 0.1)), abs=0.06)
    assert figures["length_m_per_ha"] == pytest.approx(10_000 / float(horizontal_interval_m(rule, 0.1)), abs=1)
    assert figures["length_m"] == pytest.approx(1.2 * 10_000 / float(horizontal_interval_m(rule, 0.1)), abs=1)
    assert figures["lines"] == int(14.7 / float(vertical_interval_m(rule, 0.1)))


def test_rule_used_beyond_its_slopes_is_noted(table):
    """On 10 % the rules for contour bunds carry a note, those without a range do not."""
    notes = {row.rule: row.note for row in table.rows}
    assert "meant for slopes up to 6 %; the ground here has 10 %" in notes["ramser"]
    assert notes["kenya"] == ""


def test_wedge_row_is_the_spacing_by_hand(table):
    """The water that stands above the ground at the line, h² / (2 s q) apart: less than with the ditch."""
    row = next(row for row in table.rows if row.rule == WEDGE)
    swale = metre_of_swale(0.1, Section(), depth_m=1.0)
    height_m = swale.sill_level_m - swale.stations.level_m
    by_hand_m = height_m**2 / (2.0 * 0.1 * float(runoff_mm(50.0, 80.0)) / 1000.0)
    np.testing.assert_allclose(row.spacings_m, by_hand_m, rtol=5e-3)
    assert 0.0 < by_hand_m < table.rows[-1].spacings_m[0]


def test_a_planted_strip_gets_a_row():
    """Ten parts of catchment to strips of 3 m are 33 m from line to line, whatever the slope, and fill the fall."""
    site = make_site()
    ground = study_ground(site, plane(0.1, shape=(150, 80)))
    (row,) = (row for row in spacing_table(site, ground, strip=PlantedStrip(10.0, 3.0)).rows if row.rule == RATIO)
    assert row.spacings_m == (33.0, 33.0, 33.0)
    assert row.lines == int(14.7 / 3.3)
    with pytest.raises(InputError, match="catchment_ratio is -1"):
        PlantedStrip(-1.0, 3.0)


def test_matched_row_is_the_spacing_by_hand(table):
    """The last row is what the section at its greatest depth asks for; it names rain, runoff and depth."""
    row = table.rows[-1]
    swale = metre_of_swale(0.1, Section(), depth_m=1.0)
    by_hand_m = matched_spacing_m(swale, rain_mm=50.0, runoff_mm=float(runoff_mm(50.0, 80.0)))
    np.testing.assert_allclose(row.spacings_m, by_hand_m, rtol=1e-3)
    assert row.applies == "this site; 50 mm of rain, 13.8 mm of runoff; ditches 1 m deep"
    assert row.lines is None


@pytest.mark.parametrize(
    ("slope", "parts", "place"),
    [(0.1, {"storm": {"depth_mm": 5.0}}, -1), (0.0, {}, 0), (0.7, {}, -1)],
    ids=["no runoff", "level", "too steep for the section"],
)
def test_spacing_without_end_or_section_is_left_empty(slope, parts, place):
    """Where the storm brings no runoff, the ground is level or the section doesn't fit, figures are None."""
    table = table_of(slope, **parts)
    figures = table.figures(table.rows[place])
    assert figures["spacing_m"] is None
    assert figures["length_m"] is None
