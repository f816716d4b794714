"""Mixed cells: a grid, some cells of which are cut into finer ones."""

from dataclasses import dataclass
from typing import Any, Self, TypeVar

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property, read_only
from swalekit.grid import Grid
from swalekit.kernels.pour_mesh import Mesh

_Kind = TypeVar("_Kind", bound=np.generic)


@one_line("grid", "n_blocks", "k")
@dataclass(frozen=True, eq=False)
class MixedCells(Frozen):
    """Heights on mixed cells, such as a tile with fine cells where earth is moved.

    A node is a cell that holds a height: the cells of the grid that are whole, by flat index, then the fine cells, by
    block, and in a block row by row from the north.

    Parameters
    ----------
    grid : Grid
        The coarse cells.
    k : int
        Fine cells along a side of a coarse one.
    block : ndarray of int32, shape (rows, columns)
        Number of the block that each coarse cell is cut into, from 0; -1 where it is whole.
    heights : ndarray of float32, shape (n_cells + n_blocks * k * k,)
        Heights at the centres of the nodes; NaN at voids [m]. Entries of coarse cells that are cut aren't read.

    Raises
    ------
    InputError
        If k is below 1, or blocks and heights don't fit the grid.

    Examples
    --------
    A plane that falls to the east, its middle cell cut in four:

    >>> grid = Grid.from_corner((1, 3), cell_m=2.0, west_m=0.0, north_m=2.0)
    >>> heights = np.array([3.0, np.nan, 1.0, 2.25, 1.75, 2.25, 1.75], np.float32)
    >>> cells = MixedCells(grid, 2, np.array([[-1, 0, -1]], np.int32), heights)
    >>> cells.centres([0, 4])
    (array([1. , 3.5]), array([1. , 1.5]))
    """

    grid: Grid
    k: int
    block: NDArray[np.int32]
    heights: NDArray[np.float32]

    def __post_init__(self) -> None:
        check_same_shape(block=self.block, grid=self.grid)
        if self.k < 1:
            message = f"k is {self.k}; a coarse cell is cut into 1 fine cell along its side or more"
            raise InputError(message)
        numbers = self.block[self.block >= 0]
        wanted = self.grid.n_cells + numbers.size * self.k**2
        if not (np.sort(numbers) == np.arange(numbers.size)).all() or self.heights.shape != (wanted,):
            message = (
                f"{self.heights.size} heights don't fit {numbers.size} cells of {self.grid.n_cells} cut into "
                f"{self.k} × {self.k}, numbered from 0; there must be {wanted}"
            )
            raise InputError(message)
        super().__post_init__()

    @classmethod
    def plain(cls, grid: Grid, heights: NDArray[np.floating]) -> Self:
        """Cells none of which is cut.

        Parameters
        ----------
        grid : Grid
            The cells.
        heights : ndarray, shape (rows, columns)
            Heights; NaN at voids [m].

        Returns
        -------
        MixedCells

        Examples
        --------
        >>> MixedCells.plain(Grid.from_corner((1, 2), cell_m=1.0), np.array([[2.0, 1.0]])).n_blocks
        0
        """
        return cls(grid, 1, grid.filled(-1, np.int32), np.asarray(heights, np.float32).ravel())

    @property
    def n_blocks(self) -> int:
        """Number of coarse cells that are cut."""
        return int(self.home.size)

    @property
    def fine_m(self) -> float:
        """Side of a fine cell [m]."""
        return self.grid.cell_m / self.k

    @locked_property
    def home(self) -> NDArray[np.int32]:
        """Flat index of the coarse cell of each block, shape (n_blocks,)."""
        cut = np.flatnonzero(self.block.ravel() >= 0)
        home = np.empty(cut.size, np.int32)
        home[self.block.ravel()[cut]] = cut
        return home

    @property
    def mesh(self) -> Mesh:
        """As kernels take them."""
        return Mesh(read_only(self.heights), read_only(self.block), read_only(self.home), self.k)

    @property
    def areas(self) -> tuple[int, float, float]:
        """Number of coarse cells, area of each, and of a fine one [m²], as kernels take them."""
        return self.grid.n_cells, self.grid.cell_area_m2, self.fine_m**2

    def node_area_m2(self, nodes: slice = slice(None)) -> NDArray[np.float64]:
        """Area of nodes; 0 at voids and at coarse cells that are cut.

        Parameters
        ----------
        nodes : slice
            Which of them; all if not given.

        Returns
        -------
        ndarray of float64
            Areas [m²].

        Examples
        --------
        >>> cells = MixedCells(Grid.from_corner((1, 2), cell_m=1.0), 2, np.array([[-1, 0]]), np.zeros(6, np.float32))
        >>> cells.node_area_m2()
        array([1.  , 0.  , 0.25, 0.25, 0.25, 0.25])
        """
        _, coarse_m2, fine_m2 = self.areas
        area = np.where(np.isnan(self.heights[nodes]), 0.0, fine_m2)
        whole = self.block.ravel()[nodes] < 0
        area[: whole.size] = np.where(whole & (area[: whole.size] > 0.0), coarse_m2, 0.0)
        return area

    def spread(self, values: NDArray[_Kind]) -> NDArray[_Kind]:
        """Give every fine cell the value of the coarse one that it is cut from.

        Parameters
        ----------
        values : ndarray, shape (rows, columns)
            A value for each coarse cell.

        Returns
        -------
        ndarray, shape (n_cells + n_blocks * k * k,)
            A value for each node.

        Raises
        ------
        InputError
            If the values have another shape than the grid.

        Examples
        --------
        >>> cells = MixedCells(Grid.from_corner((1, 2), cell_m=1.0), 2, np.array([[-1, 0]]), np.zeros(6, np.float32))
        >>> cells.spread(np.array([[7, 8]]))
        array([7, 8, 8, 8, 8, 8])
        """
        check_same_shape(values=values, grid=self.grid)
        flat = values.ravel()
        return np.concatenate([flat, np.repeat(flat[self.home], self.k**2)])

    def nodes_at(self, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.int64]:
        """Nodes that places lie in.

        Parameters
        ----------
        x_m, y_m : array_like, shape (n,)
            Easting and northing; off the grid the nearest node is taken [m].

        Returns
        -------
        ndarray of int64, shape (n,)
            Their indices.

        Examples
        --------
        >>> grid = Grid.from_corner((1, 2), cell_m=2.0, west_m=0.0, north_m=2.0)
        >>> MixedCells(grid, 2, np.array([[-1, 0]]), np.zeros(6, np.float32)).nodes_at([0.5, 3.5], [1.5, 0.5])
        array([0, 5])
        """
        fine = np.stack(self.grid.rows_columns(x_m, y_m)) + 0.5
        fine = np.floor(fine * self.k).astype(np.int64)
        fine = np.clip(fine, 0, np.array(self.grid.shape)[:, np.newaxis] * self.k - 1)
        (row, column), (down, right) = np.divmod(fine, self.k)
        block = self.block[row, column].astype(np.int64)
        place = self.grid.n_cells + (block * self.k + down) * self.k + right
        return np.asarray(np.where(block < 0, row * self.grid.shape[1] + column, place))

    def centres(self, nodes: ArrayLike) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
        """Easting and northing of the centres of nodes.

        Parameters
        ----------
        nodes : array_like of int
            Their indices.

        Returns
        -------
        x_m, y_m : ndarray of float64
            Easting and northing [m].

        Examples
        --------
        >>> cells = MixedCells.plain(Grid.from_corner((1, 2), cell_m=2.0, west_m=0.0, north_m=2.0), np.ones((1, 2)))
        >>> cells.centres([1])
        (array([3.]), array([1.]))
        """
        node = np.asarray(nodes, np.int64)
        fine = node >= self.grid.n_cells
        block, place = np.divmod(np.where(fine, node - self.grid.n_cells, 0), self.k**2)
        home: NDArray[Any] = np.where(fine, np.append(self.home, 0)[block], node)
        row, column = np.divmod(home, self.grid.shape[1])
        south, east = (np.array(np.divmod(place, self.k)) + 0.5) / self.k - 0.5
        return self.grid.centres(row + np.where(fine, south, 0.0), column + np.where(fine, east, 0.0))
