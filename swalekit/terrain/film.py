"""A smooth skin over cells whose height isn't known."""

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array, diags_array
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import spsolve


def harmonic_heights(heights: NDArray[np.float32], unknown: NDArray[np.integer]) -> NDArray[np.float32]:
    """Heights of a few cells, drawn like a soap film across the ground around them.

    Parameters
    ----------
    heights : ndarray of float32, shape (rows, columns)
        Ground heights, NaN where void [m]; what the unknown cells hold is not looked at.
    unknown : ndarray of int, shape (n,)
        Flat indices of the cells to be given a height, ascending.

    Returns
    -------
    ndarray of float32, shape (n,)
        Heights of the unknown cells [m]; NaN for those that hang together with no known ground along any cell side.

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
    neighbours, known_sum, touches = np.zeros(n), np.zeros(n), np.zeros(n, bool)
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
        touches[here[known]] = True
        neighbours[here[linked | known]] += 1
    first, second = (np.concatenate(ends) for ends in zip(*links, strict=True))
    links_of = coo_array((np.ones(len(first)), (first, second)), shape=(n, n)).tocsr()
    held = _hangs_on_ground(links_of, touches)
    drawn = np.full(n, np.nan, np.float32)
    if held.any():
        laplacian = diags_array(neighbours[held]) - links_of[held][:, held]
        drawn[held] = spsolve(laplacian.tocsc(), known_sum[held], permc_spec="MMD_AT_PLUS_A")
    return drawn


def _hangs_on_ground(links: csr_array, touches: NDArray[np.bool_]) -> NDArray[np.bool_]:
    """Which unknown cells hang together with one that touches known ground."""
    groups, group = connected_components(links, directed=False)
    held = np.zeros(groups, bool)
    held[group[touches]] = True
    hangs: NDArray[np.bool_] = held[group]
    return hangs
