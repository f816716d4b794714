"""Errors of the terrain's heights, as they could be."""

from dataclasses import dataclass, replace
from functools import lru_cache
from math import ceil

import numpy as np
import scipy.fft
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.frozen import Frozen, read_only
from swalekit.grid import Grid
from swalekit.kernels.height_error import add_errors
from swalekit.terrain.sample import bilinear
from swalekit.terrain.terrain import Terrain

_NODES_A_LENGTH = 16.0
"""Nodes over a correlation length, where cells are finer; our choice."""
_BEYOND_LENGTHS = 6.0
"""Correlation lengths from an edge of the tile round to the other one: exp(−6) is left of the correlation."""
_ALL_SEEN = np.zeros((1, 1), np.float32)


@one_line("grid", "cells")
@dataclass(frozen=True, eq=False)
class HeightErrors(Frozen):
    """One field of errors over a tile, of unit spread: alike where points lie close.

    Parameters
    ----------
    grid : Grid
        The tile.
    nodes : ndarray of float32, shape (m, n)
        Errors at every so many cells, the first at the centre of the first cell [-].
    cells : int
        Cells from node to node.
    """

    grid: Grid
    nodes: NDArray[np.float32]
    cells: int

    def at(self, x_m: ArrayLike, y_m: ArrayLike) -> NDArray[np.float64]:
        """Errors at points.

        Parameters
        ----------
        x_m, y_m : array_like, shape (n,)
            Easting and northing [m]; beyond the tile the nearest point of it counts.

        Returns
        -------
        ndarray of float64, shape (n,)
            Errors over their standard error [-].

        Examples
        --------
        >>> errors = draw_height_errors(
        ...     Grid.from_corner((40, 40), cell_m=1.0), correlation_m=20.0, random=np.random.default_rng(1)
        ... )
        >>> here, near = errors.at([10.0, 10.1], [-5.0, -5.0])
        >>> bool(abs(here - near) < 0.1)
        True
        """
        rows, columns = self.grid.shape
        row, column = self.grid.rows_columns(np.atleast_1d(x_m), np.atleast_1d(y_m))
        places = (np.clip(row, 0, rows - 1) / self.cells, np.clip(column, 0, columns - 1) / self.cells)
        return bilinear(self.nodes, *places)

    def on(self, terrain: Terrain, *, sigma_m: float) -> Terrain:
        """The ground as it is if the tile's heights have these errors.

        Parameters
        ----------
        terrain : Terrain
            The tile; its ``drawn_sigma`` counts besides.
        sigma_m : float
            Standard error of a height on ground that was seen [m].

        Returns
        -------
        Terrain
            With other heights; voids stay void.

        Raises
        ------
        InputError
            If the standard error is negative.

        Examples
        --------
        >>> plane = Terrain.from_heights(np.zeros((40, 40)), Grid.from_corner((40, 40), cell_m=1.0))
        >>> errors = draw_height_errors(plane.grid, correlation_m=5.0, random=np.random.default_rng(1))
        >>> drawn = errors.on(plane, sigma_m=0.1)
        >>> bool(0.05 < drawn.heights.std() < 0.15)
        True
        """
        check_not_negative(sigma_m=sigma_m)
        heights = terrain.grid.filled(0.0, np.float32)
        drawn = _ALL_SEEN if terrain.drawn_sigma is None else terrain.drawn_sigma
        add_errors(
            read_only(terrain.heights), read_only(self.nodes), self.cells, float(sigma_m), read_only(drawn), heights
        )
        return replace(terrain, heights=heights)


def draw_height_errors(grid: Grid, *, correlation_m: float, random: np.random.Generator) -> HeightErrors:
    """Draw a field of errors over a tile.

    Parameters
    ----------
    grid : Grid
        The tile.
    correlation_m : float
        Distance over which the correlation falls to 1/e [m].
    random : numpy.random.Generator
        Source of random numbers.

    Returns
    -------
    HeightErrors
        A field; errors of a height are its values times the standard error.

    Raises
    ------
    InputError
        If the correlation length isn't positive.

    Notes
    -----
    The covariance is exp(−d / L), common practice for errors of terrain models. White noise on nodes of a torus is
    coloured by the Fourier transform of it (circulant embedding [1]_), the torus being six lengths larger than the
    tile. Nodes lie on cells, a sixteenth of L apart where cells are finer, and errors are even between them: the mean
    variance over the cells is one, and how errors rise and fall over less than that is smoothed.

    References
    ----------
    .. [1] Dietrich & Newsam (1997). SIAM J. Sci. Comput. 18(4), 1088–1107.

    Examples
    --------
    >>> errors = draw_height_errors(
    ...     Grid.from_corner((100, 80), cell_m=1.0), correlation_m=20.0, random=np.random.default_rng(1)
    ... )
    >>> errors.cells
    1
    """
    check_positive(correlation_m=correlation_m)
    cells = max(1, int(correlation_m / _NODES_A_LENGTH / grid.cell_m))
    step_m = cells * grid.cell_m
    rows, columns = (ceil((size - 1) / cells) + 2 for size in grid.shape)
    beyond = ceil(_BEYOND_LENGTHS * correlation_m / step_m)
    size = (scipy.fft.next_fast_len(rows + beyond, real=True), scipy.fft.next_fast_len(columns + beyond, real=True))
    spread = _spectrum(size, step_m / correlation_m)
    noise = scipy.fft.rfft2(random.standard_normal(size, dtype=np.float32))
    field = scipy.fft.irfft2(noise * spread, s=size)[:rows, :columns]
    return HeightErrors(grid, np.ascontiguousarray(field / _mean_spread(cells, step_m / correlation_m)), cells)


@lru_cache(maxsize=2)
def _spectrum(size: tuple[int, int], step: float) -> NDArray[np.float32]:
    """Square root of the spectrum of exp(−d) on a torus of nodes, ``step`` correlation lengths apart."""
    down, across = (step * np.minimum(np.arange(count), count - np.arange(count)) for count in size)
    spectrum = scipy.fft.rfft2(np.exp(-np.hypot(down[:, np.newaxis], across))).real
    return np.asarray(np.sqrt(np.maximum(spectrum, 0.0)), np.float32)


def _mean_spread(cells: int, step: float) -> float:
    """Root mean square of cells that lie even between nodes of unit spread."""
    share = np.arange(cells) / cells
    weights = np.array([1.0 - share, share])
    products = weights @ weights.T / cells
    down, across = np.array([[0.0, 1.0], [1.0, 0.0]]), np.array([[0.0, 1.0], [1.0, 0.0]])
    correlation = np.exp(-step * np.hypot(down[:, :, np.newaxis, np.newaxis], across))
    return float(np.sqrt(np.einsum("ab,cd,abcd->", products, products, correlation)))
