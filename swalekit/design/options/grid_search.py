"""The search for the best option of a grid too large to be laid out whole."""

from collections.abc import Callable, Sequence
from dataclasses import replace
from functools import partial
from itertools import combinations, product

import numpy as np

from swalekit.design.options.option import Option
from swalekit.design.options.variations import Choice, Factor

STARTS = 3
"""Places of the grid that the search begins from: its middle, and others drawn by the seed."""

_REACH = 3  # steps to either side when two axes are tried together
_HALVINGS = 5
_DECIMALS = 2  # an interval or spacing between those listed, in whole centimetres

Choices = tuple[Choice, ...]
"""One choice of each axis."""


def search_grid(
    axes: Sequence[Factor],
    lay: Callable[[Sequence[Choices]], Sequence[Option]],
    score: Callable[[Option], tuple[float, ...]],
    *,
    seed: int,
) -> Option:
    """Find the option with the least score.

    Parameters
    ----------
    axes : sequence of Factor
        What is varied.
    lay : callable
        Gives the options of several choices, in their order; one that was laid before costs nothing.
    score : callable
        What they are judged by, the least being the best; its last figure is the option's number, so no two agree.
    seed : int
        Of the places to begin from.

    Returns
    -------
    Option
        The best of those tried.

    Notes
    -----
    From each place to begin, one axis after the other is tried from end to end while the others rest, and the best
    choice is kept, until no axis brings a better one. From the best of these ends every two axes are tried together in
    the same way, up to three steps to either side. That ends in an option that no change of one choice and no near
    change of two betters: mostly, not surely, the best of all. If the best has an interval or a spacing with a larger
    one listed, the gap between the two is halved five times, on the better side.
    """
    sizes = [len(axis) for axis in axes]
    rng = np.random.default_rng(seed)
    starts = [[size // 2 for size in sizes], *rng.integers(0, sizes, size=(STARTS - 1, len(sizes))).tolist()]
    climb = partial(_descend, axes=axes, lay=lay, score=score)
    ends = [climb(tuple(axis[at] for axis, at in zip(axes, start, strict=True)), together=1) for start in starts]
    best = min(ends, key=lambda choices: score(lay([choices])[0]))
    return _between(climb(best, together=min(2, len(axes))), axes, lay, score)


def _descend(
    start: Choices,
    *,
    axes: Sequence[Factor],
    lay: Callable[[Sequence[Choices]], Sequence[Option]],
    score: Callable[[Option], tuple[float, ...]],
    together: int,
) -> Choices:
    """Choices that no change of so many at once betters, near ones where it is more than one."""
    here, rested = start, 0
    blocks = list(combinations(range(len(axes)), together))
    while rested < len(blocks):
        for block in blocks:
            open_axes = [
                (here[place],) if place not in block else axis if together == 1 else _near(axis, here[place])
                for place, axis in enumerate(axes)
            ]
            across = list(product(*open_axes))
            scores = [score(option) for option in lay(across)]
            best = across[scores.index(min(scores))]
            rested = rested + 1 if best == here else 0
            here = best
            if rested >= len(blocks):
                break
    return here


def _between(
    best: Choices,
    axes: Sequence[Factor],
    lay: Callable[[Sequence[Choices]], Sequence[Option]],
    score: Callable[[Option], tuple[float, ...]],
) -> Option:
    """The best option, or a better one with a larger interval or spacing than its own, below the next one listed."""
    (found,) = lay([best])
    first, *others = best
    larger = [
        choice.value
        for choice in axes[0]
        if choice.name == first.name and _is_gap(choice) and choice.value > first.value
    ]
    if not _is_gap(first) or not larger:
        return found
    low, high = first.value, min(larger)
    for _ in range(_HALVINGS):
        middle = round((low + high) / 2.0, _DECIMALS)
        if not low < middle < high:
            break
        (option,) = lay([(replace(first, value=middle), *others)])
        if score(option)[:-1] > score(found)[:-1]:
            high = middle
        else:  # as good is no reason to turn back: the number of lines falls in steps
            low, found = middle, min(found, option, key=score)
    return found


def _is_gap(choice: Choice) -> bool:
    return choice.name in ("interval", "spacing")


def _near(axis: Factor, here: Choice) -> Factor:
    """Choices of an axis that lie few steps from one."""
    at = axis.index(here)
    return axis[max(at - _REACH, 0) : at + _REACH + 1]
