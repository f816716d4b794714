"""The storm through a whole layout: volumes agree with the cascade, water is conserved, the storm comes from data."""

import shutil
from pathlib import Path

import numpy as np
import pytest
from matplotlib.figure import Figure
from sites import hills, make_site, plane

from swalekit.design.brief.settings import course_of, storm_of
from swalekit.design.plan import storm_run
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.storm_table import storm_rows, storm_summary, water_rows
from swalekit.design.plan.table import swale_row
from swalekit.errors import BriefError
from swalekit.formats.inputs.site import read_site
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import local_runoff_m3
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.unit_hydrograph import storm_inflow_m3s
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.hydrology.storm.storm import nrcs_storm
from swalekit.reporting.charts.storm.water import draw_water

SAMPLE = Path(__file__).parents[3] / "sample_terrain"
STORES = Stores(
    np.array([[4000.0, 1000.0], [0.0, 0.0], [300.0, 0.0]]), np.array([80.0, 20.0, 0.0]), np.full(3, -1, np.int32)
)


@pytest.mark.parametrize("step_min", [1.0, 5.0])
def test_inflow_has_the_volume_of_the_runoff(step_min):
    """Summed over time, flow from ground and ditch is what the losses and the strip give for the whole storm."""
    soil = Soil((CurveNumberLoss(80.0), CurveNumberLoss(90.0)))
    flow = storm_inflow_m3s(STORES, soil, nrcs_storm(60.0, "II"), np.array([0.1, 0.0, 2.0]), step_min=step_min)
    volume = flow.sum(axis=1) * 60.0 * step_min
    np.testing.assert_allclose(volume, local_runoff_m3(STORES, 60.0, soil), rtol=1e-9)


MEASURED = Hyetograph(np.array([0.0, 0.11, 0.29, 0.33, 0.7, 1.26]), np.array([0.0, 2.0, 19.0, 31.0, 36.0, 40.0]))


@pytest.mark.parametrize("storm", [nrcs_storm(60.0, "II"), MEASURED], ids=["type II", "measured"])
@pytest.mark.parametrize("step_min", [1.0, 5.0])
def test_inflow_has_the_volume_that_swales_are_sized_for(storm, step_min):
    """Also by losses that follow the course, with bursts shorter than a step: to the 0.02 mm of the sizing's curve."""
    losses = (GreenAmptLoss(6.5, 167.0, 0.34), ConstantLoss(5.0, 8.0))
    soil = Soil(losses, storm_shape=storm)
    flow = storm_inflow_m3s(STORES, soil, storm, np.array([0.1, 0.0, 2.0]), step_min=step_min)
    expected_m3 = local_runoff_m3(STORES, storm.depth_mm, soil)
    curve_m3 = (STORES.area_m2.sum(axis=1) + STORES.strip_area_m2) * 0.02 / 1000.0
    assert np.all(np.abs(flow.sum(axis=1) * 60.0 * step_min - expected_m3) <= curve_m3)
    assert expected_m3[0] > 20.0


def test_inflow_follows_losses_that_depend_on_the_course_of_the_rain():
    """Green–Ampt ground sheds water only in the hard hour of a type II storm."""
    soil = Soil((GreenAmptLoss(6.5, 167.0, 0.34), CurveNumberLoss(90.0)))
    stores = Stores(np.array([[4000.0, 0.0]]), np.zeros(1), np.array([-1], np.int32))
    (flow,) = storm_inflow_m3s(stores, soil, nrcs_storm(60.0, "II"), np.array([0.05]), step_min=1.0)
    hours = np.arange(flow.size) / 60.0
    assert 11.5 < hours[flow > 0].min() < 12.1
    assert flow[hours > 13.5].sum() < 0.02 * flow.sum()


ONE_LEVEL = {"levels_m": [106.0]}


@pytest.fixture(scope="module")
def design():
    """Hills with hollows, a soil that drinks, and a storm that spills."""
    soil = {"curve_number": 85, "intake_mm_h": 20.0}
    return plan(
        make_site(
            soil=soil, storm={"depth_mm": 90.0}, section={"greatest_depth_m": 0.4, "greatest_bottom_width_m": 0.6}
        ),
        hills(),
    )


def test_water_is_conserved_in_time(design):
    """What comes is held, soaked, on the way or gone, at every step, to 1e-9 of the rain."""
    run = design.run.design
    accounted = run.held_m3 + run.soaked_total_m3 + run.left_m3 + run.under_way_m3
    np.testing.assert_allclose(accounted, run.brought_m3, atol=1e-9 * run.brought_m3[-1])


def test_soaking_spills_no_more_than_the_cascade_without_it(design):
    """The cascade counts no soaking: routed spills stay within its volumes."""
    for number, swale in enumerate(design.swales):
        routed = float(design.run.design.spilled_m3[number])
        assert routed <= swale.spill_m3 + 0.01 * swale.runoff_m3 + 0.1, swale.id


def test_more_intake_empties_sooner():
    """At twice the rate a ditch is dry in about half the time, and without a rate nothing is said."""
    hours = [
        plan(make_site(soil={"curve_number": 80} | extra, levels={"levels_m": [106.0]}), plane()).swales[0].routed
        for extra in ({"intake_mm_h": 20.0}, {"intake_mm_h": 40.0}, {})
    ]
    assert hours[1].empty_after_h < 0.7 * hours[0].empty_after_h
    assert hours[2].empty_after_h is None


def test_sizing_and_routing_see_the_same_course():
    """On Green–Ampt ground under uniform rain the routed storm brings what the swale was sized for, to 0.1 %."""
    soil = {"conductivity_mm_h": 3.0, "suction_mm": 100.0, "moisture_deficit": 0.2}
    site = make_site(soil=soil, storm={"depth_mm": 60.0, "course": "uniform", "duration_h": 3.0}, levels=ONE_LEVEL)
    design = plan(site, plane())
    assert design.run.design.held_m3[-1] == pytest.approx(design.swales[0].runoff_m3, rel=1e-3)
    gentle = plan(make_site(soil=soil, storm={"depth_mm": 60.0, "course": "uniform"}, levels=ONE_LEVEL), plane())
    assert gentle.swales[0].runoff_m3 == pytest.approx(0.06 * gentle.swales[0].poured.strip_m2, rel=0.02)


def test_the_lag_formula_changes_the_peaks_alone():
    """On 280 m of a slope of 10 % lag is slower than shallow flow: the sill sees less; depth and held storm stay."""
    asked = {"levels": {"levels_m": [102.0]}, "storm": {"depth_mm": 30.0, "check_depth_mm": 120.0}}
    velocity, lag = (
        plan(make_site(soil={"curve_number": 85, "travel": travel}, **asked), plane(shape=(300, 30))).swales[0]
        for travel in ("velocity", "lag")
    )
    assert lag.sized.shape.depth_m == velocity.sized.shape.depth_m
    assert lag.held_storm_mm == velocity.held_storm_mm
    assert 0.5 * velocity.sill.flow_m3s < lag.sill.flow_m3s < 0.97 * velocity.sill.flow_m3s


def test_no_ground_gathers_its_water_within_six_minutes(monkeypatch):
    """TR-55 (1986) ch. 3: on 50 m of steep ground the flow is that of 0.1 h, lower than that of its 0.01 h."""
    asked = {"levels": ONE_LEVEL, "storm": {"depth_mm": 30.0, "check_depth_mm": 120.0}}
    floored = plan(make_site(**asked), plane()).swales[0].sill.flow_m3s
    monkeypatch.setattr(storm_run, "LEAST_CONCENTRATION_H", 0.0)
    assert floored < plan(make_site(**asked), plane()).swales[0].sill.flow_m3s
    monkeypatch.setattr(storm_run, "overland_travel_h", lambda length_m, *_: np.full(np.shape(length_m), 0.1))
    assert plan(make_site(**asked), plane()).swales[0].sill.flow_m3s == pytest.approx(floored, rel=1e-9)


@pytest.fixture
def sample(tmp_path):
    """A copy of the sample's folder whose storm part can be replaced."""
    shutil.copytree(SAMPLE, tmp_path / "sample")
    brief = tmp_path / "sample" / "site.toml"

    def with_storm(text: str) -> Path:
        head, rest = brief.read_text(encoding="utf-8").split("\n[storm]\n")
        _, soil = rest.split("\n[soil]\n")
        brief.write_text(f"{head}\n[storm]\n{text}\n\n[soil]\n{soil}", encoding="utf-8")
        return brief

    return with_storm


def test_the_storm_from_a_daily_record(sample):
    """Depths of return periods rise, lie within their bands, and give the design and the check storm."""
    site = read_site(sample('record = "rain.csv"\nreturn_period_y = 10\ncheck_return_period_y = 50'))
    rows = storm_rows(site)
    assert [row["return_period_y"] for row in rows] == [2.0, 5.0, 10.0, 25.0, 50.0, 100.0]
    for row in rows:
        assert row["low_mm"] < row["depth_mm"] < row["high_mm"]
    assert storm_of(site).depth_mm == pytest.approx(rows[2]["depth_mm"], abs=0.05)
    assert storm_of(site).check_depth_mm == pytest.approx(rows[4]["depth_mm"], abs=0.05)
    assert len(storm_summary(site)["years"]) == 34


@pytest.mark.parametrize("hours", [9, 24])
def test_a_measured_course_takes_the_whole_depth_of_the_records_day(sample, hours):
    """A day's rain may have fallen in a shorter storm: it is not made less."""
    brief = sample('record = "rain.csv"\nreturn_period_y = 10\ncourse_file = "s.csv"\ncourse_time = "h"')
    (brief.parent / "s.csv").write_text("".join(f"{hour},{2 + hour % 3}\n" for hour in range(hours)))
    site, day = read_site(brief), read_site(sample('record = "rain.csv"\nreturn_period_y = 10'))
    assert storm_of(site).depth_mm == storm_of(day).depth_mm
    course = course_of(site, 40.0)
    assert (course.duration_h, course.depth_mm) == pytest.approx((hours, 40.0))
    assert storm_summary(site)["course"] == "as in s.csv"
    assert storm_summary(site)["duration_h"] == hours
    assert storm_rows(site)[1]["low_mm"] == storm_rows(day)[1]["low_mm"]


def test_a_measured_course_longer_than_the_records_day_is_refused(sample):
    """Thirty hours have no depth in a record of days."""
    brief = sample('record = "rain.csv"\nreturn_period_y = 10\ncourse_file = "s.csv"\ncourse_time = "h"')
    (brief.parent / "s.csv").write_text("".join(f"{hour},2\n" for hour in range(30)))
    with pytest.raises(BriefError, match="course file lasts 30 h"):
        read_site(brief)


@pytest.mark.parametrize(
    ("parts", "words"),
    [
        ({"soil": {"curve_number": 80, "infiltration_test": "t.csv"}}, r"\[soil\] infiltration_test names 't.csv'"),
        ({"storm": {"depth_mm": 50.0, "course_file": "s.csv"}}, r"\[storm\] course_file names 's.csv'"),
    ],
)
def test_a_site_whose_files_were_not_read_is_refused(parts, words):
    """A brief alone is not enough where it names a file that the plan rests on."""
    with pytest.raises(BriefError, match=words):
        plan(make_site(**parts), plane())


def test_the_storm_from_an_atlas_table(sample):
    """A table in inches gives its own depth at its own duration and return period."""
    brief = sample('table = "atlas.csv"\ntable_unit = "in"\nreturn_period_y = 10\nduration_h = 6')
    (brief.parent / "atlas.csv").write_text("duration,2,10,50\n1 h,0.8,1.4,2.0\n6 h,1.2,2.0,2.9\n24 h,1.6,2.6,3.8\n")
    site = read_site(brief)
    assert storm_of(site).depth_mm == pytest.approx(50.8)
    assert course_of(site, 50.8).depth_mm == pytest.approx(50.8)
    assert course_of(site, 50.8).duration_h == pytest.approx(6.0)


@pytest.mark.parametrize(
    ("text", "words"),
    [
        ('record = "rain.csv"', "return_period_y"),
        ("depth_mm = 50\nreturn_period_y = 10", "a return period goes with"),
        ('depth_mm = 50\nrecord = "rain.csv"', "depth_mm and record"),
        ('record = "rain.csv"\nreturn_period_y = 10\ncheck_return_period_y = 5', "must not be smaller"),
        ('record = "rain.csv"\nreturn_period_y = 10\ncourse = "IV"', "course"),
        ('record = "rain.csv"\nreturn_period_y = 10\ncourse = "alternating block"', "give table"),
    ],
)
def test_a_storm_part_that_contradicts_itself_is_refused(sample, text, words):
    """One source of rain, with what it needs."""
    with pytest.raises(BriefError, match=words):
        read_site(sample(text))


def test_the_held_storm_shrinks_on_wet_ground(design):
    """On wet ground less rain fills the ditches, on dry ground more."""
    assert design.held_wet_mm < design.held_storm_mm < design.held_dry_mm


def test_the_water_of_the_site_is_told_and_drawn(design):
    """Each row of the table adds up, and the chart stacks to what the storm brought."""
    rows = np.array([list(row.values()) for row in water_rows(design.run.design)])
    np.testing.assert_allclose(rows[:, 2:].sum(axis=1), rows[:, 1], atol=0.01)
    axes = draw_water(design.run.design, Figure().subplots())
    (brought,) = axes.lines
    top = axes.collections[-1].get_paths()[0].vertices[:, 1].max()
    assert top == pytest.approx(max(brought.get_ydata()), rel=1e-6)


def test_the_highest_water_is_told_and_stands_above_the_sill_where_it_spills(design):
    """Each row tells the peak level: below the sill where nothing spills, over it and below the crest where it does."""
    roomy = plan(make_site(soil={"curve_number": 85, "intake_mm_h": 20.0}), hills())
    for spills, whole in ((True, design), (False, roomy)):
        for number, swale in enumerate(whole.swales):
            shape, peak_m = swale.sized.shape, swale.routed.peak_level_m
            assert (whole.run.design.spilled_m3[number] > 1e-6) == spills
            assert (shape.sill_level_m < peak_m < shape.crest_level_m) == spills
            assert (shape.floor_level_m < peak_m <= shape.sill_level_m + 1e-9) != spills
            assert swale_row(swale)["peak_level_m"] == pytest.approx(peak_m, abs=0.005)


@pytest.mark.compiled
def test_the_check_storm_finds_the_ditches_as_the_brief_says():
    """Empty, as left, full: ever longer sills, and no berm is overtopped; after ten days dry ditches are empty ones."""
    terrain = plane(shape=(150, 200))
    designs = {
        name: plan(make_site(conditions=part), terrain)
        for name, part in {
            "empty": {"ditches": "empty"},
            "a day": {},
            "ten days": {"hours_between": 240.0},
            "full": {"ditches": "full"},
        }.items()
    }
    length_m = {name: sum(swale.sill.length_m for swale in design.swales) for name, design in designs.items()}
    assert length_m["empty"] <= length_m["ten days"] <= length_m["a day"] <= length_m["full"]
    assert length_m["empty"] < length_m["full"]
    assert not any(swale.routed.overtopped for design in designs.values() for swale in design.swales)
    full = designs["full"]
    by_pond = [pond.stage.volume_m3_at(pond.sill.level_m) for pond in full.run.ponds]
    np.testing.assert_allclose(full.run.standing_m3, by_pond, rtol=1e-9)
    assert {pond.stored_m3 for pond in full.run.ponds} == {0.0}


@pytest.mark.compiled
def test_wet_ground_sheds_more():
    """Condition III raises what each swale is sized for; the band from dry to wet stays what it was about the soil."""
    average, wet = (plan(make_site(conditions={"moisture": word}), plane()) for word in ("average", "wet"))
    assert wet.site_runoff_m3 > 1.3 * average.site_runoff_m3
    assert wet.dug_m3 > average.dug_m3
    assert wet.held_storm_mm >= 50.0
    assert wet.held_wet_mm == pytest.approx(wet.held_storm_mm, rel=0.02)
