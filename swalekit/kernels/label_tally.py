"""Counting and renaming the cells of a label raster."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def count_cells(labels: NDArray[np.int32], classes: NDArray[np.uint8], counts: NDArray[np.int64]) -> None:
    """Add the cells of each label (0, 1, …) and class to ``counts``; negative labels are passed over.

    ``classes`` has the shape of ``labels``, or (1, 1) where there is one class.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        Labels.
    classes : ndarray of uint8
        Class of each cell.
    counts : ndarray of int64, shape (labels, classes)
        Added to [cells].
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
    """Add the cells of each label that lie on the edge of the tile or touch a void to ``counts``.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        Labels; negative ones are passed over.
    valid : ndarray of bool, shape (rows, columns)
        Known ground.
    counts : ndarray of int64, shape (labels,)
        Added to [cells].
    """
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
    """Add values and cells of each label to ``sums`` and ``counts``; NaN and negative labels are passed over.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        Labels.
    values : ndarray of float32, shape (rows, columns)
        Values.
    sums, counts : ndarray of float64 and of int64, shape (labels,)
        Added to.
    """
    rows, columns = labels.shape
    for row in range(rows):
        for column in range(columns):
            label, value = labels[row, column], values[row, column]
            if label >= 0 and not np.isnan(value):
                sums[label] += value
                counts[label] += 1


@kernel
def look_up(labels: NDArray[np.int32], table: NDArray[np.signedinteger], found: NDArray[np.signedinteger]) -> None:
    """Fill ``found`` with the table's entry for each label above zero, and the label itself for the others.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        Labels.
    table : ndarray of integers, shape (labels,)
        Entry of label 1, 2, …
    found : ndarray of integers, shape (rows, columns)
        Filled.
    """
    for row in range(labels.shape[0]):
        for column in range(labels.shape[1]):
            label = labels[row, column]
            found[row, column] = table[label - 1] if label > 0 else label
