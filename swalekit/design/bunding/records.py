"""What microcatchments are worked out from besides the brief: the ground asked for, and the rain of the years."""

from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.frozen import Frozen


@one_line("years_mm", "rain_file")
@dataclass(frozen=True, eq=False)
class BundRecords(Frozen):
    """What the files say that a brief names for microcatchments.

    Parameters
    ----------
    area : shapely polygon or multipolygon, optional
        Ground asked for, in the CRS of the terrain; the whole site when None.
    years_mm : ndarray of float64, shape (n,)
        Rain of each whole year of the record; none where there is no record [mm].
    rain_file : str
        Name of the record, '' for none.
    notes : tuple of str
        What a reader must know of them.
    hashes : mapping of str to str
        SHA-256 of the files that they were read from, by ``part.key`` of the brief.
    """

    area: BaseGeometry | None = None
    years_mm: NDArray[np.float64] = field(default_factory=lambda: np.empty(0))
    rain_file: str = ""
    notes: tuple[str, ...] = ()
    hashes: Mapping[str, str] = field(default_factory=dict)
