"""Terrain files on one frame: a single tile, or a folder of tiles that fit together."""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import replace
from pathlib import Path

from pyproj import CRS

from swalekit.errors import TerrainError
from swalekit.formats.terrain.step_words import judged_steps
from swalekit.formats.terrain.tile_frame import framed, ground_cell_m
from swalekit.formats.terrain.tile_header import TileHeader, open_tile, read_header, reading
from swalekit.formats.terrain.tile_part import TilePart
from swalekit.formats.terrain.tile_steps import tile_steps

_RASTERS, _CLOUDS = (".tif", ".tiff", ".asc", ".hgt"), (".las", ".laz")
_SUFFIXES = (*_RASTERS, *_CLOUDS)
_MOST_TILES = 500
"""Files that are held open at a time."""


def tile_files(path: str | Path) -> tuple[str, ...]:
    """The terrain files that a path stands for: itself, or those of a folder, by name.

    Parameters
    ----------
    path : str or Path
        A file or a folder.

    Returns
    -------
    tuple of str
        Paths of the files.

    Raises
    ------
    TerrainError
        If a folder holds none, or too many.

    Examples
    --------
    >>> tile_files("hill.tif")
    ('hill.tif',)
    """
    folder = Path(path)
    if not folder.is_dir():
        return (str(path),)
    found = tuple(sorted(str(file) for file in folder.iterdir() if file.suffix.lower() in _SUFFIXES))
    if not 1 <= len(found) <= _MOST_TILES:
        message = f"terrain folder '{path}' holds {len(found)} tiles ({', '.join(_SUFFIXES)}); " + (
            "put the tiles of the site into it" if not found else f"at most {_MOST_TILES} are joined: make them fewer"
        )
        raise TerrainError(message)
    return found


def are_clouds(files: Sequence[str]) -> bool:
    """Whether terrain files are point clouds and no rasters.

    Parameters
    ----------
    files : sequence of str
        Paths of the files.

    Returns
    -------
    bool
        By their names.

    Raises
    ------
    TerrainError
        If some are and some aren't.

    Examples
    --------
    >>> are_clouds(["north.laz", "south.las"]), are_clouds(["hill.tif"])
    (True, False)
    """
    clouds = [file for file in files if Path(file).suffix.lower() in _CLOUDS]
    if clouds and len(clouds) < len(files):
        raster = next(file for file in files if file not in clouds)
        message = (
            f"terrain folder '{Path(raster).parent}' holds rasters and point clouds, such as '{Path(raster).name}' "
            f"and '{Path(clouds[0]).name}'; keep one kind in it"
        )
        raise TerrainError(message)
    return bool(clouds)


@contextmanager
def open_tiles(
    name: str, files: Sequence[str], *, crs: CRS | None, vertical_unit: str | None
) -> Iterator[tuple[TileHeader, tuple[TilePart, ...]]]:
    """Open a raster or the rasters of a folder: the frame that holds all, and the files on it.

    Parameters
    ----------
    name : str
        File or folder as the user gave it.
    files : sequence of str
        The files that it stands for.
    crs : CRS or None
        Taken for files that name none.
    vertical_unit : str or None
        ``m``, ``ft`` or ``us-ft``; goes before what a file says.

    Yields
    ------
    header : TileHeader
        The frame that holds all.
    parts : tuple of TilePart
        The open files, and their places on it.

    Raises
    ------
    TerrainError
        If a file can't be used, or the tiles of a folder don't lie together, on the ground or in height.
    """
    with ExitStack() as stack:
        parts = []
        for file in files:
            tile = stack.enter_context(open_tile(file))
            with reading(file):
                header = read_header(tile, file, crs=crs, vertical_unit=vertical_unit)
            parts.append(TilePart(tile, header, header.shape))
        yield (parts[0].header, tuple(parts)) if len(parts) == 1 else _joined(parts, name)


def _joined(parts: Sequence[TilePart], name: str) -> tuple[TileHeader, tuple[TilePart, ...]]:
    """The frame that holds several tiles, with a word on the steps between them, and their places on it."""
    frame, placed = framed(parts, name)
    steps = tile_steps(placed, ground_cell_m(frame))
    return replace(frame, notes=(*frame.notes, *judged_steps(steps))), placed
