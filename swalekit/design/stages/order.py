"""Which swale is built in which season: from the top of the site down, under a budget or in so many seasons."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive

_DIGITS = 9
"""Shares of the whole cost that agree in so many digits are equal."""


def stages_within(budget: float, costs: Sequence[float], *, mobilisation: float = 0.0) -> tuple[int, ...]:
    """Stages of swales so that each season, bringing the machine included, stays within a budget.

    Parameters
    ----------
    budget : float
        What a season may cost.
    costs : sequence of float
        Cost of each swale by itself, from the top of the site down, in the currency of the budget.
    mobilisation : float
        Cost of bringing the machine, every season anew.

    Returns
    -------
    tuple of int
        Stage of each, from 1, never falling: a swale is built with those above it or after them. One that alone costs
        more than the budget is built alone.

    Raises
    ------
    InputError
        If the budget isn't positive.

    Examples
    --------
    >>> stages_within(1000.0, [300.0, 400.0, 500.0, 900.0, 50.0], mobilisation=200.0)
    (1, 1, 2, 3, 4)
    """
    check_positive(budget=budget)
    stages: list[int] = []
    stage, spent = 0, budget
    for cost in costs:
        if not stages or spent + cost > budget:
            stage, spent = stage + 1, mobilisation
        spent += cost
        stages.append(stage)
    return tuple(stages)


def even_stages(count: int, costs: Sequence[float]) -> tuple[int, ...]:
    """Stages of swales in so many seasons, of which the dearest costs as little as can be.

    Parameters
    ----------
    count : int
        Seasons; no more than there are swales are used.
    costs : sequence of float
        Cost, or soil, of each swale, from the top of the site down.

    Returns
    -------
    tuple of int
        Stage of each, from 1, never falling.

    Raises
    ------
    InputError
        If the count isn't positive.

    Notes
    -----
    Every place to end a season is tried, by the least greatest sum of the first k swales in s seasons; of equals the
    earlier seasons take more swales.

    Examples
    --------
    >>> even_stages(3, [1.0, 1.0, 1.0, 3.0, 1.0])
    (1, 1, 1, 2, 3)
    """
    check_positive(count=count)
    n = len(costs)
    count = min(count, n)
    if n == 0:
        return ()
    summed = np.concatenate([[0.0], np.cumsum(costs)])
    whole = summed[-1] or 1.0
    greatest = np.full((count + 1, n + 1), np.inf)
    begins = np.zeros((count + 1, n + 1), np.int64)
    greatest[0, 0] = 0.0
    for seasons in range(1, count + 1):
        for taken in range(seasons, n + 1):
            last: NDArray[np.float64] = np.maximum(greatest[seasons - 1, :taken], summed[taken] - summed[:taken])
            begins[seasons, taken] = taken - 1 - int(np.argmin(np.round(last[::-1] / whole, _DIGITS)))
            greatest[seasons, taken] = last[begins[seasons, taken]]
    stages = np.zeros(n, np.int64)
    end = n
    for seasons in range(count, 0, -1):
        begin = int(begins[seasons, end])
        stages[begin:end] = seasons
        end = begin
    return tuple(stages.tolist())
