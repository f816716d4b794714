"""The weather value: a station's readings over days or months."""

from dataclasses import dataclass, field, fields

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.planting.weather.days import day_of_year
from swalekit.planting.weather.weather_faults import hemisphere_fault, reading_fault

Values = NDArray[np.float64]


@dataclass(frozen=True)
class Place:
    """Where weather is measured.

    Parameters
    ----------
    latitude_deg : float
        Latitude, south negative [°].
    elevation_m : float
        Height above the sea [m].
    wind_height_m : float
        Height of the wind gauge above ground [m].

    Raises
    ------
    InputError
        If a value lies outside its range.
    """

    latitude_deg: float
    elevation_m: float
    wind_height_m: float = 2.0

    def __post_init__(self) -> None:
        check_between(-90.0, 90.0, latitude_deg=self.latitude_deg)
        check_between(-450.0, 9000.0, elevation_m=self.elevation_m)
        check_positive(wind_height_m=self.wind_height_m)
        check_between(0.5, 200.0, wind_height_m=self.wind_height_m)


@one_line("rh_mean_percent", "wind_m_s", "sunshine_h", "solar_mj_m2")
@dataclass(frozen=True, eq=False)
class Readings(Frozen):
    """What a station may measure besides temperature and rain; None where it doesn't, NaN on a day without reading.

    Parameters
    ----------
    rh_max_percent, rh_min_percent, rh_mean_percent : ndarray of float64, shape (n,), optional
        Highest, lowest and mean relative humidity [%].
    wind_m_s : ndarray of float64, shape (n,), optional
        Mean wind at the gauge's height [m/s].
    sunshine_h : ndarray of float64, shape (n,), optional
        Hours of bright sunshine a day [h].
    solar_mj_m2 : ndarray of float64, shape (n,), optional
        Solar radiation a day [MJ/m²]; a mean of 1 W/m² is 0.0864.
    """

    rh_max_percent: Values | None = None
    rh_min_percent: Values | None = None
    rh_mean_percent: Values | None = None
    wind_m_s: Values | None = None
    sunshine_h: Values | None = None
    solar_mj_m2: Values | None = None

    def given(self) -> dict[str, Values]:
        """Readings that the station takes.

        Returns
        -------
        dict of str to ndarray of float64
            By the names of the fields; those that are None are left out.

        Examples
        --------
        >>> list(Readings(wind_m_s=np.array([2.0]), sunshine_h=np.array([9.0])).given())
        ['wind_m_s', 'sunshine_h']
        """
        values = ((reading.name, getattr(self, reading.name)) for reading in fields(self))
        return {name: value for name, value in values if value is not None}


@one_line("dates", "rain_mm", "tmin_c", "tmax_c")
@dataclass(frozen=True, eq=False)
class Weather(Frozen):
    """Weather of n days.

    Parameters
    ----------
    place : Place
        Where it was measured.
    dates : ndarray of datetime64[D], shape (n,)
        Days in order, each once.
    tmax_c, tmin_c : ndarray of float64, shape (n,)
        Highest and lowest temperature [°C].
    rain_mm : ndarray of float64, shape (n,)
        Rain of the day [mm].
    readings : Readings
        What else was measured.

    Raises
    ------
    InputError
        If a reading can't be right, naming its day and row, or the seasons don't fit the latitude.

    Examples
    --------
    >>> days = np.arange("2004-02-28", "2004-03-02", dtype="datetime64[D]")
    >>> Weather(Place(37.0, 500.0), days, np.full(3, 18.0), np.full(3, 6.0), np.zeros(3)).day_of_year.tolist()
    [59, 60, 61]
    """

    place: Place
    dates: NDArray[np.datetime64]
    tmax_c: Values
    tmin_c: Values
    rain_mm: Values
    readings: Readings = field(default_factory=Readings)

    def __post_init__(self) -> None:
        measured = {"tmax_c": self.tmax_c, "tmin_c": self.tmin_c, "rain_mm": self.rain_mm, **self.readings.given()}
        check_same_shape(dates=self.dates, **measured)
        fault = reading_fault(self.dates, measured, latitude_deg=self.place.latitude_deg)
        if fault is None:
            fault = hemisphere_fault(self.dates, self.tmean_c, latitude_deg=self.place.latitude_deg)
        if fault is not None:
            message = f"weather: {fault}"
            raise InputError(message)
        super().__post_init__()

    @property
    def tmean_c(self) -> Values:
        """Middle of highest and lowest temperature, shape (n,) [°C]."""
        return np.asarray(0.5 * (self.tmax_c + self.tmin_c))

    @property
    def day_of_year(self) -> NDArray[np.int64]:
        """1 for 1 January; 366 on 31 December of a leap year, shape (n,)."""
        return day_of_year(self.dates)
