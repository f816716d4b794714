"""What is said of the water of a storm once it has run: where the rain that fell on the tile is."""

from collections.abc import Iterable, Mapping
from typing import Any

from swalekit.design.plan.account_table import SAME_LEVEL_M, SAME_SHARE
from swalekit.reporting.words.shown import ShownColumn, shown

BALANCE_COLUMNS: tuple[ShownColumn, ...] = (
    ("Water that comes", "arriving_m3", "m3", 1),
    ("Stays", "held_m3", "m3", 1),
    ("Spills", "gone_m3", "m3", 1),
    ("Spills in check storm", "check_gone_m3", "m3", 1),
    ("Holds when full", "storage_m3", "m3", 1),
    ("as sized", "sized_storage_m3", "m3", 1),
    ("First spills at", "first_spill_m", "m", 2),
    ("Sill as sized", "sized_sill_m", "m", 2),
    ("Storm held", "held_storm_mm", "mm", 1),
    ("as sized", "sized_storm_mm", "mm", 1),
    ("Spills to", "spills_to", "", 0),
)
"""Columns of a table of swales as the pour finds them, after their numbers."""

POURED = (
    "Both storms are poured over the heights of the ground as built, onto empty ditches; nothing soaks in on the way "
    "or where it stands. "
    "The storms that the swales hold are found in the same way."
)
"""How it is found."""

_PLACES = (
    ("soaked in", "soaked_m3"),
    ("held in swales", "swales_m3"),
    ("standing in hollows", "hollows_m3"),
    ("gone from the tile", "gone_m3"),
)
_MOST_TOLD = 6


def balance_parts(balance: Mapping[str, Any]) -> tuple[tuple[str, float, float], ...]:
    """Where the rain of a storm is, part by part.

    Parameters
    ----------
    balance : mapping
        The storm in the water account of a summary.

    Returns
    -------
    tuple of (str, float, float)
        In words, volume [m³], and depth over the known ground of the tile [mm].

    Examples
    --------
    >>> sums = {"soaked_m3": 30.0, "swales_m3": 16.0, "hollows_m3": 1.0, "gone_m3": 3.0}
    >>> balance_parts({"storm_mm": 50.0, "rain_m3": 50.0, **sums})[1]
    ('held in swales', 16.0, 16.0)
    """
    mm_per_m3 = balance["storm_mm"] / balance["rain_m3"] if balance["rain_m3"] else 0.0
    return tuple((words, balance[name], mm_per_m3 * balance[name]) for words, name in _PLACES)


def balance_words(balance: Mapping[str, Any], *, units: str, depths: bool = True) -> str:
    """Rain = soaked in + held + gone, in a line.

    Parameters
    ----------
    balance : mapping
        The storm in the water account of a summary.
    units : str
        ``metric`` or ``us``.
    depths : bool
        Whether depths over the tile stand beside volumes.

    Returns
    -------
    str
        A phrase without a full stop.

    Examples
    --------
    >>> balance_words(record.account["design"], units="metric", depths=False)
    'rain 600 m³ = 342 m³ soaked in + 168 m³ held in swales + 0 m³ standing in hollows + 90 m³ gone from the tile'
    """

    def told(volume_m3: float, depth_mm: float, over: str = "") -> str:
        depth = f" ({shown(depth_mm, 'mm', units=units, decimals=1)}{over})" if depths else ""
        return shown(volume_m3, "m3", units=units) + depth

    parts = (f"{told(volume_m3, depth_mm)} {words}" for words, volume_m3, depth_mm in balance_parts(balance))
    return f"rain {told(balance['rain_m3'], balance['storm_mm'], ' over the tile')} = {' + '.join(parts)}"


def account_sentences(account: Mapping[str, Any], *, units: str) -> tuple[str, ...]:
    """Where the rain of both storms is, how that was found, and whether the swales are as they were sized.

    Parameters
    ----------
    account : mapping
        The water account of a summary.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of str
        Four sentences.

    Examples
    --------
    >>> account_sentences(record.account, units="metric")[-1]
    'Every swale is as sized, within 3 % and 2 cm.'
    """
    storms = (
        f"{storm}: {balance_words(account[name], units=units)}; not accounted for "
        f"{shown(account[name]['residual_m3'], 'm3', units=units, decimals=3)}."
        for storm, name in (("Design storm", "design"), ("Check storm", "check"))
    )
    return (*storms, POURED, sizing_words(account["swales"]))


def sizing_words(rows: Iterable[Mapping[str, Any]]) -> str:
    """Whether the pour finds the swales as they were sized.

    Parameters
    ----------
    rows : iterable of mapping
        Rows of the swales in the water account of a summary.

    Returns
    -------
    str
        A sentence that names what differs, of many the first six.

    Examples
    --------
    >>> sizing_words([{"swale": "S1", "differs": "has no pond"}, {"swale": "S2", "differs": ""}])
    'Not as sized: S1 (has no pond).'
    """
    told = [f"{row['swale']} ({row['differs']})" for row in rows if row["differs"]]
    if not told:
        return f"Every swale is as sized, within {100 * SAME_SHARE:g} % and {100 * SAME_LEVEL_M:g} cm."
    more = f" and {len(told) - _MOST_TOLD} more, see the cautions" if len(told) > _MOST_TOLD else ""
    return f"Not as sized: {', '.join(told[:_MOST_TOLD])}{more}."
