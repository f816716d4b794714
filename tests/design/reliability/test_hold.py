"""A plan that is sized for the chance with which its brief asks it to hold the design storm."""

import json

import pytest
from sites import make_site, plane, write_tile

from swalekit.design.brief.settings import asked_storm_of, storm_of
from swalekit.design.plan import plan
from swalekit.design.reliability import how_sure, sized_to_hold

DRAWS = {"draws": 60}


def asked(chance=0.8, **parts):
    """One line on a plane that is to hold 50 mm with a chance."""
    return make_site(levels={"levels_m": [106.0]}, uncertainty=DRAWS, conditions={"hold_chance": chance}, **parts)


@pytest.fixture(scope="module")
def terrain():
    """A plane of 10 %."""
    return plane(shape=(80, 60))


@pytest.mark.compiled
def test_the_works_hold_with_the_chance_that_is_asked_for(terrain):
    """The draws of the sized site hold the asked storm that surely; those of the storm itself don't."""
    site = asked()
    sized = sized_to_hold(site, terrain)
    assert asked_storm_of(sized).depth_mm == 50.0
    assert storm_of(sized).depth_mm == sized.brief.conditions.sized_for_mm > 50.0
    drawn, before = how_sure(sized, terrain), how_sure(site, terrain)
    assert before.chance < 0.8 <= drawn.chance
    assert drawn.chance == pytest.approx(sized.brief.conditions.sized_chance, abs=0.001)
    assert (drawn.storm_mm == before.storm_mm).all()
    design = plan(sized, terrain)
    assert design.held_storm_mm >= sized.brief.conditions.sized_for_mm - 0.5
    assert design.dug_m3 > plan(site, terrain).dug_m3
    (note,) = [words for words in design.warnings if words.startswith("sized for")]
    assert "hold the storm of 50.0 mm that is asked for (hold_chance 80 %)" in note


@pytest.mark.compiled
def test_it_is_found_once(terrain):
    """Twice the same; a site that has its storm isn't searched again."""
    site = asked(0.7)
    sized = sized_to_hold(site, terrain)
    assert sized.brief == sized_to_hold(site, terrain).brief
    told = []
    assert sized_to_hold(sized, terrain, stage=told.append) is sized
    assert told == []


@pytest.mark.compiled
def test_where_the_brief_lets_nothing_hold_so_surely_that_is_told(terrain):
    """A narrow, shallow ditch is at its limit: the surest size is taken, and the note says that it falls short."""
    narrow = {"greatest_depth_m": 0.45, "bottom_width_m": 0.5, "greatest_bottom_width_m": 0.5}
    sized = sized_to_hold(asked(0.99, section=narrow), terrain)
    assert sized.brief.conditions.sized_chance < 0.99
    assert any("holds it more surely" in note for note in plan(sized, terrain).warnings)


@pytest.mark.compiled
def test_the_plan_keeps_what_it_found(swalekit, tmp_path):
    """Terminal and summary tell it; the folder's brief has it, and reliability meets the asked storm."""
    write_tile(tmp_path / "plane.tif", plane(shape=(80, 60)).heights)
    (tmp_path / "site.toml").write_text(
        '[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50.0\n[soil]\ncurve_number = 80\n[levels]\n'
        "levels_m = [106.0]\n[conditions]\nhold_chance = 0.8\n[uncertainty]\ndraws = 40\n",
        encoding="utf-8",
    )
    code, out, err = swalekit("plan", "site.toml", "--out", "plan", "--no-report")
    assert (code, err) == (0, "")
    assert "note: sized for a storm of " in out
    told = json.loads((tmp_path / "plan" / "summary.json").read_text(encoding="utf-8"))
    kept = told["brief"]["conditions"]
    assert kept["sized_for_mm"] == told["values_used"]["storm_depth_mm"] > 50.0
    assert told["values_used"]["asked_storm_mm"] == 50.0
    assert f"sized_for_mm = {kept['sized_for_mm']}" in (tmp_path / "plan" / "brief.toml").read_text(encoding="utf-8")
    assert swalekit("reliability", "plan", "--out", "sure", "--quiet")[0] == 0
    sure = json.loads((tmp_path / "sure" / "summary.json").read_text(encoding="utf-8"))
    assert sure["storm_mm"]["design"] == 50.0
    assert sure["chance_to_hold"] == kept["sized_chance"] >= 0.8
