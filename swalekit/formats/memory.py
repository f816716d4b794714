"""Whether a plan fits into this machine."""

import math
from pathlib import Path

from swalekit.errors import TerrainError

BYTES_PER_CELL = 32
"""What a plan needs at most for every cell of its terrain."""

_MOST_CELLS = 2**31 - 1
"""Cells are numbered by 32-bit integers."""


def check_fits(n_cells: int, cell_m: float, *, name: str, memory_bytes: int | None = None) -> None:
    """Raise a `TerrainError` that tells which cell would fit, if a plan of so many cells doesn't.

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

    Examples
    --------
    >>> check_fits(1_000_000, 0.5, name="tile.tif", memory_bytes=2_000_000)
    Traceback (most recent call last):
        ...
    swalekit.errors.TerrainError: terrain 'tile.tif' has 1,000,000 cells, which takes 0.032 GB, but 0.002 GB are free; \
coarsen it: cell_m = 2
    """
    free = memory_bytes or _free_bytes()
    most = min(free // BYTES_PER_CELL, _MOST_CELLS)
    if n_cells > most:
        factor = math.ceil(math.sqrt(n_cells / most))
        message = (
            f"terrain '{name}' has {n_cells:,} cells, which takes {n_cells * BYTES_PER_CELL / 1e9:.3g} GB, "
            f"but {free / 1e9:.3g} GB are free; coarsen it: cell_m = {factor * cell_m:g}"
        )
        raise TerrainError(message)


def _free_bytes() -> int:
    """Memory that can be had without swapping, by the kernel's own estimate; no bound where it gives none."""
    try:
        lines = Path("/proc/meminfo").read_text(encoding="ascii").splitlines()
        return next(int(line.split()[1]) * 1024 for line in lines if line.startswith("MemAvailable"))
    except (OSError, StopIteration):
        return _MOST_CELLS * BYTES_PER_CELL
