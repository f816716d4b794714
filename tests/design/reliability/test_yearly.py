"""The chance that no swale spills in a year."""

from dataclasses import replace

import numpy as np
import pytest
from scipy.integrate import quad
from scipy.optimize import brentq
from scipy.stats import gumbel_r, norm
from sites import brief_values, plane

from swalekit.design.brief.site import Site
from swalekit.design.brief.values import check_brief
from swalekit.design.reliability.reliability import Reliability, how_sure
from swalekit.design.reliability.table import reliability_rows, reliability_summary
from swalekit.design.reliability.yearly import year_chance_of
from swalekit.errors import InputError
from swalekit.hydrology.losses.antecedent import natural_retention_sigma
from swalekit.hydrology.losses.curve_number import runoff_mm
from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.frequency import FrequencyAnalysis, analyse_frequency
from swalekit.reporting.words.chance_words import chance_sentence

SURE = {
    "terrain_sigma_m": 0.0,
    "curve_number_spread": 0.0,
    "curve_number_sigma": 0.0,
    "storm_variation": 0.0,
    "intake_variation": 0.0,
    "crest_sigma_m": 0.0,
    "floor_sigma_m": 0.0,
}
DEPTHS_MM = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0, 29.0, 47.0, 33.0])
TABLE = DepthTable(np.array([24.0]), np.array([2.0, 10.0, 100.0]), np.array([[38.0, 55.0, 80.0]]))


def record() -> FrequencyAnalysis:
    """Ten years of rain, with a Gumbel distribution."""
    return analyse_frequency(AnnualMaxima(np.arange(2001, 2011), DEPTHS_MM), seed=1)


def site_of(rain: object, **uncertain: float) -> Site:
    """A site that holds the storm of ten years, by a record or a table."""
    key = "table" if isinstance(rain, DepthTable) else "record"
    storm = {key: "rain.csv", "return_period_y": 10.0}
    values = brief_values(storm=storm, levels={"levels_m": [106.0]}, uncertainty=SURE | {"draws": 20} | uncertain)
    return Site(check_brief(values), rain=rain, crs=plane().grid.crs)


def drawn(rain: object, **uncertain: float) -> Reliability:
    """One swale on a plane."""
    return how_sure(site_of(rain, **uncertain), plane(shape=(80, 60)))


@pytest.mark.compiled
def test_with_all_sure_it_is_the_distribution_at_the_held_storm():
    """One swale that holds h: the chance of a year is the record's fit at h, whatever the number of draws."""
    rain = record()
    sure = drawn(rain)
    held_mm = float(sure.held_mm[0, 0])
    location, scale = rain.chosen.parameters
    assert sure.chance_of_year == pytest.approx(gumbel_r.cdf(held_mm, location, scale), abs=1e-12)
    assert sure.chance_of_year > 0.9


@pytest.mark.compiled
def test_with_moisture_it_is_the_integral_over_retention():
    """The second route: φ(z) F(held(z)) integrated by quadrature, the storm that just fills found by its equation."""
    rain = record()
    sure = drawn(rain, curve_number_spread=1.0, draws=1500)
    (swale,) = sure.layout.swales
    shape, area_m2 = swale.sized.shape, swale.catchment_m2
    location, scale = rain.chosen.parameters

    def held_mm(deviate: float) -> float:
        number = 25400.0 / (254.0 + (25400.0 / 80.0 - 254.0) * np.exp(natural_retention_sigma() * deviate))

        def over_m3(depth_mm: float) -> float:
            runoff = float(runoff_mm(depth_mm, number))
            return (runoff * area_m2 + (depth_mm - runoff) * shape.catch_m2) / 1000.0 - shape.storage_m3

        return brentq(over_m3, 0.0, 999.0)

    by_quadrature, _ = quad(lambda z: norm.pdf(z) * gumbel_r.cdf(held_mm(z), location, scale), -5.0, 5.0, limit=200)
    by_draw = sure.holds_a_year(slice(None))
    assert 0.5 < by_quadrature < 0.99
    assert sure.chance_of_year == pytest.approx(by_quadrature, abs=4.0 * by_draw.std() / np.sqrt(1500))


@pytest.mark.compiled
def test_a_record_that_may_be_off_is_less_kind():
    """Storms that are all deeper by a drawn factor: the integral over that factor, below the chance without it."""
    rain = record()
    sure, unsure = drawn(rain), drawn(rain, storm_variation=0.3, draws=1500)
    held_mm, sigma = float(sure.held_mm[0, 0]), np.sqrt(np.log1p(0.09))
    location, scale = rain.chosen.parameters
    exact, _ = quad(lambda z: norm.pdf(z) * gumbel_r.cdf(held_mm / np.exp(sigma * z), location, scale), -6.0, 6.0)
    assert unsure.chance_of_year == pytest.approx(exact, abs=0.015)
    assert unsure.chance_of_year < sure.chance_of_year


@pytest.mark.compiled
def test_a_table_says_it_too():
    """The ten-year storm of a table, just held, is one that comes with 1/10 a year."""
    sure = drawn(TABLE)
    assert sure.chance_of_year == pytest.approx(float(TABLE.cdf(sure.held_mm[0, 0], 24.0)))
    assert sure.chance_of_year > 0.9
    rows = reliability_rows(sure)
    assert rows[0]["chance_of_year"] == rows[1]["chance_of_year"] == round(sure.chance_of_year, 3)
    words = chance_sentence(reliability_summary(sure), units="metric")
    assert words.endswith(f"in a whole year with one of {100 * round(sure.chance_of_year, 3):.0f} %.")


def test_a_depth_alone_says_nothing_of_a_year():
    """No record and no table: no chance, and what is needed."""
    site = Site(check_brief(brief_values()), crs=plane().grid.crs)
    assert year_chance_of(site) == (None, "needs a record or a table of rain in [storm]")
    one = DepthTable(np.array([24.0]), np.array([10.0]), np.array([[55.0]]))
    chance, lack = year_chance_of(replace(site_of(TABLE), rain=one))
    assert chance is None
    assert "1 return periods above a year" in lack


# --- the distribution of a table -------------------------------------------------------------------------------------


def test_printed_depths_have_their_return_period():
    """1 − 1/T at each printed depth; what `depth_mm_at` gives for a return period between has that return period."""
    np.testing.assert_allclose(TABLE.cdf([38.0, 55.0, 80.0], 24.0), [0.5, 0.9, 0.99])
    between = TABLE.depth_mm_at(24.0, 30.0)
    assert TABLE.cdf(between, 24.0) == pytest.approx(1.0 - 1.0 / 30.0)


def test_beyond_a_table_gumbel_goes_on():
    """Depths of a Gumbel distribution are read back as it has them, below the first column and beyond the last."""
    years = np.array([2.0, 5.0, 10.0, 100.0])
    table = DepthTable(np.array([24.0]), years, gumbel_r.ppf(1.0 - 1.0 / years, 40.0, 12.0)[np.newaxis])
    outside = np.array([5.0, 30.0, 100.0, 150.0])
    np.testing.assert_allclose(table.cdf(outside, 24.0), gumbel_r.cdf(outside, 40.0, 12.0), rtol=1e-9)
    rising = table.cdf(np.linspace(0.0, 300.0, 600), 24.0)
    assert (np.diff(rising) >= 0.0).all()
    assert rising[-1] <= 1.0


def test_a_table_of_one_depth_fails():
    """Nothing can be said of other years."""
    flat = DepthTable(np.array([24.0]), np.array([2.0, 10.0]), np.array([[50.0, 50.0]]))
    with pytest.raises(InputError, match="takes two with different depths"):
        flat.cdf(40.0, 24.0)
