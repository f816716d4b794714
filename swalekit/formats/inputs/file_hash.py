"""Hashes of the files that a brief names, taken when they are read."""

import hashlib
from pathlib import Path

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.formats.terrain.tile_files import tile_files


def sha256(path: str | Path) -> str:
    """SHA-256 of a file, in hexadecimal digits; of a folder of tiles, that of the names and hashes of its tiles.

    Parameters
    ----------
    path : str or Path
        The file or folder.

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
        tiles = [f"{Path(tile).name} {sha256(tile)}\n" for tile in tile_files(path)]
        return hashlib.sha256("".join(tiles).encode()).hexdigest()
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
    return {key: sha256(file) for key, file in files.items() if file is not None and _is_there(Path(file))}


def _is_there(path: Path) -> bool:
    """Whether a path can be hashed: a regular file or a folder."""
    try:
        return path.is_file() or path.is_dir()
    except (OSError, ValueError):
        return False
