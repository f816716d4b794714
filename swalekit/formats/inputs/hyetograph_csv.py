"""Rain of one measured storm over its time."""

from pathlib import Path

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_one_of
from swalekit.errors import InputError
from swalekit.formats.inputs.depth_rows import MM_PER, check_pairs, read_depth_rows, refuse_fault
from swalekit.formats.table import TextRow, named
from swalekit.hydrology.storm.hyetograph import Hyetograph, storm_fault

TIME_FORMS = ("min", "h", "timestamp")
VALUE_FORMS = ("increment", "cumulative")

_HOURS = {"min": 1.0 / 60.0, "h": 1.0}
_STEP_TOLERANCE = 0.2
"""Share of a step by which the next may differ and still count as equal: times are printed rounded."""


def read_hyetograph(path: str | Path, *, time: str, values: str, unit: str = "mm") -> Hyetograph:
    r"""Read a measured storm of one row a time: the time and the rain.

    Parameters
    ----------
    path : str or Path
        Delimited text with two columns, with or without a header row.
    time : str
        How time is given: ``min`` or ``h`` since the start, or ``timestamp``, written like 2001-12-31T18:30.
    values : str
        ``increment``: rain of each of a run of equal steps, whether a step's time is that of its start or its end.
        ``cumulative``: rain since the start; times may be uneven.
    unit : str
        Unit of the rain: ``mm`` or ``in``.

    Returns
    -------
    Hyetograph
        The storm, in millimetres and hours from its start.

    Raises
    ------
    InputError
        If a row can't be read or can't be right (with its line): time that doesn't rise, a gap between equal steps,
        negative rain; or if the storm holds no rain.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "storm.csv"
    ...     _ = path.write_text("min,mm\n10,2\n20,6\n30,1\n")
    ...     read_hyetograph(path, time="min", values="increment").duration_h
    0.5
    """
    check_one_of(TIME_FORMS, time=time)
    check_one_of(VALUE_FORMS, values=values)
    rows = read_depth_rows(path, what="storm", unit=unit)
    if len(rows) < 2:
        message = f"storm '{path}' holds {len(rows)} row(s) of rain; it needs two or more, each a time and a depth"
        raise InputError(message)
    check_pairs(rows, "a time and a depth")
    time_h = _time_h(rows, time)
    depth_mm = np.array([row.number(1) * MM_PER[unit] for row in rows])
    return _from_increments(rows, time_h, depth_mm) if values == "increment" else _from_sums(rows, time_h, depth_mm)


def _time_h(rows: list[TextRow], time: str) -> NDArray[np.float64]:
    """Time of each row [h]; timestamps count from the first."""
    if time != "timestamp":
        return np.array([row.number(0) for row in rows]) * _HOURS[time]
    moments = [row.moment(0) for row in rows]
    for row, moment in zip(rows, moments, strict=True):
        if (moment.tzinfo is None) != (moments[0].tzinfo is None):
            row.refuse(f"'{row.cells[0]}' differs from the first row in having a time zone; give it to all or none")
    return np.array([(moment - moments[0]).total_seconds() for moment in moments]) / 3600.0


def _from_increments(rows: list[TextRow], time_h: NDArray[np.float64], depth_mm: NDArray[np.float64]) -> Hyetograph:
    """Storm from the rain of equal steps."""
    refuse_fault(rows, storm_fault(time_h, np.append(0.0, np.cumsum(depth_mm[1:]))))
    if depth_mm[0] < 0:
        rows[0].refuse(f"{depth_mm[0]:.4g} mm; rain can't be negative")
    steps_h = np.diff(time_h)
    step_h = float(np.median(steps_h))
    uneven = np.flatnonzero(np.abs(steps_h - step_h) > _STEP_TOLERANCE * step_h)
    if len(uneven):
        first = uneven[0]
        rows[first + 1].refuse(
            f"{60 * steps_h[first]:.4g} min since the row before where the others are {60 * step_h:.4g} min apart; "
            "fill the gap, with 0 where no rain fell"
        )
    with named(rows[0].file):
        return Hyetograph.from_increments(depth_mm, step_min=60.0 * float(np.mean(steps_h)))


def _from_sums(rows: list[TextRow], time_h: NDArray[np.float64], depth_mm: NDArray[np.float64]) -> Hyetograph:
    """Storm from the rain since its start; the start itself may be left out where time counts from it."""
    if time_h[0] == 0 and depth_mm[0] != 0:
        rows[0].refuse(
            f"{depth_mm[0]:.4g} mm at the start; begin with the last reading before the rain and count from it"
        )
    if time_h[0] < 0:
        rows[0].refuse(f"time is {time_h[0]:.4g} h; it counts from the start of the storm")
    if time_h[0] > 0:
        time_h, depth_mm = np.append(0.0, time_h), np.append(0.0, depth_mm)
        rows = [rows[0], *rows]
    refuse_fault(rows, storm_fault(time_h, depth_mm))
    with named(rows[0].file):
        return Hyetograph(time_h, depth_mm)
