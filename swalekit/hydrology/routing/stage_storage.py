"""What a store holds at each level of its water."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_finite, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen

_LEVELS = 65  # of a hollow's table


@one_line("level_m", "volume_m3", "area_m2")
@dataclass(frozen=True, eq=False)
class StageStorage(Frozen):
    """Volume and water surface of a store by level, straight between the given levels.

    Above the highest level the walls stand upright.

    Parameters
    ----------
    level_m : ndarray of float64, shape (k,)
        Levels, rising from the lowest of the bed [m].
    volume_m3 : ndarray of float64, shape (k,)
        Water held at each level, rising from zero [m³].
    area_m2 : ndarray of float64, shape (k,)
        Plan area of the water, through which it soaks away, never falling; the first is that of a mere film [m²].

    Raises
    ------
    InputError
        If arrays differ in shape, there are fewer than two levels, or levels, volumes or areas don't rise as they must.

    Examples
    --------
    >>> box = StageStorage(np.array([100.0, 102.0]), np.array([0.0, 60.0]), np.array([30.0, 30.0]))
    >>> box.volume_m3_at([100.5, 103.0]), box.level_m_at(75.0)
    (array([15., 90.]), array(102.5))
    """

    level_m: NDArray[np.float64]
    volume_m3: NDArray[np.float64]
    area_m2: NDArray[np.float64]

    def __post_init__(self) -> None:
        check_same_shape(level_m=self.level_m, volume_m3=self.volume_m3, area_m2=self.area_m2)
        if self.level_m.ndim != 1 or self.level_m.size < 2:
            message = f"stage-storage table has shape {self.level_m.shape}; it needs one row of at least two levels"
            raise InputError(message)
        check_finite(lowest_level_m=self.level_m[0], least_volume_m3=self.volume_m3[0])
        check_positive(least_area_m2=self.area_m2[0])
        if self.volume_m3[0] != 0:
            message = f"a store holds {self.volume_m3[0]:g} m3 at its lowest level; it must be empty there"
            raise InputError(message)
        for name, values, rising in (
            ("level_m", self.level_m, np.diff(self.level_m) > 0),
            ("volume_m3", self.volume_m3, np.diff(self.volume_m3) > 0),
            ("area_m2", self.area_m2, np.diff(self.area_m2) >= 0),
        ):
            if not (rising.all() and np.isfinite(values[-1])):
                row = int(np.argmin(rising)) + 1
                message = f"{name} of a store is {values[row]:g} after {values[row - 1]:g}; it must rise with the level"
                raise InputError(message)
        super().__post_init__()

    @classmethod
    def of_bed(cls, bed_m: NDArray[np.floating], cell_area_m2: ArrayLike, top_level_m: float) -> Self:
        """Store over cells of known height, such as those of a hollow up to its spill level.

        Parameters
        ----------
        bed_m : ndarray, shape (n,)
            Heights of the cells that can be wet [m].
        cell_area_m2 : float or array_like, shape (n,)
            Area of a cell, or of each [m²].
        top_level_m : float
            Highest level of the table [m].

        Returns
        -------
        StageStorage
            65 levels from the lowest cell to the highest level, evenly apart.

        Raises
        ------
        InputError
            If no cell lies below the highest level.

        Examples
        --------
        >>> StageStorage.of_bed(np.array([4.0, 5.0]), 10.0, 6.0).volume_m3[[0, 32, 64]]
        array([ 0., 10., 30.])
        """
        order = np.argsort(bed_m, kind="stable")
        bed = np.asarray(bed_m, np.float64)[order]
        area = np.broadcast_to(np.asarray(cell_area_m2, np.float64), bed.shape)[order]
        check_positive(cell_area_m2=area.min(initial=1.0))
        if bed.size == 0 or bed[0] >= top_level_m:
            message = f"no cell of the bed lies below the level of {top_level_m:.2f} m; give the cells that can be wet"
            raise InputError(message)
        level = np.linspace(bed[0], top_level_m, _LEVELS)
        wet = np.searchsorted(bed, level, side="right")
        wet_m2, sums = (np.append(0.0, np.cumsum(part))[wet] for part in (area, area * (bed - bed[0])))
        return cls(level, wet_m2 * (level - bed[0]) - sums, wet_m2)

    def volume_m3_at(self, level_m: ArrayLike) -> NDArray[np.float64]:
        """Water held at given levels.

        Parameters
        ----------
        level_m : array_like, shape (...)
            Levels [m].

        Returns
        -------
        ndarray of float64, shape (...)
            Water [m³]: none below the table; above it as if the walls went on upright.

        Examples
        --------
        >>> box = StageStorage(np.array([100.0, 102.0]), np.array([0.0, 60.0]), np.array([30.0, 30.0]))
        >>> box.volume_m3_at([99.0, 101.0, 103.0])
        array([ 0., 30., 90.])
        """
        level = np.asarray(level_m, np.float64)
        above = np.maximum(level - self.level_m[-1], 0.0)
        return np.asarray(np.interp(level, self.level_m, self.volume_m3) + above * self.area_m2[-1])

    def level_m_at(self, volume_m3: ArrayLike) -> NDArray[np.float64]:
        """Levels at which given volumes are held.

        Parameters
        ----------
        volume_m3 : array_like, shape (...)
            Water, zero or more [m³].

        Returns
        -------
        ndarray of float64, shape (...)
            Levels [m], above the table as if the walls went on upright.

        Examples
        --------
        >>> box = StageStorage(np.array([100.0, 102.0]), np.array([0.0, 60.0]), np.array([30.0, 30.0]))
        >>> box.level_m_at([30.0, 90.0])
        array([101., 103.])
        """
        volume = np.asarray(volume_m3, np.float64)
        above = np.maximum(volume - self.volume_m3[-1], 0.0)
        return np.asarray(np.interp(volume, self.volume_m3, self.level_m) + above / self.area_m2[-1])
