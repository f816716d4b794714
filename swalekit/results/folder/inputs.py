"""What a result was made from: brief and files as they were read, and copies of the small ones."""

import os
import shutil
from collections.abc import Iterable, Mapping
from pathlib import Path
from typing import Any

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.brief.site import Site
from swalekit.errors import InputError
from swalekit.formats.inputs.brief import written_brief
from swalekit.formats.inputs.file_hash import sha256, with_its_parts

BRIEF, KEPT = "brief.toml", "inputs"
"""In a plan's folder, the brief, and the folder of copies of the files that it names."""
MOST_KEPT_BYTES = 5_000_000
"""A larger file is not copied, nor is the tile; their hashes are recorded."""
_TILE = "terrain.file"
SHOWN = 8
"""Digits of a SHA-256 that tell two files apart."""


def made_from(
    brief: Brief, hashes: Mapping[str, str], folder: str | Path | None, *, keeps: bool = False
) -> dict[str, Any]:
    """What a design is made from, as its summary records it: brief and input files, in JSON types.

    Parameters
    ----------
    brief : Brief
        The brief; of files it names the name alone is recorded, so that a folder's place does not matter.
    hashes : mapping of str to str
        SHA-256 of the files that were read, by ``part.key``.
    folder : str or Path or None
        Folder of the results, from which the paths of the inputs are given; with None they are left out.
    keeps : bool
        Whether `keep_inputs` copies small files into that folder: then those too that were not read.

    Returns
    -------
    dict
        Brief and inputs.

    Raises
    ------
    InputError
        If a file is no longer what was read.

    Examples
    --------
    >>> made = made_from(site.brief, {}, None)
    >>> made["brief"]["terrain"]["file"], made["inputs"]
    ('tile.tif', [])
    """
    values, inputs, taken = brief.model_dump(mode="json"), list[dict[str, str]](), dict[str, Path]()
    for place, file in _files_of(brief).items():
        part, key = place.split(".")
        values[part][key] = file.name
        kept = keeps and place != _TILE and _is_small(file)
        if folder is not None and (kept or place in hashes):
            row = input_file(place, file, folder, as_read=hashes.get(place))
            inputs.append(row | {"path": kept_path(place, file, taken)} if kept else row)
    return {"brief": values, "inputs": inputs}


def input_file(key: str, path: str | Path, folder: str | Path, *, as_read: str | None = None) -> dict[str, str]:
    """What an input is, the name of its file or folder of tiles, its path from the folder of the results, its hash.

    Parameters
    ----------
    key : str
        Key of the brief that names it, or another name of what it is.
    path : str or Path
        The file or folder.
    folder : str or Path
        Folder of the results.
    as_read : str, optional
        SHA-256 of what was read from it.

    Returns
    -------
    dict of str to str
        As a summary lists it.

    Raises
    ------
    InputError
        If it is no longer what was read.

    Examples
    --------
    >>> _ = (folder / "points.csv").write_text("1,0,0,0")
    >>> found = input_file("points", folder / "points.csv", folder / "survey")
    >>> found["key"], found["file"], found["path"], found["sha256"][:8]
    ('points', 'points.csv', '../points.csv', '1c402f25')
    """
    place, base = Path(path).resolve(), Path(folder).resolve()
    try:
        way = Path(os.path.relpath(place, base)).as_posix()
    except ValueError:  # it lies on another drive
        way = place.as_posix()
    if not place.exists():
        message = f"'{path}' was taken away while it was worked with; put it back and run the command again"
        raise InputError(message)
    found = sha256(path)
    if as_read is not None and found != as_read:
        message = (
            f"'{path}' was changed while it was worked with (SHA-256 {found[:SHOWN]}… instead of {as_read[:SHOWN]}…); "
            "run the command again"
        )
        raise InputError(message)
    return {"key": key, "file": Path(path).name, "path": way, "sha256": found}


def kept_path(key: str, path: Path, taken: dict[str, Path]) -> str:
    """Where an input is copied to: a name of its own in the folder of the copies.

    Parameters
    ----------
    key : str
        What it is.
    path : Path
        The file.
    taken : dict of str to Path
        Names in small letters that have a file; this one is added.

    Returns
    -------
    str
        Path from the folder of the results.

    Examples
    --------
    >>> taken = {}
    >>> [kept_path(key, Path(file), taken) for key, file in [("area.boundary", "a/land.gpkg"),
    ...     ("area.keep_outs", "b/Land.gpkg"), ("soil.zones", "a/land.gpkg")]]
    ['inputs/land.gpkg', 'inputs/area.keep_outs-Land.gpkg', 'inputs/land.gpkg']
    """
    name, file = path.name, path.resolve()
    while taken.setdefault(Path(name).stem.casefold(), file) != file:
        name = f"{key}-{name}"
    return f"{KEPT}/{name}"


def keep_inputs(
    site: Site, inputs: Iterable[Mapping[str, str]], results: Path, *, more: Mapping[str, Path] | None = None
) -> None:
    """Copy brief and small inputs into a folder of results.

    Parameters
    ----------
    site : Site
        The site.
    inputs : iterable of mapping
        What `made_from` gives of them.
    results : Path
        The folder.
    more : mapping of str to Path, optional
        Further files by their keys among the inputs.

    Raises
    ------
    InputError
        If a file is no longer what was read.

    Examples
    --------
    >>> keep_inputs(site, [], folder)
    >>> print((folder / "brief.toml").read_text(encoding="utf-8").splitlines()[1])
    [terrain]
    """
    files, paths = {**_files_of(site.brief), **(more or {})}, dict[str, str]()
    for row in inputs:
        paths[row["key"]] = row["path"]
        if row["path"].startswith(f"{KEPT}/"):
            copy = results / row["path"]
            copy.parent.mkdir(exist_ok=True)
            for part in with_its_parts(files[row["key"]]):
                shutil.copyfile(part, copy.with_suffix(part.suffix))
            input_file(row["key"], copy, results, as_read=row["sha256"])
    (results / BRIEF).write_bytes(site.text or written_brief(site.brief, paths))


def input_hashes(summary: Mapping[str, Any]) -> dict[str, str]:
    """SHA-256 of the inputs that a summary records, by what they are.

    Parameters
    ----------
    summary : mapping
        A summary.

    Returns
    -------
    dict of str to str
        Hexadecimal digits.

    Examples
    --------
    >>> input_hashes({"inputs": [{"key": "terrain.file", "file": "tile.tif", "sha256": "7f83b165"}]})
    {'terrain.file': '7f83b165'}
    """
    return {recorded["key"]: str(recorded["sha256"]) for recorded in summary.get("inputs", ())}


def _files_of(brief: Brief) -> dict[str, Path]:
    """Files that a brief names, by ``part.key``."""
    named = {f"{part}.{key}": getattr(getattr(brief, part), key) for part, key in PATH_KEYS}
    return {place: Path(file) for place, file in named.items() if file is not None}


def _is_small(file: Path) -> bool:
    return file.is_file() and file.stat().st_size <= MOST_KEPT_BYTES
