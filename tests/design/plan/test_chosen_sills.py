"""What sill is chosen on made ground, that its flow digs nothing there, and that nothing else would be cheaper."""

import re
from dataclasses import replace

import numpy as np
import pytest
import shapely
from scipy.optimize import brentq
from sites import NORTH, WEST, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.plan.chosen_sills import SillSite
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row, totals
from swalekit.section.outlet import cover_roughness, permissible_velocity_m_s
from swalekit.section.sill_place import CLEAR_OF_ENDS_M
from swalekit.terrain.terrain import Terrain

pytestmark = pytest.mark.compiled

GRAVITY, WEIR, OFF_LEVEL_M = 9.80665, 1.5, 0.01
PRICES = {"machine_per_h": 65.0, "stone_per_m3": 60.0, "sill_per_m": 6.0}
STEEP = {"greatest_slope": 0.4}
STORM = {"depth_mm": 40.0, "check_depth_mm": 100.0}


def asked(cover="sandy loam", **parts):
    """A bare or grassed hillside on which the check storm sends a good flow over the sills."""
    parts = {"levels": {"spacing_m": 25.0}, "lines": STEEP, "soil": {"curve_number": 88.0}, "storm": STORM} | parts
    return make_site(**parts | {"sill": {"cover": cover} | parts.get("sill", {})})


def speeds(flow_m3s, length_m, slope, roughness):
    """On the low end of the sill and on a slope, each depth found by root finding."""
    head = brentq(lambda h: WEIR * length_m * h**1.5 - flow_m3s, 0.0, 5.0)
    unit = WEIR * (head + OFF_LEVEL_M) ** 1.5
    critical = brentq(lambda y: GRAVITY * y**3 - unit**2, 1e-9, 5.0)
    normal = brentq(lambda y: y ** (5.0 / 3.0) * slope**0.5 / roughness - unit, 1e-9, 5.0)
    return unit / critical, unit / normal


@pytest.mark.parametrize("cover", ["sandy loam", "sod grass"])
@pytest.mark.parametrize("slope", [0.06, 0.12, 0.25])
@pytest.mark.parametrize("rates", [{}, PRICES], ids=["unpriced", "priced"])
def test_the_spill_digs_nothing(slope, cover, rates):
    """Speeds on soil and ground that stay bare are permissible; where they aren't, an apron covers them to the end."""
    site = asked(cover, rates=rates)
    design = plan(site, plane(slope, shape=(110, 100)))
    assert len(design.swales) >= 2
    for swale, below in zip(design.swales, (*design.swales[1:], None), strict=True):
        sill, section, apron = swale.sill, swale.sized.shape.section, swale.sill.apron
        assert sill.flow_m3s > 0.02
        assert not swale.routed.overtopped
        assert "sill may scour" not in [caution.name for caution in swale.cautions]
        rough = cover_roughness(cover).value
        on_sill, on_ground = speeds(sill.flow_m3s, sill.length_m, slope, rough)
        _, on_face = speeds(sill.flow_m3s, sill.length_m, 1.0 / section.berm_downhill_side_slope, rough)
        toe_m = float(swale.sized.shape.nodes[0][-1].mean())
        drop_m = sill.level_m - (swale.line.level_m - slope * toe_m)
        if on_face > permissible_velocity_m_s(cover, 0.5):
            assert apron is not None
        if apron is not None:
            crest_m = 0.5 + 2.0 * section.freeboard_m * section.berm_downhill_side_slope
            crest_m *= on_sill > permissible_velocity_m_s(cover, 0.001)
            to_foot_m = apron.length_m - apron.ground_m * np.hypot(1.0, slope)
            assert to_foot_m == pytest.approx(crest_m + drop_m * np.hypot(1.0, 2.5), rel=0.05)
        if on_ground > permissible_velocity_m_s(cover, slope) * 1.002:
            next_m = swale.line.xy[0, 1] - (NORTH - 110.0 if below is None else below.line.xy[0, 1])
            assert apron.ground_m >= next_m - toe_m - 2.0
        assert sill.length_m <= max(40.0, site.brief.sill.least_length_m)


def test_what_is_chosen_on_six_percent_and_on_steep_bare_soil():
    """On 6 and 12 % longer ones, stone on the face alone; on 25 % short ones, stone to the next ditch; sod bears it."""
    chosen = {}
    for slope, cover in ((0.06, "sandy loam"), (0.12, "sandy loam"), (0.25, "sandy loam"), (0.06, "sod grass")):
        swale = plan(asked(cover), plane(slope, shape=(110, 100))).swales[1]
        chosen[slope, cover] = swale.sill
    gentle, middling, steep, sod = chosen.values()
    assert gentle.length_m < middling.length_m <= 40.0
    for sill in (gentle, middling):
        assert sill.apron.kind == "stone"
        assert sill.apron.ground_m == pytest.approx(15.0 * sill.apron.d50_m, rel=0.02)
    assert steep.length_m < middling.length_m
    assert steep.apron.ground_m > 10.0
    assert sod.apron is None or sod.apron.ground_m < 2.0


@pytest.mark.parametrize("slope", [0.12, 0.25])
def test_no_other_length_is_cheaper(slope):
    """Of one swale, planned anew with each other length, at a price for stone and sill, with the flow that it has."""
    terrain, levels = plane(slope, shape=(110, 100)), {"levels_m": [100.0 + slope * 50.0]}
    (chosen,), cost = (design := plan(asked(levels=levels, rates=PRICES), terrain)).swales, design.cost
    assert chosen.sill.lacking == ""
    others = []
    for length_m in (1.0, 2.5, 5.0, 8.0, 12.0, 18.0, 25.0, 33.0, 40.0):
        limits = {"least_length_m": length_m, "greatest_length_m": length_m}
        other = plan(asked(levels=levels, rates=PRICES, sill=limits), terrain)
        if other.swales[0].sill.lacking == "":
            others.append(other.cost)
    assert len(others) >= 5
    assert cost <= min(others) + 1e-6
    assert max(others) > 1.05 * cost


def test_without_a_price_the_shortest_sill_with_bare_ground_below_goes_first():
    """Half a metre less, and the ground would need an apron; the cost leaves out what has no price, and says so."""
    terrain, levels = plane(0.12, shape=(110, 100)), {"levels_m": [106.0]}
    design = plan(asked(levels=levels, rates={"machine_per_h": 65.0}), terrain)
    sill = design.swales[0].sill
    assert sill.apron.ground_m < 1.0
    limits = {"least_length_m": 1.0, "greatest_length_m": sill.length_m - 0.5}
    assert plan(asked(levels=levels, sill=limits), terrain).swales[0].sill.apron.ground_m > 10.0
    assert any("stone_per_m3" in note for note in design.warnings)
    assert not any("stone_per_m3" in note for note in plan(asked(levels=levels, rates=PRICES), terrain).warnings)


def test_sod_where_it_is_asked_for_and_bears_the_flow():
    """Its area is in the table, the totals and the cost."""
    rates = {"machine_per_h": 65.0, "grass_per_m2": 8.0, "stone_per_m3": 60.0}
    site = asked(levels={"levels_m": [106.0]}, sill={"apron": "grass"}, rates=rates)
    design = plan(site, plane(0.12, shape=(110, 100)))
    (swale,) = design.swales
    assert swale.sill.apron.kind == "grass"
    assert swale_row(swale)["grass_m2"] == totals(design)["grass_m2"] == round(swale.sill.apron.area_m2, 1)
    free = design.with_rates(replace(design.rates, grass_per_m2=0.0))
    assert design.cost - free.cost == pytest.approx(8.0 * swale.sill.apron.area_m2)


def test_a_sill_stays_on_its_line():
    """Clear of both ends by 5 m, whatever the brief allows; its least length goes before."""
    flood = STORM | {"check_depth_mm": 300.0}
    site = asked(levels={"levels_m": [106.0]}, sill={"greatest_length_m": 150.0}, storm=flood)
    (swale,) = plan(site, plane(0.12, shape=(110, 60))).swales
    assert swale.sill.length_m <= swale.line.length_m - 2.0 * CLEAR_OF_ENDS_M
    start_m = swale.sill.chainage_m - swale.sill.length_m / 2.0
    assert CLEAR_OF_ENDS_M - 1e-6 <= start_m <= swale.line.length_m - CLEAR_OF_ENDS_M - swale.sill.length_m + 1e-6
    least = asked(levels={"levels_m": [106.0]}, sill={"least_length_m": 30.0})
    assert plan(least, plane(0.12, shape=(110, 100))).swales[0].sill.length_m >= 30.0


def with_bank(*, whole: bool) -> Terrain:
    """A plane of 10 % with a bank of 60 % over 8 m below its upper half, across the whole of it or its western half."""
    heights = np.array(plane(0.1).heights, copy=True)
    fall_m = np.clip(NORTH - 75.0 - (NORTH - 0.5 - np.arange(heights.shape[0])), 0.0, 8.0) * 0.5
    heights -= fall_m[:, np.newaxis] * (np.arange(heights.shape[1]) < (1000 if whole else 50))
    return Terrain.from_heights(heights, plane(0.1).grid, vertical_sigma_m=0.05)


def test_a_bank_too_steep_for_stone_needs_an_engineer():
    """Only where the whole line lies above it; else the sill is placed where there is none."""
    site = asked(levels={"levels_m": [107.0]})
    (above,) = plan(site, with_bank(whole=True)).swales
    (caution,) = (caution for caution in above.cautions if caution.name == "sill may scour")
    assert re.search(r"falls [56]\d %", caution.text)
    assert "drop structure designed by an engineer" in caution.text
    assert swale_row(above)["outlet"] in caution.text
    (beside,) = plan(site, with_bank(whole=False)).swales
    assert beside.sill.xy[0] - beside.sill.length_m / 2.0 > WEST + 45.0
    assert beside.sill.lacking == ""


def test_an_apron_ends_at_a_road():
    """Where the ground beyond it doesn't bear the sheet, that is told with what it would take."""
    road = KeepOut("road", shapely.LineString([(WEST, NORTH - 60.0), (WEST + 100.0, NORTH - 60.0)]), 1.0, "Track")
    site = replace(asked("grass mixture", levels={"levels_m": [109.6]}), keep_outs=(road,))
    (swale,) = plan(site, plane(0.12, shape=(110, 100))).swales
    assert "an apron ends at road 'Track'" in swale.sill.lacking
    assert swale.line.xy[0, 1] - swale.sill.apron.ground_m > NORTH - 60.0
    assert "sill may scour" in [caution.name for caution in swale.cautions]


def test_the_whole_is_as_cheap_as_sills_best_for_themselves_and_as_the_shortest(monkeypatch):
    """Longer sills hold back less, and those below get more: both ways are tried, and the cheaper one taken."""
    terrain, site = plane(0.12, shape=(200, 100)), asked(rates=PRICES | {"sill_per_m": 12.0})
    design = plan(site, terrain)
    alone = []
    for way in (SillSite.chosen_m, SillSite.shortest_m):
        with monkeypatch.context() as patch:
            patch.setattr(SillSite, "chosen_m", way)
            patch.setattr(SillSite, "shortest_m", way)
            alone.append(plan(site, terrain).cost)
    assert alone[0] != alone[1]
    assert design.cost == pytest.approx(min(alone))


def test_an_apron_lies_below_its_sill():
    """Its area is that of its figures, between its swale and the next; a sill without one has none."""
    design = plan(asked(), plane(0.25, shape=(110, 100)))
    swale = design.swales[1]
    area, apron, line = swale.apron_area, swale.sill.apron, shapely.LineString(swale.line.xy)
    assert apron.ground_m > 10.0
    assert area.is_valid
    assert area.bounds[3] < line.bounds[1]
    assert area.bounds[1] > design.swales[2].line.xy[:, 1].max() - 2.0
    assert area.area == pytest.approx(apron.length_m * swale.sill.length_m, rel=0.1)
    middle_m = (area.bounds[0] + area.bounds[2]) / 2.0
    assert middle_m == pytest.approx(swale.sill.xy[0], abs=1.0)
    assert replace(swale, sill=replace(swale.sill, apron=None)).apron_area is None
