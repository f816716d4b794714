"""Plants at their places: crest, foot, edge and floor, out of the cold air, and a row to windward."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from grown import grow_design, records

from swalekit.design.growth.cold_ground import cold_ground
from swalekit.design.growth.grow import grow
from swalekit.design.growth.guilds import guild_cautions, guild_rows
from swalekit.design.growth.plant_table import plant_rows
from swalekit.errors import BriefError
from swalekit.planting.palette.places import CREST, EDGE, FLOOR, FOOT, PLACES, WINDWARD, refused_at
from swalekit.planting.plants.species import known_species

KNOWN = known_species()


def valley(**planting):
    """The two swales with a watercourse along the foot of the eastern end of the lower one's plants."""
    design = grow_design(house=False, **planting)
    ground = design.ground
    heights = ground.terrain.heights
    low = (heights > 103.0) & (heights < 103.4)
    low[:, : 7 * low.shape[1] // 8] = False
    return replace(design, ground=replace(ground, watercourses=low))


def test_each_place_has_its_rule():
    """No tree, sucker or root crop on the crest; what rots in water not at the edge; nothing woody on the floor."""
    for species in KNOWN.values():
        if species.role != "ground cover" or species.layer == "root":
            assert refused_at(species, CREST)
        assert bool(refused_at(species, EDGE)) == (species.grade("waterlogging") == 0)
        if species.layer in ("tall tree", "fruit tree", "shrub"):
            assert refused_at(species, FLOOR)
    assert not refused_at(KNOWN["rosemary"], CREST)
    assert not refused_at(KNOWN["date palm"], EDGE)
    assert not refused_at(KNOWN["Italian cypress"], WINDWARD)
    assert refused_at(KNOWN["olive"], WINDWARD)


def test_guilds_hold_every_plant_of_the_plan_once():
    """By place, with a reason and its source; all stand where they may; a root crop on the berm is warned of."""
    found = grow(grow_design(house=False), records(years=2))
    rows = guild_rows(found)
    assert sum(row["plants"] for row in rows) == sum(found.counts.values()) == len(plant_rows(found))
    assert {row["place"] for row in rows} <= set(PLACES)
    assert all(row["why"] for row in rows)
    assert {row["may_stand"] for row in rows if row["plants"]} == {"yes"}
    assert {row["species"] for row in rows if row["place"] == FOOT and row["plants"]} == {"olive", "bladder senna"}
    dug = grow(grow_design(house=False, ground_cover=["saffron"]), records(years=2))
    assert "saffron at the berm crest: is dug up" in dug.cautions["places"]
    assert guild_cautions(found.plantings) == {}


def test_tender_plants_stand_above_the_cold_air():
    """Where it gathers a hardy tree takes the place of a tender one; above it both stand; water counts are the same."""
    kinds = {"sheltered": ["olive", "almond"], "frost_c": -6.0, "prices": {}}
    found, flat = grow(valley(**kinds), records(years=2)), grow(grow_design(house=False, **kinds), records(years=2))
    low = found.swales[1].planting
    cold = found.cold.holds(low.xy)
    assert 0 < cold.sum() < len(cold)
    names = np.array([species.name for species in low.species])
    assert "olive" not in names[cold]
    assert {"olive", "almond"} <= set(names[~cold])
    assert "olive" in {species.name for species in flat.swales[1].planting.species}
    assert [swale.trees for swale in found.swales] == [swale.trees for swale in flat.swales]
    (note,) = (note for note in found.notes if "cold air gathers" in note)
    assert "olive stands on none of them" in note
    assert "3 °C colder than the -6 °C" in note


def test_where_no_kind_is_hardy_the_cold_air_is_warned_of():
    """They stay, and are told; without a known frost nothing is moved or told."""
    found = grow(valley(frost_c=-6.0), records(years=2))
    assert "olive" in found.cautions["cold air"]
    assert "no hardier kind" in found.cautions["cold air"]
    warm = grow(valley(frost_c=2.0), records(years=2))
    assert "cold air" not in warm.cautions
    assert not any("cold air" in note for note in warm.notes)


def test_cold_air_is_near_and_little_above_low_ground():
    """Beyond 50 m, or more than 2 m above it, none is held."""
    design = valley()
    cold = cold_ground(design.ground, frost_c=-6.0)
    x, y = cold.lowest_xy[len(cold.lowest_xy) // 2]
    south, north = np.array([[x, y - 60.0]]), np.array([[x, y + 40.0]])
    assert cold.holds(np.array([[x, y + 5.0]])).all()
    assert not cold.holds(south).any()
    assert not cold.holds(north).any()  # 10 % steep: 4 m higher


def test_a_row_to_windward_breaks_the_wind():
    """Across the wind, beyond all trees on its side, evenly apart, on free ground, counted in all tables."""
    kinds = {"windbreak": ["Italian cypress"], "wind_from_deg": 270.0}
    found = grow(grow_design(house=False, **kinds), records(years=2, rain_mm=60.0))
    row = found.windbreak
    assert len(row.species) >= 5
    assert np.ptp(row.xy[:, 0]) < 0.01
    gaps_m = np.diff(np.sort(row.xy[:, 1]))
    assert gaps_m.min() >= KNOWN["Italian cypress"].spacing_m - 1e-6
    trees = np.vstack([swale.planting.xy[~swale.planting.of_roles("ground cover")] for swale in found.swales])
    away_m = shapely.distance(shapely.points(row.xy), shapely.MultiPoint(trees))
    assert away_m.min() >= 2.0
    works = shapely.union_all([swale.works for swale in found.design.swales])
    assert not shapely.intersects(works, shapely.points(row.xy)).any()
    assert found.counts[KNOWN["Italian cypress"]] == len(row.species)
    assert len(plant_rows(found)) == sum(found.counts.values())
    assert {line.species.role for line in found.nursery} >= {"windbreak"}
    assert any("shelters some 150 m to leeward" in note for note in found.notes)
    bare = grow(grow_design(house=False), records(years=2, rain_mm=60.0))
    assert [swale.trees for swale in bare.swales] == [swale.trees for swale in found.swales]


def test_no_row_where_rain_carries_none():
    """It is told; a windbreak without its wind is asked for it."""
    kinds = {"windbreak": ["Italian cypress"], "wind_from_deg": 270.0}
    found = grow(grow_design(house=False, **kinds), records(years=2, rain_mm=1.0))
    assert not found.windbreak.species
    assert any("no windbreak (Italian cypress) is planted" in note for note in found.notes)
    with pytest.raises(BriefError, match="give wind_from_deg"):
        grow_design(house=False, windbreak=["Italian cypress"])
