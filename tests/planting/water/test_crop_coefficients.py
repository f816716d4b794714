"""Crop coefficients, mulch, canopies and the water of soils."""

from dataclasses import replace

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.planting.plants.canopy import canopy_share, density_coefficient
from swalekit.planting.plants.species import crop_of, known_species
from swalekit.planting.water.crop_coefficients import (
    GrowingDays,
    basal_coefficients,
    climate_term,
    evaporation_factor,
    greatest_coefficients,
    mulched_kc_ini,
    mulched_kc_mid,
)
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import StandPart, stand_of
from swalekit.tables.crop_coefficients import CropRow, crop_row, crops, growth_stages
from swalekit.tables.load import named_rows, read_table
from swalekit.tables.soil_water import soil_water

YEAR = np.arange("2003-01-01", "2004-01-01", dtype="datetime64[D]")
NEW_TABLES = ("evapotranspiration", "planting_practice", "reed_bed", "greywater_practice", "greywater_sources")


def days(latitude_deg: float = 37.0, *, wind: float = 2.0, humidity: float = 45.0) -> GrowingDays:
    """A year of one climate, by default that of the tables."""
    return GrowingDays(YEAR, latitude_deg, np.full(365, wind), np.full(365, humidity))


@pytest.mark.parametrize(
    ("crop", "kc", "kcb", "fraction"),
    [
        ("almond, no cover", (0.40, 0.90, 0.65), (0.20, 0.85, 0.60), 0.40),
        ("olive", (0.65, 0.70, 0.70), (0.55, 0.65, 0.65), 0.65),
        ("citrus, no cover, 70 % canopy", (0.70, 0.65, 0.70), (0.65, 0.60, 0.65), 0.50),
        ("stone fruit, active cover, frost", (0.50, 1.15, 0.90), (0.45, 1.10, 0.85), 0.50),
        ("pistachio", (0.40, 1.10, 0.45), (0.20, 1.05, 0.40), 0.40),
        ("date palm", (0.90, 0.95, 0.95), (0.80, 0.85, 0.85), 0.50),
        ("grape, wine", (0.30, 0.70, 0.45), (0.15, 0.65, 0.40), 0.45),
    ],
)
def test_coefficients_of_fao56_tables_12_17_and_22(crop: str, kc: tuple, kcb: tuple, fraction: float):
    """Coefficients and depletion fractions are those printed."""
    row = crop_row(crop)
    assert (row.kc, row.kcb, row.depletion_fraction) == (kc, kcb, fraction)


def test_every_coefficient_has_its_source_and_order():
    """Basal coefficients stay below single ones, but for the single cut of alfalfa, and every row names its tables."""
    for crop in crops():
        row = crop_row(crop)
        assert row.source.startswith(("FAO-56 (1998) Tables 12, 17 and 22", "Consoli", "drip-irrigated", "weighing"))
        if row.kcb is not None and row.kc is not None and crop != "alfalfa hay":
            assert all(basal <= single for basal, single in zip(row.kcb, row.kc, strict=True))


@pytest.mark.parametrize(
    ("stages", "lengths"),
    [("citrus, Mediterranean", (60, 90, 120, 95)), ("olive", (30, 90, 60, 90)), ("walnut", (20, 10, 130, 30))],
)
def test_stage_lengths_of_fao56_table_11(stages: str, lengths: tuple[int, ...]):
    """Lengths of the stages are those printed."""
    assert growth_stages(stages).days == lengths


@pytest.mark.parametrize("table", NEW_TABLES)
def test_every_number_has_unit_and_source(table: str):
    """No number stands without unit and source."""
    for row in named_rows(table).values():
        assert row.unit
        assert row.source
    assert len(named_rows(table)) == len(read_table(table))


def test_what_is_not_published_is_of_the_class_unless_given():
    """Fig isn't in FAO-56: it counts as a deciduous orchard, marked, and the user's own coefficients go before."""
    fig = known_species()["fig"]
    assert crop_of(fig).kcb == crop_row("stone fruit, no cover, frost").kcb
    assert crop_of(fig).assumed
    own = CropRow("fig", None, (0.3, 0.6, 0.5), 3.0)
    assert crop_of(fig, {"fig": own}) is own
    with pytest.raises(InputError, match=r"no crop coefficient is published for 'olife'.*take one of: olive"):
        crop_of(replace(fig, crop="olife"))
    with pytest.raises(InputError, match="no stage lengths are published for 'fig'"):
        basal_coefficients(own, days())
    with pytest.raises(InputError, match="no basal crop coefficient is published for 'reed swamp, moist soil'"):
        basal_coefficients(crop_row("reed swamp, moist soil"), days())


def test_curve_is_level_in_stages_and_straight_between():
    """Olive begins in March: 30 days at 0.55, 90 days up to 0.65, and out of season again 0.55."""
    kcb = dict(zip(YEAR.astype(str), basal_coefficients(crop_row("olive"), days()), strict=True))
    assert kcb["2003-03-01"] == kcb["2003-03-30"] == kcb["2003-01-10"] == 0.55
    assert kcb["2003-05-15"] == pytest.approx(0.60)
    assert kcb["2003-07-15"] == 0.65


def test_seasons_turn_round_south_of_the_equator():
    """A southern year is the northern one half a year later."""
    north = basal_coefficients(crop_row("almond, no cover"), days())
    south = basal_coefficients(crop_row("almond, no cover"), days(-37.0))
    assert YEAR[181] == np.datetime64("2003-07-01")
    assert north[181] == south[0] == 0.85
    np.testing.assert_allclose(np.sort(north), np.sort(south))


def test_climate_moves_the_later_stages_alone():
    """Wind and dry air raise mid-season and end by the published term, not the initial stage."""
    dry = basal_coefficients(crop_row("pistachio"), days(wind=4.0, humidity=25.0))
    term = (0.04 * 2.0 + 0.004 * 20.0) * (4.0 / 3.0) ** 0.3  # FAO-56 eq. 62
    assert climate_term(4.0, 25.0, 4.0) == pytest.approx(term)
    assert dry.min() == pytest.approx(0.20)
    assert dry.max() == pytest.approx(1.05 + term)
    low = CropRow("a low one", None, (0.2, 0.4, 0.4), 3.0, stages=growth_stages("olive"))
    assert basal_coefficients(low, days(wind=4.0, humidity=25.0)).max() == 0.4
    assert greatest_coefficients(dry, days(wind=4.0, humidity=25.0), height_m=4.0).max() == pytest.approx(1.2 + term)
    assert greatest_coefficients(np.full(365, 1.3), days(), height_m=4.0) == pytest.approx(np.full(365, 1.35))


def test_fao56_mulch_rule():
    """From memory: FAO-56 ch. 10, half the surface covered takes a quarter off Kc ini and off Kc mid − Kcb mid."""
    assert mulched_kc_ini(0.60, 0.5) == pytest.approx(0.75 * 0.60)
    assert mulched_kc_mid(0.90, 0.80, 0.5) == pytest.approx(0.90 - 0.25 * 0.10)
    assert [evaporation_factor(cover) for cover in (0.0, 0.1, 1.0)] == pytest.approx([1.0, 0.95, 0.5])


@pytest.mark.parametrize(
    ("texture_mm_m", "depth_m", "fraction", "published"),
    [
        # From memory: FAO-56 example 36, loamy sand, silt and silty clay for onion, tomato and maize.
        *[(90.0, depth, p, raw) for depth, p, raw in ((0.4, 0.30, 11), (0.8, 0.40, 29), (1.2, 0.55, 59))],
        *[(170.0, depth, p, raw) for depth, p, raw in ((0.4, 0.30, 20), (0.8, 0.40, 54), (1.2, 0.55, 112))],
        *[(120.0, depth, p, raw) for depth, p, raw in ((0.4, 0.30, 14), (0.8, 0.40, 38), (1.2, 0.55, 79))],
    ],
)
def test_fao56_example_36_readily_available_water(
    texture_mm_m: float, depth_m: float, fraction: float, published: float
):
    """Readily available water of three crops in three soils."""
    zone = RootZone(texture_mm_m, depth_m, fraction, 8.0, 20.0)
    assert zone.ready_mm == pytest.approx(published, abs=0.61)


def test_soil_water_of_fao56_table_19():
    """From memory: FAO-56 Table 19, the middle of the ranges; stones take their share off."""
    assert soil_water("loamy sand").available_mm_m == pytest.approx(90.0)
    assert (soil_water("clay").rew_mm, soil_water("clay").tew_mm) == (10.0, 25.5)
    stony = RootZone.of_texture("loamy sand", root_depth_m=1.0, depletion_fraction=0.5, stone_share=0.4)
    assert stony.total_mm == pytest.approx(54.0)


@pytest.mark.parametrize("depth", [0.0, -1.0])
def test_root_zone_without_depth_fails(depth: float):
    """Roots need soil."""
    with pytest.raises(InputError, match=r"root_depth_m is .* it must be greater than zero"):
        RootZone(150.0, depth, 0.4, 8.0, 20.0)


def test_density_coefficient_of_allen_and_pereira():
    """From memory: Allen & Pereira (2009) eq. 10, none without canopy, all at full cover."""
    assert density_coefficient(0.0, 4.0) == 0.0
    assert density_coefficient(1.0, 4.0) == 1.0
    assert density_coefficient(0.2, 4.0) == pytest.approx(0.3)
    assert density_coefficient(0.6, 4.0) == pytest.approx(0.9)
    assert density_coefficient(0.9, 1.0) == pytest.approx(0.9**0.5)


def test_canopies_grow_and_stop():
    """Every kind of growth rises to 1 and stays there, quick ones first."""
    for growth in ("quick", "medium", "slow"):
        shares = [canopy_share(growth, year) for year in range(21)]
        assert shares[0] == 0.0
        assert shares[-1] == 1.0
        assert shares == sorted(shares)
    assert canopy_share("quick", 5) > canopy_share("medium", 5) > canopy_share("slow", 5)


def test_stand_weighs_its_crops_by_cover():
    """A stand of two crops at full cover has their mean; a thin one uses less; one of nothing is refused."""
    olive, almond = crop_row("olive"), crop_row("almond, no cover")
    both = stand_of([StandPart(olive, 0.5), StandPart(almond, 0.5)], days())
    mean = 0.5 * (basal_coefficients(olive, days()) + basal_coefficients(almond, days()))
    np.testing.assert_allclose(both.kcb, mean)
    thin = stand_of([StandPart(olive, 0.1), StandPart(almond, 0.1)], days())
    assert (thin.kcb < both.kcb).all()
    assert thin.cover == pytest.approx(0.2)
    with pytest.raises(InputError, match="covers no ground"):
        stand_of([StandPart(olive, 0.0)], days())
