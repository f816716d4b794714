"""Hashes of the files that a brief names, taken when they are read."""

import hashlib
from collections.abc import Mapping
from pathlib import Path

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.formats.terrain.tile_files import tile_files

_PARTS = (".shx", ".dbf", ".prj", ".cpg")
"""Endings of the files that a Shapefile has besides."""


def sha256(path: str | Path) -> str:
    """SHA-256 of a file, in hexadecimal digits; of several that belong together, that of their names and hashes.

    Parameters
    ----------
    path : str or Path
        A file, a folder of tiles, or the main file of a Shapefile.

    Returns
    -------
    str
        64 digits.

    Examples
    --------
    >>> _ = (folder / "empty.txt").write_text("")
    >>> sha256(folder / "empty.txt")[:16]
    'e3b0c44298fc1c14'
    """
    path = Path(path)
    if path.is_dir():
        return _of_several({Path(tile).name: Path(tile) for tile in tile_files(path)})
    if len(parts := with_its_parts(path)) > 1:
        return _of_several({part.suffix.lower(): part for part in parts})
    return _of_one(path)


def with_its_parts(path: Path) -> list[Path]:
    """The files that belong to one: of a Shapefile its parts, of any other itself.

    Parameters
    ----------
    path : Path
        The file.

    Returns
    -------
    list of Path
        Files that are there, the named one first.

    Examples
    --------
    >>> for name in ("land.shp", "land.dbf", "land.txt"):
    ...     _ = (folder / name).write_text("x")
    >>> [part.name for part in with_its_parts(folder / "land.shp")]
    ['land.shp', 'land.dbf']
    """
    if path.suffix.lower() != ".shp":
        return [path]
    beside = sorted(path.parent.iterdir())
    return [path, *(part for part in beside if part.stem == path.stem and part.suffix.lower() in _PARTS)]


def _of_several(files: Mapping[str, Path]) -> str:
    hashes = "".join(f"{name} {_of_one(file)}\n" for name, file in files.items())
    return hashlib.sha256(hashes.encode()).hexdigest()


def _of_one(path: Path) -> str:
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def hashes_of(brief: Brief, parts: tuple[str, ...]) -> dict[str, str]:
    """SHA-256 of the files that some parts of a brief name, as they are now.

    Parameters
    ----------
    brief : Brief
        The brief, with paths as they can be opened.
    parts : tuple of str
        Parts of the brief.

    Returns
    -------
    dict of str to str
        By ``part.key``; a file that can't be opened is left out, for its reader to tell.

    Examples
    --------
    >>> hashes_of(site.brief, ("terrain", "area"))
    {}
    """
    files = {f"{part}.{key}": getattr(getattr(brief, part), key) for part, key in PATH_KEYS if part in parts}
    hashes = ((key, _hash_if_there(Path(file))) for key, file in files.items() if file is not None)
    return {key: found for key, found in hashes if found is not None}


def _hash_if_there(path: Path) -> str | None:
    """Hash of a regular file or a folder that may be read."""
    try:
        return sha256(path) if path.is_file() or path.is_dir() else None
    except (OSError, ValueError):
        return None
