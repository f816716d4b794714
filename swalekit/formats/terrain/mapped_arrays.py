"""Arrays that lie on disk and are mapped into memory, for terrain larger than memory."""

import os
import shutil
from dataclasses import dataclass
from math import prod
from tempfile import TemporaryFile
from typing import Any

import numpy as np
from numpy.typing import DTypeLike, NDArray

from swalekit.errors import TerrainError


@dataclass(frozen=True)
class MappedArrays:
    """Makes arrays that each lie in a file of their own, which goes with the array.

    The system keeps in memory what is being worked on and writes the rest to the file, so that an array may be larger
    than memory. The files have no name (on Windows they go when closed): nothing stays behind, whatever ends the work.

    Parameters
    ----------
    folder : str
        Where the files lie; on a disk, not in memory.

    Examples
    --------
    >>> from tempfile import gettempdir
    >>> make = MappedArrays(gettempdir())
    >>> make((2, 3), np.int16)
    array([[0, 0, 0],
           [0, 0, 0]], dtype=int16)
    """

    folder: str

    def __call__(self, shape: tuple[int, ...], dtype: DTypeLike) -> NDArray[Any]:
        """Array of zeros.

        Parameters
        ----------
        shape : tuple of int
            Its shape.
        dtype : dtype-like
            Type of its items.

        Raises
        ------
        TerrainError
            If the disk has no room for it.
        """
        size = prod(shape) * np.dtype(dtype).itemsize
        if size == 0:
            return np.zeros(shape, dtype)
        try:
            with TemporaryFile(dir=self.folder, prefix="swalekit-") as file:
                _reserve(file.fileno(), size)
                return np.asarray(np.memmap(file, dtype, "r+", shape=shape))
        except OSError as fault:
            message = (
                f"the terrain is larger than memory, and '{self.folder}' has no room for {size / 1e9:.3g} GB of it "
                f"({fault.strerror or fault}); name a folder on a larger disk by the environment variable TMPDIR, or "
                "coarsen it with cell_m"
            )
            raise TerrainError(message) from fault


def free_disk_bytes(folder: str) -> int:
    """Room on the disk that a folder lies on [bytes].

    Parameters
    ----------
    folder : str
        A folder that exists.

    Returns
    -------
    int
        Bytes that are free.

    Examples
    --------
    >>> from tempfile import gettempdir
    >>> free_disk_bytes(gettempdir()) > 0
    True
    """
    return shutil.disk_usage(folder).free


def _reserve(file: int, size: int) -> None:
    """Give a file its length; where the system can, with its room on the disk, so that none is missed later."""
    if hasattr(os, "posix_fallocate"):
        os.posix_fallocate(file, 0, size)
    else:
        os.ftruncate(file, size)
