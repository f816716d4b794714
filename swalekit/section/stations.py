"""What sizing needs to know of a level line, and how far uphill its pond may reach."""

from dataclasses import dataclass
from functools import cached_property
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_finite, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property
from swalekit.grid import Grid
from swalekit.kernels.section_reach import count_steps
from swalekit.section.crossing import CrossingPlace

_SIGNED = ("ground_m", "curvature_per_m")


@one_line("level_m", "length_m", "slope", "closed")
@dataclass(frozen=True, eq=False)
class Stations(Frozen):
    """Stations of a level line.

    Parameters
    ----------
    level_m : float
        Level of the line [m].
    ground_m : ndarray of float64, shape (n,)
        Ground height at the stations [m].
    slope : ndarray of float64, shape (n,)
        Slope down across the line, zero or more [m/m].
    width_m : ndarray of float64, shape (n,)
        Length of line that each station stands for [m].
    reach_m : ndarray of float64, shape (n,)
        How far uphill of the line its pond may stand [m].
    curvature_per_m : ndarray of float64, shape (n,), or float
        Curvature of the line, positive where its downhill side is the outer one, as round a knoll; zero for a straight
        line [1/m].
    closed : bool
        Whether the last station is joined to the first; a row of stations has two ends unless told otherwise.
    crossings : tuple of CrossingPlace
        Where it is crossed without ending.

    Raises
    ------
    InputError
        If arrays differ in shape or are empty, or a value is negative or not finite.
    """

    level_m: float
    ground_m: NDArray[np.float64]
    slope: NDArray[np.float64]
    width_m: NDArray[np.float64]
    reach_m: NDArray[np.float64]
    curvature_per_m: NDArray[np.float64] | float = 0.0
    closed: bool = False
    crossings: tuple[CrossingPlace, ...] = ()

    def __post_init__(self) -> None:
        check_finite(level_m=self.level_m)
        arrays = {name: getattr(self, name) for name in ("ground_m", "slope", "width_m", "reach_m")}
        check_same_shape(**arrays)
        if self.ground_m.size == 0:
            message = f"the line at {self.level_m:.2f} m has no station; it needs at least one"
            raise InputError(message)
        arrays["curvature_per_m"] = np.broadcast_to(self.curvature_per_m, self.ground_m.shape)
        for name, values in arrays.items():
            wrong = ~np.isfinite(values) | ((values < 0) & (name not in _SIGNED))
            if wrong.any():
                station = int(np.argmax(wrong))
                rule = "a finite number" if name in _SIGNED else "zero or greater"
                message = (
                    f"{name} at station {station} of the line at {self.level_m:.2f} m is {values[station]:g}; "
                    f"it must be {rule}"
                )
                raise InputError(message)
        super().__post_init__()

    @locked_property
    def _key(self) -> tuple[object, ...]:
        """All figures, so that stations of the same figures are the same; those with crossings are themselves alone."""
        if self.crossings:
            return (id(self),)
        arrays = (self.ground_m, self.slope, self.width_m, self.reach_m, np.asarray(self.curvature_per_m, np.float64))
        return self.level_m, self.closed, *(array.tobytes() for array in arrays)

    def __eq__(self, other: object) -> bool:
        """Whether both are the same line on the same ground."""
        return self is other or (isinstance(other, Stations) and self._key == other._key)

    def __hash__(self) -> int:
        return hash(self._key)

    @classmethod
    def of_line(
        cls, line: LevelLine, reach_m: NDArray[np.float64], *, crossings: tuple[CrossingPlace, ...] = ()
    ) -> Self:
        """Stations of a level line.

        Parameters
        ----------
        line : LevelLine
            The line, n stations.
        reach_m : ndarray of float64, shape (n,)
            How far uphill of each the pond may stand [m].
        crossings : tuple of CrossingPlace
            Where it is crossed without ending.

        Returns
        -------
        Stations
            With the curvature of the line at each.

        Examples
        --------
        >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
        >>> Stations.of_line(line, np.full(2, 30.0)).width_m
        array([10., 10.])
        """
        curvature = _curvature_per_m(line)
        return cls(
            line.level_m, line.ground_m, line.cross_slope, line.width_m, reach_m, curvature, line.closed, crossings
        )

    @property
    def length_m(self) -> float:
        """Length of the line [m]."""
        return float(self.width_m.sum())

    @property
    def rise_m(self) -> NDArray[np.float64]:
        """Ground at the stations above the level of the line [m]."""
        return self.ground_m - self.level_m

    @cached_property
    def half_way_reach_m(self) -> float:
        """Reach of the pond that half of the stations have, or more [m]."""
        return float(np.median(self.reach_m))


def _curvature_per_m(line: LevelLine) -> NDArray[np.float64]:
    """Turn to the left at each station over the length it stands for; none at the ends of an open line."""
    around = np.vstack([line.xy[-1:], line.xy, line.xy[:1]])
    legs = np.diff(around, axis=0)
    (x_in, y_in), (x_out, y_out) = legs[:-1].T, legs[1:].T
    turn = np.arctan2(x_in * y_out - y_in * x_out, x_in * x_out + y_in * y_out)
    if not line.closed:
        turn[[0, -1]] = 0.0
    return np.asarray(turn / line.width_m)


def pond_reach_m(
    line: LevelLine, labels: NDArray[np.int32], label: int, grid: Grid, *, greatest_m: float = 100.0
) -> NDArray[np.float64]:
    """Distance from each station straight uphill to the end of the line's own catchment.

    There the pond ends at the latest: at the berm of the line above, or where the ground drains elsewhere. Without this
    limit a pond on nearly flat ground would be unbounded.

    Parameters
    ----------
    line : LevelLine
        The line, n stations.
    labels : ndarray of int32, shape (rows, columns)
        Store that each cell's water meets first.
    label : int
        The line's own label.
    grid : Grid
        The cells.
    greatest_m : float
        Farthest distance looked at [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Reach [m], in steps of a cell.

    Raises
    ------
    InputError
        If the farthest distance isn't greater than zero.

    Examples
    --------
    Two more cells uphill of the line drain to it:

    >>> grid = Grid.from_corner((5, 3), cell_m=1.0, west_m=0.0, north_m=5.0)
    >>> labels = np.repeat(np.array([[2], [1], [1], [1], [0]], np.int32), 3, axis=1)
    >>> line = LevelLine(10.0, False, np.array([[0.5, 1.5], [2.5, 1.5]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> pond_reach_m(line, labels, 1, grid)
    array([2., 2.])
    """
    check_positive(greatest_m=greatest_m)
    row, column = grid.rows_columns(*line.xy.T)
    next_row, next_column = grid.rows_columns(*(line.xy - line.downhill * grid.cell_m).T)
    most = int(np.ceil(greatest_m / grid.cell_m))
    steps = count_steps(labels, label, row, column, next_row - row, next_column - column, most)
    return np.asarray(np.minimum(np.maximum(steps, 0.5) * grid.cell_m, greatest_m))
