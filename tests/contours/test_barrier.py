"""Lines laid on the grid."""

import numpy as np
import pytest
from scipy.ndimage import label

from swalekit.contours.barrier import barrier_labels
from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import even_steps, path_of
from swalekit.grid import Grid

GRID = Grid.from_corner((60, 60), cell_m=0.5, west_m=100.0, north_m=30.0)


def _line(xy, *, level_m=5.0, closed=False):
    count = len(xy)
    return LevelLine(level_m, closed, np.asarray(xy, np.float64), np.full(count, level_m), np.full(count, 0.1))


def _crooked(seed, *, closed):
    rng = np.random.default_rng(seed)
    angle = np.linspace(0.0, 2.0 * np.pi if closed else 5.0, 25, endpoint=not closed)
    radius = 9.0 + rng.normal(0.0, 1.0, angle.size)
    return _line([115.0, 15.0] + radius[:, None] * np.column_stack([np.cos(angle), np.sin(angle)]), closed=closed)


@pytest.mark.parametrize("seed", range(4))
@pytest.mark.parametrize("closed", [False, True])
def test_barrier_is_one_piece_and_covers_the_line(seed, closed):
    """Cells are joined by their sides and hold every point of the line, and all lie on it."""
    line = _crooked(seed, closed=closed)
    cells = barrier_labels(GRID, [line]) == 1
    points = even_steps(path_of(line.xy, closed=closed), step_m=0.01)
    row, column = GRID.rows_columns(*points.T)
    at = np.unique(np.column_stack([np.round(row), np.round(column)]).astype(int), axis=0)
    assert label(cells)[1] == 1
    assert cells[at[:, 0], at[:, 1]].all()
    assert cells.sum() <= len(at) + 3


def test_ring_parts_the_ground():
    """What a ring encloses can't be left by steps straight or diagonal."""
    cells = barrier_labels(GRID, [_crooked(1, closed=True)]) == 1
    assert label(~cells, np.ones((3, 3)))[1] == 2


def test_higher_line_keeps_shared_cells():
    """Where two lines cross, the cell belongs to the higher, however they are listed."""
    low, high = (
        _line([[101.0, 10.1], [120.0, 10.1]], level_m=4.0),
        _line([[110.1, 1.0], [110.1, 20.0]], level_m=6.0),
    )
    row, column = (int(place[0]) for place in np.round(GRID.rows_columns([110.1], [10.1])))
    assert barrier_labels(GRID, [low, high])[row, column] == 2
    assert barrier_labels(GRID, [high, low])[row, column] == 1


def test_diagonal_through_corners_has_no_gap():
    """A line exactly through cell corners steps by a side cell."""
    cells = barrier_labels(GRID, [_line([[100.25, 29.75], [110.25, 19.75]])]) == 1
    assert label(cells)[1] == 1
    assert cells.sum() == 41


def test_beyond_the_grid_is_left_out():
    """A line that leaves the tile marks only the cells inside."""
    labels = barrier_labels(GRID, [_line([[90.0, 10.1], [140.0, 10.1]])])
    assert (labels == 1).sum() == 60
