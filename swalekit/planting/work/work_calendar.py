"""The year's work, month by month around the rains."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.planting.work.nursery import NurseryLine

MONTHS = (
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
)
_WET_SHARE = 0.5  # of the reference evapotranspiration
_MUCH = 1.0 / 3.0  # of the year's rain


@dataclass(frozen=True)
class RainySeason:
    """The wet months of a usual year.

    Parameters
    ----------
    first, last : int
        First and last wet month, 1 to 12; the season may go over the turn of the year.
    humid : bool
        Whether rain reaches half the reference evapotranspiration in them; if not, they are merely the wetter months.
    """

    first: int
    last: int
    humid: bool

    @property
    def months(self) -> tuple[int, ...]:
        """Wet months in order."""
        count = (self.last - self.first) % 12 + 1
        return tuple((self.first - 1 + step) % 12 + 1 for step in range(count))


@one_line("name", "tasks")
@dataclass(frozen=True)
class CalendarMonth:
    """Work of a month.

    Parameters
    ----------
    month : int
        1 to 12.
    tasks : tuple of str
        What is done.
    """

    month: int
    tasks: tuple[str, ...]

    @property
    def name(self) -> str:
        """Name of the month."""
        return MONTHS[self.month - 1]


def rainy_season(rain_mm: NDArray[np.float64], reference_et_mm: NDArray[np.float64]) -> RainySeason:
    """Longest run of wet months.

    Parameters
    ----------
    rain_mm, reference_et_mm : ndarray of float64, shape (12,)
        Usual rain and reference evapotranspiration of each month [mm].

    Returns
    -------
    RainySeason
        The run with more rain where two are equally long.

    Raises
    ------
    InputError
        If there aren't twelve months or it never rains.

    Notes
    -----
    Wet are months whose rain reaches half the reference evapotranspiration, the usual sign of a growing season; where
    none does, or those that do hold less than a third of the year's rain, months with more rain than the mean.

    Examples
    --------
    >>> rain = np.array([60, 55, 45, 40, 20, 5, 0, 0, 15, 50, 65, 70.0])
    >>> need = np.array([40, 50, 80, 105, 140, 170, 190, 175, 120, 80, 50, 40.0])
    >>> rainy_season(rain, need).months
    (10, 11, 12, 1, 2, 3)
    """
    check_same_shape(rain_mm=rain_mm, reference_et_mm=reference_et_mm)
    if rain_mm.shape != (12,) or not rain_mm.sum() > 0.0:
        message = f"rain_mm has {rain_mm.size} months and {rain_mm.sum():g} mm in all; it needs twelve and some rain"
        raise InputError(message)
    wet = rain_mm >= _WET_SHARE * reference_et_mm
    humid = bool(wet.any()) and float(rain_mm[wet].sum()) >= _MUCH * float(rain_mm.sum())
    if not humid:
        wet = rain_mm > rain_mm.mean()
    if wet.all() or not wet.any():
        first = int(np.argmax(rain_mm))
        return RainySeason(first + 1, (first + 11) % 12 + 1, humid)
    runs = []
    for start in np.flatnonzero(wet & ~np.roll(wet, 1)):
        length = next(step for step in range(1, 13) if not wet[(start + step) % 12])
        months = (start + np.arange(length)) % 12
        runs.append((length, float(rain_mm[months].sum()), -int(start)))
    length, _, negative = max(runs)
    return RainySeason(-negative + 1, (-negative + length - 1) % 12 + 1, humid)


def work_calendar(
    season: RainySeason, *, nursery: Sequence[NurseryLine] = (), planted: bool = True
) -> tuple[CalendarMonth, ...]:
    """Work of each month of the year.

    Parameters
    ----------
    season : RainySeason
        When it rains.
    nursery : sequence of NurseryLine
        Stock with its months of sowing; what isn't in it makes no work. Without any, work of every kind is listed.
    planted : bool
        Whether anything is planted; if not, only the swales make work.

    Returns
    -------
    tuple of CalendarMonth
        January to December.

    Notes
    -----
    Common practice: ground is dug dry and planted wet, and mulch goes on soil that has been soaked.

    Examples
    --------
    >>> calendar = work_calendar(RainySeason(10, 3, True))
    >>> calendar[9].name, calendar[9].tasks[0]
    ('October', 'plant once the soil is wet to 30 cm: pioneers first, trees where shade has grown')
    """
    tasks: dict[int, list[str]] = {month: [] for month in range(1, 13)}

    def put(month: int, task: str) -> None:
        tasks[(month - 1) % 12 + 1].append(task)

    wet = season.months
    put(season.first - 2, "dig ditches, build berms and level the sills while the ground is dry")
    put(season.first - 1, "check levels and sills")
    for month in wet:
        put(month, "walk the sills after every storm and mend what has washed")
    if not planted:
        return tuple(CalendarMonth(month, tuple(done)) for month, done in tasks.items())
    put(season.first - 1, "dig planting holes; have compost and mulch at hand")
    roles = {line.species.role for line in nursery} or {"pioneer", "ground cover"}
    order = ": pioneers first, trees where shade has grown" if "pioneer" in roles else ""
    tasks[season.first].insert(0, f"plant once the soil is wet to 30 cm{order}")
    if "ground cover" in roles:
        put(season.first, "plant or sow ground cover on the berms")
    put(wet[len(wet) // 2], "replace plants that were lost, from the nursery")
    pruned = "cut pioneers back and spread the prunings; " if "pioneer" in roles else ""
    put(season.last, f"{pruned}top up mulch on wet soil before the dry months")
    for month in range(1, 13):
        if month not in wet:
            put(month, "soak plants in their first three dry seasons every two weeks where no rain did")
    put(season.last + 3, "clear dry grass from around the trees against fire")
    put(season.last + 5, "gather seed of local provenance as it ripens")
    starts: dict[tuple[str, int], list[NurseryLine]] = {}
    for line in sorted(nursery, key=lambda line: (line.species.name, line.sow_month)):
        month = int(line.sow_month.astype("datetime64[M]").astype(np.int64)) % 12 + 1
        starts.setdefault((line.species.name, month), []).append(line)
    for (name, month), lines in starts.items():
        verb = "start in the nursery" if lines[0].species.nursery_months else "sow or set in place"
        told = ", ".join(f"{_to_start(line)} in {line.sow_month.astype('datetime64[Y]')}" for line in lines)
        put(month, f"{verb} {name}: {told}")
    return tuple(CalendarMonth(month, tuple(done)) for month, done in tasks.items())


def _to_start(line: NurseryLine) -> str:
    """Seed or cuttings of a line."""
    if line.seed_g is None:
        return f"{line.started:,} {line.raising.raised_by}"
    return f"{line.seed_g:.2g} g" if line.seed_g < 100 else f"{line.seed_g:,.0f} g"
