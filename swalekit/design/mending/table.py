"""The table of mending: what was tried for every caution, what it cost, cured and worsened, and what stays."""

from collections import Counter
from collections.abc import Iterable
from typing import Any

from swalekit.design.mending.mend import Mended
from swalekit.design.mending.trying import Raised
from swalekit.design.plan.cautions import is_curable, kind_of
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Caution, Design

MENDING_COLUMNS = (
    Column("swale", "", "swale that raises the caution", of="cure.swale"),
    Column("caution", "", "its name", of="cure.caution"),
    Column("cure", "", "what was changed on the real layout", of="cure.words"),
    Column("extra_cost", "currency", "cost of swale, parts and line above it, less that before", 0),
    Column("extra_dug_m3", "m3", "the same of the soil dug", 1),
    Column("cured", "", "cautions of the swale that are gone", of=lambda trial: _names(trial.cured)),
    Column("worsened", "", "cautions that are new there, above or below", of=lambda trial: _places(trial.worsened)),
    Column("outcome", "", "taken, works, raises others or no help"),
)
"""Columns of ``mending.csv``."""

_TOTALS = ("swales", "length_m", "dug_m3", "cost", "held_storm_mm", "kept_share")


def mending_rows(mended: Mended) -> list[dict[str, Entry]]:
    """A row a cure that was tried, then a row a caution that stays, with the reason as its cure.

    Parameters
    ----------
    mended : Mended
        Before and after.

    Returns
    -------
    list of dict
        By the names of `MENDING_COLUMNS`.

    Examples
    --------
    >>> from swalekit.design.mending import mend
    >>> rows = mending_rows(mend(design, only=["S1"]))
    >>> {row["outcome"] for row in rows} <= {"taken", "works", "raises others", "no help", "stays"}
    True
    """
    stays: list[dict[str, Entry]] = [
        {"swale": caution.swale, "caution": caution.name, "cure": caution.advice, "outcome": "stays"}
        for caution in mended.left
    ]
    return [*(row_of(trial, MENDING_COLUMNS) for trial in mended.trials), *stays]


def mending_summary(mended: Mended) -> dict[str, Any]:
    """Before and after, in JSON types.

    Parameters
    ----------
    mended : Mended
        Before and after.

    Returns
    -------
    dict
        Totals and number of swales a caution, both as before and after; cures taken; what stays and why.

    Examples
    --------
    >>> from swalekit.design.mending import mend
    >>> mending_summary(mend(design, only=["S1"]))["before"]["swales"]
    2
    """
    return {
        "before": _figures(mended.before),
        "after": _figures(mended.after),
        "cautions": [
            {"caution": name, "curable": is_curable(name), "before": was, "after": is_now}
            for name, was, is_now in caution_counts(mended)
        ],
        "cured": [row_of(trial, MENDING_COLUMNS) for trial in mended.taken],
        "stays": [{"swale": each.swale, "caution": each.name, "why": each.advice} for each in mended.left],
    }


def caution_counts(mended: Mended) -> list[tuple[str, int, int]]:
    """How many swales raise each caution before and after, whatever stands below them.

    Parameters
    ----------
    mended : Mended
        Before and after.

    Returns
    -------
    list of (str, int, int)
        Kind of caution, swales before, swales after; in the order of the first swale that raises one.

    Examples
    --------
    >>> from swalekit.design.mending import mend
    >>> all(was >= is_now for _, was, is_now in caution_counts(mend(design, only=["S1"])))
    True
    """
    was, is_now = (_counted(design.cautions) for design in (mended.before, mended.after))
    return [(name, was[name], is_now[name]) for name in dict.fromkeys([*was, *is_now])]


def _counted(cautions: Iterable[Caution]) -> Counter[str]:
    return Counter(kind_of(caution.name) for caution in cautions if caution.swale)


def _figures(design: Design) -> dict[str, Entry]:
    totals = row_of(design, _TOTAL_COLUMNS)
    return {name: totals[name] for name in _TOTALS}


_TOTAL_COLUMNS = (
    Column("swales", "", "swales", 0, lambda design: len(design.swales)),
    Column("length_m", "m", "length of all", 0, lambda design: sum(swale.line.length_m for swale in design.swales)),
    Column("dug_m3", "m3", "soil dug", 1),
    Column("cost", "currency", "cost", 0),
    Column("held_storm_mm", "mm", "held storm", 1),
    Column("kept_share", "", "share of the runoff kept", 3),
)


def _names(raised: tuple[Raised, ...]) -> str:
    return ", ".join(dict.fromkeys(name for _, name in raised))


def _places(raised: tuple[Raised, ...]) -> str:
    return ", ".join(f"{swale} {name}" for swale, name in raised)
