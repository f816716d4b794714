"""Made years: daily weather that keeps to monthly normals, where no daily record is at hand."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.planting.weather.days import month_of, year_of
from swalekit.planting.weather.weather import Place, Readings, Weather
from swalekit.planting.weather.weather_faults import hemisphere_fault, reading_fault

Values = NDArray[np.float64]

_MID_MONTH = np.arange(12) + 0.5


@one_line("tmax_c", "tmin_c", "rain_mm")
@dataclass(frozen=True, eq=False)
class MonthlyNormals(Frozen):
    """Means of many years by month, January to December; arrays have shape (12,).

    Parameters
    ----------
    tmax_c, tmin_c : ndarray of float64
        Mean highest and lowest temperature of the days [°C].
    rain_mm : ndarray of float64
        Rain of the month [mm].
    rain_days : ndarray of float64
        Days with rain [-].
    rh_mean_percent, wind_m_s, sunshine_h : ndarray of float64, optional
        Mean humidity [%], wind at the gauge [m/s] and sunshine a day [h].

    Raises
    ------
    InputError
        If there aren't twelve values each, rain is negative, or it rains on no day of a month with rain or on more days
        than it has.
    """

    tmax_c: Values
    tmin_c: Values
    rain_mm: Values
    rain_days: Values
    rh_mean_percent: Values | None = None
    wind_m_s: Values | None = None
    sunshine_h: Values | None = None

    def __post_init__(self) -> None:
        for name, values in vars(self).items():
            if values is not None and (values.shape != (12,) or not np.isfinite(values).all()):
                message = f"monthly normals: {name} has {values.size} values; it needs twelve, January to December"
                raise InputError(message)
        for month in range(12):
            rain, days = self.rain_mm[month], self.rain_days[month]
            if rain < 0.0 or not 0.0 <= days <= 28.0 + 3.0 * (month != 1) or (rain > 0.0 and days == 0.0):
                message = (
                    f"monthly normals: month {month + 1} has {rain:g} mm of rain on {days:g} days; "
                    "rain can't be negative and needs at least a part of a day and at most the month"
                )
                raise InputError(message)
        super().__post_init__()


def check_normals(normals: MonthlyNormals, place: Place) -> None:
    """Check that means of months can be right where they were measured.

    Parameters
    ----------
    normals : MonthlyNormals
        The means; rain isn't looked at.
    place : Place
        Where they were measured.

    Raises
    ------
    InputError
        If one can't, naming its month, or the seasons don't fit the latitude.
    """
    days = np.arange("2001-01", "2002-01", dtype="datetime64[M]").astype("datetime64[D]") + 14
    measured = {name: values for name, values in vars(normals).items() if values is not None}
    measured = {name: values for name, values in measured.items() if name not in ("rain_mm", "rain_days")}
    fault = reading_fault(days, measured, latitude_deg=place.latitude_deg, monthly=True) or hemisphere_fault(
        days, 0.5 * (normals.tmax_c + normals.tmin_c), latitude_deg=place.latitude_deg
    )
    if fault is not None:
        message = f"monthly normals: {fault}"
        raise InputError(message)


def made_years(
    normals: MonthlyNormals,
    place: Place,
    *,
    first_year: int,
    years: int,
    seed: int,
    rain_spread: float = 0.0,
    month_spread: float = 0.0,
) -> Weather:
    """Daily weather that keeps to monthly normals.

    Parameters
    ----------
    normals : MonthlyNormals
        Means by month.
    place : Place
        Where.
    first_year, years : int
        First calendar year and how many.
    seed : int
        Which of many made records; the same seed gives the same days.
    rain_spread : float
        Standard deviation of the years' rain over its mean, 0 to 1; in dry country 0.3 to 0.5 is common [-].
    month_spread : float
        Standard deviation of a month's rain over its mean where years are alike, 0 to 2 [-].

    Returns
    -------
    Weather
        Every month has its normal temperature; every month's rain, over all years, its normal depth.

    Raises
    ------
    InputError
        If there is no year or a value lies outside its range.

    Notes
    -----
    Temperature, wind, humidity and sunshine go straight from mid-month to mid-month, moved so that each month's mean is
    the normal. Rain falls on days drawn at random, as many as the normal, in shares of an exponential distribution; a
    year's factor is lognormal, a month's gamma distributed, and months are drawn one by one, so that a wet January says
    nothing of March. Days know nothing of the days before and rainy ones aren't cooler, so dry spells
    come out too short: where years of record can be had, use them.

    Examples
    --------
    >>> warm = 18.0 - 9.0 * np.cos(np.arange(12) * np.pi / 6)
    >>> normals = MonthlyNormals(warm + 6.0, warm - 6.0, np.full(12, 30.0), np.full(12, 4.0))
    >>> made = made_years(normals, Place(37.0, 500.0), first_year=2001, years=2, seed=7)
    >>> made.dates.size, round(float(made.rain_mm.sum()), 6), int((made.rain_mm > 0).sum())
    (730, 720.0, 96)
    """
    check_between(1, 9999, first_year=first_year)
    check_between(1, 1000, years=years)
    check_between(0.0, 1.0, rain_spread=rain_spread)
    check_between(0.0, 2.0, month_spread=month_spread)
    start, end = (np.datetime64(f"{first:04d}-01-01", "D") for first in (first_year, first_year + years))
    dates = np.arange(start, end)
    random = np.random.default_rng(seed)
    factors = _year_factors(years, rain_spread, random)[:, np.newaxis] * _month_factors(years, month_spread, random)
    extra = {
        name: _through_the_year(values, dates)
        for name in ("rh_mean_percent", "wind_m_s", "sunshine_h")
        if (values := getattr(normals, name)) is not None
    }
    return Weather(
        place,
        dates,
        _through_the_year(normals.tmax_c, dates),
        _through_the_year(normals.tmin_c, dates),
        _rain(normals, dates, factors / factors.mean(axis=0), random),
        Readings(**extra),
    )


def _through_the_year(monthly: Values, dates: NDArray[np.datetime64]) -> Values:
    """Straight from mid-month to mid-month, then moved so that each month of each year has its mean."""
    months = dates.astype("datetime64[M]")
    into = (dates - months.astype("datetime64[D]")).astype(np.int64)
    length = ((months + 1).astype("datetime64[D]") - months.astype("datetime64[D]")).astype(np.int64)
    place = month_of(dates) - 1 + (into + 0.5) / length
    daily = np.interp(place, _MID_MONTH, monthly, period=12.0)
    number = (months - months[0]).astype(np.int64)
    means = np.bincount(number, daily) / np.bincount(number)
    return np.asarray(daily + (monthly[month_of(dates) - 1] - means[number]))


def _year_factors(years: int, spread: float, random: np.random.Generator) -> Values:
    """Rain of each year over the normal; their mean is 1."""
    sigma = np.sqrt(np.log1p(spread**2))
    factors = np.exp(sigma * random.standard_normal(years))
    return np.asarray(factors / factors.mean())


def _month_factors(years: int, spread: float, random: np.random.Generator) -> Values:
    """Rain of each month over the normal in years alike, shape (years, 12)."""
    if not spread:
        return np.ones((years, 12))
    shape = spread**-2.0
    return np.asarray(random.gamma(shape, 1.0 / shape, (years, 12)))


def _rain(
    normals: MonthlyNormals, dates: NDArray[np.datetime64], factors: Values, random: np.random.Generator
) -> Values:
    """Rain of every day by the factors of each month, shape (years, 12)."""
    rain = np.zeros(dates.size)
    month, year = month_of(dates), year_of(dates)
    for calendar_year in np.unique(year):
        for number in range(1, 13):
            days = np.flatnonzero((year == calendar_year) & (month == number))
            wet = min(max(round(float(normals.rain_days[number - 1])), 1), days.size)
            shares = random.exponential(size=wet)
            depth = normals.rain_mm[number - 1] * factors[calendar_year - year[0], number - 1]
            rain[random.choice(days, wet, replace=False)] = depth * shares / shares.sum()
    return rain
