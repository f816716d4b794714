"""Counting the cells that drain to each store."""

import numpy as np

from swalekit.flow.label_areas import label_cells, rim_cells
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain


def test_label_cells_agree_with_a_plain_count():
    """Every label and class is counted as numpy counts it."""
    random = np.random.default_rng(4)
    labels = random.integers(-1, 5, (9, 7)).astype(np.int32)
    classes = random.integers(0, 3, (9, 7)).astype(np.uint8)
    counts = label_cells(labels, n_labels=5, classes=classes, n_classes=3)
    expected = [[np.sum((labels == k) & (classes == c)) for c in range(3)] for k in range(5)]
    np.testing.assert_array_equal(counts, expected)


def test_rim_cells_are_those_on_the_edge_or_beside_a_void():
    """A 5 × 5 tile with a void in the middle has 16 edge cells and 4 beside the void."""
    heights = np.ones((5, 5))
    heights[2, 2] = np.nan
    terrain = Terrain.from_heights(heights, Grid.from_corner((5, 5), cell_m=1.0))
    labels = np.where(terrain.valid, 0, -1).astype(np.int32)
    labels[0] = 1
    np.testing.assert_array_equal(rim_cells(terrain, labels, n_labels=2), [15, 5])
