"""The search for the level whose lines are just full."""

from collections.abc import Callable
from math import ceil, floor, inf
from typing import NamedTuple

from swalekit.design.layout.level_trial import LevelTrial

LEAST_FULLNESS = 0.98
"""A level is just full when the storm fills this share of its storage, or more, and no more than all of it."""

_LEAST_USE = 0.5
"""A level that can't be just full is laid if it is at least half full."""

_STEP_M = 0.01
_AIM = (1.0 + LEAST_FULLNESS) / 2.0


class _Bound(NamedTuple):
    """A level in whole centimetres, and how full it is."""

    place: int
    fullness: float


def just_full_level(
    fill: Callable[[float], LevelTrial], above_m: float, lowest_m: float, *, guess_m: float, least_m: float
) -> LevelTrial | None:
    """The level below another that is just full, or the next best.

    Parameters
    ----------
    fill : callable
        The trial of a level [m], which is given in whole centimetres.
    above_m, lowest_m : float
        The level, or highest ground, above and the lowest ground [m].
    guess_m, least_m : float
        Vertical interval to begin with, and the least one, both above zero [m].

    Returns
    -------
    LevelTrial or None
        A level that is just full; else the fullest tried that holds, if it is half full; else the first tried that is
        short; None where the ground ends before.

    Notes
    -----
    It is sought between an upper level that holds and a lower one that is short, or where the ground ends, until they
    are a centimetre apart, or a lower level is less full than one that is half full. A jump to where no line can be
    laid says nothing of the ground between: that is gone through in quarters of the first interval.
    """
    upper, lower = _Bound(floor((above_m - least_m) / _STEP_M), 0.0), _Bound(ceil(lowest_m / _STEP_M), inf)
    place, quarter = floor((above_m - guess_m) / _STEP_M), ceil(0.25 * guess_m / _STEP_M)
    trials: list[LevelTrial] = []
    while upper.place - lower.place > 1:
        if not lower.place < place < upper.place:
            place = (lower.place + upper.place) // 2
        trial = fill(round(place * _STEP_M, 2))
        trials.append(trial)
        just_full = LEAST_FULLNESS <= trial.fullness <= 1.0
        less_full = bool(trial.lines) and trial.fullness < upper.fullness and upper.fullness >= _LEAST_USE
        if just_full or less_full:
            break
        blank = not trial.lines and lower.fullness == inf
        if trial.fullness > 1.0:
            lower = _Bound(place, trial.fullness)
        elif not blank or upper.place - place <= quarter:
            upper = _Bound(place, trial.fullness)
        place = upper.place - quarter if blank else _next_place(upper, lower, above_m / _STEP_M, turn=len(trials))
    return _best(trials)


def _best(trials: list[LevelTrial]) -> LevelTrial | None:
    """The fullest that holds, if it is half full; else the first that is short, the nearest to the guess."""
    fit = [trial for trial in trials if _LEAST_USE <= trial.fullness <= 1.0]
    short = [trial for trial in trials if trial.fullness > 1.0]
    return max(fit, key=lambda trial: trial.fullness) if fit else next(iter(short), None)


def _next_place(upper: _Bound, lower: _Bound, above: float, *, turn: int) -> int:
    """Where the fullness should come right; every other time the middle, so that the search ends."""
    if lower.fullness == inf:
        return floor(above - (above - upper.place) * min(_AIM / max(upper.fullness, 0.1), 2.0)) - 1
    share = 0.5 if turn % 2 == 0 else (_AIM - upper.fullness) / (lower.fullness - upper.fullness)
    return round(upper.place - share * (upper.place - lower.place))
