"""Counting and renaming the cells of a label raster."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def count_cells(labels: NDArray[np.int32], classes: NDArray[np.uint8], counts: NDArray[np.int64]) -> None:
    """Add the cells of each label (0, 1, …) and class to ``counts``; negative labels are passed over.

    ``classes`` has the shape of ``labels``, or (1, 1) where there is one class.
    """
    rows, columns = labels.shape
    many = classes.size > 1
    for row in range(rows):
        for column in range(columns):
            label = labels[row, column]
            if label >= 0:
                counts[label, classes[row, column] if many else 0] += 1


@kernel
def count_rim_cells(labels: NDArray[np.int32], valid: NDArray[np.bool_], counts: NDArray[np.int64]) -> None:
    """Add the cells of each label that lie on the edge of the tile or touch a void to ``counts``."""
    rows, columns = labels.shape
    for row in range(rows):
        for column in range(columns):
            label = labels[row, column]
            if label < 0:
                continue
            on_edge = row == 0 or column == 0 or row == rows - 1 or column == columns - 1
            if on_edge or not (
                valid[row - 1, column] and valid[row + 1, column] and valid[row, column - 1] and valid[row, column + 1]
            ):
                counts[label] += 1


@kernel
def sum_cells(
    labels: NDArray[np.int32], values: NDArray[np.float32], sums: NDArray[np.float64], counts: NDArray[np.int64]
) -> None:
    """Add values and cells of each label to ``sums`` and ``counts``; NaN and negative labels are passed over."""
    rows, columns = labels.shape
    for row in range(rows):
        for column in range(columns):
            label, value = labels[row, column], values[row, column]
            if label >= 0 and not np.isnan(value):
                sums[label] += value
                counts[label] += 1


@kernel
def look_up(labels: NDArray[np.int32], table: NDArray[np.signedinteger], found: NDArray[np.signedinteger]) -> None:
    """Fill ``found`` with the table's entry for each label above zero, and the label itself for the others."""
    for row in range(labels.shape[0]):
        for column in range(labels.shape[1]):
            label = labels[row, column]
            found[row, column] = table[label - 1] if label > 0 else label
