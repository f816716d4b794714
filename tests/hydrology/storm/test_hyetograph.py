"""Storms over their time."""

import numpy as np
import pytest
from matplotlib.figure import Figure

from swalekit.errors import InputError
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.hyetograph import Hyetograph, uniform_storm
from swalekit.hydrology.storm.storm import NRCS_KINDS, alternating_block, nrcs_storm, published_ratios
from swalekit.reporting.charts.storm.rain import draw_hyetograph

BURSTS_H = np.array([0.5, 1.0, 2.0, 3.0, 6.0, 12.0])
ATLAS = DepthTable(
    np.array([0.25, 0.5, 1.0, 2.0, 6.0, 24.0]),
    np.array([2.0, 10.0]),
    np.array([[9.0, 15.0], [12.0, 21.0], [15.0, 26.0], [18.0, 30.0], [24.0, 41.0], [33.0, 60.0]]),
)


def storms():
    """One storm of each kind, 60 mm deep."""
    return {
        **{f"NRCS {kind}": nrcs_storm(60.0, kind) for kind in NRCS_KINDS},
        "uniform": uniform_storm(60.0, 5.0),
        "alternating block": alternating_block(ATLAS, return_period_y=10.0, duration_h=24.0, step_min=15.0),
        "late burst": Hyetograph(np.array([0.0, 1.0, 1.5]), np.array([0.0, 10.0, 60.0])),
        "measured": Hyetograph(np.array([0.0, 0.3, 1.0, 4.1]), np.array([0.0, 10.0, 10.0, 60.0])),
    }


@pytest.mark.parametrize(
    ("kind", "ordinates"),
    [
        ("I", {2: 0.035, 6: 0.125, 8: 0.194, 10: 0.515, 12: 0.684, 16: 0.832, 20: 0.932, 24: 1.0}),
        ("IA", {2: 0.050, 6: 0.206, 8: 0.425, 10: 0.577, 12: 0.664, 16: 0.801, 20: 0.9126, 24: 1.0}),
        ("II", {2: 0.022, 6: 0.080, 8: 0.120, 10: 0.181, 12: 0.663, 16: 0.880, 20: 0.952, 24: 1.0}),
        ("III", {2: 0.020, 6: 0.072, 8: 0.114, 10: 0.189, 12: 0.500, 16: 0.886, 20: 0.957, 24: 1.0}),
    ],
)
def test_nrcs_ordinates(kind, ordinates):
    """NRCS 24-hour distributions at tenths of an hour, as transcribed by Texas Tech University (CE 3354)."""
    storm = nrcs_storm(1.0, kind)
    found = np.interp(list(ordinates), storm.time_h, storm.cumulative_mm)
    assert found == pytest.approx(list(ordinates.values()), abs=5e-5)


@pytest.mark.parametrize("kind", ["I", "IA", "II", "III"])
def test_nrcs_vintages_differ_little(kind):
    """The table of 23 ordinates (SCS TP-149, from memory) differs from the half-hour table by less than 0.7 %."""
    hours = [2, 6, 8, 9, 10, 11, 12, 13, 14, 16, 20]
    older = {
        "I": [0.035, 0.125, 0.194, 0.254, 0.515, 0.624, 0.682, 0.727, 0.767, 0.830, 0.926],
        "IA": [0.050, 0.206, 0.425, 0.520, 0.577, 0.624, 0.664, 0.701, 0.736, 0.800, 0.906],
        "II": [0.022, 0.080, 0.120, 0.147, 0.181, 0.235, 0.663, 0.772, 0.820, 0.880, 0.952],
        "III": [0.020, 0.072, 0.115, 0.148, 0.189, 0.250, 0.500, 0.751, 0.811, 0.886, 0.957],
    }[kind]
    storm = nrcs_storm(1.0, kind)
    assert np.interp(hours, storm.time_h, storm.cumulative_mm) == pytest.approx(older, abs=7e-3)


def test_nrcs_closed_form_an_hour_before_the_middle():
    """Haan, Barfield & Hayes (1994) eq. 3.7 for type II at 11 h: 0.5 + (T/24)(24.04/(2|T| + 0.04))^0.75, T = −1 h."""
    storm = nrcs_storm(1.0, "II")
    closed = 0.5 - (1.0 / 24.0) * (24.04 / 2.04) ** 0.75
    assert np.interp(11.0, storm.time_h, storm.cumulative_mm) == pytest.approx(closed, abs=5e-4)


@pytest.mark.parametrize("kind", NRCS_KINDS)
def test_nrcs_bursts(kind):
    """The greatest burst of any length is that of the distribution at tenths of an hour, within 0.25 % of the day."""
    storm = nrcs_storm(1.0, kind)
    bursts = [storm.peak_intensity_mm_h(60.0 * hours) * hours for hours in BURSTS_H]
    ratios = published_ratios(kind)
    assert bursts == pytest.approx([ratios[hours] for hours in BURSTS_H], abs=2.5e-3)


@pytest.mark.parametrize("name", storms())
@pytest.mark.parametrize("step_min", [5.0, 7.0, 60.0, 10_000.0])
def test_increments_sum_to_the_depth(name, step_min):
    """Steps of any length hold all rain and none twice, the last cut short or not."""
    increments = storms()[name].increments_mm(step_min)
    assert increments.sum() == pytest.approx(60.0, rel=1e-12)
    assert (increments >= 0).all()
    assert (len(increments) - 1) * step_min < 60.0 * storms()[name].duration_h + 1e-6


@pytest.mark.parametrize("name", storms())
def test_peak_intensity_is_the_greatest_of_all_windows(name):
    """No window laid at any time holds more, and one finely laid holds nearly as much."""
    storm = storms()[name]
    starts_h = np.linspace(0.0, storm.duration_h, 20_001)
    for window_min in (10.0, 45.0, 180.0):
        ends_h = starts_h + window_min / 60.0
        held_mm = np.interp(ends_h, storm.time_h, storm.cumulative_mm)
        tried = np.max(held_mm - np.interp(starts_h, storm.time_h, storm.cumulative_mm)) / (window_min / 60.0)
        assert tried <= storm.peak_intensity_mm_h(window_min) * (1 + 1e-12)
        assert tried == pytest.approx(storm.peak_intensity_mm_h(window_min), rel=0.02)


@pytest.mark.parametrize("name", storms())
def test_scaling_keeps_the_shape(name):
    """A scaled storm lasts as long and has every intensity in proportion; a window over all holds the depth."""
    storm = storms()[name]
    doubled = storm.scaled_to(120.0)
    assert (doubled.depth_mm, doubled.duration_h) == (pytest.approx(120.0), storm.duration_h)
    assert doubled.increments_mm(15.0) == pytest.approx(2.0 * storm.increments_mm(15.0), rel=1e-12)
    day_min = 60.0 * storm.duration_h
    assert storm.peak_intensity_mm_h(2 * day_min) == pytest.approx(60.0 / (2 * storm.duration_h), rel=1e-12)


@pytest.mark.parametrize(("duration_h", "step_min"), [(24.0, 15.0), (6.0, 30.0), (3.75, 15.0), (0.25, 15.0)])
def test_alternating_block_holds_the_table_round_its_peak(duration_h, step_min):
    """Any number of blocks round the peak hold the table's depth for that time (Chow et al. 1988 section 14.4)."""
    storm = alternating_block(ATLAS, return_period_y=10.0, duration_h=duration_h, step_min=step_min)
    increments = storm.increments_mm(step_min)
    middle = (len(increments) - 1) // 2
    for count in range(1, len(increments) + 1):
        first = middle - (count - 1) // 2
        held_mm = increments[first : first + count].sum()
        assert held_mm == pytest.approx(ATLAS.depth_mm_at(count * step_min / 60.0, 10.0), rel=1e-12)


def test_alternating_block_from_ratios():
    """From a day's depth and shares, the wettest hour and the whole day are the shares' own."""
    table = DepthTable.from_ratios(60.0, published_ratios("II"), return_period_y=5.0)
    storm = alternating_block(table, return_period_y=5.0, duration_h=24.0, step_min=30.0)
    assert storm.peak_intensity_mm_h(60.0) == pytest.approx(0.454 * 60.0, rel=1e-12)
    assert storm.depth_mm == pytest.approx(60.0, rel=1e-12)
    assert storm.increments_mm(30.0).argmax() == 23  # the half hour before the middle


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: Hyetograph(np.array([0.0, 1.0]), np.array([1.0, 2.0])), "must start with 0 mm at 0 h"),
        (lambda: Hyetograph(np.array([0.0]), np.array([0.0])), "have at least one more"),
        (lambda: Hyetograph(np.array([0.0, 2.0, 1.0]), np.array([0.0, 1.0, 2.0])), "1 h comes after 2 h"),
        (lambda: Hyetograph(np.array([0.0, 1.0, 2.0]), np.array([0.0, 3.0, 2.0])), "at 2 h: -1 mm since"),
        (lambda: Hyetograph(np.array([0.0, 1.0]), np.array([0.0, 0.0])), "storm_depth_mm is 0"),
        (lambda: Hyetograph.from_increments([1.0, -1.0], step_min=5.0), "rain can't be negative"),
        (lambda: nrcs_storm(60.0, "IB"), "kind is 'IB'"),
        (lambda: nrcs_storm(0.0, "II"), "depth_mm is 0"),
        (lambda: uniform_storm(60.0, 0.0), "duration_h is 0"),
        (
            lambda: alternating_block(ATLAS, return_period_y=10.0, duration_h=1.0, step_min=25.0),
            "1 h is no whole number of steps of 25 min",
        ),
        (
            lambda: alternating_block(ATLAS, return_period_y=10.0, duration_h=1.0, step_min=5.0),
            "duration is 0.0833333 h; the depth table reaches from 0.25 to 24 h",
        ),
    ],
)
def test_bad_storm_fails(make, words):
    """A storm that can't be is refused with the reason."""
    with pytest.raises(InputError, match=words):
        make()


@pytest.mark.parametrize(
    ("units", "per_mm", "words"), [("metric", 1.0, "60 mm over"), ("us", 1 / 25.4, "2.36 in over")]
)
def test_hyetograph_chart_shows_all_rain(units, per_mm, words):
    """Bars hold the storm's rain, the line ends at its depth, and the words say it."""
    storm = uniform_storm(60.0, 7.25)
    figure = Figure()
    axes = figure.subplots()
    assert draw_hyetograph(storm, axes, units=units) is axes
    values, edges, _ = axes.patches[0].get_data()
    assert values @ np.diff(edges) == pytest.approx(60.0 * per_mm)
    assert values == pytest.approx(60.0 / 7.25 * per_mm)  # the cut bar has the storm's intensity too
    fallen = figure.axes[1]
    assert fallen.lines[0].get_ydata()[-1] == pytest.approx(60.0 * per_mm)
    assert fallen.texts[0].get_text().startswith(words)
