"""A smooth skin over cells whose height isn't known."""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.sparse import coo_array, csr_array, diags_array
from scipy.sparse.csgraph import connected_components
from scipy.sparse.linalg import cg, spsolve

from swalekit.errors import TerrainError
from swalekit.terrain.block_mean import block_mean

_MOST_DIRECT = 100_000
"""Cells of a group that are solved for directly; time and memory of that rise faster than their number."""
_RESIDUAL_M = 1e-6
"""How far a cell of a larger group may be from the mean of its neighbours [m]."""


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
    void or beyond the tile is left out of the mean. Exact on a plane wherever all four neighbours take part. Groups of
    more than 100,000 cells are settled by conjugate gradients from the film on cells twice as wide, to about a
    millimetre.

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
    group, kept = _groups(links_of, touches)
    laplacian = (diags_array(neighbours) - links_of).tocsr()
    drawn = np.full(n, np.nan, np.float32)
    size = np.bincount(group, minlength=kept.size)
    small = (kept & (size <= _MOST_DIRECT))[group]
    if small.any():
        own = laplacian[small][:, small].tocsc()
        drawn[small] = spsolve(own, known_sum[small], permc_spec="MMD_AT_PLUS_A")
    for number in np.flatnonzero(kept & (size > _MOST_DIRECT)):
        large = np.flatnonzero(group == number)
        start = _coarse_film(heights, unknown[large])
        drawn[large] = _settled(laplacian[large][:, large], known_sum[large], start)
    return drawn


def _groups(links: csr_array, touches: NDArray[np.bool_]) -> tuple[NDArray[np.intp], NDArray[np.bool_]]:
    """Group of every unknown cell, and of which groups some cell touches known ground."""
    count, group = connected_components(links, directed=False)
    kept = np.zeros(count, bool)
    kept[group[touches]] = True
    return group, kept


def _coarse_film(heights: NDArray[np.float32], unknown: NDArray[np.integer]) -> NDArray[np.float64]:
    """Heights of a large group on cells twice as wide, from which to begin [m]."""
    known = heights.copy()
    known.flat[unknown] = np.nan
    coarse = block_mean(known, 2)
    row, column = (place // 2 for place in np.divmod(unknown, heights.shape[1]))
    cells = row * coarse.shape[1] + column
    gaps = np.unique(cells[np.isnan(coarse.flat[cells])])
    if gaps.size:
        coarse.flat[gaps] = harmonic_heights(coarse, gaps)
    start = np.asarray(coarse.flat[cells], np.float64)
    return np.nan_to_num(start, nan=float(np.nanmean(known)))


def _settled(laplacian: csr_array, known_sum: NDArray[np.float64], start: NDArray[np.float64]) -> NDArray[np.float64]:
    """Solve for a large group by conjugate gradients; to a tenth of a millimetre, whatever sums the machine makes."""
    settled, failed = cg(laplacian, known_sum, x0=start, rtol=0.0, atol=_RESIDUAL_M * math.sqrt(len(start)))
    if failed:
        message = f"the ground beneath {len(start):,} cells couldn't be drawn across; coarsen the terrain with cell_m"
        raise TerrainError(message)
    return np.asarray(np.round(settled, 4))
