"""What changed from one plan to another, in words: terminal, map and notebook alike."""

from collections.abc import Iterable, Mapping

from swalekit.design.plan.changes import CHANGED, GONE, NEW, SAME, WATER, LineChange, PlanChanges
from swalekit.design.plan.columns import Entry
from swalekit.reporting.words.plan_words import standing_cautions
from swalekit.reporting.words.shown import ShownColumn, heads, listed, number, shown

_TABLE: tuple[ShownColumn, ...] = (
    ("Length", "length_m", "m", 0),
    ("Floor", "bottom_width_m", "m", 2),
    ("Depth", "depth_m", "m", 2),
    ("Stores", "storage_m3", "m3", 0),
    ("Holds", "held_storm_mm", "mm", 1),
    ("Dug", "dug_m3", "m3", 0),
    ("Cost", "cost", "", 0),
)
_FACTS: tuple[ShownColumn, ...] = (
    ("Swales", "swales", "", 0),
    ("Length", "length_m", "m", 0),
    ("Storage when full", "storage_m3", "m3", 0),
    ("Held storm", "held_storm_mm", "mm", 1),
    ("Runoff kept on site", "kept_share", "%", 0),
    ("Soil dug", "dug_m3", "m3", 0),
    ("Machine", "machine_h", "h", 0),
    ("Cost", "cost", "", 0),
)
_WORDS = {NEW: "new", GONE: "gone", CHANGED: "changed", WATER: "other water", SAME: "as before"}


def change_table(
    changes: PlanChanges, *, beside_map: bool = False
) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Heads and rows of the lines that aren't as before.

    Parameters
    ----------
    changes : PlanChanges
        Two plans.
    beside_map : bool
        Whether it stands beside a map, which shows what moved; it has no costs either, for want of room.

    Returns
    -------
    tuple of str
        Heads, with the unit on a line below.
    tuple of tuple of str
        Figures of each line, as ``before→after`` where they differ.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> change_table(changes_between(record, record))[1]
    ()
    """
    units = changes.after.units
    priced = not beside_map and any(record.totals["cost"] is not None for record in (changes.before, changes.after))
    columns = [column for column in _TABLE if priced or column[1] != "cost"]
    moved: list[ShownColumn] = [] if beside_map else [("Moved", "", "m", 1)]
    rows = tuple(
        (
            line.swale,
            _WORDS[line.change],
            *(number(line.moved_m, "m", units=units, decimals=1) if line.is_moved else "" for _ in moved),
            *(_side_by_side(line.before, line.after, column, units=units) for column in columns),
        )
        for line in changes.lines
        if line.change != SAME
    )
    return ("Swale\n", "\n", *heads([*moved, *columns], units=units)), rows


def change_facts(changes: PlanChanges) -> tuple[tuple[str, str], ...]:
    """Totals as label and words, ``before → after`` where they differ.

    Parameters
    ----------
    changes : PlanChanges
        Two plans.

    Returns
    -------
    tuple of (str, str)
        Label, and value in the reader's units; the cost only where there is one.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> change_facts(changes_between(record, record))[:2]
    (('Swales', '2'), ('Length', '176 m'))
    """
    units, currency = changes.after.units, changes.after.brief["rates"]["currency"]
    before, after = (dict(record.totals) for record in (changes.before, changes.after))
    for totals in (before, after):
        totals["kept_share"] = None if totals["kept_share"] is None else 100 * totals["kept_share"]
    facts = []
    for column in _FACTS:
        label, name, unit, decimals = column
        if name != "cost" or after["cost"] is not None:
            value = shown(after[name], unit or (currency if name == "cost" else ""), units=units, decimals=decimals)
            was = number(before[name], unit, units=units, decimals=decimals)
            differs = was != number(after[name], unit, units=units, decimals=decimals)
            facts.append((label, f"{was} → {value}" if differs else value))
    return tuple(facts)


def change_counts(changes: PlanChanges) -> str:
    """How many lines are new, gone, changed and as before, in a phrase.

    Parameters
    ----------
    changes : PlanChanges
        Two plans.

    Returns
    -------
    str
        Those kinds that occur.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> change_counts(changes_between(record, record))
    '2 as before'
    """
    counts = ((len(changes.of_kind(change)), words) for change, words in _WORDS.items())
    return ", ".join(f"{count} {words}" for count, words in counts if count) or "no lines"


def change_sentences(changes: PlanChanges) -> tuple[str, ...]:
    """What changed besides the figures: states, cautions, and the settings of the briefs.

    Parameters
    ----------
    changes : PlanChanges
        Two plans.

    Returns
    -------
    tuple of str
        A sentence each.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> change_sentences(changes_between(record, record))
    ()
    """
    states = [(line.swale, line.after["state"]) for line in changes.lines if line.after and "state" in line.differing]
    return (
        *(
            f"Now {state}: {listed(name for name, now in states if now == state)}."
            for state in dict.fromkeys(now for _, now in states)
        ),
        *_by_caution("Caution raised", ((line, line.cautions_raised) for line in changes.lines)),
        *_by_caution("Caution settled", ((line, line.cautions_settled) for line in changes.lines if line.after)),
        *(f"Brief: {key} {_setting(was)} → {_setting(is_now)}." for key, was, is_now in changes.brief),
    )


def change_cautions(changes: PlanChanges) -> tuple[str, ...]:
    """Those sentences, and the cautions that stand for every site.

    Parameters
    ----------
    changes : PlanChanges
        Two plans.

    Returns
    -------
    tuple of str
        A sentence each.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> change_cautions(changes_between(record, record))[0]
    'Have buried utilities marked before digging; call the local one-call service days ahead.'
    """
    return (*change_sentences(changes), *standing_cautions(changes.after))


def _side_by_side(
    before: Mapping[str, Entry] | None, after: Mapping[str, Entry] | None, column: ShownColumn, *, units: str
) -> str:
    """A figure of a line, twice where it differs as it is shown."""
    _, name, unit, decimals = column
    there = [
        number(row.get(name), unit, units=units, decimals=decimals)  # type: ignore[arg-type]
        for row in (before, after)
        if row is not None
    ]
    return "→".join(dict.fromkeys(there))


def _by_caution(opening: str, lines: Iterable[tuple[LineChange, tuple[str, ...]]]) -> list[str]:
    """A sentence a caution, with the swales."""
    gathered: dict[str, list[str]] = {}
    for line, names in lines:
        for name in names:
            gathered.setdefault(name, []).append(line.swale)
    return [f"{opening}: {name} ({listed(swales)})." for name, swales in gathered.items()]


def _setting(value: object) -> str:
    return "none" if value is None else f"{value:g}" if isinstance(value, float) else str(value)
