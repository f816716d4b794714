"""Which plants stand a site: published salt answers, limits judged one by one, and what is proposed."""

from dataclasses import replace

import pytest

from swalekit.planting.palette.fit import DITCH, DOUBT, FITS, REFUSED, PlantingGround, fit_of
from swalekit.planting.palette.proposal import alternatives, palette_of, proposed, regions
from swalekit.planting.palette.salt import greatest_ece_ds_m
from swalekit.planting.plants.species import LAYERS, USES, known_species, species_from_rows
from swalekit.planting.plants.tolerances import GRADES, KINDS
from swalekit.tables.load import read_table

KNOWN = known_species()


@pytest.mark.parametrize(
    ("name", "ece_ds_m", "percent"),
    [("date palm", 6.0, 92.8), ("almond", 3.0, 71.5), ("grape", 5.0, 66.4), ("orange", 3.0, 77.7)],
)
def test_yield_on_salty_ground_is_that_of_fao_61(name, ece_ds_m, percent):
    """Yr = 100 - b (ECe - a) with the published threshold and slope."""
    share = fit_of(KNOWN[name], PlantingGround(ece_ds_m=ece_ds_m)).yield_share
    assert 100.0 * share == pytest.approx(percent, abs=0.06)


@pytest.mark.parametrize(("name", "ece_ds_m"), [("date palm", 31.8), ("almond", 6.8), ("grape", 11.9)])
def test_salt_at_which_nothing_grows_is_that_of_fao_61(name, ece_ds_m):
    """Threshold + 100 / slope."""
    salt = KNOWN[name].stands("salt")
    none = greatest_ece_ds_m(0.0, threshold_ds_m=salt.greatest, slope_percent=salt.slope)
    assert none == pytest.approx(ece_ds_m, abs=0.06)
    assert fit_of(KNOWN[name], PlantingGround(ece_ds_m=ece_ds_m + 0.1)).yield_share == 0.0


def test_every_published_limit_is_of_a_species_and_has_its_source():
    """Rows of tolerances and of spreading plants name species of the table, kinds and sources; one of a kind counts."""
    rows = read_table("tolerances")
    assert {row["species"] for row in rows} == set(KNOWN)
    assert all(row["source"] and row["kind"] in KINDS for row in rows)
    assert {row["species"] for row in read_table("invasive")} <= set(KNOWN)
    for species in KNOWN.values():
        counted = [limit.kind for limit in species.tolerances if limit.counts]
        assert len(counted) == len(set(counted))
        assert set(GRADES) <= set(counted)
        assert species.layer in LAYERS
        assert species.uses
        assert set(species.uses) <= set(USES)


def test_each_layer_has_plants_of_dry_ground():
    """Every layer, and every role of those that are planted, has a species that asks for little."""
    dry = [species for species in KNOWN.values() if species.water_group in ("very low", "low")]
    assert {species.layer for species in dry} == {*LAYERS} - {"climber"}
    assert {species.layer for species in KNOWN.values()} == set(LAYERS)


def test_each_limit_is_judged_alone():
    """A figure beyond one limit gives one finding, of its kind; one just within it none."""
    olive = KNOWN["olive"]
    for figures, kind, verdict in (
        ({"frost_c": -8.1}, "frost", REFUSED),
        ({"ece_ds_m": 9.6}, "salt", REFUSED),
        ({"ph": 8.6}, "pH", REFUSED),
        ({"ph": 5.2}, "pH", REFUSED),
        ({"soil_depth_m": 0.15}, "soil depth", DOUBT),
        ({"rain_mm": 150.0}, "rain", DITCH),
        ({"rain_mm": 1300.0}, "rain", DOUBT),
        ({"region": "Australia"}, "spreading", REFUSED),
    ):
        (finding,) = fit_of(olive, PlantingGround(**figures)).findings
        assert (finding.kind, finding.verdict) == (kind, verdict)
        assert finding.source
    within = PlantingGround(frost_c=-8.0, ece_ds_m=9.4, ph=8.5, soil_depth_m=0.2, rain_mm=200.0, region="Europe")
    assert fit_of(olive, within).verdict == FITS


def test_the_warmer_of_two_frost_limits_counts():
    """Pistachio stands -20 °C by practice, -18 °C by ECOCROP; a row at odds with practice isn't judged by."""
    assert fit_of(KNOWN["pistachio"], PlantingGround(frost_c=-19.0)).verdict == REFUSED
    assert fit_of(KNOWN["almond"], PlantingGround(frost_c=-14.0)).verdict == FITS


def test_salt_of_which_nothing_is_published_is_doubtful_on_salty_ground_only():
    """Below 2 dS/m nobody asks."""
    jujube = KNOWN["jujube"]
    assert fit_of(jujube, PlantingGround(ece_ds_m=2.0)).verdict == FITS
    assert fit_of(jujube, PlantingGround(ece_ds_m=8.0)).verdict == DOUBT


def test_own_species_bring_their_own_limits():
    """Columns of a species file go before the table's rows of the same name, the table's count for other kinds."""
    row = next(row for row in read_table("species") if row["name"] == "almond")
    own = species_from_rows([row | {"salt_threshold_ds_m": "5", "salt_slope_percent": "10"}])["almond"]
    ground = PlantingGround(ece_ds_m=6.0, ph=9.0)
    assert fit_of(own, ground).yield_share == pytest.approx(0.9)
    assert [finding.kind for finding in fit_of(own, ground).findings] == ["pH"]
    assert fit_of(KNOWN["almond"], ground).yield_share == pytest.approx(0.145)


def test_a_cold_high_site_gets_a_modest_hardy_list():
    """At -15 °C nothing tender is proposed, nor what spreads."""
    found = proposed(palette_of(KNOWN, PlantingGround(frost_c=-15.0, rain_mm=450.0)))
    kinds = [species for role in found.values() for species in role]
    assert 4 <= len(kinds) <= 7
    assert all(species.frost_limit_c <= -15.0 and not species.watch for species in kinds)


def test_a_salty_site_gets_what_stands_its_salt():
    """At 8 dS/m all that is proposed has a published limit and keeps half of its yield."""
    palette = palette_of(KNOWN, PlantingGround(ece_ds_m=8.0, rain_mm=150.0))
    found = proposed(palette)
    assert [species.name for species in found["pioneer"]] == ["tamarugo"]
    assert "date palm" in [species.name for species in found["fruit"]]
    fits = {fit.species: fit for fit in palette}
    for species in (one for role in found.values() for one in role):
        assert species.stands("salt") is not None
        assert fits[species].yield_share is None or fits[species].yield_share >= 0.5


def test_wanted_uses_go_first():
    """Fodder brings those that give it before the rest."""
    palette = palette_of(KNOWN, PlantingGround(frost_c=-3.0, rain_mm=300.0))
    assert proposed(palette, uses=["fodder"])["fruit"][0].name == "carob"
    assert "fodder" in proposed(palette, uses=["fodder"])["ground cover"][0].uses


def test_fruit_that_spreads_elsewhere_is_proposed_where_the_region_is_known():
    """Olive and prickly pear outside Australia; pioneers that spread anywhere never."""
    there = PlantingGround(frost_c=-3.0, rain_mm=300.0, region="Europe")
    found = proposed(palette_of(KNOWN, there), spreading=True)
    assert "olive" in [species.name for species in found["fruit"]]
    assert not any(species.watch for species in found["pioneer"])
    here = palette_of(KNOWN, replace(there, region="Australia"))
    assert "olive" not in [species.name for species in proposed(here, spreading=True)["fruit"]]
    assert "Europe" in regions()


def test_others_of_the_same_kind_are_named():
    """In the place of a tree that doesn't stand it: role, layer and a use in common, none that is used or spreads."""
    palette = palette_of(KNOWN, PlantingGround(frost_c=-10.0))
    found = alternatives(KNOWN["carob"], palette, used=[KNOWN["almond"]])
    assert [species.name for species in found] == ["pistachio", "jujube", "pomegranate", "apricot"]
    assert alternatives(KNOWN["carob"], palette_of(KNOWN, PlantingGround(frost_c=-59.0))) == ()
