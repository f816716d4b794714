"""The seal of a result folder: its summary lists every file with a hash, so that what changed later is known."""

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path, PurePosixPath
from typing import Any

import pyogrio
from pyogrio.errors import DataLayerError, DataSourceError

from swalekit.errors import InputError
from swalekit.formats.inputs.file_hash import sha256
from swalekit.results.folder.provenance import write_json

SIGNATURE = "summary.json"
"""Every result folder holds this file; a folder without it is somebody else's and is never replaced."""
_LATER = ("report.html", "report.pdf")
"""What `swalekit report` puts into a plan's folder afterwards."""
_LEFT = (".DS_Store", "Thumbs.db", "desktop.ini")
"""What file managers leave."""
_LAYERS = ".gpkg"
_BESIDE = (".aux.xml", ".ovr", "-wal", "-shm", "-journal")
"""Endings of what programs that open a raster or a GeoPackage put beside it."""


def seal(folder: Path) -> None:
    """Put names and hashes of a folder's files, and a hash of all else, into its summary.

    Parameters
    ----------
    folder : Path
        Folder of results, whole; one without summary stays as it is.

    Notes
    -----
    The hash of a GeoPackage is that of its features: programs that open one write into it. A report is left out: it
    tells the number of the plan, which comes of the seal.

    Examples
    --------
    >>> write_json({"swales": 2}, folder / "summary.json")
    >>> _ = (folder / "swales.csv").write_text("S1")
    >>> seal(folder)
    >>> summary = json.loads((folder / "summary.json").read_text())
    >>> list(summary), list(summary["files"])
    (['swales', 'files', 'seal'], ['swales.csv'])
    """
    file = folder / SIGNATURE
    if not file.is_file():
        return
    told = json.loads(file.read_text(encoding="utf-8"))
    told = {key: value for key, value in told.items() if key not in ("files", "seal")}
    names = {path.relative_to(folder).as_posix(): path for path in sorted(folder.rglob("*")) if path.is_file()}
    told |= {"files": {name: _fingerprint(path) for name, path in names.items() if name not in (SIGNATURE, *_LATER)}}
    write_json(told | {"seal": _hash(told)}, file)


def is_unbroken(summary: Mapping[str, Any]) -> bool:
    """Whether a summary is as it was sealed.

    Parameters
    ----------
    summary : mapping
        A summary read from its file.

    Returns
    -------
    bool
        False too where it has no seal.

    Examples
    --------
    >>> summary = json.loads((plan_folder / "summary.json").read_text(encoding="utf-8"))
    >>> is_unbroken(summary), is_unbroken(summary | {"site": "another"})
    (True, False)
    """
    try:
        return summary.get("seal") == _hash({key: value for key, value in summary.items() if key != "seal"})
    except RecursionError:  # deeper than anything that was ever sealed
        return False


def is_as_written(file: Path, summary: Mapping[str, Any], *, folder: Path | None = None) -> bool:
    """Whether a file beside a summary is as it was sealed; a report may be newer.

    Parameters
    ----------
    file : Path
        The file.
    summary : mapping
        The summary that lists it.
    folder : Path, optional
        Folder of the summary, where the file lies deeper.

    Returns
    -------
    bool
        Whether its hash is the listed one.

    Examples
    --------
    >>> summary = json.loads((plan_folder / "summary.json").read_text(encoding="utf-8"))
    >>> is_as_written(plan_folder / "earthwork.csv", summary), is_as_written(plan_folder / "notes.txt", summary)
    (True, False)
    """
    try:
        name = file.relative_to(folder or file.parent).as_posix()
        same = name in _LATER or summary["files"].get(name) == _fingerprint(file)
        return bool(same and file.is_file())
    except (OSError, DataLayerError, DataSourceError):
        return False


def check_as_written(summary: Mapping[str, Any], file: Path, *, folder: Path | None = None) -> None:
    """Check that a file beside a summary is as it was sealed.

    Parameters
    ----------
    summary : mapping
        The summary that lists it.
    file : Path
        The file.
    folder : Path, optional
        Folder of the summary, where the file lies deeper.

    Raises
    ------
    InputError
        If it isn't.

    Examples
    --------
    >>> summary = json.loads((plan_folder / "summary.json").read_text(encoding="utf-8"))
    >>> check_as_written(summary, plan_folder / "earthwork.csv")
    """
    if not is_as_written(file, summary, folder=folder):
        message = f"'{file}' was changed after it was written; run the swalekit command that wrote it again"
        raise InputError(message)


def strangers(folder: Path) -> list[str] | None:
    """Names in a folder of results that aren't as a command of swalekit wrote them there; None where it is no such one.

    What file managers, and programs that open a raster or a GeoPackage, leave is none; nor are styles that a map
    program keeps in a GeoPackage, as long as its features are as written.

    Parameters
    ----------
    folder : Path
        Folder.

    Returns
    -------
    list of str or None
        Names of files and folders.

    Examples
    --------
    >>> write_json({"swales": 2}, folder / "summary.json")
    >>> seal(folder)
    >>> _ = (folder / "notes.txt").write_text("dug on Monday")
    >>> strangers(folder), strangers(plan_folder), strangers(plan_folder.parent)
    (['notes.txt'], [], None)
    """
    try:
        if not (folder / SIGNATURE).is_file():
            return None
        summary = json.loads((folder / SIGNATURE).read_text(encoding="utf-8"))
        if not isinstance(summary, dict) or not is_unbroken(summary):
            return None
    except (OSError, ValueError, RecursionError):
        return None
    written = summary["files"]
    left = {SIGNATURE, *_LATER, *(f"{name}{ending}" for name in written for ending in _BESIDE)}
    folders = {parent.as_posix() for name in written for parent in PurePosixPath(name).parents}

    def is_ours(path: Path) -> bool:
        name = path.relative_to(folder).as_posix()
        if name in folders and path.is_dir() and not path.is_symlink():
            return True
        unsaved = path.name.endswith("-wal") and path.is_file() and path.stat().st_size > 0
        if path.is_symlink() or not path.is_file() or unsaved:
            return False
        known = name in left or path.name in _LEFT
        return known or (name in written and is_as_written(path, summary, folder=folder))

    return sorted(path.relative_to(folder).as_posix() for path in folder.rglob("*") if not is_ours(path))


def _fingerprint(file: Path) -> str:
    """SHA-256 of a file, of a GeoPackage that of its layers' fields and features."""
    if file.suffix != _LAYERS:
        return sha256(file)
    told = hashlib.sha256()
    for name, kind in pyogrio.list_layers(file):
        if kind is not None:  # a table of styles, say
            about, _, shapes, values = pyogrio.raw.read(file, layer=name)
            told.update(repr((name, str(about["crs"]), about["fields"].tolist())).encode())
            told.update(repr([column.tolist() for column in values]).encode())
            told.update(b"".join(b"-" if shape is None else shape for shape in shapes))
    return told.hexdigest()


def _hash(told: Mapping[str, Any]) -> str:
    return hashlib.sha256(json.dumps(told, sort_keys=True, ensure_ascii=False).encode("utf-8", "replace")).hexdigest()
