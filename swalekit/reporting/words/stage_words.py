"""The seasons of building, as the report tells them from the plan's folder."""

from typing import Any

from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.words.shown import shown

STAGE_FIGURES = (
    ("Soil dug", "dug_m3", "m3", 0),
    ("Machine hours", "machine_h", "h", 0),
    ("Cost", "cost", "", 0),
    ("Storm held", "held_storm_mm", "mm", 1),
    ("Water held", "held_m3", "m3", 0),
)
"""Head, column, SI unit and decimals of the figures of a stage."""


def stage_rows(record: PlanRecord) -> tuple[dict[str, Any], ...]:
    """A row a stage: its words, and its figures as numbers.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of dict
        ``stage``, ``swales``, ``opens``, ``kept`` in per cent, and a number or None by the column of each figure.

    Examples
    --------
    >>> from dataclasses import replace
    >>> row = {"stage": "1", "swales": "S1", "opens": "", "kept_share": "0.35", "dug_m3": "73.9"}
    >>> told = stage_rows(replace(record, stages=(row,)))[0]
    >>> told["kept"], told["dug_m3"], told["cost"]
    (35, 73.9, None)
    """
    return tuple(
        {
            "stage": row["stage"],
            "swales": row["swales"],
            "opens": row["opens"],
            "kept": round(100.0 * float(row["kept_share"])),
            **{name: float(row[name]) if row.get(name) else None for _, name, _, _ in STAGE_FIGURES},
        }
        for row in record.stages
    )


def stage_sentences(record: PlanRecord) -> tuple[str, ...]:
    """The seasons in sentences, for a page without tables.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        One a stage.

    Examples
    --------
    >>> from dataclasses import replace
    >>> row = {"stage": "1", "swales": "S1", "opens": "S1 sill may scour", "kept_share": "0.35", "dug_m3": "73.9"}
    >>> stage_sentences(replace(record, stages=(row,)))
    ('Stage 1: S1; soil dug 74 m³; then 35 % of the runoff is kept. Until the rest is built: S1 sill may scour.',)
    """
    told = []
    for row in stage_rows(record):
        figures = [
            f"{head.lower()} {shown(row[name], unit, units=record.units, decimals=decimals)}"
            for head, name, unit, decimals in STAGE_FIGURES
            if row[name] is not None
        ]
        opens = f" Until the rest is built: {row['opens']}." if row["opens"] else ""
        told.append(
            f"Stage {row['stage']}: {row['swales']}; {', '.join(figures)}; then {row['kept']} % of the runoff is kept."
            f"{opens}"
        )
    return tuple(told)
