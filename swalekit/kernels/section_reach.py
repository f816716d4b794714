"""Cells of one label straight uphill of the stations of a line."""

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel


@kernel
def count_steps(
    labels: NDArray[np.int32],
    label: int,
    row: NDArray[np.float64],
    column: NDArray[np.float64],
    row_step: NDArray[np.float64],
    column_step: NDArray[np.float64],
    most: int,
) -> NDArray[np.int64]:
    """Steps that can be made from each of n fractional places before a cell without the label, at most ``most``.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        Labels.
    label : int
        The label looked for.
    row, column, row_step, column_step : ndarray of float64, shape (n,)
        Places to begin from, and one step on from each [cells].
    most : int
        Greatest number of steps.

    Returns
    -------
    ndarray of int64, shape (n,)
        Steps.
    """
    rows, columns = labels.shape
    counts = np.empty(row.size, np.int64)
    for k in range(row.size):
        count = 0
        while count < most:
            i = int(np.rint(row[k] + (count + 1) * row_step[k]))
            j = int(np.rint(column[k] + (count + 1) * column_step[k]))
            if not (0 <= i < rows and 0 <= j < columns) or labels[i, j] != label:
                break
            count += 1
        counts[k] = count
    return counts
