"""The design behind a folder of results, made again from the inputs that its summary records."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any, NoReturn

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.design.brief.brief import DESIGN_PARTS, PATH_KEYS, Brief
from swalekit.design.brief.issue import plan_number
from swalekit.design.brief.site import Site
from swalekit.design.brief.values import brief_with, check_brief
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.columns import Entry
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import SWALE_COLUMNS, swale_row
from swalekit.design.stages.staged import as_staged
from swalekit.design.survey.relevel import relevel
from swalekit.errors import InputError
from swalekit.formats.inputs.brief import WRITTEN, read_brief
from swalekit.formats.inputs.file_hash import sha256
from swalekit.formats.inputs.site import site_of, terrain_of
from swalekit.formats.local_file import local_file
from swalekit.results.folder.inputs import BRIEF, KEPT, SHOWN, input_hashes
from swalekit.results.folder.seal import SIGNATURE, check_as_written
from swalekit.results.plan.levelled import Levelled, is_levelled, read_levelled, rules_of
from swalekit.results.plan.own_lines import with_own_lines
from swalekit.results.plan.read import read_layer, read_summary

_KEYS = ("swales", "brief", "inputs")
_MEASURED = tuple(column for column in SWALE_COLUMNS if column.unit)
_LAST_PLACE = 1.5
"""Figures may differ by one in the last place, as the rounding of another machine may."""
_SAME_LINE_M = 0.001


@dataclass(frozen=True, eq=False)
class RecordedPlan:
    """What a folder of results was made from.

    Parameters
    ----------
    where : str
        The summary that records it, to open a message.
    site : Site
        The brief as recorded, with the polygons it names, and the number of the plan.
    swales : sequence of mapping
        Figures of the swales as recorded, by the names of `SWALE_COLUMNS`.
    lines : mapping of str to shapely LineString
        Their lines as recorded, by their numbers.
    levelled : sequence of Levelled
        Points that the lines were cut to, in the order of the work.
    """

    where: str
    site: Site
    swales: Sequence[Mapping[str, Entry]]
    lines: Mapping[str, BaseGeometry]
    levelled: Sequence[Levelled] = ()


def read_recorded_plan(folder: str | Path, *, brief: str | Path | None = None, grows: bool = False) -> RecordedPlan:
    """Read what a folder of results was made from.

    Parameters
    ----------
    folder : str or Path
        Folder that ``plan``, ``stake``, ``grow`` or ``relevel`` wrote.
    brief : str or Path, optional
        Brief that says where the inputs lie now; all else is taken as it was recorded.
    grows : bool
        Whether the files that a planting is worked out from are wanted: else one that is missing or changed is nobody's
        hindrance.

    Returns
    -------
    RecordedPlan
        Site, swales and lines.

    Raises
    ------
    InputError
        If the folder holds no such results, or a file that is wanted is missing or changed since.

    Examples
    --------
    >>> recorded = read_recorded_plan(plan_folder)
    >>> [swale["swale"] for swale in recorded.swales], recorded.site.brief.storm.depth_mm
    (['S1', 'S2'], 50.0)
    """
    folder = Path(folder)
    summary, where = read_summary(folder, _KEYS), f"'{folder / SIGNATURE}'"
    try:
        rows = [row for row in summary["inputs"] if not is_levelled(row)]
        files, hashes = {row["key"]: folder / row["path"] for row in rows}, input_hashes(summary)
        cut_to = [(folder / row["path"], rules_of(row)) for row in summary["inputs"] if is_levelled(row)]
        values = dict(summary["brief"])
        number = plan_number(summary)
    except (AttributeError, LookupError, TypeError, ValueError) as fault:
        message = f"{where} does not say where the inputs lie; another version wrote it: run the command again"
        raise InputError(message) from fault
    made_from = check_brief(values, source=where)
    named = {f"{part}.{key}": file for part, key in PATH_KEYS if (file := getattr(getattr(made_from, part), key))}
    files = {key: files.get(key, folder / KEPT / file) for key, file in named.items()}
    if brief is not None:
        files |= _files_said(read_brief(brief), files, folder, brief)
    for key, file in files.items():
        is_wanted = key.partition(".")[0] in DESIGN_PARTS or (grows and brief is None)
        if is_wanted and key in hashes:
            _check_same_file(file, hashes[key], folder, summary)
    made_from = brief_with(made_from, {key: str(file) for key, file in files.items()}, source=where)
    site = site_of(made_from)
    if not cut_to:  # else the lines of the folder are those after the cut
        site = with_own_lines(site, folder, summary)
    return RecordedPlan(
        where,
        replace(site, text=_text(folder), of_plan=number),
        summary["swales"],
        _lines(folder, summary),
        [_levelled(file, rules, made_from, summary, folder) for file, rules in cut_to],
    )


def plan_again(recorded: RecordedPlan, *, stage: Stage = silent) -> Design:
    """Make a recorded design again.

    Parameters
    ----------
    recorded : RecordedPlan
        What it was made from.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Design
        With the swales that were recorded.

    Raises
    ------
    InputError
        If the swales are others, or their lines lie elsewhere by more than a millimetre.

    Examples
    --------
    >>> plan_again(read_recorded_plan(plan_folder))
    Design(Unnamed site, swales 2, dug 126.04 m³, held storm 54.9 mm)
    """
    site = recorded.site
    design = as_staged(plan(site, terrain_of(site), stage=stage), stage=stage)
    site = design.site
    for levelled in recorded.levelled:
        staked = replace(design, site=site.with_values(levelled.by_brief_key))
        design = as_staged(replace(relevel(staked, levelled.points, stage=stage), site=site), stage=stage)
    _check_same_swales(recorded, design)
    return design


def _text(folder: Path) -> bytes | None:
    """The brief as its author wrote it, where the folder keeps it."""
    file = folder / BRIEF
    text = file.read_bytes() if file.is_file() else b""
    return None if not text or text.startswith(WRITTEN.encode()) else text


def _lines(folder: Path, summary: Mapping[str, Any]) -> dict[str, BaseGeometry]:
    """Lines of the swales by their numbers."""
    file = folder / "site.gpkg"
    check_as_written(summary, file)
    return {str(row["swale"]): line for line, row in read_layer(file, "swales")}


def _levelled(file: Path, rules: Mapping[str, Any], brief: Brief, summary: Mapping[str, Any], folder: Path) -> Levelled:
    """Points that lines were cut to, read as they were then."""
    check_as_written(summary, file, folder=folder)
    return read_levelled(file, brief_with(brief, rules, source="levelled points").stakes)


def _files_said(brief: Brief, files: Mapping[str, Path], folder: Path, source: str | Path) -> dict[str, Path]:
    """Where a brief says that inputs lie of which a plan's folder keeps no copy, and those that no design reads."""
    said = {}
    for place, file in files.items():
        part, key = place.split(".")
        if part in DESIGN_PARTS and file.is_relative_to(folder / KEPT):
            continue
        if (path := getattr(getattr(brief, part), key)) is not None:
            said[place] = Path(path)
        elif part in DESIGN_PARTS:
            message = f"{source}: [{part}] {key} is not given, but the plan was made from one; say where it lies"
            raise InputError(message)
    return said


def _check_same_file(file: Path, expected: str, folder: Path, summary: Mapping[str, Any]) -> None:
    """Check that an input is where it should be, and what it was; a copy in the folder is what was sealed."""
    if not file.exists():
        message = (
            f"'{folder}' was made from '{file}', which is no longer there; say where it lies with --brief SITE.toml"
        )
        raise InputError(message)
    if file.is_relative_to(folder / KEPT):
        check_as_written(summary, file, folder=folder)
        return
    found = sha256(file if file.is_dir() else local_file(file, what="input", error=InputError))
    if found != expected:
        message = (
            f"'{file}' is not the file that '{folder}' was made from (SHA-256 {found[:SHOWN]}… instead of "
            f"{expected[:SHOWN]}…); put that one back, or run swalekit plan again"
        )
        raise InputError(message)


def _check_same_swales(recorded: RecordedPlan, design: Design) -> None:
    """Check that a design has the swales that were recorded."""
    made, where = [swale_row(swale, design.rates) for swale in design.swales], recorded.where
    if len(made) != len(recorded.swales):
        _refuse(f"{where} records {len(recorded.swales)} swales, but its inputs now give {len(made)}")
    for then, now in zip(recorded.swales, made, strict=True):
        for column in _MEASURED:
            was, is_now = then.get(column.name), now[column.name]
            if not _same(was, is_now, 10.0**-column.decimals):
                _refuse(f"{where} records {column.name} {was} of {now['swale']}, but its inputs now give {is_now}")
    for swale in design.swales:
        line = recorded.lines.get(swale.id)
        if line is None or not line.equals_exact(shapely.LineString(swale.line.path), tolerance=_SAME_LINE_M):
            _refuse(f"the line of {swale.id} that lies beside {where} is not where its inputs now put it")


def _same(was: Entry, is_now: Entry, step: float) -> bool:
    if isinstance(was, int | float) and isinstance(is_now, int | float):
        return abs(was - is_now) <= _LAST_PLACE * step
    return was == is_now


def _refuse(fault: str) -> NoReturn:
    message = f"{fault}; another version of swalekit made it: use that one, or run swalekit plan again"
    raise InputError(message)
