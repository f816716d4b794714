"""The rain of a roof in a tank, day by day."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.tables.load import named_row

Values = NDArray[np.float64]


@one_line("given_m3", "spilled_m3")
@dataclass(frozen=True, eq=False)
class TankBalance(Frozen):
    """Where the water of a tank went, day by day.

    Parameters
    ----------
    inflow_m3, given_m3, spilled_m3 : ndarray of float64, shape (days,)
        What came off the roof, what was used, and what overflowed [m³].
    stored_m3 : ndarray of float64, shape (days,)
        What stands in the tank at the end of each day [m³].
    start_m3 : float
        What stood in it before the first [m³].
    """

    inflow_m3: Values
    given_m3: Values
    spilled_m3: Values
    stored_m3: Values
    start_m3: float


def roof_runoff_m3(
    rain_mm: Values, roof_m2: float, *, coefficient: float | None = None, first_flush_mm: float | None = None
) -> Values:
    """Water that a roof sheds to a tank.

    Parameters
    ----------
    rain_mm : ndarray of float64, shape (days,)
        Rain of each day [mm].
    roof_m2 : float
        Roof in plan [m²].
    coefficient : float, optional
        Share that runs off; the table's when not given [-].
    first_flush_mm : float, optional
        Rain of a day that is let go first; the table's when not given [mm].

    Returns
    -------
    ndarray of float64, shape (days,)
        Water [m³].

    Raises
    ------
    InputError
        If a value lies outside its range.

    Examples
    --------
    >>> roof_runoff_m3(np.array([0.0, 0.4, 20.5]), 100.0).round(3).tolist()
    [0.0, 0.0, 1.7]
    """
    share = named_row("rain_tank", practice="roof runoff").value if coefficient is None else coefficient
    flush = named_row("rain_tank", practice="first flush").value if first_flush_mm is None else first_flush_mm
    check_positive(roof_m2=roof_m2)
    check_between(0.0, 1.0, coefficient=share)
    check_not_negative(first_flush_mm=flush)
    return np.asarray(share * roof_m2 * np.maximum(np.asarray(rain_mm, np.float64) - flush, 0.0) / 1000.0)


def tank_balance(inflow_m3: Values, want_m3: Values, *, volume_m3: float, start_m3: float = 0.0) -> TankBalance:
    """Follow a tank by yield after spillage: a day's rain fills and spills before a day's water is drawn.

    Parameters
    ----------
    inflow_m3, want_m3 : ndarray of float64, shape (days,)
        What comes and what is asked for, each day [m³].
    volume_m3 : float
        What the tank holds [m³].
    start_m3 : float
        What stands in it before the first day [m³].

    Returns
    -------
    TankBalance
        Start + inflow = given + spilled + what is left, to rounding.

    Raises
    ------
    InputError
        If a volume or a day's water is negative, or the shapes differ.

    Notes
    -----
    Given(t) = min(want(t), stored(t−1)); stored(t) = min(stored(t−1) + inflow(t) − given(t), volume − given(t)): on the
    safe side, as a day's rain counts from the next day on. No evaporation is counted: the tank is covered.

    References
    ----------
    .. [1] Jenkins, Pearson, Moore, Sun & Valentine (1978). Feasibility of rainwater collection systems in California;
       Fewkes & Butler (2000), Building Services Engineering Research and Technology 21. Both from memory.

    Examples
    --------
    >>> tank = tank_balance(np.array([3.0, 4.0, 0.0, 0.0]), np.full(4, 2.0), volume_m3=5.0)
    >>> tank.given_m3.tolist(), tank.spilled_m3.tolist(), tank.stored_m3.tolist()
    ([0.0, 2.0, 2.0, 1.0], [0.0, 2.0, 0.0, 0.0], [3.0, 3.0, 1.0, 0.0])
    """
    inflow, want = np.asarray(inflow_m3, np.float64), np.asarray(want_m3, np.float64)
    check_same_shape(inflow_m3=inflow, want_m3=want)
    check_positive(volume_m3=volume_m3)
    check_not_negative(start_m3=start_m3)
    if inflow.size and (min(inflow.min(), want.min()) < 0.0 or start_m3 > volume_m3):
        message = "a day's water is negative, or more stands in the tank at first than it holds; check rain and want"
        raise InputError(message)
    stored = start_m3
    rows = []
    for came, asked in zip(inflow.tolist(), want.tolist(), strict=True):
        spilled = max(stored + came - volume_m3, 0.0)
        given = min(asked, stored)
        stored = stored + came - spilled - given
        rows.append((given, spilled, stored))
    given_m3, spilled_m3, stored_m3 = np.array(rows, np.float64).reshape(-1, 3).T.copy()
    return TankBalance(inflow, given_m3, spilled_m3, stored_m3, start_m3)
