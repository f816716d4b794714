"""What annual beds want of water month by month, and what greywater and a tank of rain bring of it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.beds.bed import bed_practice
from swalekit.design.brief.beds_part import BedsPart
from swalekit.frozen import Frozen
from swalekit.greywater.rain_tank import TankBalance, tank_balance
from swalekit.greywater.served_ground import wicking_factor
from swalekit.planting.water.effective_rain import effective_rain_mm
from swalekit.planting.water.months import mean_months, whole_year_days
from swalekit.planting.weather.days import month_of, year_of
from swalekit.tables.crop_coefficients import mid_season_coefficient

Values = NDArray[np.float64]
REEDS = "reed swamp, moist soil"
"""Row of the crop coefficients for the reed bed."""
_HALVINGS = 24


@one_line("area_m2", "carried_m2", "by_greywater_m2")
@dataclass(frozen=True, eq=False)
class BedWater(Frozen):
    """The water of annual beds, day by day over the whole years of a record.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (days,)
        The days.
    area_m2 : float
        Ground of the beds [m²].
    et_mm, rain_mm, want_mm : ndarray of float64, shape (days,)
        Reference evapotranspiration, rain, and what a square metre wants besides rain, a month's spread evenly over
        its days [mm].
    greywater_m3, greywater_used_m3 : ndarray of float64, shape (days,)
        Water behind the reed bed, and what of it the beds that it reaches use [m³].
    reached_m2 : float
        Ground of the beds that greywater reaches by gravity [m²].
    tank : TankBalance or None
        The tank, from which comes what greywater leaves; None where there is none.
    tank_m3 : float
        What it holds, 0 where there is none [m³].
    reliability : float
        Share of years in which beds are to be carried [-].
    carried_m2 : float
        Greatest bed area, no more than is laid, that greywater and tank carry through every month in that share of the
        years [m²].
    """

    dates: NDArray[np.datetime64]
    area_m2: float
    et_mm: Values
    rain_mm: Values
    want_mm: Values
    greywater_m3: Values
    greywater_used_m3: Values
    reached_m2: float
    tank: TankBalance | None
    tank_m3: float
    reliability: float
    carried_m2: float = 0.0

    @property
    def want_m3(self) -> Values:
        """What all beds want besides rain, each day [m³]."""
        return np.asarray(self.want_mm * self.area_m2 / 1000.0)

    @property
    def given_m3(self) -> Values:
        """What the tank gives, each day [m³]."""
        return np.zeros(self.dates.size) if self.tank is None else self.tank.given_m3

    @property
    def short_m3(self) -> Values:
        """What nothing meets, each day [m³]."""
        return np.asarray(self.want_m3 - self.greywater_used_m3 - self.given_m3)

    def months(self, daily: Values) -> Values:
        """Sums of the months of a mean year.

        Parameters
        ----------
        daily : ndarray of float64, shape (days,)
            What there is of every day.

        Returns
        -------
        ndarray of float64, shape (12,)
            In the unit of the days.
        """
        return mean_months(daily, self.dates)

    @property
    def thirstiest(self) -> int:
        """Month in which beds want most, 1 to 12."""
        return int(np.argmax(self.months(self.want_mm))) + 1

    @property
    def by_greywater_m2(self) -> Values:
        """Ground whose want greywater meets in each month, no more than it reaches [m²], shape (12,)."""
        return self._carried(self.months(self.greywater_m3), self.reached_m2)

    @property
    def by_tank_m2(self) -> Values:
        """Ground whose want the tank meets besides, with all beds drawing on it [m²], shape (12,)."""
        return self._carried(self.months(self.given_m3), self.area_m2)

    def _carried(self, water_m3: Values, most_m2: float) -> Values:
        want_mm = self.months(self.want_mm)
        with np.errstate(divide="ignore", invalid="ignore"):
            return np.asarray(np.where(want_mm > 0.0, np.minimum(1000.0 * water_m3 / want_mm, most_m2), np.nan))


def bed_want_mm(part: BedsPart, dates: NDArray[np.datetime64], et_mm: Values, rain_mm: Values) -> Values:
    """What a square metre of bed wants besides rain on each day, a month's want spread evenly.

    Parameters
    ----------
    part : BedsPart
        Coefficient, months, shade, and whether beds are watered from below.
    dates : ndarray of datetime64[D], shape (days,)
        Days, of whole months.
    et_mm, rain_mm : ndarray of float64, shape (days,)
        Reference evapotranspiration and rain of each day [mm].

    Returns
    -------
    ndarray of float64, shape (days,)
        Water [mm].

    Notes
    -----
    A month wants Kc × ETo (FAO-56, single coefficient), half in beds watered from below, less the shade in hot months
    (assumed: the want falls as the sun does), less effective rain.

    Examples
    --------
    >>> june = np.arange("2001-06-01", "2001-07-01", dtype="datetime64[D]")
    >>> rain = np.where(np.arange(30) == 3, 20.0, 0.0)
    >>> round(float(bed_want_mm(BedsPart(), june, np.full(30, 7.0), rain)[0]), 3)
    6.705
    """
    kc = part.coefficient * (wicking_factor() if part.wicking else 1.0)
    _, month, days = np.unique(dates.astype("datetime64[M]"), return_inverse=True, return_counts=True)
    et, rain = np.bincount(month, et_mm), np.bincount(month, rain_mm)
    number = month_of(dates)
    of_month = np.array([int(number[month == one][0]) for one in range(days.size)])
    by_number = np.array([(et[of_month == one] / days[of_month == one]).mean() if (of_month == one).any() else 0.0
                          for one in range(1, 13)])  # fmt: skip
    hot = by_number >= bed_practice("hot month") * by_number.max()
    sun = np.where(hot[of_month - 1], 1.0 - part.shade, 1.0)
    want = np.maximum(kc * sun * et - effective_rain_mm(rain), 0.0)
    planted = np.isin(of_month, part.months or range(1, 13))
    return np.asarray((np.where(planted, want, 0.0) / days)[month])


def greywater_left_m3(dates: NDArray[np.datetime64], et_mm: Values, flow_m3_d: float, reeds_m2: float) -> Values:
    """Water behind a reed bed on each day, less what its reeds use in that month.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (days,)
        The days.
    et_mm : ndarray of float64, shape (days,)
        Reference evapotranspiration [mm].
    flow_m3_d : float
        Greywater a day [m³/d].
    reeds_m2 : float
        The reed bed [m²].

    Returns
    -------
    ndarray of float64, shape (days,)
        Water, 0 where the reeds use it all [m³].

    Examples
    --------
    >>> june = np.arange("2001-06-01", "2001-07-01", dtype="datetime64[D]")
    >>> round(float(greywater_left_m3(june, np.full(30, 7.0), 0.6, 11.0)[0]), 3)
    0.508
    """
    _, month, days = np.unique(dates.astype("datetime64[M]"), return_inverse=True, return_counts=True)
    mean_mm = np.bincount(month, et_mm) / days
    loss = reeds_m2 * mean_mm * mid_season_coefficient(REEDS) / 1000.0
    return np.asarray(np.maximum(flow_m3_d - loss, 0.0)[month])


def water_beds(water: BedWater, *, inflow_m3: Values | None = None, volume_m3: float = 0.0) -> BedWater:
    """Give greywater to the beds that it reaches, and what they still want, and all others, from the tank.

    Parameters
    ----------
    water : BedWater
        What beds want and greywater brings.
    inflow_m3 : ndarray of float64, shape (days,), optional
        What a roof sheds to the tank; None for no tank [m³].
    volume_m3 : float
        What the tank holds [m³].

    Returns
    -------
    BedWater
        The same with what each gives, and the area that they carry. The tank begins as it stands after the record has
        run once from an empty one.
    """
    full = _with_supply(water, water.area_m2, inflow_m3, volume_m3)
    low, high = 0.0, water.area_m2
    if not _is_carried(full):
        for _ in range(_HALVINGS):
            middle = 0.5 * (low + high)
            if _is_carried(_with_supply(water, middle, inflow_m3, volume_m3)):
                low = middle
            else:
                high = middle
        high = low
    return replace(full, carried_m2=high)


def _with_supply(water: BedWater, area_m2: float, inflow_m3: Values | None, volume_m3: float) -> BedWater:
    """The water of so many square metres of bed, those that greywater reaches first."""
    reached_m2 = min(water.reached_m2, area_m2)
    used = np.minimum(water.greywater_m3, water.want_mm * reached_m2 / 1000.0)
    tank = None
    if inflow_m3 is not None:
        want = water.want_mm * area_m2 / 1000.0 - used
        first = tank_balance(inflow_m3, want, volume_m3=volume_m3)
        tank = tank_balance(inflow_m3, want, volume_m3=volume_m3, start_m3=float(first.stored_m3[-1]))
    return replace(water, area_m2=area_m2, greywater_used_m3=used, reached_m2=reached_m2, tank=tank, tank_m3=volume_m3)


def _is_carried(water: BedWater) -> bool:
    """Whether every month of enough years brings nearly all that is wanted."""
    _, month = np.unique(water.dates.astype("datetime64[M]"), return_inverse=True)
    want, short = np.bincount(month, water.want_m3), np.bincount(month, water.short_m3)
    met = short <= (1.0 - bed_practice("carried share")) * want + 1e-9
    first = np.unique(month, return_index=True)[1]
    years = year_of(water.dates)[first]
    carried = [bool(met[years == year].all()) for year in np.unique(years)]
    return sum(carried) >= water.reliability * len(carried) - 1e-9


def whole_years_of(dates: NDArray[np.datetime64], *daily: Values) -> tuple[NDArray[np.datetime64], list[Values]]:
    """Days of whole years, and what there is of them.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        The days of a record.
    *daily : ndarray of float64, shape (n,)
        What there is of each.

    Returns
    -------
    ndarray of datetime64[D], shape (days,)
        Days of whole calendar years.
    list of ndarray of float64, shape (days,)
        As given, of those days.

    Examples
    --------
    >>> days = np.arange("2000-07-01", "2003-02-01", dtype="datetime64[D]")
    >>> kept, [ones] = whole_years_of(days, np.ones(days.size))
    >>> kept.size, ones.size
    (730, 730)
    """
    whole = whole_year_days(dates)
    return dates[whole], [values[whole] for values in daily]
