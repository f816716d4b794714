"""Where the points of a survey lie, how densely, and the cells that suit them."""

import math
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from swalekit.formats.terrain.target_grid import WORKING_CELL_M

_MOST_SQUARES = 2**20
"""Squares that are held; where there would be more they are doubled."""

_POINTS_A_CELL = 4.0
"""By chance a cell with four points on average has none in 1 of 55: e⁻⁴ of independent places."""


@dataclass(frozen=True, eq=False)
class Footprint:
    """Squares that hold a point, and the bounds of all points.

    Parameters
    ----------
    square : float
        Side of a square, in units of the coordinates.
    squares : ndarray of int64, shape (2, n)
        Column and row of every square that holds a point, counted from the origin of the coordinates.
    bounds : tuple of float
        Least x and y, greatest x and y.
    n_points : int
        Number of points.

    Examples
    --------
    >>> footprint = Footprint(1.0).with_points(np.array([0.5, 0.7, 7.5]), np.array([0.0, 0.0, 3.0]))
    >>> footprint.n_points, footprint.area, footprint.bounds
    (3, 2.0, (0.5, 0.0, 7.5, 3.0))
    """

    square: float
    squares: NDArray[np.int64] = field(default_factory=lambda: np.empty((2, 0), np.int64))
    bounds: tuple[float, float, float, float] = (math.inf, math.inf, -math.inf, -math.inf)
    n_points: int = 0

    def with_points(self, x: NDArray[np.float64], y: NDArray[np.float64]) -> "Footprint":
        """Footprint with more points; in which order they come makes no difference.

        Parameters
        ----------
        x, y : ndarray of float64
            Their coordinates.

        Returns
        -------
        Footprint
            Of all.

        Examples
        --------
        >>> Footprint(1.0).with_points(np.array([0.5, 1.5]), np.array([0.5, 0.5])).squares
        array([[0, 1],
               [0, 0]])
        """
        if not x.size:
            return self
        own = _distinct(np.floor(np.stack([x, y]) / self.square).astype(np.int64))
        west, south, east, north = self.bounds
        grown = Footprint(
            self.square,
            _distinct(np.hstack([self.squares, own])),
            (
                min(west, float(x.min())),
                min(south, float(y.min())),
                max(east, float(x.max())),
                max(north, float(y.max())),
            ),
            self.n_points + x.size,
        )
        while grown.squares.shape[1] > _MOST_SQUARES:
            grown = grown.doubled()
        return grown

    def doubled(self) -> "Footprint":
        """Footprint by squares twice as wide.

        Returns
        -------
        Footprint
            Of the points that it holds.

        Examples
        --------
        >>> Footprint(1.0).with_points(np.array([0.5, 1.5]), np.array([0.5, 0.5])).doubled().area
        4.0
        """
        return Footprint(2.0 * self.square, _distinct(self.squares >> 1), self.bounds, self.n_points)

    @property
    def area(self) -> float:
        """Area of the squares, in square units of the coordinates."""
        return float(self.squares.shape[1] * self.square**2)

    @property
    def breadth(self) -> float:
        """Breadth of a strip that spreads as the squares do, in units of the coordinates.

        A uniform strip has √12 times the standard deviation across it.
        """
        if self.squares.shape[1] < 2:
            return 0.0
        across = np.linalg.eigvalsh(np.cov(self.squares, bias=True))[0]
        return self.square * math.sqrt(12.0 * max(float(across), 0.0))


def _distinct(squares: NDArray[np.int64]) -> NDArray[np.int64]:
    """Every square once; columns and rows are less than 2³¹ from the origin."""
    column, row = squares
    key = np.sort((row << 32) + column + 2**31)
    key = key[np.diff(key, prepend=-(2**63)) != 0]  # np.unique takes ten times as long
    return np.stack([(key & (2**32 - 1)) - 2**31, key >> 32])


def filled_squares(footprint: Footprint) -> Footprint:
    """Footprint by squares wide enough that those within the survey hold a point each.

    Parameters
    ----------
    footprint : Footprint
        By small squares.

    Returns
    -------
    Footprint
        By the first, doubled again and again, that hold four points or more on average.

    Examples
    --------
    >>> places = np.arange(64) + 0.5
    >>> filled_squares(Footprint(0.25).with_points(np.repeat(places, 64), np.tile(places, 64))).square
    2.0
    """
    while footprint.n_points < _POINTS_A_CELL * footprint.squares.shape[1]:
        footprint = footprint.doubled()
        if footprint.squares.shape[1] == 1:
            break
    return footprint


def plain_cell_m(points_a_m2: float) -> float:
    """Least plain width of cells that hold four points or more on average [m].

    Parameters
    ----------
    points_a_m2 : float
        Density of the points [1/m²].

    Returns
    -------
    float
        0.25, 0.5, 1, 2, 5, 10, 20, 50 and so on.

    Examples
    --------
    >>> [plain_cell_m(density) for density in (800.0, 8.0, 1.0, 0.2)]
    [0.25, 1.0, 2.0, 5.0]
    """
    wanted = math.sqrt(_POINTS_A_CELL / points_a_m2) * (1.0 - 1e-6)
    if wanted <= WORKING_CELL_M:
        return WORKING_CELL_M
    if wanted <= 0.5:
        return 0.5
    ten = 10.0 ** math.floor(math.log10(wanted))
    return next(step * ten for step in (1.0, 2.0, 5.0, 10.0) if wanted <= step * ten)
