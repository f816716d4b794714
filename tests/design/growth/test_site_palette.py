"""A brief's plants are held against its site: refused all at once, warned of, or proposed."""

import pytest
from grown import PLANTING, grow_design, records

from swalekit.design.growth.grow import grow
from swalekit.design.growth.palette_table import palette_rows
from swalekit.errors import BriefError, InputError
from swalekit.reporting.words.palette_words import palette_sentences


def grown(**planting):
    """A planting of two years on two swales without a house."""
    return grow(grow_design(house=False, **planting), records(years=2))


def test_plants_that_the_site_refuses_are_named_at_once():
    """Each with figure, limit, source and what would stand in its place, in one line."""
    with pytest.raises(InputError) as caught:
        grown(sheltered=["carob", "olive", "almond"], frost_c=-12.0, soil_ece_ds_m=5.0, prices={})
    told = str(caught.value)
    assert "\n" not in told
    for words in (
        "carob: killed or badly hurt by -12 °C: stands -4 °C (FAO ECOCROP database, killing temperature at rest)",
        "olive: killed or badly hurt by -12 °C: stands -8 °C (common practice)",
        "almond: 5 dS/m of salt leave 34% of the yield: 50% is left at 4.1 dS/m (FAO-61 (2002) Table A1.3",
        "plant_anyway",
    ):
        assert words in told
    assert told.count("instead") + told.count("none of the table") >= 3


def test_what_only_the_record_tells_warns():
    """Plants too tender for a measured night are planted, with a caution that names others."""
    cold = records(years=2)
    object.__setattr__(cold.weather, "tmin_c", cold.weather.tmin_c - 8.0)
    found = grow(grow_design(house=False, sheltered=["argan"], prices={}), cold)
    assert "argan: killed or badly hurt by -7 °C" in found.cautions["frost"]
    assert "instead pistachio or almond" in found.cautions["frost"]
    assert found.trees


def test_plants_are_planted_anyway():
    """Listed in plant_anyway they are, with the same words as a caution; what isn't planted can't be listed."""
    found = grown(frost_c=-9.0, plant_anyway=["olive"])
    assert "olive: killed or badly hurt by -9 °C" in found.cautions["frost"]
    with pytest.raises(BriefError, match="plant_anyway names 'fig', which isn't among"):
        grown(plant_anyway=["fig"])


def test_invasive_plants_of_the_region_are_refused_unless_the_brief_lets_them():
    """By region; a region or a use that isn't known is told with those near it."""
    with pytest.raises(InputError, match="olive: invasive in Australia: wild seedlings spread"):
        grown(region="Australia")
    assert grown(region="Australia", avoid_invasive=False).trees
    with pytest.raises(BriefError, match=r"region is 'Austria'.*'Australia'"):
        grown(region="Austria")
    with pytest.raises(BriefError, match=r"uses is 'foder'.*'fodder'"):
        grown(uses=["foder"])


def test_a_palette_is_proposed_where_no_species_is_named():
    """Modest, of what stands the site, named in the brief that is kept, and said to be a proposal."""
    nothing = {name: [] for name in ("pioneers", "sheltered", "ground_cover")}
    found = grown(**nothing, frost_c=-10.0, prices={})
    part = found.design.site.brief.planting
    assert 1 <= len(part.pioneers) <= 2
    assert 1 <= len(part.sheltered) <= 3
    assert found.notes[0].startswith("the brief names no species")
    fits = {fit.species.name: fit for fit in found.palette}
    assert all(fits[name].stands for name in (*part.pioneers, *part.sheltered, *part.ground_cover))
    with pytest.raises(InputError, match="no tree of the table stands this site"):
        grown(**nothing, frost_c=-59.0, prices={})


def test_the_palette_judges_every_species_in_the_clients_words():
    """A row a species, chosen ones first, each refused one with its reason; and a sentence a layer."""
    found = grown(soil_ece_ds_m=4.0, soil_ph=8.0)
    rows = palette_rows(found)
    assert len(rows) == len(found.palette) >= 57
    assert [row["species"] for row in rows[:3]] == PLANTING["pioneers"] + PLANTING["sheltered"] + PLANTING[
        "ground_cover"
    ]
    assert all(bool(row["why"]) == (row["verdict"] != "fits") for row in rows)
    by_name = {row["species"]: row for row in rows}
    assert by_name["date palm"]["yield_share"] == 1.0
    assert by_name["date palm"]["salt"].startswith("4, 3.6 % lost per dS/m beyond")
    assert by_name["apricot"]["verdict"] == "refused"
    words = palette_sentences(found)
    assert len(words) == 7
    assert "4 dS/m of salt" in words[0]
    assert "region" in words[0]
    assert "OLIVE" in words[2]
    assert "apricot (salt" in words[2]
