"""Readings of an infiltration test."""

from pathlib import Path

import numpy as np

from swalekit._checks import check_one_of
from swalekit.errors import InputError
from swalekit.formats.table import named, read_rows
from swalekit.hydrology.losses.infiltration_test import InfiltrationFit, fit_infiltration_test, reading_fault
from swalekit.units import MM_PER_INCH


def read_infiltration_test(path: str | Path, *, unit: str = "mm") -> InfiltrationFit:
    """Read a ring test of one row a reading, the minutes since the start and the depth soaked in, and fit it.

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
    """
    check_one_of(("mm", "in"), unit=unit)
    rows = read_rows(path, what="infiltration test")
    if rows[0].is_heading:
        rows = rows[1:]
    if not rows:
        message = f"infiltration test '{path}' holds no reading; give a time in minutes and a depth in each row"
        raise InputError(message)
    for row in rows:
        if len(row.cells) != 2:
            row.refuse(f"{len(row.cells)} cells where minutes and a depth are expected; keep these two columns")
    time_min = np.array([row.number(0) for row in rows])
    in_mm = MM_PER_INCH if unit == "in" else 1.0
    depth_mm = np.array([row.number(1) * in_mm for row in rows])
    fault = reading_fault(time_min, depth_mm)
    if fault is not None:
        rows[fault[0]].refuse(fault[1])
    with named(rows[0].file):
        return fit_infiltration_test(time_min, depth_mm)
