"""Mixed cells: where nodes lie, what touches what, and what is refused."""

import numpy as np
import pytest
from pour_twins import SlowPour, mixed_cells

from swalekit.errors import InputError
from swalekit.flow.mixed_cells import MixedCells
from swalekit.grid import Grid
from swalekit.kernels.flow_receivers import drain_flats, steepest_receivers
from swalekit.kernels.pour_receivers import drain_mesh_flats, mesh_receivers


@pytest.mark.parametrize("k", [1, 2, 3, 4])
def test_water_goes_to_the_steepest_of_all_squares_that_touch(k):
    """The receiver of each node is that of plain squares, found by their corners."""
    rng = np.random.default_rng(k)
    cells = mixed_cells(lambda x, y: rng.normal(size=x.size), rng.random((7, 8)) < 0.5, k)
    heights = cells.heights.copy()
    heights[rng.choice(heights.size, 4, replace=False)] = np.nan
    cells = MixedCells(cells.grid, k, cells.block, heights)
    receiver = np.empty(cells.heights.size, np.int32)
    mesh_receivers(cells.mesh, receiver)
    twin = SlowPour(cells)
    for node in twin.nodes:
        slow = twin.receiver[node]
        assert receiver[node] == (-1 if slow == node else node if slow == -1 else slow)


@pytest.mark.parametrize("step", [0.0, 0.25])
def test_a_plain_grid_drains_as_the_flow_network(step):
    """Where no cell is cut, receivers and pits are those of the kernels for a grid, flats included."""
    rng = np.random.default_rng(3)
    heights = rng.normal(size=(20, 24)).astype(np.float32)
    if step:
        heights = np.round(heights / step).astype(np.float32) * np.float32(step)
    heights[rng.random(heights.shape) < 0.02] = np.nan
    cells = MixedCells.plain(Grid.from_corner(heights.shape, cell_m=1.0), heights)
    plain, mixed = np.empty((2, heights.size), np.int32)
    steepest_receivers(heights, plain)
    mesh_receivers(cells.mesh, mixed)
    np.testing.assert_array_equal(mixed, plain)
    np.testing.assert_array_equal(drain_mesh_flats(cells.mesh, mixed), drain_flats(heights.ravel(), plain, 24))


def test_flats_drain_across_fine_and_coarse_cells():
    """Level ground drains to where it falls, by the fewest steps, whatever the cells are cut into."""
    cut = np.zeros((5, 9), bool)
    cut[:, 3:6] = True

    def height_at(x, y):
        column, row = x - 500_000.0, 4_000_000.0 - y
        walls = (row < 1.0) | (row > 4.0) | (column > 8.0)
        return np.where(walls, 9.0, np.where(column < 1.0, 1.0, 2.0))

    cells = mixed_cells(height_at, cut, 3)
    receiver = np.empty(cells.heights.size, np.int32)
    mesh_receivers(cells.mesh, receiver)
    assert drain_mesh_flats(cells.mesh, receiver).size == 0
    x, _ = cells.centres(np.arange(receiver.size))
    inner = 2 * 9 + 7
    assert x[receiver[inner]] < x[inner]


def test_nodes_lie_in_their_cells():
    """The fine cells of a block fill their coarse one, and their area is its."""
    cells = mixed_cells(lambda x, y: x, np.array([[False, True], [True, False]]), 3, cell_m=6.0)
    assert cells.node_area_m2().tolist() == [36.0, 0.0, 0.0, 36.0] + 18 * [4.0]
    for part in (slice(3), slice(3, 7), slice(5, 30)):
        assert cells.node_area_m2(part).tolist() == cells.node_area_m2()[part].tolist()
    x, y = cells.centres(np.arange(4, 22).reshape(2, 9))
    west, _, _, north = cells.grid.bounds
    np.testing.assert_allclose(x[0] - west, [1, 3, 5] * 3)
    np.testing.assert_allclose(north - y[0], np.repeat([7, 9, 11], 3))
    np.testing.assert_allclose(x[1] - west, [7, 9, 11] * 3)
    np.testing.assert_allclose(north - y[1], np.repeat([1, 3, 5], 3))


def test_cells_that_do_not_fit_fail():
    """Blocks are numbered from 0, each once, and heights are as many as cells."""
    grid = Grid.from_corner((1, 2), cell_m=1.0)
    with pytest.raises(InputError, match=r"5 heights don't fit 1 cells of 2 cut into 2 × 2"):
        MixedCells(grid, 2, np.array([[-1, 0]], np.int32), np.zeros(5, np.float32))
    with pytest.raises(InputError, match="numbered from 0"):
        MixedCells(grid, 2, np.array([[-1, 1]], np.int32), np.zeros(6, np.float32))
    with pytest.raises(InputError, match="k is 0"):
        MixedCells(grid, 0, np.array([[-1, -1]], np.int32), np.zeros(2, np.float32))
