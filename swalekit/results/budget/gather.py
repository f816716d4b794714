"""The budget of a plan and of what was made of it, from the bills that their folders keep."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from swalekit._one_line import one_line
from swalekit.design.brief.values import check_brief
from swalekit.design.budget.site_budget import SiteBudget, site_budget
from swalekit.errors import InputError
from swalekit.results.folder.inputs import input_hashes
from swalekit.results.folder.seal import SIGNATURE
from swalekit.results.plan.beside import check_same_lines
from swalekit.results.plan.read import read_summary

_TILE = "terrain.file"


@one_line("found")
@dataclass(frozen=True)
class Gathered:
    """A budget and the folders that it is from.

    Parameters
    ----------
    found : SiteBudget
        The budget.
    summary : mapping
        Summary of the plan.
    folders : mapping of str to Path
        Folder of each result, by what it is.
    """

    found: SiteBudget
    summary: Mapping[str, Any]
    folders: Mapping[str, Path]


def gather_budget(
    plan: str | Path,
    *,
    growth: str | Path | None = None,
    bunding: str | Path | None = None,
    reliability: str | Path | None = None,
    options: str | Path | None = None,
) -> Gathered:
    """Read the bills of a plan and of what was made of it, and make one budget.

    Parameters
    ----------
    plan : str or Path
        Folder of the plan.
    growth, bunding : str or Path, optional
        Folders of its planting and of microcatchments.
    reliability : str or Path, optional
        Folder of how sure it is, whose draws give the range of the earthworks.
    options : str or Path, optional
        Folder of a comparison, of which the client's choices are taken.

    Returns
    -------
    Gathered
        The budget.

    Raises
    ------
    InputError
        If a folder lacks what is wanted, is of another plan, or nothing has a price.

    Examples
    --------
    >>> gather_budget(plan_folder)
    Traceback (most recent call last):
        ...
    swalekit.errors.InputError: the plan's brief names no price; give some under [rates] and [planting.prices] and plan
    again
    """
    given = {"plan": plan, "grow": growth, "bund": bunding, "reliability": reliability, "compare": options}
    folders = {command: Path(folder) for command, folder in given.items() if folder is not None}
    wanted = {"plan": ("site", "bill", "swales", "brief"), "grow": ("planting", "swales"), "bund": ("bunding",)}
    wanted |= {"reliability": ("swales", "draws", "layout"), "compare": ("options",)}
    read = {command: read_summary(folder, wanted[command]) for command, folder in folders.items()}
    summary = read["plan"]
    for command, other in read.items():
        _check_same_site(command, folders[command], other, summary)
    brief = check_brief(dict(summary["brief"]), source=f"'{folders['plan'] / SIGNATURE}'")
    found = site_budget(
        summary,
        brief.rates,
        first_year=brief.planting.calendar_year(1),
        planting=read["grow"]["planting"]["bill"] if "grow" in read else None,
        microcatchments=read["bund"]["bunding"]["bill"] if "bund" in read else None,
        reliability=read.get("reliability"),
        options=read["compare"]["options"] if "compare" in read else (),
        units=brief.site.units,
    )
    return Gathered(found, summary, folders)


def _check_same_site(command: str, folder: Path, other: Mapping[str, Any], plan: Mapping[str, Any]) -> None:
    """Check that a result is of the plan's lines, or of its tile where it has lines of its own or none."""
    swales = other.get("swales", [])
    if command == "grow" or (command == "bund" and swales):
        check_same_lines(folder, command, swales, plan["swales"])
        return
    if command == "reliability":
        same = [row["swale"] for row in swales] == [row["swale"] for row in plan["swales"]]
    else:
        same = input_hashes(other).get(_TILE) == input_hashes(plan).get(_TILE)
    if not same:
        message = f"'{folder}' was not made of this plan: run swalekit {command} again on it"
        raise InputError(message)
