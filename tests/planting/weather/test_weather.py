"""Weather that can't be right ends in one line that names the row."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.planting.weather.days import check_every_day, day_of_year
from swalekit.planting.weather.made_year import MonthlyNormals, made_years
from swalekit.planting.weather.weather import Place, Readings, Weather

DAYS = np.arange("2003-01-01", "2005-01-01", dtype="datetime64[D]")
SEASON = -np.cos(2.0 * np.pi * (day_of_year(DAYS) - 15) / 365.0)
WARM = 18.0 + 9.0 * -np.cos(np.arange(12) * np.pi / 6.0)
RAIN = np.array([60, 55, 45, 40, 20, 5, 0, 0, 15, 50, 65, 70.0])
NORMALS = MonthlyNormals(WARM + 6.0, WARM - 6.0, RAIN, np.where(RAIN > 0, 5.0, 0.0), wind_m_s=np.full(12, 2.5))


def weather(latitude_deg: float = 37.0, **changed: np.ndarray) -> Weather:
    """Two years of plain weather; arrays given replace its own."""
    own = {"tmax_c": 20.0 + 9.0 * SEASON, "tmin_c": 9.0 + 7.0 * SEASON, "rain_mm": np.zeros(DAYS.size)}
    main = {name: changed.pop(name, values) for name, values in own.items()}
    return Weather(Place(latitude_deg, 500.0), DAYS, **main, readings=Readings(**changed))


def spoilt(value: float, row: int = 100, *, usual: float) -> np.ndarray:
    """An even reading with one other value."""
    values = np.full(DAYS.size, usual)
    values[row] = value
    return values


@pytest.mark.parametrize(
    ("name", "values", "words"),
    [
        ("rh_max_percent", spoilt(104.0, usual=80.0), r"rh_max_percent of 2003-04-11 \(row 101\) is 104 %"),
        ("wind_m_s", spoilt(-1.0, usual=2.0), r"wind_m_s of 2003-04-11 \(row 101\) is -1 m/s"),
        ("rain_mm", spoilt(np.nan, usual=0.0), r"rain_mm of 2003-04-11 \(row 101\) is missing"),
        ("tmax_c", spoilt(np.nan, usual=20.0), r"tmax_c of 2003-04-11 \(row 101\) is missing"),
        ("tmax_c", spoilt(95.0, usual=30.0), r"row 101\) is 95 °C, .* Fahrenheit"),
        ("tmin_c", spoilt(45.0, usual=2.0), r"tmin_c of 2003-04-11 \(row 101\) is 45 and tmax_c"),
        ("sunshine_h", spoilt(15.5, usual=6.0), r"sunshine_h of 2003-04-11 \(row 101\) is 15.5 h"),
        ("solar_mj_m2", spoilt(210.0, usual=8.0), r"solar_mj_m2 of 2003-04-11 \(row 101\) is 210 MJ/m²"),
    ],
)
def test_reading_that_cannot_be_right_fails(name: str, values: np.ndarray, words: str):
    """The row, its day and the value found are named."""
    with pytest.raises(InputError, match=words) as error:
        weather(**{name: values})
    assert "\n" not in str(error.value)


def test_fahrenheit_for_celsius_fails():
    """A record in Fahrenheit is told by a hot day, or by its mean where none is above all records."""
    mild = (20.0 + 9.0 * SEASON) * 1.8 + 32.0
    with pytest.raises(InputError, match="Fahrenheit"):
        weather(tmax_c=mild, tmin_c=mild - 20.0)
    cool = 48.0 + 8.0 * SEASON
    with pytest.raises(InputError, match=r"mean temperature is 42\..* Fahrenheit"):
        weather(tmax_c=cool, tmin_c=cool - 11.0)


@pytest.mark.parametrize("latitude_deg", [-37.0, -60.0])
def test_wrong_sign_of_latitude_fails(latitude_deg: float):
    """A northern record with a southern latitude is warm when the sun is low."""
    with pytest.raises(InputError, match="check its sign: south of the equator is negative"):
        weather(latitude_deg)


@pytest.mark.parametrize("latitude_deg", [37.0, 10.0, -10.0])
def test_right_sign_passes(latitude_deg: float):
    """Near the equator the seasons say nothing of the sign."""
    assert weather(latitude_deg).place.latitude_deg == latitude_deg


def test_days_out_of_order_fail():
    """Days come in order, each once."""
    days = DAYS[:3].copy()
    days[2] = days[0]
    with pytest.raises(InputError, match=r"day 2003-01-01 \(row 3\) comes after 2003-01-02"):
        Weather(Place(37.0, 500.0), days, np.full(3, 20.0), np.full(3, 10.0), np.zeros(3))


def test_leap_day_is_a_day_like_others():
    """29 February counts, and a record that leaves it out is told so."""
    assert day_of_year(np.array(["2004-02-29", "2004-12-31"], "datetime64[D]")).tolist() == [60, 366]
    check_every_day(DAYS)
    with pytest.raises(InputError, match=r"2004-02-29 is missing \(a leap day\)"):
        check_every_day(DAYS[np.datetime64("2004-02-29") != DAYS])


def test_made_years_keep_to_the_normals():
    """Every month has its normal temperature, rain and days of rain; a spread keeps the mean of all years."""
    made = made_years(NORMALS, Place(37.0, 500.0), first_year=2003, years=2, seed=3)
    month = made.dates.astype("datetime64[M]").astype(int) % 12
    for number in range(12):
        chosen = month == number
        assert made.tmax_c[chosen].mean() == pytest.approx(NORMALS.tmax_c[number])
        assert made.rain_mm[chosen].sum() == pytest.approx(2.0 * RAIN[number])
        assert np.count_nonzero(made.rain_mm[chosen]) == (10 if RAIN[number] else 0)
    spread = made_years(NORMALS, Place(37.0, 500.0), first_year=2003, years=30, seed=3, rain_spread=0.4)
    yearly = np.bincount(spread.dates.astype("datetime64[Y]").astype(int) - 33, spread.rain_mm)
    assert yearly.mean() == pytest.approx(RAIN.sum())
    assert yearly.std() / yearly.mean() == pytest.approx(0.4, abs=0.15)


def test_made_months_differ_one_by_one():
    """Each spreads about its normal as asked, keeps it in the mean, and says nothing of the others."""
    years = 400
    made = made_years(NORMALS, Place(37.0, 500.0), first_year=2003, years=years, seed=3, month_spread=0.6)
    months = np.bincount(made.dates.astype("datetime64[M]").astype(int) - 33 * 12, made.rain_mm).reshape(years, 12)
    wet = RAIN > 0.0
    np.testing.assert_allclose(months.mean(axis=0), RAIN)
    np.testing.assert_allclose((months.std(axis=0) / months.mean(axis=0).clip(1e-9))[wet], 0.6, atol=0.1)
    between = np.corrcoef(months[:, wet].T)[np.triu_indices(int(wet.sum()), 1)]
    assert np.abs(between).max() < 0.2


def test_made_years_come_again_with_their_seed():
    """One seed gives one record, another one another."""
    first, again, other = (
        made_years(NORMALS, Place(37.0, 500.0), first_year=2003, years=1, seed=seed) for seed in (1, 1, 2)
    )
    np.testing.assert_array_equal(first.rain_mm, again.rain_mm)
    assert (first.rain_mm != other.rain_mm).any()


def test_normals_that_cannot_be_right_fail():
    """Twelve values each, and rain needs a day."""
    with pytest.raises(InputError, match="tmax_c has 11 values"):
        MonthlyNormals(WARM[:11], WARM, RAIN, RAIN)
    with pytest.raises(InputError, match="month 1 has 60 mm of rain on 0 days"):
        MonthlyNormals(WARM + 6.0, WARM - 6.0, RAIN, np.zeros(12))
