"""The seal of a result folder: its summary lists every file with a hash, so that what changed later is known."""

import hashlib
import json
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from swalekit.errors import InputError
from swalekit.formats.input_files import sha256
from swalekit.formats.summary import write_json

SIGNATURE = "summary.json"
"""Every result folder holds this file; a folder without it is somebody else's and is never replaced."""
_LATER = ("report.html", "report.pdf")
"""What `swalekit report` puts into a plan's folder afterwards."""
_LEFT = (".DS_Store", "Thumbs.db", "desktop.ini")
"""What file managers leave."""
_BESIDE = (".aux.xml", ".ovr", "-wal", "-shm", "-journal")
"""Endings of what programs that open a raster or a GeoPackage put beside it."""


def seal(folder: Path) -> None:
    """Put names and hashes of a folder's files, and a hash of all else, into its summary.

    Parameters
    ----------
    folder : Path
        Folder of results, whole; one without summary stays as it is.
    """
    file = folder / SIGNATURE
    if not file.is_file():
        return
    told = _unsealed(json.loads(file.read_text(encoding="utf-8")))
    files = {each.name: sha256(each) for each in sorted(folder.iterdir()) if each.name != SIGNATURE}
    told |= {"files": files}
    write_json(told | {"seal": _hash(told)}, file)


def is_unbroken(summary: Mapping[str, Any]) -> bool:
    """Whether a summary is as it was sealed."""
    return summary.get("seal") == _hash({key: value for key, value in summary.items() if key != "seal"})


def check_as_written(summary: Mapping[str, Any], file: Path) -> None:
    """Check that a file beside a summary is as it was sealed.

    Raises
    ------
    InputError
        If it isn't.
    """
    if summary["files"].get(file.name) != sha256(file):
        message = f"'{file}' was changed after it was written; run the swalekit command that wrote it again"
        raise InputError(message)


def strangers(folder: Path) -> list[str] | None:
    """Names in a folder of results that no command of swalekit wrote there; None where it isn't one."""
    try:
        files = json.loads((folder / SIGNATURE).read_text(encoding="utf-8"))["files"]
        ours = {SIGNATURE, *_LATER, *_LEFT, *files, *(f"{name}{ending}" for name in files for ending in _BESIDE)}
    except (OSError, ValueError, LookupError, TypeError, RecursionError):
        return None
    return sorted(each.name for each in folder.iterdir() if each.name not in ours)


def _unsealed(summary: dict[str, Any]) -> dict[str, Any]:
    return {key: value for key, value in summary.items() if key not in ("files", "seal")}


def _hash(told: Mapping[str, Any]) -> str:
    return hashlib.sha256(json.dumps(told, sort_keys=True, ensure_ascii=False).encode("utf-8", "replace")).hexdigest()
