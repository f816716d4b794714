"""Which of many options stand out."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from math import inf

import numpy as np
from numpy.typing import NDArray

from swalekit.design.options.option import Option

MOST_KEPT = 12
"""Options at most whose lines are kept, to be written and drawn side by side."""

DEARER_FOR_MORE = 1.25
"""Per cent by which one per cent more water kept may raise the price of the recommended option."""


def rank_of(option: Option, *, by_volume: bool = False) -> tuple[float, ...]:
    """What an option is recommended by, least first: price / (share of the water kept)^1.25, then what breaks ties.

    Parameters
    ----------
    option : Option
        An option.
    by_volume : bool
        Take the volume dug for the price, whatever it costs.

    Returns
    -------
    tuple of float
        Figures to compare one after the other; alike only where every figure of two options is.

    Notes
    -----
    The cheapest layout that holds the storm may be a single ditch that sees little of it; the least price per m³ kept
    would favour such a ditch too, since the best place comes first. Here keeping 1 % more of the water may raise the
    price by 1.25 %: each further m³ may cost a quarter more than those before it do on average. Each option has its
    rank by itself, whichever others are laid out, so their order and number don't matter; and as it falls with the
    price and rises with the water kept, no option dominates the best. Of equals that is best which keeps more, then
    which digs less, holds more and disturbs less.

    Examples
    --------
    >>> few = Option(1, "few", {}, {"cost": 100.0, "dug_m3": 0.0, "kept_share": 0.2, "held_storm_mm": 60.0,
    ...     "strip_m2": 0}, holds=True)
    >>> more = Option(2, "more", {}, {**few.totals, "cost": 400.0, "kept_share": 0.8}, holds=True)
    >>> rank_of(more) < rank_of(few)
    True
    """
    kept_share = option.amount("kept_share")
    price = option.price(by_volume=by_volume)
    return (price / kept_share**DEARER_FOR_MORE if kept_share > 0.0 else inf), -kept_share, *_losses(option)


def marked(options: Sequence[Option], *, by_volume: bool = False) -> tuple[Option, ...]:
    """Mark the non-dominated options and, of those that keep all limits, the cheapest and the recommended one.

    Parameters
    ----------
    options : sequence of Option
        Options of one site.
    by_volume : bool
        Take the volume dug for the price, whatever it costs.

    Returns
    -------
    tuple of Option
        The options in their order.

    Notes
    -----
    One option dominates another if it is at least as good in dug volume, held storm, share of water kept, cost,
    disturbed ground and standing hours, and better in one. Without the share, few ditches that catch little would beat
    every layout that keeps the rain. Options without a swale are left out: they dig nothing and hold nothing. The
    cheapest is that of the least price, and of equals that which digs less, holds more and disturbs less, so that none
    that keeps as much dominates it; the recommended one has the least `rank_of`. Where none keeps all limits, that is
    the nearest which misses them by the least share, and of equals that of the least `rank_of`.

    Examples
    --------
    >>> [(option.recommended, option.cheapest) for option in marked(comparison.options)]
    [(False, False), (True, True)]
    """
    fit, front = [option for option in options if option.keeps_all], non_dominated(options)
    best = min(fit, key=partial(rank_of, by_volume=by_volume), default=None)
    cheapest = min(fit, key=lambda option: (option.price(by_volume=by_volume), *_losses(option)), default=None)
    laid = [] if fit else [option for option in options if option.totals["swales"]]
    nearest = min(laid, key=lambda option: (option.missed, *rank_of(option, by_volume=by_volume)), default=None)
    return tuple(
        replace(
            option,
            recommended=option is best,
            cheapest=option is cheapest,
            nearest=option is nearest,
            non_dominated=bool(on_front),
        )
        for option, on_front in zip(options, front, strict=True)
    )


def non_dominated(options: Sequence[Option]) -> NDArray[np.bool_]:
    """Which options no other dominates, shape (n,).

    Parameters
    ----------
    options : sequence of Option
        Options of one site.

    Returns
    -------
    ndarray of bool, shape (n,)
        True where no other is as good in all and better in one.

    Examples
    --------
    >>> bool(non_dominated(comparison.options).any())
    True
    """
    losses = np.array([_losses(option) for option in options], np.float64).reshape(len(options), -1)
    laid = np.array([bool(option.totals["swales"]) for option in options], np.bool_)
    front = laid.copy()
    for number in np.flatnonzero(laid):
        others = losses[laid]
        dominating = (others <= losses[number]).all(axis=1) & (others < losses[number]).any(axis=1)
        front[number] = not dominating.any()
    return front


def with_lines_kept(options: Sequence[Option], *, by_volume: bool = False) -> tuple[Option, ...]:
    """Marked options, of which `MOST_KEPT` at most keep their lines.

    Parameters
    ----------
    options : sequence of Option
        From `marked`.
    by_volume : bool
        Take the volume dug for the price, as `marked` does.

    Returns
    -------
    tuple of Option
        The options in their order; those not kept have no lines.

    Notes
    -----
    All keep them if they are few enough. Else the recommended and the cheapest do, or the nearest, and of the other
    non-dominated ones as many as there is room for: three quarters of them within all limits, those first that none of
    these beats in both price and water kept, spread evenly over the water they keep; and the rest spread over the
    storms they hold.

    Examples
    --------
    >>> all(option.lines for option in with_lines_kept(comparison.options))
    True
    """
    if len(options) <= MOST_KEPT:
        return tuple(options)
    best = {option.number for option in options if option.recommended or option.cheapest or option.nearest}
    distinct = {_losses(option): option for option in reversed(options) if option.non_dominated}
    front = list(distinct.values())  # of those alike in all figures the first
    fit = [option for option in front if option.keeps_all]
    spare = [option for option in fit if option.number not in best]
    price = partial(Option.price, by_volume=by_volume)
    first = [option for option in spare if not any(_is_dearer_for_less(option, other, price) for other in fit)]
    others = [option for option in front if not option.keeps_all and option.number not in best]
    room = MOST_KEPT - len(best)
    for_others = min(len(others), max(room - len(spare), room // 4))
    kept = best | _spread(first, room - for_others, "kept_share", price)
    kept |= _spread(others, for_others, "held_storm_mm", price)
    kept |= _spread(
        [option for option in spare if option.number not in kept], MOST_KEPT - len(kept), "kept_share", price
    )
    return tuple(option if option.number in kept else replace(option, lines=()) for option in options)


def _is_dearer_for_less(option: Option, other: Option, price: Callable[[Option], float]) -> bool:
    """Whether another costs no more and keeps no less, and is better in one of both."""
    mine, its = ((price(one), -one.amount("kept_share")) for one in (option, other))
    return all(a <= b for a, b in zip(its, mine, strict=True)) and its != mine


def _spread(options: Sequence[Option], count: int, figure: str, price: Callable[[Option], float]) -> set[int]:
    """Numbers of so many options at most, evenly spread over one of their figures."""
    ordered = sorted(options, key=lambda option: (option.amount(figure), -price(option), option.number))
    places = np.unique(np.linspace(len(ordered) - 1, 0, min(count, len(ordered))).round().astype(int))
    return {ordered[place].number for place in places}


def _losses(option: Option) -> tuple[float, ...]:
    """Each the smaller the better."""
    held_mm = option.amount("held_storm_mm")
    return (
        option.amount("dug_m3"),
        -held_mm,
        -option.amount("kept_share"),
        option.amount("cost"),
        option.amount("strip_m2"),
        option.standing_h or 0.0,
    )
