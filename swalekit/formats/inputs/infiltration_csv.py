"""Readings of an infiltration test."""

from pathlib import Path

import numpy as np

from swalekit.errors import InputError
from swalekit.formats.inputs.depth_rows import MM_PER, check_pairs, read_depth_rows, refuse_fault
from swalekit.formats.table import named
from swalekit.hydrology.losses.infiltration_test import InfiltrationFit, fit_infiltration_test, reading_fault


def read_infiltration_test(path: str | Path, *, unit: str = "mm") -> InfiltrationFit:
    r"""Read a ring test of one row a reading, the minutes since the start and the depth soaked in, and fit it.

    Parameters
    ----------
    path : str or Path
        Delimited text with two columns, with or without a header row. Depths are those soaked in since the start,
        over all refills.
    unit : str
        Unit of the depths: ``mm`` or ``in``.

    Returns
    -------
    InfiltrationFit
        Conductivity with its spread.

    Raises
    ------
    InputError
        If a row can't be read or can't be right (with its line), or the readings are too few or show no steady rate.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "ring.csv"
    ...     _ = path.write_text("min,mm\n" + "\n".join(f"{m},{0.5 * m}" for m in range(5, 65, 5)))
    ...     round(read_infiltration_test(path).late_rate_mm_h, 1)
    30.0
    """
    rows = read_depth_rows(path, what="infiltration test", unit=unit)
    if not rows:
        message = f"infiltration test '{path}' holds no reading; give a time in minutes and a depth in each row"
        raise InputError(message)
    check_pairs(rows, "minutes and a depth")
    time_min = np.array([row.number(0) for row in rows])
    depth_mm = np.array([row.number(1) * MM_PER[unit] for row in rows])
    refuse_fault(rows, reading_fault(time_min, depth_mm))
    with named(rows[0].file):
        return fit_infiltration_test(time_min, depth_mm)
