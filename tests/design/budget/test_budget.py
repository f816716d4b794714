"""Bills come to the costs that the rooms give, and a budget counts each thing once."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from grown import grow_design, records
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.contours.crossing import Crossing
from swalekit.design.brief.rates_part import RatesPart
from swalekit.design.budget.bill import BILL_COLUMNS, BillLine, bill_of, bill_rows
from swalekit.design.budget.budget import budget_of, usual_ranges
from swalekit.design.budget.choices import choices_of
from swalekit.design.budget.site_budget import budget_rows, site_budget
from swalekit.design.budget.works_bill import works_bill
from swalekit.design.growth.grow import grow
from swalekit.design.plan.columns import row_of
from swalekit.design.plan.pipeline import plan
from swalekit.design.stages.staged import as_staged
from swalekit.earthwork.cost import Rates
from swalekit.errors import InputError

ALL_PRICES = Rates(
    20.0, 65.0, 2.0, 30.0, 1.5, 350.0, topsoil_m3_per_h=60.0, sill_h=1.0, sill_per_m=4.0, stone_per_m3=18.0,
    grass_per_m2=5.0,
)  # fmt: skip
RATES = {
    "machine_m3_per_h": 20.0, "machine_per_h": 65.0, "dig_per_m3": 2.0, "bring_per_m3": 30.0, "swale_per_m": 1.5,
    "mobilisation": 350.0, "topsoil_m3_per_h": 60.0, "sill_h": 1.0, "sill_per_m": 4.0, "stone_per_m3": 18.0,
    "grass_per_m2": 5.0,
}  # fmt: skip


@pytest.fixture(scope="module")
def design():
    """A plan on hills, every rate of it priced."""
    return plan(make_site(rates=RATES, lines={"least_length_m": 6.0}), hills())


@pytest.mark.compiled
def test_lines_of_the_works_come_to_their_cost(design):
    """By another way: the cost of each swale, summed, and the machine brought once."""
    bill = works_bill(design)
    assert bill.cost == pytest.approx(design.cost, rel=1e-12)
    assert bill.cost == pytest.approx(sum(swale.cost(ALL_PRICES) for swale in design.swales) + 350.0, rel=1e-12)
    dug = next(line for line in bill.lines if line.item == "digging")
    assert (dug.quantity, dug.cost) == (pytest.approx(design.dug_m3), pytest.approx(2.0 * design.dug_m3))


@pytest.mark.compiled
def test_pipes_and_fords_are_lines_of_their_own():
    """A bank over pipes and a ford on each of two swales come to the design's cost."""
    track = Crossing("pipe", shapely.LineString([(WEST + 70, NORTH), (WEST + 66, NORTH - 120)]), 4.0, "Track", "track")
    wade = Crossing(
        "ford", shapely.LineString([(WEST + 30, NORTH), (WEST + 30, NORTH - 120)]), 3.0, "Wade", "livestock"
    )
    site = make_site(levels={"levels_m": [108.0, 104.0]}, rates=RATES | {"pipe_per_m": 25.0})
    crossed = plan(replace(site, crossings=(track, wade)), plane())
    bill = works_bill(crossed)
    own = {line.item: line.cost for line in bill.lines if line.heading == "crossings"}
    ways = [way for swale in crossed.swales for way in swale.crossings]
    assert own == {
        "pipe": pytest.approx(25.0 * sum(way.pipe_length_m for way in ways)),
        "stone in fords": pytest.approx(18.0 * sum(way.stone_m3 for way in ways)),
    }
    assert min(own.values()) > 0.0
    assert bill.cost == pytest.approx(crossed.cost, rel=1e-12)


@pytest.mark.compiled
def test_each_season_brings_the_machine_once(design):
    """A plan in two stages costs what its stages do."""
    staged = as_staged(replace(design, site=design.site.with_values({"stages.count": 2})))
    bill = works_bill(staged)
    brought = [line.year for line in bill.lines if line.item == "bringing the machine"]
    assert brought == [1, 2]
    assert bill.cost == pytest.approx(design.cost + 350.0, rel=1e-12)


@pytest.mark.compiled
def test_work_by_hand_follows_the_schedule():
    """Hours by the table for what is planted, replaced, cut and taken out, and for mulch and water carried."""
    growth = grow(grow_design(), records())
    by_task = {}
    for line in growth.bill.lines:
        if line.heading == "labour":
            by_task[line.item] = by_task.get(line.item, 0.0) + line.quantity
    planted = [work for work in growth.schedule if work.task == "plant" and work.species.role != "ground cover"]
    assert by_task["plant a tree"] == pytest.approx(0.4 * sum(work.plants for work in planted))
    small = [work for work in growth.schedule if work.species.role == "ground cover"]
    assert by_task["plant a small plant"] == pytest.approx(0.06 * sum(work.plants for work in small))
    assert by_task["spread mulch"] == pytest.approx(0.8 * growth.mulch.needed_m3.sum())
    assert by_task["carry water"] == pytest.approx(0.5 * sum(growth.first_water_m3.values()))
    assert "work" not in growth.bill.unpriced or growth.bill.cost is not None


@pytest.mark.compiled
def test_guards_and_fence_are_counted_where_they_are_priced():
    """A guard for each tree in the year that it is planted, a fence round the boundary or as long as given."""
    design = grow_design()
    priced = design.site.with_values({"rates.guard_each": 2.0, "rates.fence_per_m": 7.0})
    growth = grow(replace(design, site=priced), records())
    guards = {line.year: line.quantity for line in growth.bill.lines if line.item == "tree guard"}
    counts = {species.role: 0 for species in growth.counts}
    for species, plants in growth.counts.items():
        counts[species.role] += plants
    assert guards == {1: counts["pioneer"], 3: counts["fruit"]}
    fence = next(line for line in growth.bill.lines if line.item == "fence")
    assert fence.cost == pytest.approx(7.0 * design.site.boundary.length)
    given = grow(replace(design, site=priced.with_values({"rates.fence_m": 40.0})), records())
    assert next(line.cost for line in given.bill.lines if line.item == "fence") == pytest.approx(280.0)


def test_range_takes_headings_as_independent():
    """Ends by hand: √(Σ (cost − low)²), and at least the contingency above."""
    lines = [BillLine("machine", 100.0, "h", "earthworks", price=50.0), BillLine("olive", 300, "plants", price=10.0)]
    budget, ranges = budget_of([lines], RatesPart(contingency_share=0.02)), usual_ranges()
    below = np.hypot(5000.0 * (1.0 - ranges["earthworks"].low), 3000.0 * (1.0 - ranges["plants"].low))
    above = np.hypot(5000.0 * (ranges["earthworks"].high - 1.0), 3000.0 * (ranges["plants"].high - 1.0))
    assert (budget.known, budget.total) == (8000.0, pytest.approx(8160.0))
    assert (budget.low, budget.high) == (pytest.approx(8000.0 - below), pytest.approx(8000.0 + above))
    cautious = budget_of([lines], RatesPart(contingency_share=0.5))
    assert cautious.high == pytest.approx(12000.0)


def test_years_come_to_the_whole():
    """What falls due in all years is the total."""
    lines = [BillLine("olive", 30, "plants", year=year, price=9.0) for year in (1, 3, 4)]
    budget = budget_of([lines], RatesPart(other={"soil pits": 200.0}))
    assert sum(budget.by_year.values()) == pytest.approx(budget.total)
    assert budget.by_year[1] == pytest.approx(1.1 * 470.0)


def test_machine_that_is_there_isn_t_brought_again():
    """Bunds built in the season of the swales don't pay for the machine's way."""
    brought = BillLine("bringing the machine", 1.0, "time", "earthworks", price=300.0)
    again = replace(brought, heading="microcatchments")
    assert budget_of([[brought], [again]], RatesPart()).known == 300.0
    assert budget_of([[brought], [replace(again, year=2)]], RatesPart()).known == 600.0


def test_budget_of_folders_is_that_of_the_values():
    """Rows rounded for a folder come to the same sum within their last place; what has no price is named."""
    bill = bill_of([BillLine("stone", 78.8649, "m3", "sills"), BillLine("fig", 12, "plants", year=2)], {"stone": 18.0})
    rows = bill_rows(bill, first_year=2030)
    found = site_budget({"site": "North", "bill": rows}, RatesPart(currency="EUR"), first_year=2030)
    assert found.works == pytest.approx(18.0 * 78.8649, abs=0.005)
    assert found.budget.unpriced == ("fig",)
    assert sum(row["cost"] or 0.0 for row in budget_rows(found)) == pytest.approx(found.budget.total, abs=0.02)
    assert [row["year"] for row in budget_rows(found)] == [2030, 2031, None]
    with pytest.raises(InputError, match="names no price"):
        site_budget({"site": "North", "bill": [row_of(BillLine("fig", 1, "plants"), BILL_COLUMNS)]}, RatesPart())


def test_choices_break_no_limit_where_any_keeps_them():
    """The cheapest that holds, the recommended, the one that keeps most, whatever those that break one cost."""

    def row(option: str, cost: float, kept: float, *, beyond: str = "", recommended: str = "", holds: str = "yes"):
        return {
            "option": option, "cost": cost, "kept_share": kept, "held_storm_mm": 50.0, "swales": 4, "beyond": beyond,
            "recommended": recommended, "holds": holds,
        }  # fmt: skip

    rows = [
        row("40 m", 500.0, 0.4, beyond="fill"),
        row("35 m", 700.0, 0.5),
        row("30 m", 900.0, 0.7, recommended="yes"),
        row("25 m", 1400.0, 0.8),
        row("20 m", 1800.0, 0.9, holds="no"),
    ]
    assert [(each.choice, each.option) for each in choices_of(rows)] == [
        ("least", "35 m"),
        ("recommended", "30 m"),
        ("most water kept", "25 m"),
    ]
    assert choices_of([row("a", 1.0, 0.5, beyond="fill")])[0].choice == "least, most water kept"
    assert choices_of([]) == ()
