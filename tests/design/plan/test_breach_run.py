"""One swale fails: what it does below, by hand, in a whole design, on paper and on the command line."""

from dataclasses import replace

import numpy as np
import pytest
from sites import NORTH, WEST, hills, make_site, plane

from swalekit.design.brief.brief import BreachPart
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import make_layout
from swalekit.design.plan.breach_run import Failure, fail_in_turn, failures_shown, swales_to_fail
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.storm_run import _spill_delays_min
from swalekit.design.plan.table import swale_row
from swalekit.errors import BriefError
from swalekit.grid import Grid
from swalekit.hydrology.routing.pond import Pond, Weir
from swalekit.hydrology.routing.routing import Routed, route_stores
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.hydrology.routing.stores import Stores
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.words.plan_words import failure_words
from swalekit.results.plan.record import plan_record
from swalekit.results.plan.summary import summary
from swalekit.section.stage_storage import stage_storage
from swalekit.terrain.terrain import Terrain

SPEED_M_S = 9.965 * 0.3048 * 0.1**0.5
"""Nearly bare ground at 10 %: NEH 630 (2010) ch. 15, Table 15-3, V = 9.965 s^0.5 [ft/s]."""


BOXES = ((0.1, 0.6), (0.1, 0.6), (2.0, 0.7))
"""Length of the sill and level of the crest of each."""


def at_once(*brought_m3: float, boxes: tuple[tuple[float, float], ...] = BOXES) -> Routed:
    """Three boxes of 80 m², sill at 40 m³, crest at 48 m³ and at 56 m³ for the last, that get their water at once."""
    stage = StageStorage(np.array([0.0, 1.0]), np.array([0.0, 80.0]), np.array([80.0, 80.0]))
    ponds = [Pond(stage, Weir(0.5, length, 1.5), berm=Weir(crest, 40.0, 1.5)) for length, crest in boxes]
    inflow = np.zeros((3, 60))
    inflow[:, 0] = np.array(brought_m3) / 60.0
    return route_stores(Stores(np.ones((3, 1)), np.zeros(3), np.array([1, 2, -1], np.int32)), ponds, inflow, step_min=1)


@pytest.fixture(scope="module")
def routed() -> Routed:
    """The boxes with 40, 30 and 25 m³."""
    return at_once(40.0, 30.0, 25.0)


def test_a_chain_of_three_by_hand(routed):
    """The top's 40 m³ find 18 m³ of room below the second's crest, which fails; of all 95 m³ the last keeps 40."""
    top, middle, last = fail_in_turn(routed, range(3), minutes=10.0, names=("S1", "S2", "S3"))
    assert not routed.outcome.overtopped.any()
    assert (top.overtops, top.spills_more) == (("S2",), ("S2", "S3"))
    assert (middle.overtops, middle.spills_more) == ((), ("S3",))
    assert (last.overtops, last.spills_more) == ((), ())
    extra_m3 = [each.extra_left_m3 for each in (top, middle, last)]
    assert extra_m3 == pytest.approx([40 + 30 + 25 - 40, 30 + 25 - 40, 25], abs=0.01)
    assert (top.volume_m3, top.flow_m3s) == pytest.approx((40.0, 2 * 40 / 600), rel=0.02)


def test_what_stops_the_chain_by_hand(routed):
    """Behind a high berm the second's 70 m³, less what its sill passes, stand higher; a longer sill does as well."""
    (top,) = fail_in_turn(routed, [0], minutes=10.0, names=("S1", "S2", "S3"))
    assert top.stops == ("S2",)
    assert 0.1 < top.raise_m[0] < 70 / 80 - 0.6
    assert 0.1 < top.sill_m[0] < 40.0
    for sill_m, stands in ((top.sill_m[0], True), (top.sill_m[0] - 0.5, False)):
        again = at_once(40.0, 30.0, 25.0, boxes=(BOXES[0], (sill_m, 0.6), BOXES[2]))
        (tried,) = fail_in_turn(again, [0], minutes=10.0, names=("S1", "S2", "S3"))
        assert ("S2" not in tried.overtops) == stands
    higher = at_once(40.0, 30.0, 25.0, boxes=(BOXES[0], (0.1, 0.6 + top.raise_m[0]), BOXES[2]))
    assert fail_in_turn(higher, [0], minutes=10.0, names=("S1", "S2", "S3"))[0].overtops == ()


def test_a_berm_that_the_storm_itself_goes_over_fails_after_another():
    """Of 49 m³ the second box can hold 48 anyway; with the top's 40 m³ it gives way."""
    sound = at_once(40.0, 49.0, 0.0)
    assert sound.outcome.overtopped.tolist() == [False, True, False]
    (top,) = fail_in_turn(sound, [0], minutes=10.0, names=("S1", "S2", "S3"))
    assert (top.overtops, top.spills_more) == (("S2",), ("S2", "S3"))


def test_the_flow_off_the_site_by_hand(routed):
    """25 m³ in ten minutes peak at 2 V / T = 0.0833 m³/s, in the mean of the minute before at nine tenths of it."""
    (last,) = fail_in_turn(routed, [2], minutes=10.0, names=("S1", "S2", "S3"))
    assert last.peak_left_m3s == pytest.approx(0.9 * 2 * 25 / 600, rel=1e-6)


def test_a_slower_failure_does_less_harm(routed):
    """Over ten hours the second swale's sill passes the 40 m³ below its crest."""
    (top,) = fail_in_turn(routed, [0], minutes=600.0, names=("S1", "S2", "S3"))
    assert top.overtops == ()


@pytest.mark.parametrize(
    ("overtops", "extra_m3", "named", "shown"),
    [
        ([2, 1, 2, 1], [5.0, 90.0, 6.0, 1.0], None, ["S3", "S1", "S2"]),
        ([1, 1, 1], [5.0, 5.0, 5.0], None, ["S1", "S2", "S3"]),
        ([0, 0, 0], [5.0, 9.0, 5.0], None, []),
        ([0, 2, 0], [5.0, 9.0, 5.0], "S1", ["S1"]),
        ([], [], "S1", []),
    ],
)
def test_the_failures_shown_are_the_one_named_or_the_three_most_harmful(overtops, extra_m3, named, shown):
    """Most swales that fail after it, then most water lost, then the higher one; where none fails, none."""
    failures = [
        Failure(f"S{k}", ("S9",) * count, (), extra, 0.0)
        for k, (count, extra) in enumerate(zip(overtops, extra_m3, strict=True), start=1)
    ]
    assert [found.swale for found in failures_shown(failures, BreachPart(swale=named))] == shown


def test_what_a_failure_reaches_goes_first():
    """A house below counts more than five berms."""
    house = Failure("S1", (), (), 1.0, 0.0, reaches=("building",))
    berms = Failure("S2", ("S3", "S4", "S5", "S6", "S7"), (), 900.0, 0.0)
    assert [found.swale for found in failures_shown([berms, house], BreachPart())] == ["S1", "S2"]


def test_of_a_great_many_swales_only_the_one_named_fails():
    """Up to a hundred fail in turn."""
    ids = [f"S{k}" for k in range(1, 102)]
    assert len(swales_to_fail(BreachPart(), ids[:100])) == 100
    assert swales_to_fail(BreachPart(), ids) == ()
    assert swales_to_fail(BreachPart(swale="S101"), ids) == (100,)


@pytest.mark.parametrize(("ids", "words"), [(["S1", "S2", "S3"], "are S1, S2, S3; name"), (["S1"], "are S1; name")])
def test_an_unknown_swale_is_told_with_those_there_are(ids, words):
    """In one line; a layout without a swale says nothing."""
    with pytest.raises(BriefError, match=rf"\[breach\] swale is 'S9', but .* {words}"):
        swales_to_fail(BreachPart(swale="S9"), ids)
    assert swales_to_fail(BreachPart(swale="S9"), []) == ()


@pytest.fixture(scope="module")
def design():
    """Swales down a plane, each with little freeboard, the top one the fullest."""
    parts = {"section": {"freeboard_m": 0.03}, "sill": {"head_m": 0.02}, "levels": {"levels_m": [104.0, 103.0, 102.0]}}
    return plan(make_site(soil={"curve_number": 80.0, "intake_mm_h": 20.0}, **parts), plane(shape=(160, 100)))


def test_every_output_says_the_same_of_a_failure(design):
    """Table, summary, map, words and caution of the swale shown."""
    failure = design.failures_shown[0]
    assert failure.swale == "S1"
    assert "S2" in failure.overtops
    assert swale_row(design.swales[0])["failure_overtops"] == ", ".join(failure.overtops)
    told = summary(design)["breach"]
    assert (told["shown"][0], told["minutes"]) == ("S1", None)
    assert set(told["check_swales"][0]["overtops"]) >= set(failure.overtops)
    assert told["swales"][0]["overtops"] == list(failure.overtops)
    content = plan_content(plan_record(design))
    assert set(content.failing) == {shown.swale for shown in design.failures_shown}
    assert {*content.failing, *content.overtopped} >= set(failure.overtops)
    assert failure_words(failure, units="metric") in content.cautions
    assert "failure overtops others" in {caution.name for caution in design.swales[0].cautions}


def test_the_failure_asked_for_is_shown_even_if_it_does_little(design):
    """The last swale overtops nobody, and its failure is told in words."""
    asked = replace(design, site=design.site.with_values({"breach.swale": "S3"}))
    (shown,) = asked.failures_shown
    assert shown.swale == "S3"
    assert failure_words(shown, units="metric").startswith("If S3 failed when fullest, no other would; ")


def test_a_failure_loses_what_those_below_cannot_hold(design):
    """The last swale loses all that stood in it, the second nothing, the first what it and those after it had.

    No swale spills in the storm itself, so that all that is lost is owed to the failure.
    """
    first, second, last = design.swales
    stages = [stage_storage(swale.sized.shape) for swale in design.swales]
    stood_m3 = [
        float(stage.volume_m3_at(np.float64(swale.routed.peak_level_m)))
        for stage, swale in zip(stages, design.swales, strict=True)
    ]
    to_crest_m3 = [
        float(stage.volume_m3_at(np.float64(swale.sized.shape.crest_level_m)))
        for stage, swale in zip(stages, design.swales, strict=True)
    ]
    lost_m3 = [swale.failure.extra_left_m3 for swale in design.swales]
    assert stood_m3[2] < lost_m3[2] < last.runoff_m3
    assert second.runoff_m3 < last.storage_m3 - last.runoff_m3
    assert lost_m3[1] == pytest.approx(0.0, abs=1e-9)
    still_free_m3 = sum(swale.storage_m3 - swale.runoff_m3 for swale in (second, last))
    least_m3, most_m3 = stood_m3[0] - sum(to_crest_m3[1:]), first.runoff_m3 - still_free_m3
    toppled_m3 = sum(swale.runoff_m3 for swale in (second, last) if swale.id in first.failure.overtops)
    assert toppled_m3 > 0
    assert least_m3 < lost_m3[0] < most_m3 + toppled_m3


def test_without_a_swale_no_failure_is_told():
    """A name in the brief is no error then."""
    design = plan(make_site(levels={"interval_m": 900.0}, breach={"swale": "S4"}), plane())
    assert design.failures_shown == ()
    assert summary(design)["breach"]["swales"] == []


def test_spill_takes_the_travel_time_to_the_line_below():
    """Two lines 20 m apart on a plane of 10 %: 20 m over 0.96 m/s; the lower one's spill runs to the tile's edge."""
    site, terrain = make_site(levels={"levels_m": [106.0, 104.0]}), plane()
    ground = study_ground(site, terrain)
    delays_min = _spill_delays_min(ground, make_layout(site, ground), "nearly bare")
    assert delays_min * 60 * SPEED_M_S == pytest.approx([20.0, 40.0], abs=1.5)


def test_spill_of_a_hollow_takes_the_travel_time_from_its_rim():
    """A pit dug 30 m above a line on a plane of 10 %."""
    heights = plane().heights.copy()
    heights[48:51, 48:51] -= 2.0  # its lower rim is row 51, at 106.85 m; the line at 104 m lies 28.5 m on
    terrain = Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=1.0, west_m=WEST, north_m=NORTH))
    site = make_site(levels={"levels_m": [104.0]})
    ground = study_ground(site, terrain)
    _, hollow_min = _spill_delays_min(ground, make_layout(site, ground), "nearly bare")
    assert hollow_min * 60 * SPEED_M_S == pytest.approx(28.5, abs=1.5)


def test_spill_is_under_way_and_nothing_is_lost():
    """In a storm that spills, some water is between stores, and what comes is accounted for to 1e-9."""
    run = plan(make_site(storm={"depth_mm": 90.0}, section={"greatest_depth_m": 0.4}), hills()).run.design
    assert run.under_way_m3.max() > 0.1
    accounted = run.held_m3 + run.soaked_total_m3 + run.left_m3 + run.under_way_m3
    np.testing.assert_allclose(accounted, run.brought_m3, rtol=0, atol=1e-9 * run.brought_m3[-1])
