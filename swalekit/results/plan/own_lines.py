"""The decisions that a plan's folder holds, where no file of its inputs does: those that were made in Python."""

from collections.abc import Mapping
from pathlib import Path
from typing import Any

import pyogrio

from swalekit.design.brief.decided_lines import DRAWN, DROPPED, HELD, PROPOSED
from swalekit.design.brief.site import Site
from swalekit.formats.exchange.lines_layer import LINES_FILES, LINES_LAYER
from swalekit.formats.inputs.lines_file import read_lines
from swalekit.results.folder.seal import check_as_written, is_as_written

_FILE = LINES_FILES[0]


def with_own_lines(site: Site, folder: Path, summary: Mapping[str, Any]) -> Site:
    """A recorded site with the decisions in the lines of its folder, unless a file of its brief says them.

    Parameters
    ----------
    site : Site
        As its brief and inputs give it.
    folder : Path
        Folder of the plan.
    summary : mapping
        Its summary.

    Returns
    -------
    Site
        The same where nothing was decided: a plan of the lines of a plan is that plan.

    Raises
    ------
    InputError
        If the file of lines was changed since, and the plan has lines that were held or drawn.

    Examples
    --------
    >>> import json
    >>> summary = json.loads((plan_folder / "summary.json").read_text(encoding="utf-8"))
    >>> with_own_lines(site, plan_folder, summary) is site
    True
    """
    file = folder / _FILE
    if site.lines is not None or _FILE not in summary["files"]:
        return site
    if any(row.get("state", PROPOSED) != PROPOSED for row in summary["swales"]):
        check_as_written(summary, file)
    elif not is_as_written(file, summary):
        return site
    if not pyogrio.read_info(file, layer=LINES_LAYER)["features"]:
        return site
    lines, _ = read_lines(file)
    decided = lines.in_state(HELD, DRAWN, DROPPED) or any(not line.own.none_given for line in lines.lines)
    return site.with_lines(lines) if decided else site
