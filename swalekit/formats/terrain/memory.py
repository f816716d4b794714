"""Whether a plan fits into this machine, and where its arrays go."""

import math
import sys
from pathlib import Path
from tempfile import gettempdir

import numpy as np
import psutil

from swalekit.errors import TerrainError
from swalekit.formats.terrain.mapped_arrays import MappedArrays, free_disk_bytes
from swalekit.grid import Allocator

BYTES_PER_CELL = 32
"""What a plan needs at most for every cell of its terrain."""

BYTES_PER_CELL_ON_DISK = 10
"""What it wants of memory where its arrays lie on disk; with less, the same pages are read again and again."""

_MOST_CELLS = 2**31 - 1
"""Cells are numbered by 32-bit integers."""

_LIMITS = ("/sys/fs/cgroup/memory.max", "/sys/fs/cgroup/memory/memory.limit_in_bytes")
"""Where the kernel tells the memory that a container may use."""


def arrays_for(n_cells: int, cell_m: float, *, name: str, memory_bytes: int | None = None) -> Allocator:
    """What makes the arrays over a terrain: in memory where a plan of so many cells fits, else on disk.

    Parameters
    ----------
    n_cells : int
        Number of cells.
    cell_m : float
        Side of a cell [m].
    name : str
        The tile, for the message.
    memory_bytes : int, optional
        Memory a plan may use; by default what is free on this machine.

    Returns
    -------
    callable
        Takes shape and type, and gives an array of zeros.

    Raises
    ------
    TerrainError
        If it fits neither way; the message tells which cell would.

    Examples
    --------
    >>> arrays_for(1_000_000, 0.5, name="tile.tif", memory_bytes=32_000_000) is np.zeros
    True
    >>> arrays_for(1_000_000, 0.5, name="tile.tif", memory_bytes=2_000_000)
    Traceback (most recent call last):
        ...
    swalekit.errors.TerrainError: terrain 'tile.tif' has 1,000,000 cells: a plan takes 0.032 GB, of which 0.01 GB \
are wanted in memory when the rest is laid on disk, but 0.002 GB are free; coarsen it: cell_m = 1.5
    """
    free, needed = memory_bytes or _free_bytes(), n_cells * BYTES_PER_CELL
    if n_cells <= _MOST_CELLS and needed <= free:
        return np.zeros
    in_memory = n_cells * BYTES_PER_CELL_ON_DISK
    if n_cells > _MOST_CELLS or in_memory > free:
        most = min(free // BYTES_PER_CELL_ON_DISK, _MOST_CELLS)
        message = (
            f"terrain '{name}' has {n_cells:,} cells: a plan takes {needed / 1e9:.3g} GB, of which "
            f"{in_memory / 1e9:.3g} GB are wanted in memory when the rest is laid on disk, but {free / 1e9:.3g} GB are "
            f"free; coarsen it: cell_m = {_fitting_cell_m(n_cells, most, cell_m):g}"
        )
        raise TerrainError(message)
    folder = gettempdir()
    room = free_disk_bytes(folder)
    if needed > room:
        cell = _fitting_cell_m(n_cells, max(free, room) // BYTES_PER_CELL, cell_m)
        message = (
            f"terrain '{name}' has {n_cells:,} cells, which takes {needed / 1e9:.3g} GB; {free / 1e9:.3g} GB of memory "
            f"are free, and {room / 1e9:.3g} GB of disk in '{folder}': name a folder on a larger disk by the "
            f"environment variable TMPDIR, or coarsen it: cell_m = {cell:g}"
        )
        raise TerrainError(message)
    return MappedArrays(folder)


def _fitting_cell_m(n_cells: int, most: int, cell_m: float) -> float:
    """Least whole multiple of the cell with which there are so few cells [m]."""
    return math.ceil(math.sqrt(n_cells / max(most, 1))) * cell_m


def _free_bytes() -> int:
    """Memory that can be had without swapping, by the system's own estimate and within what a container may use."""
    return min(int(psutil.virtual_memory().available), *(_limit_bytes(path) for path in _LIMITS))


def _limit_bytes(path: str) -> int:
    """Memory that a container may use; no bound where none is set."""
    try:
        return int(Path(path).read_text(encoding="ascii"))
    except (OSError, ValueError):  # a file without a bound says max
        return sys.maxsize
