"""What changed from one plan to another, in a folder."""

from pathlib import Path
from typing import Any

from matplotlib.axes import Axes

from swalekit.design.plan.changes import CHANGE_COLUMNS, CHANGES, PlanChanges, change_rows, changes_between
from swalekit.design.plan.design import Design
from swalekit.design.plan.record import PlanRecord
from swalekit.formats.table import write_table
from swalekit.reporting.map.cell import draw_content
from swalekit.reporting.map.change_map import change_content
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_png
from swalekit.reporting.words.change_words import change_counts, change_sentences
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import input_file
from swalekit.results.folder.provenance import whole_summary, write_json
from swalekit.results.folder.seal import SIGNATURE
from swalekit.results.plan.read import read_plan_folder
from swalekit.results.plan.record import plan_record


def what_changed(before: Design | str | Path, after: Design | str | Path) -> PlanChanges:
    """Put two plans of the same ground side by side, matched by the names of their lines.

    Parameters
    ----------
    before, after : Design, str or Path
        A design, or the folder that a plan was written to.

    Returns
    -------
    PlanChanges
        What is new, gone and changed.

    Raises
    ------
    InputError
        If they are of different ground, or a folder holds no plan.

    Examples
    --------
    >>> what_changed(design, design)
    PlanChanges(metric, lines 2)
    >>> [line.change for line in what_changed(plan_folder, plan_folder).lines]
    ['same', 'same']
    """
    return changes_between(_record(before), _record(after))


def draw_changes(changes: PlanChanges, ax: Axes | None = None) -> Axes:
    """Draw two plans as one map: new lines double, unchanged ones fine, former ones dashed.

    Parameters
    ----------
    changes : PlanChanges
        The plans.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.

    Examples
    --------
    >>> draw_changes(what_changed(design, design)).get_title(loc="left")
    'Unnamed site'
    """
    return draw_content(change_content(changes), ax)


def write_changes(
    changes: PlanChanges, folder: str | Path, *, plans: tuple[Path, Path] | None = None, overwrite: bool = False
) -> None:
    """Write the table of lines in two plans, their map and a summary to a folder, whole or not at all.

    Parameters
    ----------
    changes : PlanChanges
        The plans.
    folder : str or Path
        Where the results go.
    plans : tuple of Path, optional
        Folders of the two plans, which the summary then names with their hashes.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> write_changes(what_changed(design, design), folder / "changes")
    >>> sorted(file.name for file in (folder / "changes").iterdir())
    ['changes.csv', 'changes.png', 'summary.json']
    """
    times = ("before", "after")
    summaries = [] if plans is None else [plan / SIGNATURE for plan in plans]
    made_of = {
        "brief": changes.after.brief,
        "inputs": [input_file(time, file, folder) for time, file in zip(times, summaries, strict=False)],
    }
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(change_rows(changes), CHANGE_COLUMNS, results / "changes.csv")
        save_png(map_sheet(change_content(changes)), results / "changes.png")
        write_json(whole_summary(_told(changes), made_of, {"changes": CHANGE_COLUMNS}), results / "summary.json")


def _record(plan: Design | str | Path) -> PlanRecord:
    return plan_record(plan) if isinstance(plan, Design) else read_plan_folder(plan)


def _told(changes: PlanChanges) -> dict[str, Any]:
    """What changed, in JSON types."""
    return {
        "site": changes.after.brief["site"]["name"],
        "lines": change_counts(changes),
        **{kind: [line.swale for line in changes.of_kind(kind)] for kind in CHANGES},
        "totals": {column.name: {"before": was, "after": is_now} for column, was, is_now in changes.totals},
        "settings": {key: {"before": was, "after": is_now} for key, was, is_now in changes.brief},
        "changes": change_rows(changes),
        "told": list(change_sentences(changes)),
    }
