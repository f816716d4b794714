"""What a higher price buys: layouts sized for other storms, met by the same draws, and the one that is sure enough."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from math import exp, log
from typing import Any

import numpy as np
from numpy.typing import ArrayLike
from scipy.stats import norm

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import asked_storm_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.reliability.reliability import Reliability, draw_otherwise_sized
from swalekit.frozen import Frozen

_LEAST_FACTOR, _GREATEST_FACTOR = 0.5, 3.0
_GREATEST_STORM_MM = 1000.0
_STEP_UP = 1.3
_NEAR_ENOUGH = 1.04
"""Ratio of two sizes, one of which is sure enough and one isn't, at which the search ends."""
_WELL_INSIDE = 0.25
"""Share of the way from one end that the next size keeps from both."""
_CROWDED = 0.95
"""Share of the length as designed below which less line is told; our choice."""
_MOST_TRIED = 5
"""Layouts made at most in the search."""

SIZE_COLUMNS: tuple[Column, ...] = (
    Column("factor", "", "storm that the layout is sized for over the design storm", 3),
    Column("sized_for_mm", "mm", "storm that it is sized for"),
    Column("chance_to_hold", "", "share of draws in which no swale spills in the storm that comes", 3),
    Column("chance_of_year", "", "chance that none spills in a year; empty without record or table of rain", 3),
    Column("held_storm_mm", "mm", "deepest storm that every swale holds as designed"),
    Column("swales", "", "how many swales there are", 0),
    Column("length_m", "m", "length of their lines: larger works leave room for less of them", 0),
    Column("dug_m3", "m3", "bank volume cut as designed"),
    Column("cost", "", "cost as designed at the brief's rates, with mobilisation", 0),
    Column(
        "cost_of_a_per_cent",
        "",
        "cost more than the row before for each per cent of chance more; empty unless both rise",
        0,
    ),
)


@one_line("factor", "sized_for_mm", "chance", "cost")
@dataclass(frozen=True, eq=False)
class Size(Frozen):
    """A layout sized for a multiple of the design storm.

    Parameters
    ----------
    factor : float
        Storm that it is sized for over the design storm [-].
    reliability : Reliability
        What the draws say of it.
    """

    factor: float
    reliability: Reliability

    @property
    def sized_for_mm(self) -> float:
        """Storm that it is sized for [mm]."""
        return storm_of(self.reliability.layout.site).depth_mm

    @property
    def chance(self) -> float:
        """Share of draws in which no swale spills."""
        return self.reliability.chance

    @property
    def cost(self) -> float | None:
        """Cost as designed; None where the brief names no price."""
        return self.reliability.layout.cost

    @property
    def dug_m3(self) -> float:
        """Bank volume cut as designed [m³]."""
        return self.reliability.layout.dug_m3

    @property
    def length_m(self) -> float:
        """Length of all lines [m]."""
        return sum(swale.line.length_m for swale in self.reliability.layout.swales)

    @property
    def at_limit(self) -> bool:
        """Whether the limits of the brief let it hold less than it is sized for."""
        return self.reliability.layout.held_storm_mm < self.sized_for_mm


@one_line("sizes", "target")
@dataclass(frozen=True, eq=False)
class Sizes(Frozen):
    """Layouts of rising size, met by the same draws.

    Parameters
    ----------
    sizes : tuple of Size
        By factor; one of them is the layout as it was asked for.
    target : float, optional
        Chance that is asked for.
    """

    sizes: tuple[Size, ...]
    target: float | None = None

    @property
    def designed(self) -> Size:
        """The layout as it was asked for."""
        asked_mm = storm_of(self.sizes[0].reliability.asked).depth_mm
        return min(self.sizes, key=lambda size: abs(size.sized_for_mm - asked_mm))

    @property
    def sure_enough(self) -> Size | None:
        """The smallest that holds with the chance asked for; None where none does or none is asked for."""
        return next((size for size in self.sizes if self.target is not None and size.chance >= self.target), None)


def size_chances(
    reliability: Reliability,
    *,
    factors: Sequence[float] = (),
    target: float | None = None,
    lines: Iterable[LevelLine | ArrayLike] | None = None,
    workers: int = 1,
    stage: Stage = silent,
) -> Sizes:
    """Size a layout for other multiples of its design storm, and see what each holds and costs.

    Parameters
    ----------
    reliability : Reliability
        Of the layout as it was asked for.
    factors : sequence of float
        Multiples of the storm that was asked for, 0.5 to 3; the one that the layout has is always among them.
    target : float, optional
        Chance that no swale spills: the storm to size for is sought between and beyond these.
    lines : iterable of LevelLine or array_like, shape (n, 2), optional
        As for `swalekit.design.reliability.reliability.how_sure`.
    workers : int
        Processes that the draws of a layout are shared among; the result is the same for any number.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Sizes
        By factor.

    Raises
    ------
    InputError
        If a factor or the target lies outside its range.

    Notes
    -----
    Each is a whole layout, so that the works of larger swales cut each other back where they must. All meet the same
    draws: what one holds more than another is due to its size alone. The search steps up until one holds with the
    chance asked for or the brief's limits are met. Then it takes the straight line between the normal quantiles of two
    chances over the logarithm of the storm, from the one that the smaller of both holds by the steps of its depths,
    until two that part at the target lie within 4 %.

    Examples
    --------
    >>> found = size_chances(reliability, factors=[1.5])
    >>> [size.factor for size in found.sizes], found.sizes[1].chance >= found.sizes[0].chance
    ([1.0, 1.5], True)
    """
    factors = checked_factors(factors)
    if target is not None:
        check_between(0.0, 1.0, target=target)
    lines = None if lines is None else tuple(lines)
    asked = reliability.asked
    first = round(storm_of(asked).depth_mm / asked_storm_of(asked).depth_mm, 3)
    sizes = {first: Size(first, reliability)}

    def lay_out(factor: float) -> None:
        site = sized_for(reliability.asked, factor)
        stage(f"sizing for {storm_of(site).depth_mm:.0f} mm")
        drawn = draw_otherwise_sized(reliability, site, lines=lines, workers=workers, stage=stage)
        sizes[factor] = Size(factor, drawn)

    for factor in sorted(set(factors) - sizes.keys()):
        lay_out(factor)
    if target is not None:
        for _ in range(_MOST_TRIED):
            following = _next_factor([sizes[factor] for factor in sorted(sizes)], target)
            if following is None or following in sizes:
                break
            lay_out(following)
    return Sizes(tuple(sizes[factor] for factor in sorted(sizes)), target)


def checked_factors(factors: Iterable[float]) -> tuple[float, ...]:
    """Multiples of the design storm that may be looked at.

    Parameters
    ----------
    factors : iterable of float
        The multiples [-].

    Returns
    -------
    tuple of float
        To three decimals.

    Raises
    ------
    InputError
        If one lies outside 0.5 to 3.

    Examples
    --------
    >>> checked_factors([1.1, 1.25])
    (1.1, 1.25)
    """
    given = tuple(factors)
    for factor in given:
        check_between(_LEAST_FACTOR, _GREATEST_FACTOR, factor=factor)
    return tuple(round(float(factor), 3) for factor in given)


def sized_for(site: Site, factor: float) -> Site:
    """The site with a multiple of its design storm to hold.

    Parameters
    ----------
    site : Site
        The site.
    factor : float
        The multiple [-].

    Returns
    -------
    Site
        The check storm stays, unless it would be the smaller.

    Examples
    --------
    >>> storm_of(sized_for(site, 1.6)).depth_mm, storm_of(sized_for(site, 1.6)).check_depth_mm
    (80.0, 80.0)
    """
    depth_mm = round(factor * asked_storm_of(site).depth_mm, 3)
    return site.with_values({"conditions.sized_for_mm": depth_mm, "conditions.sized_chance": None})


def size_rows(sizes: Sizes) -> list[dict[str, Entry]]:
    """Figures of every size by the names of `SIZE_COLUMNS`.

    Parameters
    ----------
    sizes : Sizes
        By factor.

    Returns
    -------
    list of dict
        A row a size.

    Examples
    --------
    >>> rows = size_rows(Sizes((Size(1.0, reliability),)))
    >>> rows[0]["factor"], rows[0]["sized_for_mm"], rows[0]["cost_of_a_per_cent"]
    (1.0, 50.0, None)
    """
    rows: list[dict[str, Entry]] = []
    before: Size | None = None
    for size in sizes.sizes:
        gained = 0.0 if before is None else 100.0 * (size.chance - before.chance)
        dearer = None if before is None or size.cost is None or before.cost is None else size.cost - before.cost
        figures = {
            "factor": size.factor,
            "sized_for_mm": size.sized_for_mm,
            "chance_to_hold": size.chance,
            "chance_of_year": size.reliability.chance_of_year,
            "held_storm_mm": size.reliability.layout.held_storm_mm,
            "swales": len(size.reliability.layout.swales),
            "length_m": size.length_m,
            "dug_m3": size.dug_m3,
            "cost": size.cost,
            "cost_of_a_per_cent": dearer / gained if dearer is not None and dearer > 0.0 and gained > 0.0 else None,
        }
        rows.append(row_of(figures, SIZE_COLUMNS))
        before = size
    return rows


def sizes_summary(sizes: Sizes) -> dict[str, Any]:
    """What sizes were looked at, in JSON types.

    Parameters
    ----------
    sizes : Sizes
        By factor.

    Returns
    -------
    dict
        Rows, the chance asked for, the row that is sure enough, whether the largest meets the brief's limits, and
        whether larger works leave room for less line.

    Examples
    --------
    >>> told = sizes_summary(Sizes((Size(1.0, reliability),), target=0.99))
    >>> told["sure_enough"], told["at_limit"]
    (None, False)
    """
    rows, found = size_rows(sizes), sizes.sure_enough
    least = min(sizes.sizes, key=lambda size: size.length_m)
    return {
        "hold_chance": sizes.target,
        "sure_enough": None if found is None else rows[sizes.sizes.index(found)],
        "at_limit": sizes.sizes[-1].at_limit,
        "crowded": least.length_m < _CROWDED * sizes.designed.length_m,
        "rows": rows,
    }


def _next_factor(sizes: Sequence[Size], target: float) -> float | None:
    """Multiple of the storm to try next; None where the search is at its end."""
    above = next((place for place, size in enumerate(sizes) if size.chance >= target), None)
    if above == 0:
        return None
    if above is None:
        last = sizes[-1]
        most = min(_GREATEST_FACTOR, last.factor * _GREATEST_STORM_MM / last.sized_for_mm)
        return None if last.at_limit or last.factor >= most else round(min(_STEP_UP * last.factor, most), 3)
    low, high = sizes[above - 1], sizes[above]
    lowest = max(low.factor, low.reliability.layout.held_storm_mm / low.reliability.expected_mm)
    if high.factor <= _NEAR_ENOUGH * lowest:
        return None
    least = 0.5 / low.reliability.storm_mm.size
    sought, *ends = norm.ppf(np.clip([target, low.chance, high.chance], least, 1.0 - least)).tolist()
    share = (sought - ends[0]) / (ends[1] - ends[0]) if ends[1] > ends[0] else 0.5
    share = min(max(share, _WELL_INSIDE), 1.0 - _WELL_INSIDE)
    return round(lowest * exp(share * log(high.factor / lowest)), 3)
