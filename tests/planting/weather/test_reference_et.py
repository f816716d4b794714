"""Reference evapotranspiration: the worked examples of FAO-56, and a second opinion over a year."""

import numpy as np
import pytest

from swalekit.planting.weather.air import Filling, air_of
from swalekit.planting.weather.atmosphere import (
    pressure_kpa,
    psychrometric_kpa_c,
    saturation_kpa,
    saturation_slope_kpa_c,
    wind_at_2m,
)
from swalekit.planting.weather.radiation import (
    clear_sky_mj_m2,
    daylight_h,
    declination_rad,
    extraterrestrial_mj_m2,
    net_longwave_mj_m2,
    net_shortwave_mj_m2,
    solar_from_range_mj_m2,
    solar_from_sunshine_mj_m2,
    sun_distance_factor,
    sunset_angle_rad,
)
from swalekit.planting.weather.reference_et import (
    MM_PER_MJ_M2,
    hargreaves_mm,
    penman_monteith_mm,
    reference_et,
)
from swalekit.planting.weather.weather import Place, Readings, Weather

BANGKOK_LATITUDE = 13.0 + 44.0 / 60.0
UCCLE = Place(50.8, 100.0, wind_height_m=10.0)


def one_day(day: str, tmax_c: float, tmin_c: float, place: Place, **readings: float) -> Weather:
    """Weather of a single day."""
    taken = Readings(**{name: np.array([value]) for name, value in readings.items()})
    return Weather(place, np.array([day], "datetime64[D]"), np.array([tmax_c]), np.array([tmin_c]), np.zeros(1), taken)


def made_year(*, gaps: bool = False) -> Weather:
    """A year of changing weather at 37° north; with gaps, readings are missing here and there."""
    random = np.random.default_rng(5)
    dates = np.arange("2003-01-01", "2004-01-01", dtype="datetime64[D]")
    season = -np.cos(2.0 * np.pi * (np.arange(365) - 15) / 365.0)
    tmin = 9.0 + 8.0 * season + random.normal(0.0, 2.0, 365)
    tmax = tmin + random.uniform(5.0, 15.0, 365)
    low = random.uniform(15.0, 50.0, 365)
    solar = extraterrestrial_mj_m2(37.0, np.arange(1, 366)) * random.uniform(0.35, 0.74, 365)
    taken = {
        "rh_max_percent": low + random.uniform(10.0, 45.0, 365),
        "rh_min_percent": low,
        "wind_m_s": random.uniform(0.5, 6.0, 365),
        "solar_mj_m2": solar,
    }
    if gaps:
        for number, values in enumerate(taken.values()):
            values[number::7] = np.nan
    return Weather(Place(37.0, 500.0), dates, tmax, tmin, np.zeros(365), Readings(**taken))


def test_fao56_example_2_pressure():
    """Pressure and psychrometric constant at 1800 m."""
    assert pressure_kpa(1800.0) == pytest.approx(81.8, abs=0.05)
    assert psychrometric_kpa_c(1800.0) == pytest.approx(0.054, abs=0.0005)


def test_fao56_example_3_saturation():
    """Saturation pressures at both extremes, and their mean."""
    high, low = saturation_kpa([24.5, 15.0])
    assert (high, low) == (pytest.approx(3.075, abs=0.0005), pytest.approx(1.705, abs=0.0005))
    assert 0.5 * (high + low) == pytest.approx(2.39, abs=0.005)


def test_fao56_example_4_pressure():
    """Pressure of the air at 1200 m."""
    assert pressure_kpa(1200.0) == pytest.approx(87.9, abs=0.05)


@pytest.mark.parametrize(
    ("readings", "published"),
    [
        ({"rh_max_percent": 82.0, "rh_min_percent": 54.0}, 1.70),
        ({"rh_max_percent": 82.0}, 1.69),
        ({"rh_mean_percent": 68.0}, 1.78),
    ],
)
def test_fao56_example_5_vapour_by_humidity(readings: dict[str, float], published: float):
    """Vapour pressure by the three ways from relative humidity."""
    air = air_of(one_day("2001-06-01", 25.0, 18.0, UCCLE, **readings))
    assert air.vapour_kpa[0] == pytest.approx(published, abs=0.01)


def test_fao56_examples_8_and_9_sun():
    """Sun at 20° south on 3 September."""
    assert sun_distance_factor(246) == pytest.approx(0.985, abs=0.0005)
    assert declination_rad(246) == pytest.approx(0.120, abs=0.0005)
    assert sunset_angle_rad(-20.0, 246) == pytest.approx(1.527, abs=0.0005)
    assert extraterrestrial_mj_m2(-20.0, 246) == pytest.approx(32.2, abs=0.05)
    assert daylight_h(-20.0, 246) == pytest.approx(11.7, abs=0.05)


def test_fao56_examples_10_to_12_radiation_at_rio():
    """Radiation from hours of sunshine, back to the sky and not thrown back."""
    assert solar_from_sunshine_mj_m2(7.1, 10.9, 25.1) == pytest.approx(14.45, abs=0.01)
    long = net_longwave_mj_m2(25.1, 19.1, 2.1, solar=14.5, clear_sky=18.8)
    assert long == pytest.approx(3.5, abs=0.05)
    # The book prints 11.1 for example 12; 0.77 times 14.5 is 11.165.
    assert net_shortwave_mj_m2(14.5) == pytest.approx(11.1, abs=0.1)


def test_fao56_example_14_wind():
    """Wind of 3.2 m/s at 10 m."""
    assert wind_at_2m(3.2, 10.0) == pytest.approx(2.4, abs=0.05)


def test_fao56_example_15_radiation_by_temperature():
    """Radiation at Lyon in July from the range of temperature."""
    assert solar_from_range_mj_m2(26.6, 14.8, 40.6, coefficient=0.16) == pytest.approx(22.3, abs=0.05)


def test_fao56_example_17_bangkok():
    """Monthly reference evapotranspiration at Bangkok in April, step by step."""
    assert saturation_slope_kpa_c(30.2) == pytest.approx(0.246, abs=0.0005)
    assert psychrometric_kpa_c(2.0) == pytest.approx(0.0674, abs=0.0001)
    assert saturation_kpa([34.8, 25.6]).mean() == pytest.approx(4.42, abs=0.005)
    above, hours = extraterrestrial_mj_m2(BANGKOK_LATITUDE, 105), daylight_h(BANGKOK_LATITUDE, 105)
    solar, clear = solar_from_sunshine_mj_m2(8.5, hours, above), clear_sky_mj_m2(above, elevation_m=2.0)
    long = net_longwave_mj_m2(34.8, 25.6, 2.85, solar=solar, clear_sky=clear)
    net = net_shortwave_mj_m2(solar) - long
    printed = (above, 38.06), (hours, 12.31), (solar, 22.65), (clear, 28.54), (long, 3.11), (net, 14.33)
    for found, value in printed:
        assert found == pytest.approx(value, abs=0.012)
    heat = 0.14 * (30.2 - 29.2)  # eq. 44, from the month before
    et = penman_monteith_mm(34.8, 25.6, net - heat, vapour_kpa=2.85, wind_m_s=2.0, elevation_m=2.0)
    assert et == pytest.approx(5.72, abs=0.01)


def test_fao56_example_18_uccle():
    """Daily reference evapotranspiration at Uccle on 6 July."""
    readings = {"rh_max_percent": 84.0, "rh_min_percent": 63.0, "wind_m_s": 10.0 / 3.6, "sunshine_h": 9.25}
    found = reference_et(one_day("2001-07-06", 21.5, 12.3, UCCLE, **readings))
    assert found.air.vapour_kpa[0] == pytest.approx(1.409, abs=0.001)
    assert found.air.wind_m_s[0] == pytest.approx(2.078, abs=0.001)
    assert found.air.solar_mj_m2[0] == pytest.approx(22.07, abs=0.02)
    assert found.air.clear_sky_mj_m2[0] == pytest.approx(30.90, abs=0.02)
    assert found.et_mm[0] == pytest.approx(3.88, abs=0.01)


def test_fao56_example_20_hargreaves_at_lyon():
    """Reference evapotranspiration at Lyon in July from temperature alone."""
    lyon = one_day("2001-07-15", 26.6, 14.8, Place(45.72, 200.0))
    assert extraterrestrial_mj_m2(45.72, 196) == pytest.approx(40.55, abs=0.06)
    assert hargreaves_mm(lyon)[0] == pytest.approx(5.0, abs=0.05)


def test_fao56_example_20_missing_data_at_lyon():
    """Where only temperature is known Penman and Monteith give 4.56 mm (from memory)."""
    lyon = one_day("2001-07-15", 26.6, 14.8, Place(45.72, 200.0))
    found = reference_et(lyon)
    assert found.et_mm[0] == pytest.approx(4.56, abs=0.02)
    assert set(found.air.days_by_way) == {
        "dew point by lowest temperature",
        "sun by temperature range",
        "wind of 2 m/s",
    }


def test_pyet_agrees_on_a_year():
    """Penman and Monteith and Hargreaves agree with pyet on every day of a year."""
    pyet = pytest.importorskip("pyet", reason="the second opinion is in the test extra")
    import pandas as pd  # noqa: PLC0415

    weather = made_year()
    index = pd.DatetimeIndex(weather.dates)
    series = {name: pd.Series(values, index) for name, values in weather.readings.given().items()}
    tmean, tmax, tmin = (pd.Series(values, index) for values in (weather.tmean_c, weather.tmax_c, weather.tmin_c))
    latitude = float(np.radians(weather.place.latitude_deg))
    theirs = pyet.pm_fao56(
        tmean,
        series["wind_m_s"],
        rs=series["solar_mj_m2"],
        elevation=500.0,
        lat=latitude,
        tmax=tmax,
        tmin=tmin,
        rhmax=series["rh_max_percent"],
        rhmin=series["rh_min_percent"],
    )
    ours = reference_et(weather).et_mm
    np.testing.assert_allclose(ours, theirs.to_numpy(), rtol=0.003, atol=0.005)
    # pyet lets the latent heat follow temperature, FAO-56 takes 1 / 0.408 MJ/kg all year.
    by_temperature = pyet.hargreaves(tmean, tmax, tmin, latitude) * pyet.calc_lambda(tmean) * MM_PER_MJ_M2
    np.testing.assert_allclose(hargreaves_mm(weather), by_temperature.to_numpy(), rtol=0.003, atol=0.005)


def test_gaps_are_filled_the_published_way_and_counted():
    """A day with a gap takes the next way, a day without keeps its own."""
    whole, holed = reference_et(made_year()), reference_et(made_year(gaps=True))
    counts = holed.air.days_by_way
    ways = ("humidity, both extremes", "humidity, highest", "dew point by lowest temperature")
    assert [counts[way] for way in ways] == [260, 52, 53]
    assert counts["wind of 2 m/s"] == counts["sun by temperature range"] == 52
    untouched = np.arange(365) % 7 >= 4
    np.testing.assert_array_equal(whole.et_mm[untouched], holed.et_mm[untouched])
    assert np.isfinite(holed.et_mm).all()


def test_settings_replace_what_stands_in():
    """Stronger wind and a drier dew point raise evapotranspiration; a coast's sun does too."""
    day = one_day("2001-07-15", 34.0, 18.0, Place(37.0, 500.0))
    usual = reference_et(day).et_mm[0]
    for filling in (Filling(wind_m_s=4.0), Filling(dew_below_tmin_c=3.0), Filling(range_coefficient=0.19)):
        assert reference_et(day, filling=filling).et_mm[0] > usual


def test_sun_by_temperature_is_no_more_than_a_clear_sky():
    """A range of 33 °C would give more sun than a clear sky."""
    air = air_of(one_day("2001-07-15", 38.0, 5.0, Place(37.0, 500.0)))
    assert air.solar_mj_m2 == air.clear_sky_mj_m2


def test_long_polar_night_has_no_sun():
    """In the polar night nothing comes from the sun, in the polar day it shines all round."""
    assert extraterrestrial_mj_m2(80.0, 355) == pytest.approx(0.0, abs=1e-9)
    assert daylight_h(80.0, 172) == pytest.approx(24.0)
