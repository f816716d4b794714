"""The same design at other rates: what it costs follows from its volumes and the rates of its brief alone."""

import pytest
from sites import make_site, plane

from swalekit.design.layout.ground import study_ground
from swalekit.design.plan.pipeline import plan, size_layout
from swalekit.design.plan.table import swale_row, totals
from swalekit.earthwork.cost import Rates
from swalekit.errors import BriefError

DEAR = Rates(machine_m3_per_h=15.0, machine_per_h=95.0, dig_per_m3=1.5, swale_per_m=2.5, mobilisation=450.0)


@pytest.fixture(scope="module")
def design():
    """Two swales whose brief names no price."""
    return plan(make_site(levels={"levels_m": [103.0, 107.0]}), plane(shape=(120, 60)))


def test_other_rates_price_a_design_as_a_plan_made_with_them(design):
    """Totals and every row are those of a fresh plan whose brief has these rates; all but hours and cost stays."""
    rates = {"machine_m3_per_h": 15.0, "machine_per_h": 95.0, "dig_per_m3": 1.5, "swale_per_m": 2.5}
    site = make_site(levels={"levels_m": [103.0, 107.0]}, rates=rates | {"mobilisation": 450.0})
    fresh, priced = plan(site, plane(shape=(120, 60))), design.with_rates(DEAR)
    assert priced.cost == fresh.cost
    assert totals(priced) == totals(fresh)
    assert [swale_row(swale, priced.rates) for swale in priced.swales] == [
        swale_row(swale, fresh.rates) for swale in fresh.swales
    ]
    assert priced.site.brief == fresh.site.brief
    assert (priced.swales, priced.surface) == (design.swales, design.surface)


def test_cost_by_hand(design):
    """Hours at the machine's price, cubic metres and metres at theirs, and the machine brought once."""
    dug_m3 = sum(swale.quantities.dug_m3 for swale in design.swales)
    length_m = sum(swale.line.length_m for swale in design.swales)
    priced = design.with_rates(DEAR)
    assert priced.machine_h == pytest.approx(dug_m3 / 15.0)
    assert priced.cost == pytest.approx(95.0 * dug_m3 / 15.0 + 1.5 * dug_m3 + 2.5 * length_m + 450.0)


def test_topsoil_sills_and_aprons_are_priced_where_their_rates_are_given():
    """Hours of topsoil and sills, and stone at its price, by hand; a storm over bare soil asks for stone."""
    site = make_site(levels={"levels_m": [103.0, 107.0]}, storm={"depth_mm": 30.0, "check_depth_mm": 150.0})
    design = plan(site, plane(shape=(120, 60)))
    aprons = [swale.sill.apron for swale in design.swales]
    assert all(apron.kind == "stone" and apron.slope == 0.4 for apron in aprons)
    rates = Rates(machine_per_h=90.0, topsoil_m3_per_h=50.0, sill_h=1.5, stone_per_m3=60.0)
    topsoil_m3 = sum(swale.quantities.topsoil_m3 for swale in design.swales)
    stone_m3 = sum(apron.volume_m3 for apron in aprons)
    assert stone_m3 > 0.1
    assert totals(design)["stone_m3"] == round(stone_m3, 1)
    hours = design.dug_m3 / 25.0 + topsoil_m3 / 50.0 + 2 * 1.5
    priced = design.with_rates(rates)
    assert priced.machine_h == pytest.approx(hours)
    assert priced.cost == pytest.approx(90.0 * hours + 60.0 * stone_m3)
    row = swale_row(design.swales[0])
    assert (row["apron"], row["stone_m3"]) == ("stone", round(aprons[0].volume_m3, 1))


def test_a_sill_that_no_storm_reaches_needs_no_apron():
    """Without flow over it nothing is laid."""
    site = make_site(
        levels={"levels_m": [103.0]}, storm={"depth_mm": 30.0, "check_depth_mm": 31.0}, conditions={"ditches": "empty"}
    )
    (swale,) = plan(site, plane(shape=(120, 60))).swales
    assert (swale.sill.flow_m3s, swale.sill.apron) == (0.0, None)


def test_a_design_can_not_contradict_its_brief(design):
    """Without a price there is no cost, whatever the design cost before; the rates are those of the brief."""
    priced = design.with_rates(DEAR)
    assert priced.rates == DEAR
    assert (design.cost, priced.with_rates(Rates()).cost) == (None, None)
    assert totals(priced.with_rates(Rates()))["cost"] is None


def test_a_layout_is_priced_like_a_design(design):
    """What options are compared by costs the same."""
    layout = size_layout(design.site, study_ground(design.site, plane(shape=(120, 60))))
    assert layout.with_rates(DEAR).cost == design.with_rates(DEAR).cost


def test_rates_keep_to_the_brief_s_bounds(design):
    """A price that no brief may name is refused in one line."""
    with pytest.raises(BriefError, match=r"rates: \[rates\] machine_per_h is 1000000000000.0; it must be less"):
        design.with_rates(Rates(machine_per_h=1e12))
