"""The design behind a folder of results, made again from the inputs that its summary records."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import NoReturn

from swalekit.design.brief.brief import Brief
from swalekit.design.brief.site import Site
from swalekit.design.brief.values import brief_with, check_brief
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.columns import Entry
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.table import SWALE_COLUMNS, swale_row
from swalekit.design.survey.relevel import relevel
from swalekit.errors import InputError
from swalekit.formats.exchange.points_csv import read_points
from swalekit.formats.inputs.brief import read_brief
from swalekit.formats.inputs.site import site_of, terrain_of
from swalekit.formats.local_file import local_file
from swalekit.results.folder.provenance import LEVELLED, input_hashes, sha256
from swalekit.results.folder.seal import SIGNATURE
from swalekit.results.plan.own_lines import with_own_lines
from swalekit.results.plan.read import read_summary

_KEYS = ("swales", "brief", "inputs")
_SHOWN = 8
"""Digits of a SHA-256 that tell two files apart."""
_MEASURED = tuple(column for column in SWALE_COLUMNS if column.unit)
_LAST_PLACE = 1.5
"""Figures may differ by one in the last place, as the rounding of another machine may."""


@dataclass(frozen=True, eq=False)
class RecordedPlan:
    """What a folder of results was made from.

    Parameters
    ----------
    where : str
        The summary that records it, to open a message.
    site : Site
        The brief as recorded, with the polygons it names.
    swales : sequence of mapping
        Figures of the swales as recorded, by the names of `SWALE_COLUMNS`.
    levelled : Path or None
        Points that the lines were cut to.
    """

    where: str
    site: Site
    swales: Sequence[Mapping[str, Entry]]
    levelled: Path | None


def read_recorded_plan(folder: str | Path, *, brief: str | Path | None = None) -> RecordedPlan:
    """Read what a folder of results was made from.

    Parameters
    ----------
    folder : str or Path
        Folder that ``plan``, ``stake`` or ``relevel`` wrote.
    brief : str or Path, optional
        Brief that says where the inputs lie now; all else is taken as it was recorded.

    Returns
    -------
    RecordedPlan
        Site and summary.

    Raises
    ------
    InputError
        If the folder holds no such results, or an input is missing or changed since.

    Examples
    --------
    >>> recorded = read_recorded_plan(plan_folder)
    >>> [swale["swale"] for swale in recorded.swales], recorded.site.brief.storm.depth_mm
    (['S1', 'S2'], 50.0)
    """
    folder = Path(folder)
    summary, where = read_summary(folder, _KEYS), f"'{folder / SIGNATURE}'"
    try:
        files = {recorded["key"]: folder / recorded["path"] for recorded in summary["inputs"]}
        hashes = input_hashes(summary)
        values = dict(summary["brief"])
    except (AttributeError, LookupError, TypeError, ValueError) as fault:
        message = f"{where} does not say where the inputs lie; another version wrote it: run the command again"
        raise InputError(message) from fault
    if brief is not None:
        files |= _files_of(read_brief(brief), files, brief)
    for key, file in files.items():
        _check_same_file(file, hashes[key], folder)
    places = {key: str(file) for key, file in files.items() if key != LEVELLED}
    made_from = brief_with(check_brief(values, source=where), places, source=where)
    site = with_own_lines(site_of(made_from), folder, summary)
    return RecordedPlan(where, site, summary["swales"], files.get(LEVELLED))


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
        If the swales are others.

    Examples
    --------
    >>> plan_again(read_recorded_plan(plan_folder))
    Design(Unnamed site, swales 2, dug 126.04 m³, held storm 54.9 mm)
    """
    site, part = recorded.site, recorded.site.brief.stakes
    if recorded.levelled is None:
        design = plan(site, terrain_of(site), stage=stage)
    else:
        levelled = read_points(recorded.levelled, order=part.point_order, unit=part.point_unit)
        design = relevel(site, terrain_of(site), levelled, stage=stage)
    _check_same_swales(recorded, design)
    return design


def _files_of(brief: Brief, files: Mapping[str, Path], source: str | Path) -> dict[str, Path]:
    """Where a brief says that the recorded inputs lie."""
    values = brief.model_dump()
    named = {key: (values[part] or {}).get(name) for key in files if key != LEVELLED for part, name in [key.split(".")]}
    missing = [key for key, file in named.items() if file is None]
    if missing:
        part, name = missing[0].split(".")
        message = f"{source}: [{part}] {name} is not given, but the plan was made from one; say where it lies"
        raise InputError(message)
    return {key: Path(str(file)) for key, file in named.items()}


def _check_same_file(file: Path, expected: str, folder: Path) -> None:
    """Check that an input is where it should be, and what it was."""
    if not file.exists():
        message = (
            f"'{folder}' was made from '{file}', which is no longer there; say where it lies with --brief SITE.toml"
        )
        raise InputError(message)
    found = sha256(file if file.is_dir() else local_file(file, what="input", error=InputError))
    if found != expected:
        message = (
            f"'{file}' is not the file that '{folder}' was made from (SHA-256 {found[:_SHOWN]}… instead of "
            f"{expected[:_SHOWN]}…); put that one back, or run swalekit plan again"
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


def _same(was: Entry, is_now: Entry, step: float) -> bool:
    if isinstance(was, int | float) and isinstance(is_now, int | float):
        return abs(was - is_now) <= _LAST_PLACE * step
    return was == is_now


def _refuse(fault: str) -> NoReturn:
    message = f"{fault}; another version of swalekit made it: use that one, or run swalekit plan again"
    raise InputError(message)
