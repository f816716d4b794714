"""The brief as a TOML file."""

import json
import re
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.brief.values import check_brief
from swalekit.errors import BriefError
from swalekit.formats.local_file import local_file

WRITTEN = "# Written by swalekit from a plan's values; paths are taken from this folder."
"""First line of a brief that nobody wrote by hand."""
_BARE = re.compile(r"[A-Za-z0-9_-]+")
"""A key that needs no quotes."""


def read_brief(path: str | Path) -> Brief:
    r"""Read and check a brief.

    Paths inside the brief are taken from the folder that holds it.

    Parameters
    ----------
    path : str or Path
        TOML file.

    Returns
    -------
    Brief
        Every setting, with paths from the folder of the brief.

    Raises
    ------
    BriefError
        If the file is missing, is not TOML, or holds a value that breaks a rule.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "site.toml"
    ...     _ = path.write_text(
    ...         'terrain.file = "t.tif"\nstorm.depth_mm = 50\nsoil.curve_number = 80\nlevels.interval_ft = 5'
    ...     )
    ...     read_brief(path).levels.interval_m
    1.524
    """
    return brief_of(brief_text(path), path)


def brief_text(path: str | Path) -> bytes:
    """Read the text of a brief as its author wrote it.

    Parameters
    ----------
    path : str or Path
        TOML file.

    Returns
    -------
    bytes
        What the file holds.

    Raises
    ------
    BriefError
        If the file is missing or can't be read.

    Examples
    --------
    >>> _ = (folder / "site.toml").write_text("[storm]")
    >>> brief_text(folder / "site.toml")
    b'[storm]'
    """
    return local_file(path, what="brief", error=BriefError).read_bytes()


def brief_of(text: bytes, path: str | Path) -> Brief:
    r"""Check the text of a brief.

    Parameters
    ----------
    text : bytes
        TOML, UTF-8.
    path : str or Path
        The file that it comes from, from whose folder paths are taken.

    Returns
    -------
    Brief
        Every setting, with paths from that folder.

    Raises
    ------
    BriefError
        If it is not TOML, or holds a value that breaks a rule.

    Examples
    --------
    >>> text = b'terrain.file = "t.tif"\nstorm.depth_mm = 50\nsoil.curve_number = 80\nlevels.interval_m = 2'
    >>> brief_of(text, "north/site.toml").terrain.file
    'north/t.tif'
    """
    path = Path(path)
    try:
        values = tomllib.loads(text.decode("utf-8-sig"))
    except UnicodeDecodeError as error:
        message = f"{path}: the brief is not UTF-8 text (byte {error.start}); save it as UTF-8"
        raise BriefError(message) from error
    except (ValueError, RecursionError) as error:
        message = f"{path}: the brief is not valid TOML: {' '.join(str(error).split())}"
        raise BriefError(message) from error
    try:
        placed = _with_paths_from(values, path.parent)
    except BriefError as error:
        message = f"{path}: {error}"
        raise BriefError(message) from error
    return check_brief(placed, source=str(path))


def _with_paths_from(values: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Relative file names in the brief become paths from the brief's folder.

    Raises
    ------
    BriefError
        If a name is empty, which would be taken for the folder.
    """
    for part, key in PATH_KEYS:
        entries = values.get(part)
        if isinstance(entries, dict) and isinstance(entries.get(key), str):
            if not entries[key].strip():
                message = f"[{part}] {key} is empty; name a file, or take the key out"
                raise BriefError(message)
            entries[key] = str(folder / entries[key]) if "://" not in entries[key] else entries[key]
    return values


def written_brief(brief: Brief, paths: Mapping[str, str]) -> bytes:
    """A brief as TOML: what it says besides the defaults, in SI.

    Parameters
    ----------
    brief : Brief
        The brief.
    paths : mapping of str to str
        Paths of the files that it names, by ``part.key``, where they are others.

    Returns
    -------
    bytes
        UTF-8, with a line that says who wrote it.

    Examples
    --------
    >>> print(written_brief(site.brief, {"terrain.file": "../tile.tif"}).decode().partition("vertical")[0].strip())
    # Written by swalekit from a plan's values; paths are taken from this folder.
    [terrain]
    file = "../tile.tif"
    """
    values = brief.model_dump(mode="json", exclude_defaults=True, exclude_none=True)
    for place, path in paths.items():
        part, _, key = place.partition(".")
        if key in values.get(part, {}):
            values[part][key] = path
    parts = [
        f"[{name}]\n" + "".join(f"{_key(key)} = {_toml(value)}\n" for key, value in part.items())
        for name, part in values.items()
    ]
    return "\n".join([WRITTEN + "\n" + parts[0], *parts[1:]]).encode()


def _toml(value: Any) -> str:
    """A value as TOML writes it; a text of JSON is one of TOML but for the character of deletion."""
    if isinstance(value, Mapping):
        return "{ " + ", ".join(f"{_key(key)} = {_toml(item)}" for key, item in value.items()) + " }"
    if isinstance(value, list | tuple):
        return f"[{', '.join(_toml(item) for item in value)}]"
    return json.dumps(value, ensure_ascii=False).replace("\x7f", "\\u007f")


def _key(name: str) -> str:
    return name if _BARE.fullmatch(name) else _toml(name)
