"""What changed from one plan to another of the same ground, line by line: names last, so lines are matched by them."""

import json
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cached_property, partial
from typing import Any

from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.record import PlanRecord
from swalekit.design.plan.table import SWALE_COLUMNS, TOTAL_COLUMNS
from swalekit.errors import InputError

NEW, GONE, CHANGED, WATER, SAME = "new", "gone", "changed", "water", "same"
CHANGES = (NEW, GONE, CHANGED, WATER, SAME)
"""What may be said of a line: that it is new or gone, that what is built of it differs or what it is cautioned for, or
only its water; or that nothing does."""

_FIGURES = (
    "state", "level_m", "length_m", "catchment_m2", "bottom_width_m", "depth_m", "storage_m3", "held_storm_mm",
    "spill_m3", "sill_length_m", "dug_m3", "cost",
)  # fmt: skip
"""Figures of a swale that stand side by side."""
_TOTALS = (
    "swales", "length_m", "catchment_m2", "storage_m3", "held_storm_mm", "spill_m3", "kept_share", "dug_m3",
    "machine_h", "cost",
)  # fmt: skip
"""Figures of a plan that do."""
_OF_WATER = ("catchment_m2", "held_storm_mm", "spill_m3")
_DECIDED = ("state",)
_UNMOVED_M = 0.01
_SHOWN = 8
"""Digits of a SHA-256 that tell two files apart."""
_UNIT_OF_NAME = re.compile(r"(_(?:m3|m2|mm|m|h))?$")


@one_line("swale", "change", "moved_m")
@dataclass(frozen=True, eq=False)
class LineChange:
    """A line in two plans.

    Parameters
    ----------
    swale : str
        Its name.
    before, after : mapping or None
        Its figures by the names of `SWALE_COLUMNS`; None where it isn't in that plan.
    line_before, line_after : shapely LineString or None
        Where it runs.
    cautions_before, cautions_after : tuple of str
        Names of the cautions that it raises.

    Examples
    --------
    >>> changes_between(record, record).lines[0].change
    'same'
    """

    swale: str
    before: Mapping[str, Entry] | None
    after: Mapping[str, Entry] | None
    line_before: BaseGeometry | None
    line_after: BaseGeometry | None
    cautions_before: tuple[str, ...]
    cautions_after: tuple[str, ...]

    @cached_property
    def moved_m(self) -> float | None:
        """Greatest distance of a place on either line from the other [m]; None where there is one alone.

        Notes
        -----
        The Hausdorff distance between the vertices of either and the other line.
        """
        if self.line_before is None or self.line_after is None:
            return None
        return float(self.line_before.hausdorff_distance(self.line_after))

    @property
    def is_moved(self) -> bool:
        """Whether it runs elsewhere, or further, than before."""
        return self.moved_m is not None and self.moved_m > _UNMOVED_M

    @property
    def differing(self) -> tuple[str, ...]:
        """Names of the figures that differ as they are written; none where it is in one plan alone."""
        if self.before is None or self.after is None:
            return ()
        return tuple(name for name in _FIGURES if self.before.get(name) != self.after.get(name))

    @property
    def change(self) -> str:
        """Which of `CHANGES` it is; that it is held or drawn now is none."""
        if self.before is None or self.after is None:
            return NEW if self.before is None else GONE
        differing = set(self.differing) - {*_DECIDED}
        if self.is_moved or differing - {*_OF_WATER} or self.cautions_before != self.cautions_after:
            return CHANGED
        return WATER if differing else SAME

    @property
    def cautions_raised(self) -> tuple[str, ...]:
        """Names of the cautions that it didn't raise before."""
        return tuple(name for name in self.cautions_after if name not in self.cautions_before)

    @property
    def cautions_settled(self) -> tuple[str, ...]:
        """Names of the cautions that it raises no more."""
        return tuple(name for name in self.cautions_before if name not in self.cautions_after)


def _paired(columns: tuple[Column, ...], names: tuple[str, ...]) -> Iterator[Column]:
    """Two columns a figure: before and after."""
    by_name = {column.name: column for column in columns}
    for name in names:
        column = by_name[name]
        for time in ("before", "after"):
            meaning = f"{time}: {column.meaning}"
            yield Column(_of_time(name, time), column.unit, meaning, column.decimals, partial(_figure, time, name))


def _of_time(name: str, time: str) -> str:
    """Name of a figure with the time before its unit."""
    return _UNIT_OF_NAME.sub(rf"_{time}\1", name, count=1)


def _figure(time: str, name: str, change: LineChange) -> Entry:
    row: Mapping[str, Entry] = getattr(change, time) or {}
    return row.get(name)


CHANGE_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "name of the line, the same in both plans; or total"),
    Column("change", "", "new, gone, changed (what is built or cautioned), water (of the same ditch), or same"),
    Column("moved_m", "m", "greatest distance of a place on either line from the other"),
    *_paired(SWALE_COLUMNS, _FIGURES),
    Column(
        "cautions_raised", "", "cautions that it didn't raise before", of=lambda line: "; ".join(line.cautions_raised)
    ),
    Column("cautions_settled", "", "those that it raises no more", of=lambda line: "; ".join(line.cautions_settled)),
)
"""Columns of the table of lines in two plans."""


@one_line("before.units", "lines")
@dataclass(frozen=True, eq=False)
class PlanChanges:
    """Two plans of the same ground side by side.

    Parameters
    ----------
    before, after : PlanRecord
        The plans.
    """

    before: PlanRecord
    after: PlanRecord

    @cached_property
    def lines(self) -> tuple[LineChange, ...]:
        """Every line of either plan, from the highest down."""
        before, after = _rows(self.before), _rows(self.after)
        was, is_now = _shapes(self.before), _shapes(self.after)
        raised, raises = _cautions(self.before), _cautions(self.after)
        level = {name: float(row["level_m"]) for name, row in (before | after).items()}
        return tuple(
            LineChange(
                name, before.get(name), after.get(name), was.get(name), is_now.get(name), raised.get(name, ()),
                raises.get(name, ()),
            )
            for name in sorted(level, key=lambda name: -level[name])
        )  # fmt: skip

    def of_kind(self, change: str) -> tuple[LineChange, ...]:
        """Lines of one kind of change.

        Parameters
        ----------
        change : str
            Of `CHANGES`.

        Returns
        -------
        tuple of LineChange
            From the highest down.

        Examples
        --------
        >>> [line.swale for line in changes_between(record, record).of_kind("same")]
        ['S1', 'S2']
        """
        return tuple(line for line in self.lines if line.change == change)

    @cached_property
    def totals(self) -> tuple[tuple[Column, Entry, Entry], ...]:
        """Column, figure before and figure after of each total that stands side by side."""
        columns = {column.name: column for column in TOTAL_COLUMNS}
        return tuple((columns[name], self.before.totals[name], self.after.totals[name]) for name in _TOTALS)

    @cached_property
    def brief(self) -> tuple[tuple[str, Any, Any], ...]:
        """``part.key``, value before and value after of each setting of the briefs that differs."""
        before, after = _flat(self.before.brief), _flat(self.after.brief)
        keys = dict.fromkeys([*before, *after])
        return tuple((key, before.get(key), after.get(key)) for key in keys if before.get(key) != after.get(key))


def changes_between(before: PlanRecord, after: PlanRecord) -> PlanChanges:
    """Put two plans of the same ground side by side.

    Parameters
    ----------
    before, after : PlanRecord
        The plans.

    Returns
    -------
    PlanChanges
        What is new, gone and changed.

    Raises
    ------
    InputError
        If they are of different ground.

    Examples
    --------
    >>> [(line.swale, line.change) for line in changes_between(record, record).lines]
    [('S1', 'same'), ('S2', 'same')]
    """
    was, is_now = _ground(before, after), _ground(after, before)
    if was != is_now:
        message = (
            f"the plans are of different ground ({was} before, {is_now} after), so their lines can't be matched; "
            "compare two plans of one tile"
        )
        raise InputError(message)
    return PlanChanges(before, after)


def change_rows(changes: PlanChanges) -> list[dict[str, Entry]]:
    """Rows of the table of lines in two plans, with the totals.

    Parameters
    ----------
    changes : PlanChanges
        Two plans.

    Returns
    -------
    list of dict
        By the names of `CHANGE_COLUMNS`.

    Examples
    --------
    >>> [(row["swale"], row["dug_before_m3"]) for row in change_rows(changes_between(record, record))]
    [('S1', 74.4), ('S2', 67.8), ('total', 142.2)]
    """
    total: dict[str, Entry] = {"swale": "total"}
    for column, was, is_now in changes.totals:
        for time, figure in (("before", was), ("after", is_now)):
            total[_of_time(column.name, time)] = figure
    known = {column.name for column in CHANGE_COLUMNS}
    return [
        *(row_of(line, CHANGE_COLUMNS) for line in changes.lines),
        {name: figure for name, figure in total.items() if name in known},
    ]


def _rows(record: PlanRecord) -> dict[str, Mapping[str, Any]]:
    return {str(row["swale"]): row for row in record.swales}


def _shapes(record: PlanRecord) -> dict[str, BaseGeometry]:
    return {str(properties["swale"]): line for line, properties in record.layers["swales"]}


def _cautions(record: PlanRecord) -> dict[str, tuple[str, ...]]:
    """Names of the cautions that each swale raises, each once."""
    swales = {caution.swale for caution in record.cautions}
    return {
        swale: tuple(dict.fromkeys(caution.name for caution in record.cautions if caution.swale == swale))
        for swale in swales
    }


def _ground(record: PlanRecord, other: PlanRecord) -> str:
    """What tells the ground of a plan: its tile, or, where either doesn't record it, its CRS and cells."""
    terrain, tile = record.summary["terrain"], _tile(record)
    if tile and _tile(other):
        return f"{tile['file']} of SHA-256 {tile['sha256'][:_SHOWN]}…, {terrain['crs']}"
    return f"{terrain['rows']} × {terrain['columns']} cells of {terrain['cell_m']:g} m, {terrain['crs']}"


def _tile(record: PlanRecord) -> Mapping[str, str]:
    return next((given for given in record.summary["inputs"] if given["key"] == "terrain.file"), {})


def _flat(brief: Mapping[str, Any]) -> dict[str, Any]:
    """Settings by ``part.key``, those of lists and tables as text."""
    return {
        f"{part}.{key}": json.dumps(value, sort_keys=True) if isinstance(value, dict | list | tuple) else value
        for part, entries in brief.items()
        for key, value in (entries or {}).items()
    }
