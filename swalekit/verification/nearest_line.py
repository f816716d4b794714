"""Which line is nearest to each of many points, and where along it."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages


@dataclass(frozen=True, eq=False)
class Legs:
    """Legs of one line or several, station to station.

    Parameters
    ----------
    start, step : ndarray of float64, shape (m, 2)
        Where each leg starts, and the way to its end [m].
    chainage_m : ndarray of float64, shape (m,)
        Chainage of its start [m].
    line : ndarray of int64, shape (m,)
        Place of its line in the list.
    """

    start: NDArray[np.float64]
    step: NDArray[np.float64]
    chainage_m: NDArray[np.float64]
    line: NDArray[np.int64]

    @classmethod
    def of(cls, lines: Sequence[LevelLine]) -> Self:
        """Legs of all lines, a closed line's last one included."""
        paths = [line.path for line in lines]
        return cls(
            start=np.concatenate([path[:-1] for path in paths]),
            step=np.concatenate([np.diff(path, axis=0) for path in paths]),
            chainage_m=np.concatenate([chainages(path)[:-1] for path in paths]),
            line=np.repeat(np.arange(len(paths)), [len(path) - 1 for path in paths]),
        )

    def nearest(self, xy: NDArray[np.float64]) -> tuple[NDArray[np.int64], NDArray[np.float64], NDArray[np.float64]]:
        """Nearest line to points, chainage of the nearest place on it, and the distance to it.

        Parameters
        ----------
        xy : ndarray of float64, shape (k, 2)
            Points [m].

        Returns
        -------
        line : ndarray of int64, shape (k,)
            Place in the list.
        chainage_m, distance_m : ndarray of float64, shape (k,)
            Beyond the end of an open line the chainage is that of the end [m].

        Examples
        --------
        >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
        >>> legs = Legs.of([LevelLine(10.0, False, xy, np.full(3, 10.0), np.full(3, 0.05))])
        >>> [each.tolist() for each in legs.nearest(np.array([[2.5, 1.0], [7.0, 4.0]]))]
        [[0, 0], [2.5, 4.0], [1.0, 5.0]]
        """
        tree = shapely.STRtree(shapely.linestrings(np.stack([self.start, self.start + self.step], axis=1)))
        leg = tree.query_nearest(shapely.points(xy), all_matches=False)[1]
        start, step = self.start[leg], self.step[leg]
        length_m = np.hypot(*step.T)
        along_m = np.clip(((xy - start) * step).sum(axis=1) / length_m, 0.0, length_m)
        foot = start + step * (along_m / length_m)[:, np.newaxis]
        return self.line[leg], self.chainage_m[leg] + along_m, np.hypot(*(xy - foot).T)
