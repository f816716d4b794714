"""Ground that gravity serves from a place at a pipe's grade, and how much of it a flow of greywater carries."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_finite, check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.kernels.gravity_reach import commanded
from swalekit.tables.load import named_row
from swalekit.terrain.terrain import Terrain


@one_line("area_m2")
@dataclass(frozen=True, eq=False)
class ServedGround(Frozen):
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

    Parameters
    ----------
    terrain : Terrain
        The ground.
    xy : tuple of float
        Easting and northing of the point [m].

    Returns
    -------
    row, column : float
        Whole numbers at cell centres.

    Raises
    ------
    InputError
        If the point lies off the tile.

    Examples
    --------
    >>> from swalekit.grid import Grid
    >>> terrain = Terrain.from_heights(np.zeros((4, 4)), Grid.from_corner((4, 4), cell_m=1.0, west_m=0.0, north_m=4.0))
    >>> outlet_cell(terrain, (0.5, 2.0))
    (1.5, 0.0)
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


def wicking_factor() -> float:
    """Water of a wicking bed over that of an open one; common practice.

    Returns
    -------
    float
        Share [-].

    Examples
    --------
    >>> wicking_factor()
    0.5
    """
    return named_row("greywater_practice", practice="wicking bed").value


def garden_m2(
    flow_m3_d: float, reference_et_mm: float, crop_coefficient: float, *, rain_mm: float = 0.0, factor: float = 1.0
) -> float:
    """Garden whose want a flow meets.

    Parameters
    ----------
    flow_m3_d : float
        Water a day behind the bed [m³/d].
    reference_et_mm : float
        Reference evapotranspiration of the month looked at [mm/d].
    crop_coefficient : float
        Of what grows there [-].
    rain_mm : float
        Rain that the soil takes in, a day [mm/d].
    factor : float
        `wicking_factor` for wicking beds, 1 for open soil [-].

    Returns
    -------
    float
        Area [m²]; infinite where rain alone is enough.

    Raises
    ------
    InputError
        If a value is out of its range.

    Examples
    --------
    >>> round(garden_m2(0.6, 7.0, 0.9), 1), round(garden_m2(0.6, 7.0, 0.9, factor=wicking_factor()), 1)
    (95.2, 190.5)
    """
    check_positive(
        flow_m3_d=flow_m3_d, reference_et_mm=reference_et_mm, crop_coefficient=crop_coefficient, factor=factor
    )
    check_not_negative(rain_mm=rain_mm)
    wanted_mm = factor * reference_et_mm * crop_coefficient - rain_mm
    return 1000.0 * flow_m3_d / wanted_mm if wanted_mm > 0.0 else float("inf")


def bed_loss_m3_d(area_m2: float, reference_et_mm: float, reed_coefficient: float) -> float:
    """Water that the reeds themselves use.

    Parameters
    ----------
    area_m2 : float
        Area of the bed [m²].
    reference_et_mm : float
        Reference evapotranspiration of a day [mm].
    reed_coefficient : float
        Crop coefficient of the reeds [-].

    Returns
    -------
    float
        Water [m³/d].

    Raises
    ------
    InputError
        If area or coefficient isn't positive, or the evapotranspiration is negative.

    Notes
    -----
    FAO-56 Table 12 gives 1.20 for a reed swamp in mid-season; a small bed amid dry ground uses more.

    Examples
    --------
    >>> round(bed_loss_m3_d(11.0, 7.0, 1.2), 3)
    0.092
    """
    check_positive(area_m2=area_m2, reed_coefficient=reed_coefficient)
    check_not_negative(reference_et_mm=reference_et_mm)
    return area_m2 * reference_et_mm * reed_coefficient / 1000.0
