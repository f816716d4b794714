"""The water that comes, day by day: rain, runoff to the ditch, and what the air asks for."""

from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.soil import Soil
from swalekit.planting.weather.days import check_every_day

Values = NDArray[np.float64]

_AMOUNTS = ("rain_mm", "runoff_mm", "reference_et_mm", "harvested_m3")


@one_line("dates", "rain_mm", "harvested_m3")
@dataclass(frozen=True, eq=False)
class DailyWater(Frozen):
    """What comes to a swale and its planted ground on n days.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days, none left out.
    rain_mm : ndarray of float64, shape (n,)
        Rain [mm].
    runoff_mm : ndarray of float64, shape (n,)
        Rain that runs off the planted ground [mm].
    reference_et_mm : ndarray of float64, shape (n,)
        Reference evapotranspiration [mm].
    harvested_m3 : ndarray of float64, shape (n,)
        Water that reaches the ditch [m³].

    Raises
    ------
    InputError
        If a day is left out, a value is negative or missing, or more runs off than falls.
    """

    dates: NDArray[np.datetime64]
    rain_mm: Values
    runoff_mm: Values
    reference_et_mm: Values
    harvested_m3: Values

    def __post_init__(self) -> None:
        check_every_day(self.dates)
        amounts = {name: getattr(self, name) for name in _AMOUNTS}
        check_same_shape(dates=self.dates, **amounts)
        for name, values in amounts.items():
            wrong = np.flatnonzero(~((values >= 0.0) & np.isfinite(values)))
            if wrong.size:
                message = f"{name} of {self.dates[wrong[0]]} is {values[wrong[0]]:g}; it must be zero or greater"
                raise InputError(message)
        wrong = np.flatnonzero(self.runoff_mm > self.rain_mm)
        if wrong.size:
            day = wrong[0]
            message = (
                f"runoff_mm of {self.dates[day]} is {self.runoff_mm[day]:g} and rain_mm {self.rain_mm[day]:g}; "
                "no more can run off than falls"
            )
            raise InputError(message)
        super().__post_init__()

    def without_harvest(self) -> Self:
        """Days where no ditch gathers runoff.

        Returns
        -------
        DailyWater
            Rain, runoff and reference evapotranspiration as they are, without water that reaches a ditch.

        Examples
        --------
        >>> days, dry = np.array(["2001-05-01"], "datetime64[D]"), np.zeros(1)
        >>> DailyWater(days, np.array([30.0]), dry, dry, np.array([12.0])).without_harvest().harvested_m3
        array([0.])
        """
        return replace(self, harvested_m3=np.zeros(self.dates.shape))


def harvest_m3(soil: Soil, class_areas_m2: ArrayLike, rain_mm: ArrayLike) -> Values:
    """Runoff that reaches a ditch on every day.

    Parameters
    ----------
    soil : Soil
        Soil classes of the catchment.
    class_areas_m2 : array_like, shape (classes,)
        Catchment on each class [m²].
    rain_mm : array_like, shape (n,)
        Rain of the day, taken as one storm [mm].

    Returns
    -------
    ndarray of float64, shape (n,)
        Harvested water [m³].

    Raises
    ------
    InputError
        If there isn't one area a class, or an area is negative.

    Notes
    -----
    The loss knows nothing of the day before. For ground that is dry as a rule ask with `Soil.with_condition`.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> harvest_m3(Soil((CurveNumberLoss(80.0),)), [1000.0], [0.0, 10.0, 50.0]).round(1)
    array([ 0. ,  0. , 13.8])
    """
    areas = np.asarray(class_areas_m2, np.float64)
    if areas.shape != (len(soil.losses),) or not (areas >= 0.0).all():
        message = (
            f"class_areas_m2 is {areas.tolist()}; it needs one area of zero or more for {len(soil.losses)} soil classes"
        )
        raise InputError(message)
    return np.asarray(soil.runoff_mm(rain_mm) @ areas / 1000.0)
