"""Published measures of microcatchments: Critchley & Siegert (1991), Water Harvesting, FAO AGL/MISC/17/91.

The manual's tables are held from memory; each test holds one against geometry or against its own other columns, so that
a figure remembered wrongly would show.
"""

import numpy as np
import pytest

from swalekit.microcatchments.negarim import bund_height_m, bund_section_m2
from swalekit.tables.load import read_table
from swalekit.tables.microcatchments import microcatchment_rule, negarim_sizes, semi_circular_sizes


def test_section_of_the_negarim_bund():
    """25 cm high, 25 cm wide on top, 1 : 1 (section of the bund): 0.125 m²."""
    assert float(bund_section_m2(0.25)) == 0.125


@pytest.mark.parametrize(
    ("side_m", "published_m3"), [(3, 0.75), (4, 1.0), (5, 1.25), (6, 1.5), (8, 2.0), (10, 2.5), (12, 3.25), (15, 3.5)]
)
def test_earthwork_of_a_negarim(side_m, published_m3):
    """Table of earthworks: section over two walls, but for 12 and 15 m: 3.25 and 3.50, not 3.00 and 3.75."""
    (row,) = (row for row in negarim_sizes() if row.side_m == side_m)
    assert row.earthwork_m3 == published_m3
    by_section = 0.125 * 2.0 * side_m
    assert by_section == pytest.approx(published_m3, rel=0.09 if side_m in (12, 15) else 1e-9)


@pytest.mark.parametrize("row", negarim_sizes(), ids=lambda row: f"{row.side_m:g} m")
def test_soil_of_the_pit_builds_the_negarim_bund(row):
    """Table of earthworks: pit and bund are equal within 5 %; units and soil a hectare follow from the side."""
    assert row.pit_m3 == pytest.approx(row.earthwork_m3, rel=0.05)
    assert row.units_per_ha == pytest.approx(10_000.0 / row.side_m**2, abs=1.2)
    assert row.earthwork_m3_per_ha == pytest.approx(row.earthwork_m3 * row.units_per_ha, rel=0.02)


@pytest.mark.parametrize(
    ("side_m", "percent", "printed_cm"),
    [
        (3, 5, 25), (4, 4, 25), (4, 5, 30), (5, 3, 25), (5, 4, 30), (5, 5, 35), (6, 2, 25), (6, 4, 35), (6, 5, 45),
        (8, 2, 25), (8, 3, 35), (8, 4, 45), (8, 5, 55), (10, 2, 30), (10, 3, 45), (10, 4, 55), (12, 2, 35),
        (12, 3, 50), (15, 2, 45),
    ],
)  # fmt: skip
def test_bund_heights_of_negarim(side_m, percent, printed_cm):
    """Bund heights on higher ground slopes: the fall along the diagonal in steps of 5 cm, 25 cm at least.

    The table rounds 35.4, 56.6, 56.6 and 50.9 cm down and is then up to 2 cm short of the fall; the rule rounds up.
    """
    found_cm = 100.0 * float(bund_height_m(side_m, percent / 100.0))
    fall_cm = side_m * np.sqrt(2.0) * percent
    assert found_cm == pytest.approx(printed_cm if printed_cm >= fall_cm else printed_cm + 5)
    assert found_cm >= max(25.0, fall_cm) - 1e-9


@pytest.mark.parametrize(
    ("radius_m", "percent", "length_m", "area_m2", "soil_m3", "per_ha", "soil_per_ha"),
    [(6, 1, 19, 57, 2.4, 73, 175), (20, 2, 63, 630, 26.4, 4, 105), (10, 4, 31, 160, 13.2, 16, 210)],
)
def test_semi_circular_bunds(radius_m, percent, length_m, area_m2, soil_m3, per_ha, soil_per_ha):
    """Designs a and b and the variant: length π r, area π r² / 2, soil a hectare, and the ratio of catchment."""
    (row,) = (row for row in semi_circular_sizes() if row.radius_m == radius_m)
    printed = (row.greatest_slope_percent, row.length_m, row.area_m2, row.earthwork_m3, row.bunds_per_ha)
    assert printed == (percent, length_m, area_m2, soil_m3, per_ha)
    assert np.pi * radius_m == pytest.approx(length_m, rel=0.015)
    assert np.pi * radius_m**2 / 2.0 == pytest.approx(area_m2, rel=0.02)
    assert row.earthwork_m3_per_ha == soil_per_ha == pytest.approx(soil_m3 * per_ha, rel=0.01)
    half_disc_m2 = np.pi * radius_m**2 / 2.0
    assert row.catchment_ratio == pytest.approx((10_000.0 / per_ha - half_disc_m2) / half_disc_m2, rel=0.02)


@pytest.mark.parametrize(
    ("name", "value", "unit"),
    [
        ("negarim least rain", 150.0, "mm"),
        ("negarim greatest slope", 5.0, "%"),
        ("negarim least soil", 1.5, "m"),
        ("semi-circular least rain", 200.0, "mm"),
        ("semi-circular greatest rain", 750.0, "mm"),
        ("semi-circular bund top", 0.10, "m"),
    ],
)
def test_conditions_of_each_kind(name, value, unit):
    """Conditions for negarim and for semi-circular bunds."""
    row = microcatchment_rule(name)
    assert (row.value, row.unit) == (value, unit)


def test_where_sources_differ_the_row_says_so():
    """Other texts give other slopes and rain; the steepest that the bunds' table has is the limit of their kind."""
    assert "15 %" in microcatchment_rule("negarim greatest slope").source
    assert "300" in microcatchment_rule("negarim least rain").source
    steepest = max(row.greatest_slope_percent for row in semi_circular_sizes())
    assert microcatchment_rule("semi-circular greatest slope").value == steepest


@pytest.mark.parametrize("table", ["negarim", "semi_circular_bunds"])
def test_every_size_has_its_source(table):
    """No row stands without one."""
    assert all(row["source"] for row in read_table(table))
