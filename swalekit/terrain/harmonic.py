"""A smooth skin over cells whose height isn't known."""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, diags_array
from scipy.sparse.linalg import spsolve


def harmonic_heights(heights: NDArray[np.float32], unknown: NDArray[np.integer]) -> NDArray[np.float32]:
    """Heights of a few cells, drawn like a soap film across the ground around them.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights, NaN where void [m]; what the unknown cells hold is not looked at.
    unknown : ndarray of int, shape (n,)
        Flat indices of the cells to be given a height, ascending. Every group of them that hangs together
        touches known ground along at least one cell side.

    Returns
    -------
    ndarray of float32, shape (n,)
        Heights of the unknown cells [m].

    Notes
    -----
    Each unknown height is the mean of its four neighbours (Laplace's equation on the grid); a neighbour that is
    void or beyond the tile is left out of the mean. Exact on a plane wherever all four neighbours take part.

    Examples
    --------
    >>> harmonic_heights(np.array([[0, 1, 2], [1, 9, 3], [2, 3, 4]], np.float32), np.array([4]))
    array([2.], dtype=float32)
    """
    (rows, columns), n, flat = heights.shape, len(unknown), heights.ravel()
    row, column = np.divmod(unknown, columns)
    neighbours, known_sum = np.zeros(n), np.zeros(n)
    links = []
    for down, right in ((-1, 0), (1, 0), (0, -1), (0, 1)):
        inside = (row + down >= 0) & (row + down < rows) & (column + right >= 0) & (column + right < columns)
        here = np.flatnonzero(inside)
        there = unknown[here] + down * columns + right
        place = np.searchsorted(unknown, there).clip(max=n - 1)
        linked = unknown[place] == there
        links.append((here[linked], place[linked]))
        known = ~linked & ~np.isnan(flat[there])
        known_sum[here[known]] += flat[there[known]]
        neighbours[here[linked | known]] += 1
    first, second = (np.concatenate(ends) for ends in zip(*links, strict=True))
    laplacian = diags_array(neighbours) - coo_array((np.ones(len(first)), (first, second)), shape=(n, n))
    solved: NDArray[np.float32] = np.atleast_1d(spsolve(laplacian.tocsc(), known_sum)).astype(np.float32)
    return solved
