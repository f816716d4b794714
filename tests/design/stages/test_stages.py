"""Seasons of building: the order, its cost, and the site as it stands after each."""

from dataclasses import replace
from itertools import combinations_with_replacement

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sites import hills, make_site, plane

from swalekit.design.brief.decided_lines import OwnSettings
from swalekit.design.plan.design import Design
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import swale_row, totals
from swalekit.design.stages.interim import interim_design
from swalekit.design.stages.order import even_stages, stages_within
from swalekit.design.stages.staged import STAGE_COLUMNS, build_in_stages, in_stages
from swalekit.errors import BriefError

RATES = {"machine_per_h": 60.0, "swale_per_m": 2.0, "mobilisation": 300.0, "currency": "EUR"}
costs = st.lists(st.floats(1.0, 500.0), min_size=1, max_size=8)


@pytest.fixture(scope="module")
def design() -> Design:
    """Five swales down a plane, three seasons."""
    return plan(make_site(stages={"count": 3}, rates=RATES), plane())


@pytest.fixture(scope="module")
def rough() -> Design:
    """Swales on hills with hollows, over a budget a season."""
    parts = {"levels": {"interval_m": 1.5}, "section": {"greatest_fill_m": 2.0}, "rates": RATES}
    return plan(make_site(**parts, stages={"budget_per_stage": 500.0}), hills(side=160))


# --- the order -------------------------------------------------------------------------------------------------------


@given(costs, st.floats(50.0, 900.0), st.floats(0.0, 100.0))
def test_a_budget_is_kept_and_no_season_could_take_one_more(costs, budget, mobilisation):
    """Seasons never fall from the top down; one over the budget is a single swale; the next wouldn't have fitted."""
    stages = stages_within(budget, costs, mobilisation=mobilisation)
    assert list(stages) == sorted(stages)
    assert set(stages) == set(range(1, max(stages) + 1))
    for number in set(stages):
        own = [place for place, stage in enumerate(stages) if stage == number]
        spent = mobilisation + sum(costs[place] for place in own)
        assert spent <= budget + 1e-9 or len(own) == 1
        if own[-1] + 1 < len(costs):
            assert spent + costs[own[-1] + 1] > budget - 1e-9


@given(costs, st.integers(1, 4))
def test_even_seasons_are_as_even_as_any(costs, count):
    """The dearest season costs no more than in any other order from the top down, all of which are tried."""
    stages = even_stages(count, costs)
    assert set(stages) == set(range(1, min(count, len(costs)) + 1))

    def dearest(order):
        return max(sum(cost for cost, own in zip(costs, order, strict=True) if own == stage) for stage in set(order))

    least = min(dearest(order) for order in combinations_with_replacement(range(count), len(costs)))
    assert dearest(stages) == pytest.approx(least)


def test_without_seasons_nothing_is_staged(design):
    """Neither the brief nor a line asks for them; both at once are refused in a line."""
    free = replace(design, site=design.site.with_values({"stages.count": None}))
    assert in_stages(design)
    assert not in_stages(free)
    with pytest.raises(BriefError, match=r"\[stages\].* give one"):
        make_site(stages={"count": 2, "budget_per_stage": 100.0})
    with pytest.raises(BriefError, match="budget_per_stage is 100 but rates name no price; give machine_per_h"):
        make_site(stages={"budget_per_stage": 100.0})


# --- the whole by a second route -------------------------------------------------------------------------------------


@pytest.mark.parametrize("made", ["design", "rough"])
def test_the_last_season_is_the_whole_plan(made, request):
    """Its swales laid by themselves, with the sections as dug, give the plan's figures again: 2 %, mostly far less."""
    whole = request.getfixturevalue(made)
    again = interim_design(whole, [swale.id for swale in whole.swales])
    assert [swale.id for swale in again.swales] == [swale.id for swale in whole.swales]
    for before, after in (
        (totals(whole), totals(again)),
        *zip(map(swale_row, whole.swales), map(swale_row, again.swales), strict=True),
    ):
        for name, figure in before.items():
            if isinstance(figure, float | int) and name not in ("storage_5y_m3", "storage_10y_m3", "storage_20y_m3"):
                assert after[name] == pytest.approx(figure, rel=0.02, abs=0.11), name
    staged = build_in_stages(whole)
    assert staged.stages[-1].interim.swales == staged.design.swales
    assert totals(staged.stages[-1].interim) == totals(staged.design)
    assert staged.longer_sills or totals(staged.design) == totals(whole)
    assert staged.stages[-1].opens == ()


@pytest.mark.parametrize("made", ["design", "rough"])
def test_costs_of_the_seasons_make_up_the_plan(made, request):
    """Less the machine brought again each season; so do soil, hours and length, and no swale is built twice."""
    whole = request.getfixturevalue(made)
    staged = build_in_stages(whole)
    whole, stages = staged.design, staged.stages
    again = RATES["mobilisation"] * (len(stages) - 1)
    assert len(stages) > 1
    assert sum(stage.cost for stage in stages) - again == pytest.approx(whole.cost)
    assert sum(stage.dug_m3 for stage in stages) == pytest.approx(whole.dug_m3)
    assert sum(stage.machine_h for stage in stages) == pytest.approx(whole.machine_h)
    assert sum(stage.length_m for stage in stages) == pytest.approx(sum(swale.line.length_m for swale in whole.swales))
    names = [swale.id for stage in stages for swale in stage.swales]
    assert sorted(names) == sorted(swale.id for swale in whole.swales)
    budget = whole.site.brief.stages.budget_per_stage
    assert budget is None or all(stage.cost <= budget or len(stage.swales) == 1 for stage in stages)


@pytest.mark.parametrize("made", ["design", "rough"])
def test_no_water_is_lost_in_any_season(made, request):
    """Rain = soaked in + standing + gone in every state, and each season keeps more than the one before."""
    rows = build_in_stages(request.getfixturevalue(made)).rows
    for row in rows:
        assert list(row) == [column.name for column in STAGE_COLUMNS]
        assert row["rain_m3"] == pytest.approx(row["soaked_m3"] + row["stands_m3"] + row["gone_m3"], abs=0.002)
        assert row["rain_m3"] == rows[0]["rain_m3"]
    kept = [row["kept_share"] for row in rows]
    assert kept == sorted(kept)
    assert kept[0] < kept[-1]


def test_from_the_top_down_every_state_stands(design):
    """Each swale holds what it holds in the whole, with its sill no longer; nothing is left open on a plane."""
    staged = build_in_stages(design)
    assert staged.longer_sills == ()
    for stage in staged.stages:
        assert stage.opens == ()
        for swale, whole in zip(stage.interim.swales, staged.design.swales, strict=False):
            assert swale.storage_m3 == pytest.approx(whole.storage_m3)
            assert swale.held_storm_mm == pytest.approx(whole.held_storm_mm, abs=0.2)
            assert swale.sill.length_m == whole.sill.length_m
    assert [swale.stage for swale in staged.design.swales] == [1, 1, 2, 2, 3]


def test_a_swale_before_those_above_it_gets_their_sill_and_their_water():
    """The lowest of five first: it can't hold what the four above will, and its sill is sized for all of it."""
    site = make_site(rates=RATES, storm={"depth_mm": 50.0, "check_depth_mm": 75.0})
    ordered = lines_of(plan(site, plane()))
    for number in range(1, 5):
        ordered = ordered.decide(f"S{number}", "proposed", stage=2)
    ordered = ordered.decide("S5", "proposed", stage=1)
    whole = plan(site.with_lines(ordered), plane())
    alone = interim_design(whole, ["S5"]).swales[0].sill.length_m
    assert alone > whole.swales[-1].sill.length_m + 0.2
    staged = build_in_stages(whole)
    assert staged.longer_sills == ("S5",)
    assert staged.design.swales[-1].sill.length_m == pytest.approx(alone, abs=0.5)
    assert staged.design.swales[0].sill.length_m == whole.swales[0].sill.length_m
    first, last = staged.stages
    assert [swale.id for swale in first.swales] == ["S5"]
    assert ("S5", "too small") in {(caution.swale, caution.name) for caution in first.opens}
    assert last.opens == ()
    assert any("S5: built before a swale above" in note for note in staged.notes)
    assert set(staged.notes) <= set(staged.design.warnings)
    assert all(swale.state == "proposed" for swale in staged.design.swales)


def test_a_line_keeps_its_own_season(design):
    """The others are ordered by the brief; numbers have no gaps."""
    swales = [replace(swale, own=OwnSettings(stage=7)) if swale.id == "S1" else swale for swale in design.swales]
    numbers = {swale.id: swale.stage for swale in build_in_stages(replace(design, swales=tuple(swales))).design.swales}
    assert numbers == {"S1": 4, "S2": 1, "S3": 2, "S4": 2, "S5": 3}
