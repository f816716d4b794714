"""Days as numbers in their month and year."""

import numpy as np
from numpy.typing import NDArray

from swalekit.errors import InputError


def day_of_year(dates: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Days since the last day of the year before.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.

    Returns
    -------
    ndarray of int64, shape (n,)
        1 for 1 January, to 365 or 366.

    Examples
    --------
    >>> day_of_year(np.array(["2003-12-31", "2004-12-31"], "datetime64[D]"))
    array([365, 366])
    """
    return np.asarray((dates - dates.astype("datetime64[Y]")).astype(np.int64) + 1)


def month_of(dates: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Month of each day.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.

    Returns
    -------
    ndarray of int64, shape (n,)
        1 to 12.

    Examples
    --------
    >>> month_of(np.array(["2003-12-31", "2004-02-29"], "datetime64[D]"))
    array([12,  2])
    """
    return np.asarray(dates.astype("datetime64[M]").astype(np.int64) % 12 + 1)


def year_of(dates: NDArray[np.datetime64]) -> NDArray[np.int64]:
    """Calendar year of each day.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days.

    Returns
    -------
    ndarray of int64, shape (n,)
        Years.

    Examples
    --------
    >>> year_of(np.array(["2003-12-31"], "datetime64[D]"))
    array([2003])
    """
    return np.asarray(dates.astype("datetime64[Y]").astype(np.int64) + 1970)


def check_every_day(dates: NDArray[np.datetime64]) -> None:
    """Check that no day is left out, leap days included.

    Parameters
    ----------
    dates : ndarray of datetime64[D], shape (n,)
        Days in order.

    Raises
    ------
    InputError
        If a day is missing, naming the first.

    Examples
    --------
    >>> check_every_day(np.array(["2004-02-28", "2004-03-01"], "datetime64[D]"))
    Traceback (most recent call last):
    swalekit.errors.InputError: weather: day 2004-02-29 is missing (a leap day); a daily budget needs every day
    """
    gaps = np.flatnonzero(np.diff(dates) != np.timedelta64(1, "D"))
    if gaps.size:
        first = dates[gaps[0]] + np.timedelta64(1, "D")
        leap = " (a leap day)" if str(first).endswith("-02-29") else ""
        message = f"weather: day {first} is missing{leap}; a daily budget needs every day"
        raise InputError(message)
