"""Input files as a summary records them: where each lies, and a hash by which it is known again."""

import hashlib
import os
from pathlib import Path

from swalekit.formats.terrain.tile_files import tile_files


def input_file(path: str | Path, folder: str | Path) -> dict[str, str]:
    """Name of a file or folder of tiles, its path from a folder, and its hash."""
    file = Path(path)
    return {"file": file.name, "path": _path_from(Path(folder), file), "sha256": sha256(file)}


def sha256(path: str | Path) -> str:
    """SHA-256 of a file, in hexadecimal digits; of a folder of tiles, that of the names and hashes of its tiles."""
    path = Path(path)
    if not path.is_dir():
        return _sha256_of_file(path)
    tiles = [f"{Path(tile).name} {_sha256_of_file(Path(tile))}\n" for tile in tile_files(path)]
    return hashlib.sha256("".join(tiles).encode()).hexdigest()


def _sha256_of_file(file: Path) -> str:
    with file.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def _path_from(folder: Path, file: Path) -> str:
    """Path of a file from a folder; its whole path where it lies on another drive."""
    try:
        return Path(os.path.relpath(file.resolve(), folder.resolve())).as_posix()
    except ValueError:
        return file.resolve().as_posix()
