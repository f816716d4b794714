"""The ground as built, on the tile's cells and finer ones round the works: the second, independent route to volumes."""

from collections.abc import Sequence
from dataclasses import dataclass, field, replace
from functools import cached_property
from math import ceil

import numpy as np
from affine import Affine
from numpy.typing import NDArray
from scipy.optimize import brentq

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.earthwork.works import LaidWorks, cells_near, corner_of, lay_out_works
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.kernels.earthwork_band import natural_nodes, pond_cells
from swalekit.kernels.earthwork_surface import CROSSING, lay_works
from swalekit.section.crossing import PipeBed
from swalekit.section.shape import ShapedSwale
from swalekit.terrain.terrain import Terrain

_FINE_CELL_M = 0.25
_CELLS_ACROSS_CREST = 5
_SOIL_SHORT = 0.01  # of what the ditch gives: less is the rounding of nodes
_CREST_TOLERANCE_M = 1e-3


@one_line("cut_m3", "fill_m3")
@dataclass(frozen=True, eq=False)
class BuiltGround(Frozen):
    """Heights as built, and the volumes between them and the ground.

    Round the works every cell of the tile is cut into k × k fine ones, a block. Nodes are the tile's cells by flat
    index, then the fine cells of the blocks: node rows · columns + (b · k + fine row) · k + fine column, with fine rows
    from the north and fine columns from the west.

    Parameters
    ----------
    grid : Grid
        The tile's cells.
    k : int
        Fine cells along a side of a cell.
    block : ndarray of int32, shape (rows, columns)
        Number b of each cell's block, from 0 by row and column; -1 for a cell that isn't cut up.
    heights : ndarray of float32, shape (rows · columns + blocks · k²,)
        Finished height at the centre of each fine cell; before them the natural heights of the tile's cells, NaN where
        they are void [m].
    natural : ndarray of float32, of the same shape
        Natural height, between the centres of the tile's cells bilinear [m].
    swale : ndarray of int32, of the same shape
        Number of the swale, from 1, whose ditch, bench, berm, return or sill covers the node, 0 for none.
    part : ndarray of uint8, of the same shape
        What covers it: `GROUND`, `DITCH`, `BENCH`, `BERM`, `OUTER_FACE`, `SILL` or `CROSSING` of
        `swalekit.kernels.earthwork_surface`.
    cut_m3, fill_m3 : ndarray of float64, shape (swales,)
        Cut and fill of each swale, as if it stood alone [m³].
    greatest_fill_m : ndarray of float64, shape (swales,)
        Greatest height of fill at a node of each swale [m].
    shared_m2 : ndarray of float64, shape (swales,)
        Ground that each swale's works share with those of others [m²].
    short_soil_m3 : ndarray of float64, shape (swales,)
        Compacted soil that the berm takes beyond what the ditch gives, where that is more than 1 % [m³].
    balanced_crest_m, balanced_storage_m3 : ndarray of float64, shape (swales,)
        Level of the crest for which the ditch gives enough, the sill as far below it as designed [m], and what the
        swale then stores [m³]; as designed where no soil is short.
    pipe_nodes : ndarray of int64, shape (m,)
        Nodes over the pipes of crossings.
    pipe_level_m : ndarray of float32, shape (m,)
        Level down to which a slot along them, a node wide, holds what the pipe's bore holds, no lower than its invert.
    """

    grid: Grid
    k: int
    block: NDArray[np.int32]
    heights: NDArray[np.float32]
    natural: NDArray[np.float32]
    swale: NDArray[np.int32]
    part: NDArray[np.uint8]
    cut_m3: NDArray[np.float64]
    fill_m3: NDArray[np.float64]
    greatest_fill_m: NDArray[np.float64]
    shared_m2: NDArray[np.float64]
    short_soil_m3: NDArray[np.float64]
    balanced_crest_m: NDArray[np.float64]
    balanced_storage_m3: NDArray[np.float64]
    pipe_nodes: NDArray[np.int64] = field(default_factory=lambda: np.empty(0, np.int64))
    pipe_level_m: NDArray[np.float32] = field(default_factory=lambda: np.empty(0, np.float32))

    @property
    def fine_cell_m(self) -> float:
        """Side of a fine cell [m]."""
        return self.grid.cell_m / self.k

    @property
    def open_heights(self) -> NDArray[np.float32]:
        """As ``heights``, with a slot in place of every pipe, through which water passes under its bank [m]."""
        if not self.pipe_nodes.size:
            return self.heights
        heights = self.heights.copy()
        np.minimum.at(heights, self.pipe_nodes, self.pipe_level_m)
        return heights

    @property
    def cell_heights(self) -> NDArray[np.float32]:
        """Finished height of the tile's cells, shape (rows, columns) [m].

        That of the ground, and of what was cut or filled the mean over the cell, so that the difference from the
        terrain holds the volumes.
        """
        means = self.grid.zeros(np.float32)
        means.ravel()[:] = self.heights[: self.grid.n_cells]
        moved = self.heights[self.grid.n_cells :] - self.natural[self.grid.n_cells :]
        means[self.block >= 0] += moved.reshape(-1, self.k**2).mean(axis=1, dtype=np.float64).astype(np.float32)
        return means

    @cached_property
    def fine_grid(self) -> Grid | None:
        """Fine cells over the bounding box of the blocks; None without any."""
        rows, columns = (np.flatnonzero((self.block >= 0).any(axis=axis)) for axis in (1, 0))
        if rows.size == 0:
            return None
        shape = self.k * (int(np.ptp(rows)) + 1), self.k * (int(np.ptp(columns)) + 1)
        corner = self.grid.transform * Affine.translation(int(columns[0]), int(rows[0]))
        return replace(self.grid, shape=shape, transform=corner * Affine.scale(1.0 / self.k))

    def fine_heights(self) -> NDArray[np.float32]:
        """Finished height of the cells of `fine_grid`.

        Returns
        -------
        ndarray of float32, shape (rows, columns)
            Heights, NaN outside the blocks [m].

        Raises
        ------
        InputError
            If there is no block.

        Examples
        --------
        >>> fine_m = design.surface.fine_heights()
        >>> fine_m.shape == design.surface.fine_grid.shape, float(np.nanmax(fine_m)) > 0.0
        (True, True)
        """
        if self.fine_grid is None:
            message = "no swale is built, so there are no fine cells; lay a line first"
            raise InputError(message)
        (rows, columns), k = self.fine_grid.shape, self.k
        west, north = ~self.grid.transform * (self.fine_grid.transform.c, self.fine_grid.transform.f)
        box = self.block[round(north) : round(north) + rows // k, round(west) : round(west) + columns // k]
        fine_m = self.fine_grid.filled(np.nan, np.float32)
        blocks = fine_m.reshape(rows // k, k, columns // k, k).swapaxes(1, 2)
        blocks[box >= 0] = self.heights[self.grid.n_cells :].reshape(-1, k, k)
        return fine_m


def build_ground(
    terrain: Terrain,
    lines: Sequence[LevelLine],
    shapes: Sequence[ShapedSwale],
    *,
    sills: Sequence[tuple[float, float]] | None = None,
    pipes: Sequence[Sequence[PipeBed]] = (),
    fill_factor: float = 0.9,
) -> BuiltGround:
    """Carve ditches into the terrain and set berms on it.

    Parameters
    ----------
    terrain : Terrain
        Natural ground.
    lines : sequence of LevelLine
        Lines with downhill on the right, from the top of the site downward.
    shapes : sequence of ShapedSwale
        The swale on each line, of the same stations.
    sills : sequence of (float, float), optional
        Chainage of the middle of each line's sill, and its length [m]; no sill if left out.
    pipes : sequence of sequence of PipeBed, optional
        The pipes of each line's crossings.
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    BuiltGround
        Heights as built, with cut, fill and soil a swale.

    Raises
    ------
    InputError
        If the fill factor isn't positive.

    Notes
    -----
    Fine cells are 0.25 m or a fifth of the narrowest crest, whichever is larger, or less, so that a whole number of
    them makes a cell. They cover ditch, berm, returns and sill, half as far again as on plane ground, the ground that
    water at the crest's level reaches uphill, and a cell round all of it.

    At each node the ground (bilinear between cell centres) is cut to the planes of the ditch where they lie lower, and
    raised to the planes of the berm where they lie higher, by the node's distance from the nearest leg of the line.
    Neither the areas of the sections nor their plane ground are used, so that it checks them: on smooth ground both
    routes agree within 3 %. An open line's ditch ends with its end stations, as its end areas do; beyond them the
    ground is raised to the planes of the returns, which end with the pond's reach. Along the sill everything from the
    ditch's downhill side to daylight is cut or filled to its level: bench, crest, and the ground that stands higher.

    Where works share ground, ditches stay open, then sills; of two berms the higher one stands. A node counts for the
    swale whose surface stands there.

    Examples
    --------
    >>> ground = Terrain.from_heights(np.zeros((4, 4)), Grid.from_corner((4, 4), cell_m=1.0))
    >>> built = build_ground(ground, [], [])
    >>> built.k, built.heights.shape
    (4, (16,))
    """
    check_positive(fill_factor=fill_factor)
    grid, k, count = terrain.grid, _fine_cells(terrain.grid, shapes), len(lines)
    places = [(0.0, 0.0)] * count if sills is None else sills
    taken = grid.zeros(np.bool_)
    laid = [lay_out_works(*each, grid=grid, taken=taken) for each in zip(lines, shapes, places, strict=True)]
    block = _blocks(terrain, laid, taken)
    cells = np.flatnonzero(block >= 0)
    natural, heights = (grid.allocate((grid.n_cells + cells.size * k * k,), np.float32) for _ in range(2))
    natural[: grid.n_cells] = terrain.heights.ravel()
    natural_nodes(terrain.heights, cells, k, natural[grid.n_cells :])
    heights[:] = natural
    swale, part = grid.allocate(heights.shape, np.int32), grid.allocate(heights.shape, np.uint8)
    nodes = _Nodes(terrain, k, block, *(each[grid.n_cells :] for each in (natural, heights, swale, part)))
    shared, moved = np.zeros(count), np.zeros((count, 3))
    for number, works in enumerate(laid, start=1):
        moved[number - 1] = nodes.lay(works, number, shared)
    area_m2 = (grid.cell_m / k) ** 2
    cut_m3, fill_m3 = moved[:, 0] * area_m2, moved[:, 1] * area_m2
    short = fill_m3 - fill_factor * cut_m3
    short[short <= _SOIL_SHORT * fill_factor * cut_m3] = 0.0
    balanced = [
        _balanced(nodes, each, fill_factor) if short[number] > 0.0 else each.shape for number, each in enumerate(laid)
    ]
    slots = [
        _slot(grid, k, block, part[grid.n_cells :], lines[number], shapes[number].sill_level_m, pipe)
        for number, beds in enumerate(pipes)
        for pipe in beds
    ]
    pipe_nodes, pipe_level_m = (np.concatenate(each) for each in zip(_NO_SLOT, *slots, strict=True))
    return BuiltGround(
        grid=grid,
        k=k,
        block=block,
        heights=heights,
        natural=natural,
        swale=swale,
        part=part,
        cut_m3=cut_m3,
        fill_m3=fill_m3,
        greatest_fill_m=moved[:, 2],
        shared_m2=shared * area_m2,
        short_soil_m3=short,
        balanced_crest_m=np.array([shape.crest_level_m for shape in balanced]),
        balanced_storage_m3=np.array([shape.storage_m3 for shape in balanced]),
        pipe_nodes=pipe_nodes,
        pipe_level_m=pipe_level_m,
    )


_NO_SLOT = np.empty(0, np.int64), np.empty(0, np.float32)


def _slot(
    grid: Grid,
    k: int,
    block: NDArray[np.int32],
    part: NDArray[np.uint8],
    line: LevelLine,
    sill_m: float,
    pipe: PipeBed,
) -> tuple[NDArray[np.int64], NDArray[np.float32]]:
    """Nodes over a pipe from ditch to ditch, and the level down to which they together hold its bore below the sill."""
    fine_m = grid.cell_m / k
    half_m = pipe.length_m / 2.0 + 2.0 * fine_m
    along_m = pipe.chainage_m + np.linspace(-half_m, half_m, 1 + ceil(8.0 * half_m / fine_m))
    place = np.stack(grid.rows_columns(*line.at(line.xy.T, along_m))) + 0.5
    row, column = (at.astype(np.int64).clip(0, size - 1) for at, size in zip(place, grid.shape, strict=True))
    fine_row, fine_column = ((place - [row, column]) * k).astype(np.int64).clip(0, k - 1)
    home = block[row, column].astype(np.int64)
    node = ((home * k + fine_row) * k + fine_column)[home >= 0]
    node = np.unique(node[part[node] == CROSSING])
    deep_m = pipe.bore_m3 / max(node.size * fine_m**2, fine_m**2)
    level_m = max(sill_m - deep_m, pipe.invert_m)
    return grid.n_cells + node, np.full(node.size, level_m, np.float32)


def _fine_cells(grid: Grid, shapes: Sequence[ShapedSwale]) -> int:
    """Fine cells along a side of a cell."""
    narrowest_m = min((shape.section.crest_width_m for shape in shapes), default=0.0)
    return max(1, ceil(grid.cell_m / max(_FINE_CELL_M, narrowest_m / _CELLS_ACROSS_CREST) - 1e-9))


def _blocks(terrain: Terrain, laid: Sequence[LaidWorks], taken: NDArray[np.bool_]) -> NDArray[np.int32]:
    """Number of the block of every cell round the works, -1 for others, shape (rows, columns)."""
    grid = terrain.grid
    block = grid.filled(-1, np.int32)
    for each in laid:
        reach_m = each.shape.stations.reach_m
        wet = pond_cells(terrain.heights, corner_of(grid), each.cells, each.nearest, each.works, reach_m, taken)
        block.ravel()[cells_near(wet, 1, grid=grid, taken=taken)] = 0
    block[~terrain.valid] = -1
    block[block == 0] = np.arange(np.count_nonzero(block == 0), dtype=np.int32)
    return block


@dataclass(frozen=True, eq=False)
class _Nodes:
    """Fine nodes that works are laid on; their arrays are changed."""

    terrain: Terrain
    k: int
    block: NDArray[np.int32]
    natural: NDArray[np.float32]
    heights: NDArray[np.float32]
    swale: NDArray[np.int32]
    part: NDArray[np.uint8]

    def lay(self, laid: LaidWorks, number: int, shared: NDArray[np.float64]) -> tuple[float, float, float]:
        """Lay the works of a swale, or with number 0 only measure them: depths cut, heights filled, the greatest."""
        blocks, grid = self.block.ravel()[laid.cells].astype(np.int64), self.terrain.grid
        known = blocks >= 0
        at = (laid.cells[known], blocks[known], laid.nearest[known], laid.legs_off[known])
        nodes = (self.natural, self.heights, self.swale, self.part)
        return lay_works(corner_of(grid), grid.shape[1], self.k, *at, laid.works, number, *nodes, shared)


def _balanced(nodes: _Nodes, laid: LaidWorks, fill_factor: float) -> ShapedSwale:
    """The swale with the crest for which its ditch gives soil enough on the ground."""

    def at(crest_m: float) -> LaidWorks:
        return laid.with_shape(replace(laid.shape, crest_level_m=crest_m))

    def lacking_m(crest_m: float) -> float:
        lowered, raised, _ = nodes.lay(at(crest_m), 0, np.empty(0))
        return raised - fill_factor * lowered

    lowest_m, crest_m = laid.shape.floor_level_m, laid.shape.crest_level_m
    if lacking_m(lowest_m) >= 0.0:
        return at(lowest_m).shape
    return at(float(brentq(lacking_m, lowest_m, crest_m, xtol=_CREST_TOLERANCE_M))).shape
