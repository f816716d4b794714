"""What other commands made of a plan, read back from their folders to be shown beside it."""

from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

from swalekit.design.brief.issue import plan_number
from swalekit.design.plan.record import BundingRecord, GrowthRecord, PlanRecord, ReliabilityRecord
from swalekit.errors import InputError
from swalekit.results.folder.seal import check_as_written
from swalekit.results.plan.read import read_layer, read_summary

_GROWN = ("plants", "reed bed", "served ground", "pipe")
_ALIKE = ("swale", "level_m", "length_m")


def read_growth_folder(folder: str | Path, plan: PlanRecord) -> GrowthRecord:
    """Read what ``swalekit grow`` made of a plan.

    Parameters
    ----------
    folder : str or Path
        Folder that it wrote.
    plan : PlanRecord
        The plan that it is shown beside.

    Returns
    -------
    GrowthRecord
        Figures, tables and map of the planting.

    Raises
    ------
    InputError
        If a file is missing or damaged, or it was made of another plan.
    """
    folder = Path(folder)
    summary = read_summary(folder, ("planting", "swales"))
    check_same_lines(folder, "grow", summary["swales"], plan.swales)
    check_as_written(summary, folder / "site.gpkg")
    layers = {name: read_layer(folder / "site.gpkg", name) for name in _GROWN}
    return GrowthRecord(summary["planting"], layers)


def read_reliability_folder(folder: str | Path, plan: PlanRecord) -> ReliabilityRecord:
    """Read how sure ``swalekit reliability`` found a plan.

    Parameters
    ----------
    folder : str or Path
        Folder that it wrote.
    plan : PlanRecord
        The plan that it is shown beside.

    Returns
    -------
    ReliabilityRecord
        Chances and ranges.

    Raises
    ------
    InputError
        If a file is missing or damaged, or it was made of another plan.
    """
    folder = Path(folder)
    summary: dict[str, Any] = read_summary(folder, ("chance_to_hold", "swales", "matters_most", "storm_mm"))
    rows, own = ([row["swale"] for row in swales] for swales in (summary["swales"], plan.swales))
    if rows != own or summary["storm_mm"]["design"] != plan.summary["values_used"]["storm_depth_mm"]:
        _refuse(folder, "reliability", len(rows), len(own))
    check_as_written(summary, folder / "reliability.gpkg")
    return ReliabilityRecord(summary, read_layer(folder / "reliability.gpkg", "bands"))


def read_bunding_folder(folder: str | Path, plan: PlanRecord) -> BundingRecord:
    """Read what ``swalekit bund`` laid beside a plan.

    Parameters
    ----------
    folder : str or Path
        Folder that it wrote.
    plan : PlanRecord
        The plan that it is shown beside.

    Returns
    -------
    BundingRecord
        Figures and map of the microcatchments.

    Raises
    ------
    InputError
        If a file is missing or damaged, or it was laid without the plan's swales.
    """
    folder = Path(folder)
    summary = read_summary(folder, ("bunding",))
    check_same_lines(folder, "bund", summary.get("swales", []), plan.swales)
    picture = folder / "bunding.png"
    check_as_written(summary, picture)
    return BundingRecord(summary["bunding"], picture.read_bytes())


def read_budget_folder(folder: str | Path, plan: PlanRecord) -> dict[str, Any]:
    """Read what ``swalekit budget`` reckoned of a plan.

    Parameters
    ----------
    folder : str or Path
        Folder that it wrote.
    plan : PlanRecord
        The plan that it is shown beside.

    Returns
    -------
    dict
        The budget's summary.

    Raises
    ------
    InputError
        If it is missing or damaged, or was made of another plan.
    """
    summary = read_summary(Path(folder), ("total", "headings", "by_year", "choices", "of_plan"))
    if plan_number(summary) != plan_number(plan.summary):
        message = f"'{folder}' is the budget of another plan; run swalekit budget again on this one"
        raise InputError(message)
    return summary


def check_same_lines(
    folder: str | Path, command: str, swales: Sequence[Mapping[str, Any]], own: Sequence[Mapping[str, Any]]
) -> None:
    """Check that a result was made of the lines of a plan.

    Parameters
    ----------
    folder : str or Path
        Folder of the result.
    command : str
        What wrote it.
    swales, own : sequence of mapping
        Figures of the swales in the result and in the plan.

    Raises
    ------
    InputError
        If they are others.

    Examples
    --------
    >>> line = {"swale": "S1", "level_m": 108.0, "length_m": 99.5}
    >>> check_same_lines("grow", "grow", [line], [line])
    """
    if [[row[name] for name in _ALIKE] for row in swales] != [[row[name] for name in _ALIKE] for row in own]:
        _refuse(Path(folder), command, len(swales), len(own))


def _refuse(folder: Path, command: str, found: int, wanted: int) -> None:
    message = (
        f"'{folder}' was not made of this plan (it has {found} swales, the plan {wanted}, or their lines or the storm "
        f"differ); run swalekit {command} again on the brief that the plan was made of"
    )
    raise InputError(message)
