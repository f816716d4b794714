"""Gauge notes read back: water made of a known curve number is poured into ditches, read off, and tells it again."""

from dataclasses import replace

import numpy as np
import pytest
from sites import hills, make_site, plane

from swalekit.design.brief.settings import course_of
from swalekit.design.gauging import GaugeNote, gauge, gauge_posts, worth_a_post
from swalekit.design.plan import plan
from swalekit.errors import InputError
from swalekit.hydrology.losses import CurveNumberLoss, Soil
from swalekit.hydrology.routing.cascade import local_runoff_m3, pass_down
from swalekit.hydrology.routing.routing import standing_m3
from swalekit.hydrology.routing.unit_hydrograph import storm_inflow_m3s
from swalekit.reporting.words.gauge_words import gauge_words

TRUE_NUMBER = 83.0
RAINS = (18.0, 24.0, 30.0, 36.0)


def designed(terrain=None, **soil):
    """Two lines sized for another curve number than the ground has."""
    site = make_site(soil={"curve_number": 75.0} | soil, levels={"levels_m": [108.0, 104.0]})
    return plan(site, plane() if terrain is None else terrain)


@pytest.fixture(scope="module")
def tight():
    """Ditches of which nothing is known to soak away."""
    return designed()


@pytest.fixture(scope="module")
def soaking():
    """Ditches in loam."""
    return designed(texture="loam")


def by_hand_m3(design, rain_mm, number):
    """Runoff of the ground by the equation, all rain on the strips, handed down where a ditch is full [m³]."""
    retention = 25400.0 / number - 254.0
    runoff_mm = max(rain_mm - 0.2 * retention, 0.0) ** 2 / (rain_mm + 0.8 * retention)
    stores = design.run.stores
    local = 0.001 * (stores.area_m2[:, 0] * runoff_mm + stores.strip_area_m2 * (rain_mm - runoff_mm))
    assert local == pytest.approx(local_runoff_m3(stores, rain_mm, Soil((CurveNumberLoss(number),))))
    capacity = np.array([pond.stage.volume_m3_at(pond.sill.level_m) for pond in design.run.ponds])
    return pass_down(stores, local, capacity).held_m3


def notes_of(design, volumes_m3, rain_mm, *, date, after_h=0.0):
    """A note a swale, its level read to the millimetre."""
    pairs = zip(design.swales, design.run.ponds, volumes_m3, strict=False)
    return [
        GaugeNote(date, swale.id, rain_mm, level_m=round(float(pond.stage.level_m_at(volume)), 3), after_h=after_h)
        for swale, pond, volume in pairs
    ]


def test_the_number_that_the_water_was_made_of_comes_back(tight):
    """Poured by hand without soaking: every reading known in full tells it within 0.3, all of them within 0.1."""
    notes = [
        note
        for place, rain in enumerate(RAINS)
        for note in notes_of(tight, by_hand_m3(tight, rain, TRUE_NUMBER), rain, date=f"2026-0{place + 1}-05")
    ]
    gauging = gauge(tight, notes)
    assert [reading.state for reading in gauging.readings] == ["used"] * 8
    assert max(abs(reading.curve_number - TRUE_NUMBER) for reading in gauging.readings) < 0.3
    assert gauging.fitted.curve_number == pytest.approx(TRUE_NUMBER, abs=0.1)
    assert gauging.brief_number == 75.0
    assert gauging.numbers_to_put == (gauging.fitted.curve_number,)
    assert gauging.trend.kind == "steady"


@pytest.mark.parametrize("after_h", [0.0, 6.0, 15.0])
def test_soaking_until_the_reading_is_counted(soaking, after_h):
    """Routed in time with soaking at the soil's rate, read hours later: the number comes back within 0.3."""
    soil, run = Soil((CurveNumberLoss(TRUE_NUMBER),)), soaking.run
    ponds = [replace(pond, intake_mm_h=2.0 * pond.intake_mm_h) for pond in run.ponds]
    notes = []
    for place, rain in enumerate((26.0, 31.0, 36.0)):
        flow = storm_inflow_m3s(run.stores, soil, course_of(soaking.site, rain), run.concentration_h, step_min=1.0)
        standing = standing_m3(run.stores, ponds, flow, step_min=1.0, at_h=24.0 + after_h)
        notes += notes_of(soaking, standing, rain, date=f"2026-0{place + 1}-05", after_h=after_h)
    gauging = gauge(soaking, notes)
    assert gauging.intake_mm_h == soaking.ground.soil.intake_mm_h
    assert gauging.fitted.readings == 6
    assert gauging.fitted.curve_number == pytest.approx(TRUE_NUMBER, abs=0.3)


def test_the_level_falls_at_the_rate_of_soaking(soaking):
    """A reading hours later speaks for the runoff of the level that stood that much higher when the rain ended."""
    floor_m, rate_m_h = soaking.swales[0].sized.shape.floor_level_m, soaking.ground.soil.intake_mm_h / 1000.0
    at_end, later = (
        gauge(soaking, [GaugeNote("2026-01-05", "S1", 34.0, level_m=floor_m + depth_m, after_h=hours)]).readings[0]
        for depth_m, hours in ((0.20, 0.0), (0.20 - 10.0 * rate_m_h, 10.0))
    )
    assert later.runoff_mm == pytest.approx(at_end.runoff_mm, rel=0.01)
    assert later.soaked_m3 > at_end.soaked_m3 > 0.0


def test_two_readings_of_one_rain_show_the_rate_of_soaking(soaking):
    """4 mm/h between two readings; the later one is not counted for the runoff again."""
    notes = [
        GaugeNote("2026-01-05", "S1", 34.0, depth_m=depth, after_h=hours) for depth, hours in ((0.2, 1), (0.12, 21))
    ]
    gauging = gauge(soaking, notes)
    assert (gauging.intake_mm_h, gauging.intake_read) == (pytest.approx(4.0), 1)
    assert [reading.state for reading in gauging.readings] == ["used", "read later"]
    assert gauging.readings[0].runoff_mm == pytest.approx(gauging.readings[1].runoff_mm, rel=0.02)
    twice = gauge(soaking, [notes[0], replace(notes[1], rain_mm=36.0)])  # two rains of one day
    assert [reading.state for reading in twice.readings] == ["used", "used"]


def test_what_a_reading_can_not_tell(tight):
    """Over the sill that or more, dry that or less, more than the rain nothing, from above nothing."""
    shape = tight.swales[0].sized.shape
    full_m = shape.sill_level_m - shape.floor_level_m
    notes = [
        GaugeNote("2026-01-05", "S1", 60.0, depth_m=full_m + 0.02),
        GaugeNote("2026-02-05", "S1", 20.0, depth_m=0.0),
        GaugeNote("2026-03-05", "S1", 5.0, depth_m=0.3),
        GaugeNote("2026-04-05", "S2", 90.0, depth_m=0.3),
        GaugeNote("2026-05-05", "S1", 30.0, depth_m=0.2),
    ]
    gauging = gauge(tight, notes)
    assert [reading.state for reading in gauging.readings] == ["at least", "at most", "more than fell", "used", "used"]
    over, dry, strange, *_ = gauging.readings
    full_mm = 1000.0 * shape.storage_m3 / tight.run.stores.area_m2[0, 0]
    assert over.runoff_mm < full_mm
    assert over.curve_number < 100.0
    assert dry.runoff_mm == 0.0
    assert (strange.runoff_mm, strange.curve_number) == (None, None)
    assert gauging.fitted.readings == 2
    words = gauge_words(gauging)
    assert "S1 on 2026-03-05" in " ".join(words)


def test_water_over_a_sill_above_is_not_counted(tight):
    """When the upper swale is too full for its own ditch, the lower one's water isn't its own."""
    held = by_hand_m3(tight, 80.0, 90.0)
    gauging = gauge(tight, notes_of(tight, 0.999 * held, 80.0, date="2026-01-05"))
    assert gauging.readings[0].state == "at least"
    assert gauging.fitted is None
    assert "no curve number is fitted" in " ".join(gauge_words(gauging))


def test_water_that_stood_before_is_taken_off(tight):
    """The same level speaks for less runoff where a part of the water was there."""
    fresh, stood = (
        gauge(tight, [GaugeNote("2026-01-05", "S1", 34.0, depth_m=0.2, before_m=before)]).readings[0].runoff_mm
        for before in (0.0, 0.1)
    )
    assert stood < fresh


def test_hollows_above_keep_their_share():
    """On ground with hollows the stores' own graph is inverted: the number comes back there too."""
    site = make_site(soil={"curve_number": 75.0}, levels={"interval_m": 2.0})
    design = plan(site, hills())
    number = 90.0
    notes = notes_of(design, by_hand_m3(design, 34.0, number), 34.0, date="2026-01-05")
    used = gauge(design, notes).used
    assert used
    assert all(reading.curve_number == pytest.approx(number, abs=0.4) for reading in used)


def test_other_methods_are_told_beside_the_number():
    """A brief of a runoff coefficient gets the depth beside its own, the number as information, and no line to put."""
    site = make_site(soil={"runoff_coefficient": 0.25}, levels={"levels_m": [108.0, 104.0]})
    design = plan(site, plane())
    gauging = gauge(design, [GaugeNote("2026-01-05", "S1", 30.0, depth_m=0.25)])
    assert gauging.readings[0].brief_mm == pytest.approx(7.5)
    assert gauging.numbers_to_put == ()
    assert "another method (runoff coefficient)" in " ".join(gauge_words(gauging))


def test_a_brief_of_another_ratio_gets_its_own_number(tight):
    """With Ia/S 0.05 the fitted number is for that ratio."""
    design = designed(initial_abstraction_ratio=0.05)
    reading = gauge(design, [GaugeNote("2026-01-05", "S1", 30.0, depth_m=0.15)]).readings[0]
    usual = gauge(tight, [GaugeNote("2026-01-05", "S1", 30.0, depth_m=0.15)]).readings[0]
    assert reading.curve_number < usual.curve_number - 2.0


def test_the_same_notes_say_the_same(tight):
    """Twice the same, to the last bit; the brief stays as it is."""
    notes = [GaugeNote(f"2026-0{k + 1}-05", "S1", 25.0 + 3 * k, depth_m=0.1 + 0.03 * k) for k in range(5)]
    first, second = (gauge(tight, notes) for _ in range(2))
    assert first.readings == second.readings
    assert first.fitted == second.fitted
    assert first.design.site.brief is tight.site.brief


def test_a_swale_that_is_not_there_is_named(tight):
    """And where the notes are empty."""
    with pytest.raises(InputError, match="names swale 'S9'; the plan has S1, S2"):
        gauge(tight, [GaugeNote("2026-01-05", "S9", 30.0, depth_m=0.2)])
    with pytest.raises(InputError, match="no note to read"):
        gauge(tight, [])


def test_posts_have_their_marks_in_order(tight):
    """Half the storage stands at the half mark, all of it at the sill's; unsure catchments come last."""
    for post, swale, pond in zip(gauge_posts(tight), tight.swales, tight.run.ponds, strict=False):
        assert float(pond.stage.volume_m3_at(post.floor_level_m + post.half_m)) == pytest.approx(swale.storage_m3 / 2.0)
        assert 0.0 < post.half_m < post.full_m < post.over_m <= post.crest_m + 0.1
        assert post.full_m == pytest.approx(swale.water_depth_m)
    posts = gauge_posts(tight)
    marked = (replace(posts[0], unsure=""), replace(posts[1], unsure="catchment cut off"))
    assert worth_a_post(marked, most=1) == (marked[0],)
