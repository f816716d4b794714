"""Terrain files on one frame: a single tile, or a folder of tiles that fit together."""

from collections.abc import Iterator, Sequence
from contextlib import ExitStack, contextmanager
from dataclasses import dataclass, replace
from pathlib import Path

from affine import Affine
from pyproj import CRS
from rasterio.io import DatasetReader

from swalekit.errors import TerrainError
from swalekit.formats.terrain.tile_header import TileHeader, open_tile, read_header, reading

_RASTERS, _CLOUDS = (".tif", ".tiff", ".asc", ".hgt"), (".las", ".laz")
_SUFFIXES = (*_RASTERS, *_CLOUDS)
_MOST_TILES = 500
"""Files that are held open at a time."""
_OFF_GRID = 0.01
"""Part of a cell by which the corner of a tile may miss the cells of the others, from rounding."""


@dataclass(frozen=True, eq=False)
class TilePart:
    """A file, and where its cells lie on the frame of all.

    Parameters
    ----------
    tile : DatasetReader
        The open file.
    header : TileHeader
        What it says about itself.
    row, column : int
        Row and column of its first cell on the frame.
    """

    tile: DatasetReader
    header: TileHeader
    row: int = 0
    column: int = 0


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
        If a file can't be used, or the tiles of a folder don't share one frame.
    """
    with ExitStack() as stack:
        parts = []
        for file in files:
            tile = stack.enter_context(open_tile(file))
            with reading(file):
                parts.append(TilePart(tile, read_header(tile, file, crs=crs, vertical_unit=vertical_unit)))
        yield (parts[0].header, tuple(parts)) if len(parts) == 1 else _joined(parts, name)


def _joined(parts: Sequence[TilePart], name: str) -> tuple[TileHeader, tuple[TilePart, ...]]:
    """The frame that holds several tiles, and their places on it."""
    first = parts[0].header
    for part in parts[1:]:
        _check_same_frame(part.header, first)
    a = first.transform
    offsets = [_offset(part.header, first) for part in parts]
    top, left = (min(offset[axis] for offset in offsets) for axis in (0, 1))
    placed = tuple(
        replace(part, row=row - top, column=column - left) for part, (row, column) in zip(parts, offsets, strict=True)
    )
    shape = (
        max(part.row + part.header.shape[0] for part in placed),
        max(part.column + part.header.shape[1] for part in placed),
    )
    notes = dict.fromkeys(note for part in parts for note in part.header.notes)
    joined = f"{len(parts)} tiles joined; where they overlap, the first by name counts"
    frame = replace(first, name=name, shape=shape, transform=a * Affine.translation(left, top), notes=(*notes, joined))
    return frame, placed


def _check_same_frame(header: TileHeader, first: TileHeader) -> None:
    a, b = header.transform, first.transform
    if not header.crs.equals(first.crs, ignore_axis_order=True):
        fault = f"is in {header.crs.name}, '{first.name}' in {first.crs.name}"
    elif any(abs(own - other) > 1e-6 * abs(b.a) for own, other in zip(_cell(a), _cell(b), strict=True)):
        fault = f"has cells of {abs(a.a):g} × {abs(a.e):g}, '{first.name}' of {abs(b.a):g} × {abs(b.e):g}"
    elif any(abs(place - round(place)) > _OFF_GRID for place in _place(header, first)):
        fault = f"has its cells beside those of '{first.name}', {_place(header, first)[1] % 1:.2f} of a cell off"
    else:
        return
    message = (
        f"terrain '{header.name}' {fault}; tiles of one folder must share CRS, cells and their corners: warp it first"
    )
    raise TerrainError(message)


def _cell(a: Affine) -> tuple[float, float, float, float]:
    return a.a, a.b, a.d, a.e


def _place(header: TileHeader, first: TileHeader) -> tuple[float, float]:
    """Fractional row and column of a tile's corner, in cells of the first."""
    column, row = ~first.transform * (header.transform.c, header.transform.f)
    return float(row), float(column)


def _offset(header: TileHeader, first: TileHeader) -> tuple[int, int]:
    row, column = _place(header, first)
    return round(row), round(column)
