"""Ground that gravity serves from a place at a pipe's grade."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_finite, check_positive, check_same_shape
from swalekit.errors import InputError
from swalekit.kernels.gravity_reach import commanded
from swalekit.terrain.terrain import Terrain


@dataclass(frozen=True, eq=False)
class ServedGround:
    """Cells that a place serves.

    Parameters
    ----------
    cells : ndarray of bool, shape (rows, columns)
        Ground that water reaches.
    area_m2 : float
        Its plan area [m²].
    """

    cells: NDArray[np.bool_]
    area_m2: float

    @property
    def area_ha(self) -> float:
        """Plan area [ha]."""
        return self.area_m2 / 10_000.0


def served_ground(
    terrain: Terrain,
    xy: tuple[float, float],
    outlet_level_m: float,
    *,
    grade: float,
    allowed: NDArray[np.bool_] | None = None,
) -> ServedGround:
    """Cells that a pipe at an even grade comes down to.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    xy : tuple of float
        Place of the outlet [m].
    outlet_level_m : float
        Level at which water leaves it [m].
    grade : float
        Fall of the pipe [m/m].
    allowed : ndarray of bool, shape (rows, columns), optional
        Cells that may be served: not the ditches that take storm water, nor their pond, nor keep-outs.

    Returns
    -------
    ServedGround
        Cells with ground at or below outlet level − grade × distance.

    Raises
    ------
    InputError
        If the outlet lies off the tile, the grade isn't positive or shapes differ.

    Notes
    -----
    Distance is straight and in plan, so that a pipe that must go round or through a rise reaches less; where ground
    between stands above the pipe it lies deeper. No loss of head in a full pipe is counted.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> grid = Grid.from_corner((1, 5), cell_m=10.0, west_m=0.0, north_m=10.0)
    >>> terrain = Terrain.from_heights(np.array([[20.0, 19.0, 19.5, 18.0, 20.0]]), grid)
    >>> served_ground(terrain, (5.0, 5.0), 19.5, grade=0.02).cells.astype(int)
    array([[0, 1, 0, 1, 0]])
    """
    check_finite(outlet_level_m=outlet_level_m)
    check_positive(grade=grade)
    row, column = outlet_cell(terrain, xy)
    reached = commanded(terrain.heights, row, column, outlet_level_m, grade, terrain.grid.cell_m)
    if allowed is not None:
        check_same_shape(heights=terrain.heights, allowed=allowed)
        reached &= allowed
    return ServedGround(reached, float(np.count_nonzero(reached)) * terrain.grid.cell_area_m2)


def outlet_cell(terrain: Terrain, xy: tuple[float, float]) -> tuple[float, float]:
    """Fractional row and column of a point on the tile.

    Raises
    ------
    InputError
        If the point lies off the tile.
    """
    west, south, east, north = terrain.grid.bounds
    if not (west <= xy[0] <= east and south <= xy[1] <= north):
        message = (
            f"the outlet at {xy[0]:.1f}, {xy[1]:.1f} lies off the tile, which spans {west:.1f} to {east:.1f} and "
            f"{south:.1f} to {north:.1f} m; give a point on it in its CRS"
        )
        raise InputError(message)
    row, column = terrain.grid.rows_columns(*xy)
    return float(row), float(column)
