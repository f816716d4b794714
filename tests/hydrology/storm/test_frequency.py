"""Frequency analysis against published examples."""

from functools import partial

import numpy as np
import pytest
from matplotlib.figure import Figure
from scipy.stats import lmoment

from swalekit.errors import InputError
from swalekit.hydrology.storm.annual_maxima import DAILY_READING_FACTOR, AnnualMaxima, annual_maxima
from swalekit.hydrology.storm.daily_record import DailyRecord
from swalekit.hydrology.storm.fit import GEV, GUMBEL, HEAVY_TAIL, LOG_PEARSON_3, Fit, goodness, plotting_positions
from swalekit.hydrology.storm.fitting import (
    GUMBEL_METHODS,
    HEAVY_SHAPE,
    fit_gev,
    fit_gumbel,
    fit_heavy_tail,
    fit_log_pearson3,
    l_moments,
    shape_score,
)
from swalekit.hydrology.storm.frequency import analyse_frequency, confidence_band, resampled_fits
from swalekit.reporting.charts.storm.record import draw_frequency

MEDINA = np.array([
    903.4, 900.6, 495.6, 492.8, 410.6, 371.0, 342.7, 274.1, 267.3, 261.1, 231.1, 212.7, 195.1, 180.1, 160.3, 155.2,
    153.8, 146.7, 140.5, 134.5, 130.8, 117.0, 112.1, 100.3, 95.2, 94.9, 90.6, 86.4, 83.5, 77.3, 71.9, 61.2, 60.9, 60.6,
    58.1, 56.6, 56.1, 49.6, 41.6, 34.0, 25.2, 24.5, 22.7,
])  # fmt: skip
"""Medina River, Texas: 43 annual peaks [m³/s], HDS-2 (2002) Table 4.11."""

HOSKING = np.array([2.0, 3.0, 4.0, 2.4, 5.5, 1.2, 5.4, 2.2, 7.1, 1.3, 1.5])
"""Sample of the lmoments3 test suite, a port of Hosking's routines."""

FITTINGS = (fit_gumbel, fit_gev, fit_heavy_tail, fit_log_pearson3)
HDS2_PERIODS_Y = [2.0, 5.0, 10.0, 25.0, 50.0, 100.0]


def sample_of(mean, deviation, count):
    """A sample that has exactly this mean and standard deviation."""
    values = np.arange(count, dtype=np.float64)
    return mean + deviation * (values - values.mean()) / values.std(ddof=1)


def maxima_of(depth_mm):
    """Annual maxima of consecutive years."""
    return AnnualMaxima(np.arange(1980, 1980 + len(depth_mm)), np.asarray(depth_mm, np.float64))


def test_hds2_log_moments_of_medina_river():
    """HDS-2 (2002) section 4.3: mean, deviation and station skew of the logarithms; mean and deviation of the peaks."""
    skew, mean, deviation = fit_log_pearson3(MEDINA).parameters
    assert (mean, deviation, skew) == pytest.approx((2.091, 0.394, 0.236), abs=1e-3)
    assert (MEDINA.mean(), MEDINA.std(ddof=1)) == pytest.approx((187.0, 200.4), abs=0.1)


def test_hds2_gumbel_of_medina_river():
    """HDS-2 (2002): 10- and 100-year peaks of 485 and 895 m³/s with the frequency factor for 43 years."""
    assert fit_gumbel(MEDINA, method="finite moments").quantile_mm([10.0, 100.0]) == pytest.approx([485, 895], abs=1)


def test_hds2_log_pearson_of_medina_river_with_station_skew():
    """HDS-2 (2002): log-Pearson III with the station skew rounded to 0.2."""
    published = [120, 262, 402, 641, 875, 1160]
    assert fit_log_pearson3(MEDINA, skew=0.2).quantile_mm(HDS2_PERIODS_Y) == pytest.approx(published, rel=5e-3)


def test_hds2_log_pearson_of_medina_river_with_weighted_skew():
    """HDS-2 (2002) Table 4.16: peaks of the skew weighted with the region's, 0.084, rounded to 0.1."""
    published = [121, 264, 398, 622, 834, 1090]  # 834: the printed 836 doesn't follow from the inputs printed with it
    assert fit_log_pearson3(MEDINA, skew=0.1).quantile_mm(HDS2_PERIODS_Y) == pytest.approx(published, rel=5e-3)


@pytest.mark.parametrize(("rank", "published"), [(1, 0.023), (22, 0.500), (43, 0.977)])
def test_hds2_weibull_positions(rank, published):
    """HDS-2 (2002) Table 4.11: exceedance probabilities of ranks 1, 22 and 43 of 43."""
    assert plotting_positions(43, "weibull")[rank - 1] == pytest.approx(published, abs=5e-4)


@pytest.mark.parametrize(
    ("count", "published"),
    [
        (10, [-0.1355, 1.0581, 1.8483, 2.8468, 3.5876, 4.3228, 6.0219]),
        (15, [-0.1433, 0.9672, 1.7025, 2.6315, 3.3207, 4.0048, 5.5857]),
        (20, [-0.1478, 0.9186, 1.6247, 2.5169, 3.1787, 3.8357, 5.3538]),
        (25, [-0.1506, 0.8879, 1.5755, 2.4442, 3.0887, 3.7285, 5.2068]),
        (30, [-0.1525, 0.8664, 1.5410, 2.3933, 3.0257, 3.6533, 5.1038]),
        (40, [-0.1552, 0.8379, 1.4955, 2.3262, 2.9426, 3.5543, 4.9680]),
        (50, [-0.1568, 0.8197, 1.4662, 2.2831, 2.8892, 3.4907, 4.8808]),
        (60, [-0.1580, 0.8069, 1.4457, 2.2529, 2.8517, 3.4460, 4.8195]),
        (80, [-0.1595, 0.7899, 1.4186, 2.2128, 2.8020, 3.3869, 4.7384]),
    ],
)
def test_hds2_gumbel_frequency_factors(count, published):
    """HDS-2 (2002) Table 4.12: of a sample of mean 0 and deviation 1, quantiles are the frequency factors."""
    fit = fit_gumbel(sample_of(0.0, 1.0, count), method="finite moments")
    assert fit.quantile_mm([2.0, *HDS2_PERIODS_Y[1:], 500.0]) == pytest.approx(published, abs=3e-4)


def test_gumbel_frequency_factors_of_endless_years():
    """K = −(√6/π)(0.5772 + ln ln(T/(T − 1))), Chow, Maidment & Mays (1988) eq. 12.3.8, from memory."""
    periods_y = np.array(HDS2_PERIODS_Y)
    factors = -np.sqrt(6.0) / np.pi * (0.5772157 + np.log(np.log(periods_y / (periods_y - 1.0))))
    found = fit_gumbel(sample_of(0.0, 1.0, 30), method="moments").quantile_mm(periods_y)
    assert found == pytest.approx(factors, abs=1e-7)
    assert found == pytest.approx([-0.1643, 0.7194, 1.3046, 2.0438, 2.5923, 3.1367], abs=1e-4)


@pytest.mark.parametrize(
    ("skew", "published"),
    [
        (0.2, [-0.03325, 0.83044, 1.30105, 1.81756, 2.15935, 2.47226]),
        (0.1, [-0.01662, 0.83639, 1.29178, 1.78462, 2.10697, 2.39961]),
        (-0.3, [0.04993, 0.85285, 1.24516, 1.64329, 1.88959, 2.10394]),
    ],
)
def test_hds2_log_pearson_frequency_factors(skew, published):
    """HDS-2 (2002) Tables 4.13 to 4.16; the printed 2-year factors are off by 6e-5 for positive skew."""
    factors = np.log10(Fit(LOG_PEARSON_3, (skew, 0.0, 1.0)).quantile_mm(HDS2_PERIODS_Y))
    assert factors == pytest.approx(published, abs=7e-5)
    assert factors[1:] == pytest.approx(published[1:], abs=1e-5)


def test_chow_chicago_rain():
    """Chow, Maidment & Mays (1988) examples 12.2.1 and 12.3.1, from memory: 10-minute maxima at Chicago [in]."""
    fit = fit_gumbel(sample_of(0.649, 0.177, 35), method="moments")
    assert fit.parameters == pytest.approx((0.569, 0.138), abs=5e-4)
    assert fit.quantile_mm([5.0, 10.0, 50.0]) == pytest.approx([0.78, 0.88, 1.11], abs=5e-3)


def test_l_moments_of_hosking_sample():
    """L-moments and their ratios in the lmoments3 test suite."""
    first, second, *higher = l_moments(HOSKING, 5)
    assert (first, second) == pytest.approx((3.23636364, 1.14181818), abs=1e-7)
    assert np.array(higher) / second == pytest.approx([0.27388535, 0.02335456, -0.04246285], abs=1e-7)


def test_fits_of_hosking_sample():
    """Gumbel and GEV parameters and Gumbel quantiles in the lmoments3 test suite."""
    gumbel = fit_gumbel(HOSKING)
    assert gumbel.parameters == pytest.approx((2.285519, 1.647295), abs=1e-6)
    assert fit_gev(HOSKING).parameters == pytest.approx((-0.1555609, 2.1792884, 1.3956404), abs=1e-7)
    quantiles = gumbel.quantile_mm(1.0 / (1.0 - np.array([0.2, 0.5, 0.8])))
    assert quantiles == pytest.approx([1.501596, 2.889274, 4.756363], abs=1e-6)


@pytest.mark.parametrize("count", [4, 7, 100])
def test_l_moments_of_whole_numbers(count):
    """Of 1 … n the L-moments are (n + 1)/2, (n + 1)/6, 0 and 0, in whatever order they come."""
    values = np.random.default_rng(3).permutation(np.arange(1.0, count + 1.0))
    assert l_moments(values, 4) == pytest.approx([(count + 1) / 2, (count + 1) / 6, 0, 0], abs=1e-10 * count)


@pytest.mark.parametrize("count", [5, 30, 90])
def test_l_moments_are_those_of_scipy(count):
    """Of any sample the first three are what `scipy.stats.lmoment` gives, by another sum."""
    sample = np.random.default_rng(count).gumbel(40.0, 12.0, count)
    assert l_moments(sample, 3) == pytest.approx(lmoment(sample, order=[1, 2, 3], standardize=False), rel=1e-11)


@pytest.mark.parametrize("shape", [-0.6, -0.2, 0.0, 0.3, 1.5])
def test_gev_is_found_again(shape):
    """A fit of a long sample at the distribution's own quantiles gives its parameters back, flat tail or heavy."""
    probability = (np.arange(20_000) + 0.5) / 20_000
    sample = Fit(GEV, (shape, 50.0, 15.0)).quantile_mm(1.0 / probability)
    assert fit_gev(sample).parameters == pytest.approx((shape, 50.0, 15.0), rel=0.02, abs=0.02)


def test_gev_without_shape_is_gumbel():
    """As the shape of a GEV distribution vanishes it becomes Gumbel's."""
    periods_y = np.array(HDS2_PERIODS_Y)
    gumbel = Fit(GUMBEL, (50.0, 15.0)).quantile_mm(periods_y)
    assert Fit(GEV, (0.0, 50.0, 15.0)).quantile_mm(periods_y) == pytest.approx(gumbel, rel=1e-12)


@pytest.mark.parametrize("fitting", [*FITTINGS, *(partial(fit_gumbel, method=method) for method in GUMBEL_METHODS)])
def test_cumulative_probability_undoes_the_quantile(fitting):
    """A depth exceeded once in T years is not exceeded with probability 1 − 1/T; its unit doesn't matter."""
    periods_y = np.array(HDS2_PERIODS_Y)
    fit = fitting(MEDINA)
    assert fit.cdf(fit.quantile_mm(periods_y)) == pytest.approx(1.0 - 1.0 / periods_y, rel=1e-9)
    assert fitting(25.4 * MEDINA).quantile_mm(periods_y) == pytest.approx(25.4 * fit.quantile_mm(periods_y), rel=1e-6)


@pytest.mark.parametrize(
    ("rule", "first"),
    [
        ("weibull", 1 / 21),
        ("hazen", 0.5 / 20),
        ("gringorten", 0.56 / 20.12),  # from memory: Gringorten (1963)
        ("cunnane", 0.6 / 20.2),  # from memory: Cunnane (1978)
        ("blom", 0.0309),  # Critchley & Siegert (1991), P = (m − 0.375)/(N + 0.25): 3.09 %
    ],
)
def test_plotting_positions(rule, first):
    """Positions of 20 values start as published and lie evenly, the same from both ends."""
    positions = plotting_positions(20, rule)
    assert positions[0] == pytest.approx(first, abs=5e-5)
    assert positions[::-1] == pytest.approx(1.0 - positions, abs=1e-12)
    assert np.diff(positions) == pytest.approx(positions[1] - positions[0], abs=1e-12)


def test_fao_rule_for_the_driest_year():
    """Critchley & Siegert (1991): the last of 20 years has a probability of 96.9 %."""
    assert plotting_positions(20, "blom")[-1] == pytest.approx(0.969, abs=5e-4)


def test_goodness_of_a_perfect_fit():
    """A sample at a fit's own quantiles has no error, full correlation and steps as far off as its positions."""
    fit = Fit(GUMBEL, (40.0, 12.0))
    figures = goodness(fit, fit.quantile_mm(1.0 / plotting_positions(10, "hazen")), plotting_rule="hazen")
    assert (figures.error_mm, figures.correlation) == pytest.approx((0.0, 1.0), abs=1e-9)
    assert figures.kolmogorov_smirnov == pytest.approx(0.05, abs=1e-9)


def test_goodness_of_a_shifted_fit():
    """A fit 5 mm too high has an error of 5 mm and the same correlation, and its steps lie further off."""
    sample = Fit(GUMBEL, (40.0, 12.0)).quantile_mm(1.0 / plotting_positions(10, "hazen"))
    true, high = (goodness(Fit(GUMBEL, (at, 12.0)), sample, plotting_rule="hazen") for at in (40.0, 45.0))
    assert high.error_mm == pytest.approx(5.0, abs=1e-9)
    assert high.correlation == pytest.approx(true.correlation, abs=1e-9)
    assert high.kolmogorov_smirnov > true.kolmogorov_smirnov


@pytest.mark.parametrize("fitting", FITTINGS)
def test_the_band_is_the_same_for_the_same_seed(fitting):
    """A seed gives the same fits each time, another seed others, and the fit lies within its band."""
    first, again, other = (resampled_fits(fitting, MEDINA, seed=seed, samples=60) for seed in (1, 1, 2))
    assert first == again
    assert first != other
    low, high = confidence_band(first, HDS2_PERIODS_Y)
    assert (low < fitting(MEDINA).quantile_mm(HDS2_PERIODS_Y)).all()
    assert (fitting(MEDINA).quantile_mm(HDS2_PERIODS_Y) < high).all()


def test_the_band_narrows_with_years_and_widens_with_confidence():
    """Four times the years halve the band, roughly; more confidence asks for a wider one."""
    short, long = (
        resampled_fits(fit_gumbel, Fit(GUMBEL, (40.0, 12.0)).quantile_mm(1 / plotting_positions(n, "cunnane")), seed=5)
        for n in (20, 80)
    )
    width = [np.subtract(*confidence_band(fits, 25.0)[::-1]) for fits in (short, long)]
    assert width[0] / width[1] == pytest.approx(2.0, rel=0.2)
    assert np.subtract(*confidence_band(short, 25.0, confidence=0.5)[::-1]) < width[0]


def test_band_of_gumbel_moments_has_the_known_width():
    """The spread of resampled means of n years is s/√n, so the band of the mean is 2 × 1.645 of that wide."""
    fits = resampled_fits(fit_gumbel, sample_of(50.0, 12.0, 40), seed=11, samples=2000)
    location, scale = fit_gumbel(sample_of(50.0, 12.0, 40)).parameters
    mean_period_y = 1.0 / (1.0 - np.exp(-np.exp(-np.euler_gamma)))  # return period of the mean
    low, high = confidence_band(fits, mean_period_y)
    expected = 2 * 1.645 * scale * np.pi / np.sqrt(6 * 40)
    assert high - low == pytest.approx(expected, rel=0.06)
    assert 0.5 * (low + high) == pytest.approx(location + np.euler_gamma * scale, rel=0.01)


def test_the_shape_of_gumbel_records_has_the_published_spread():
    """Hosking, Wallis & Wood (1985): fitted to Gumbel records, k has a variance of 0.5633/n; 5 % score above 1.645."""
    random = np.random.default_rng(7)
    scores = np.array([shape_score(fit_gev(random.gumbel(40.0, 12.0, 100)).parameters[0], 100) for _ in range(1500)])
    assert scores.var() == pytest.approx(1.0, rel=0.15)
    assert (scores > 1.645).mean() == pytest.approx(0.05, abs=0.02)


def test_a_heavy_tail_has_the_shape_given_and_the_records_mean():
    """With the shape that a GEV fit finds it is that fit; with any, mean and L-scale are the sample's."""
    shape, *others = fit_gev(MEDINA).parameters
    assert fit_heavy_tail(MEDINA, shape=shape).parameters == pytest.approx((shape, *others), rel=1e-9)
    probability = (np.arange(200_000) + 0.5) / 200_000
    made = fit_heavy_tail(MEDINA).quantile_mm(1.0 / probability)
    assert l_moments(made, 2) == pytest.approx(l_moments(MEDINA, 2), rel=5e-3)
    assert fit_heavy_tail(MEDINA).parameters[0] == HEAVY_SHAPE


def test_analysis_takes_gev_where_its_tail_is_surely_heavier():
    """So skewed a sample is none of Gumbel's, and the reason says so."""
    analysis = analyse_frequency(maxima_of(MEDINA), seed=1, samples=30)
    assert set(analysis.fits) == {GUMBEL, GEV, HEAVY_TAIL, LOG_PEARSON_3}
    assert analysis.chosen is analysis.fits[GEV]
    score = shape_score(analysis.chosen.parameters[0], len(MEDINA))
    assert score > 1.645
    assert analysis.reason.endswith(f"in 43 years: score {score:.2f}")
    low, high = analysis.band_mm(25.0)
    assert low < analysis.depth_mm(25.0) < high


def test_a_lighter_tail_is_never_taken_unasked():
    """Records whose GEV fit bounds the rain get Gumbel, which gives more, and are told what a heavy tail would."""
    sample = Fit(GEV, (0.4, 50.0, 15.0)).quantile_mm(1.0 / plotting_positions(40, "cunnane"))
    analysis = analyse_frequency(maxima_of(sample), seed=1, samples=30)
    assert analysis.chosen.name == GUMBEL
    assert analysis.depth_mm(100.0) > analysis.fits[GEV].quantile_mm(100.0)
    heavy, usual = (analysis.fits[name].quantile_mm(100.0) for name in (HEAVY_TAIL, GUMBEL))
    assert f"{heavy:.1f} mm instead of {usual:.1f} once in 100 years" in analysis.notes[-1]


def test_a_fit_heavier_than_the_usual_heavy_tail_needs_no_word():
    """Where the chosen fit gives more than the heavy tail, the note is left out."""
    heaviest = analyse_frequency(maxima_of(MEDINA), seed=1, samples=30)
    assert not any("heavy as in long records" in note for note in heaviest.notes)


def test_analysis_takes_the_distribution_given():
    """The user's choice goes before the figures, and an unknown one fails."""
    analysis = analyse_frequency(maxima_of(MEDINA), seed=1, distribution=GUMBEL, samples=30)
    assert (analysis.chosen.name, analysis.reason) == (GUMBEL, "given")
    assert {fit.name for fit in analysis.resampled} == {GUMBEL}
    with pytest.raises(InputError, match=r"distribution is 'Gumble'.*did you mean 'Gumbel'"):
        analyse_frequency(maxima_of(MEDINA), seed=1, distribution="Gumble")


def test_a_year_without_rain_leaves_log_pearson_out():
    """Zero has no logarithm: the other two are compared and a note says why."""
    analysis = analyse_frequency(maxima_of([0.0, 12.0, 31.0, 18.0, 25.0]), seed=1, samples=30)
    assert set(analysis.fits) == {GUMBEL, GEV, HEAVY_TAIL}
    assert any("no rain in 1 of 5 years" in note for note in analysis.notes)


def daily(start, end, **wet):
    """A dry record from one day until before another, with rain on the days given as _yyyymmdd."""
    dates = np.arange(start, end, dtype="datetime64[D]")
    depth_mm = np.zeros(len(dates))
    for day, rain_mm in wet.items():
        depth_mm[dates == np.datetime64(f"{day[1:5]}-{day[5:7]}-{day[7:]}")] = rain_mm
    return DailyRecord(dates, depth_mm)


WET = {"_20010310": 41.0, "_20010311": 12.0, "_20020101": 28.0, "_20031231": 63.0}


def test_annual_maxima_are_the_wettest_days():
    """Each calendar year gives its wettest day, first and last day of the year included."""
    maxima = annual_maxima(daily("2001-01-01", "2004-01-01", **WET))
    assert maxima.year.tolist() == [2001, 2002, 2003]
    assert maxima.depth_mm.tolist() == [41.0, 28.0, 63.0]
    assert maxima.notes == ("only 3 years of record: rare depths are little more than a guess",)


def test_years_with_gaps_are_left_out_and_said():
    """A year that lacks more than a tenth of its days is left out with a note."""
    record = daily("2001-01-01", "2004-03-01", **WET)
    maxima = annual_maxima(record)
    assert maxima.year.tolist() == [2001, 2002, 2003]
    assert maxima.notes[0] == "2004 lacks 306 of 366 days and is left out"


def test_gaps_are_counted():
    """A run of years left out is one note, and so are the days missing in the years kept."""
    record = daily("2001-01-01", "2008-01-01", **WET, _20060105=33.0, _20070303=12.0)
    there = ~np.isin(record.years, [2004, 2005])
    there[10:14] = False
    notes = annual_maxima(DailyRecord(record.dates[there], record.depth_mm[there])).notes
    assert notes[:2] == (
        "2004 to 2005 lack 731 of 731 days and are left out",
        "the years kept lack 4 of 1,825 days: rain that fell on them is unknown",
    )


def test_three_nearly_alike_years_still_have_a_band():
    """Records drawn from the fit may be all but alike: the steepest GEV there is stands for them."""
    low, high = analyse_frequency(maxima_of([17.2, 42.1, 42.3]), seed=1).band_mm(10.0)
    assert 0 < low < high


@pytest.mark.parametrize(("lacks", "kept"), [(36, 4), (37, 3)])
def test_a_tenth_of_a_year_may_be_missing(lacks, kept):
    """Of 365 days 36 may be missing in the dry months, 37 may not."""
    record = daily("2001-01-01", "2005-01-01", **WET, _20041231=20.0)
    there = np.ones(len(record.dates), bool)
    there[500 : 500 + lacks] = False
    assert len(annual_maxima(DailyRecord(record.dates[there], record.depth_mm[there])).year) == kept


def test_reading_factor_raises_every_maximum():
    """A factor for fixed readings multiplies each maximum and is said (1.13 from memory: Hershfield, WMO-168)."""
    maxima = annual_maxima(daily("2001-01-01", "2004-01-01", **WET), reading_factor=DAILY_READING_FACTOR)
    assert maxima.depth_mm == pytest.approx([46.33, 31.64, 71.19], abs=1e-9)
    assert "multiplied by 1.13" in maxima.notes[0]


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda: annual_maxima(daily("2001-01-01", "2002-01-01", **WET)), r"cover 1 year\(s\).*find a longer record"),
        (lambda: daily("2001-01-01", "2001-03-01"), "59 days holds no rain at all"),
        (lambda: daily("2001-01-01", "2001-03-01", _20010203=-2.0), "rain of 2001-02-03 is -2 mm"),
        (lambda: AnnualMaxima(np.array([2001, 2003, 2002]), np.array([1.0, 2.0, 3.0])), "must rise"),
        (lambda: maxima_of([20.0, 20.0, 20.0]), "all 3 annual maxima, or all but one, are 20 mm"),
        (lambda: maxima_of([20.0, 45.0, 20.0]), "all 3 annual maxima, or all but one, are 20 mm"),
        (lambda: maxima_of([31.0, 31.0, 12.0, 31.0]), "all 4 annual maxima, or all but one, are 31 mm"),
        (lambda: daily("2001-01-01", "2001-03-01", _20010203=2001.0), "more than 2000 mm never fell in a day"),
        (lambda: maxima_of([20.0, -1.0, 22.0]), "least_depth_mm is -1"),
        (lambda: fit_gumbel(MEDINA, method="guess"), "method is 'guess'"),
        (lambda: fit_gev(np.array([1.0, 2.0])), "can't be fitted"),
        (lambda: fit_log_pearson3(np.array([0.0, 1.0, 2.0])), "least_depth_mm is 0"),
        (lambda: fit_gumbel(MEDINA).quantile_mm([5.0, 1.0]), "must be greater than one"),
        (lambda: l_moments(HOSKING[:2], 3), "2 values has no 3 L-moments"),
        (lambda: plotting_positions(10, "wiebull"), "did you mean 'weibull'"),
        (lambda: confidence_band((fit_gumbel(MEDINA),), 5.0, confidence=1.1), "confidence is 1.1"),
    ],
)
def test_bad_input_fails(make, words):
    """What can't be analysed ends in one line that says why."""
    with pytest.raises(InputError, match=words) as error:
        make()
    assert "\n" not in str(error.value)


@pytest.mark.parametrize(("units", "words"), [("metric", "25 years: {:.1f} mm"), ("us", "25 years: {:.2f} in")])
def test_frequency_chart_shows_record_fits_and_choice(units, words):
    """Every year is a point, every fit a line, and the marked depth is that of the chosen fit."""
    analysis = analyse_frequency(maxima_of(MEDINA), seed=1, distribution=LOG_PEARSON_3, samples=40)
    axes = Figure().subplots()
    assert draw_frequency(analysis, 25.0, axes, units=units) is axes
    shown = {line.get_label(): line for line in axes.lines}
    assert {"Gumbel", "GEV", "log-Pearson III, chosen", "annual maxima"} <= set(shown)
    assert len(shown["annual maxima"].get_xdata()) == 43
    x = shown["Gumbel"].get_xdata()
    assert np.ptp(np.diff(shown["Gumbel"].get_ydata()) / np.diff(x)) < 1e-6 * MEDINA.mean()  # straight
    depth = analysis.depth_mm(25.0) / (25.4 if units == "us" else 1.0)
    assert axes.texts[0].get_text().startswith(words.format(depth))
