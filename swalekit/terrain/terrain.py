"""The terrain value: heights on a grid."""

from dataclasses import dataclass, field
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive, check_same_shape
from swalekit.errors import TerrainError
from swalekit.grid import Grid


@dataclass(frozen=True, eq=False)
class Terrain:
    """Ground heights on a grid, with a mask of the cells that hold one.

    Heights below sea level are ordinary.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    heights : ndarray of float32, shape (rows, columns)
        Ground height at cell centres [m]; NaN where ``valid`` is false.
    valid : ndarray of bool, shape (rows, columns)
        Cells that hold ground.
    vertical_sigma_m : float
        Standard error of a height [m].
    notes : tuple of str
        What was done to the tile on the way in, one sentence each.

    Raises
    ------
    TerrainError
        If no cell is valid.
    """

    grid: Grid
    heights: NDArray[np.float32]
    valid: NDArray[np.bool_]
    vertical_sigma_m: float = 0.10
    notes: tuple[str, ...] = field(default=())

    def __post_init__(self) -> None:
        check_same_shape(heights=self.heights, valid=self.valid)
        check_positive(vertical_sigma_m=self.vertical_sigma_m)
        if self.heights.shape != self.grid.shape:
            message = f"heights have shape {self.heights.shape} but the grid has {self.grid.shape}"
            raise TerrainError(message)
        if not self.valid.any():
            message = "the tile holds no ground: every cell is void; check its nodata value and its bounds"
            raise TerrainError(message)
        self.heights.flags.writeable = False
        self.valid.flags.writeable = False

    def __repr__(self) -> str:
        return f"Terrain({self.grid!r}, heights within about {self.vertical_sigma_m:g} m)"

    @classmethod
    def from_heights(
        cls, heights: NDArray[np.floating], grid: Grid, *, vertical_sigma_m: float = 0.10, notes: tuple[str, ...] = ()
    ) -> Self:
        """Terrain from an array in which NaN marks a void; the array is copied."""
        copied = np.array(heights, dtype=np.float32)
        valid = np.isfinite(copied)
        copied[~valid] = np.nan
        return cls(grid, copied, valid, vertical_sigma_m, notes)

    @property
    def relief_m(self) -> float:
        """Highest less lowest ground [m]."""
        return float(np.nanmax(self.heights) - np.nanmin(self.heights))
