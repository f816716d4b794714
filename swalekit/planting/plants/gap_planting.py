"""Plants lost in their first years, and those set in the gaps so that the stand is full at last."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil, prod

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_not_negative
from swalekit._one_line import one_line
from swalekit.frozen import Frozen

_GRAIN = 1e-9


@one_line("planted", "lost")
@dataclass(frozen=True, eq=False)
class GapPlanting(Frozen):
    """Plants of one planting and its gaps; arrays have shape (years,), the first year that of planting.

    Parameters
    ----------
    planted : ndarray of int64
        Plants that are set in each year.
    lost : ndarray of int64
        Plants that die in it, before the next rains.
    """

    planted: NDArray[np.int64]
    lost: NDArray[np.int64]

    @property
    def standing(self) -> NDArray[np.int64]:
        """Plants at the end of each year, shape (years,)."""
        return np.asarray(np.cumsum(self.planted - self.lost), np.int64)

    @property
    def in_gaps(self) -> int:
        """Plants set after the first year."""
        return int(self.planted[1:].sum())


def gap_planting(plants: int, losses: Sequence[float], *, years: int, last: int | None = None) -> GapPlanting:
    """Follow a planting and what is set in its gaps.

    Parameters
    ----------
    plants : int
        Plants that shall stand.
    losses : sequence of float
        Share of those standing that is lost in the first year after a plant is set, in its second, ...; later none [-].
    years : int
        Years that are followed.
    last : int, optional
        Years after the planting beyond which no gap is planted, as when the stand is to be thinned; as many as there
        are losses when not given.

    Returns
    -------
    GapPlanting
        Whole plants, rounded up.

    Raises
    ------
    InputError
        If there are less than no plants.

    Notes
    -----
    Each gap is planted in the year after; those plants are lost by the same shares. In the last year of gap planting as
    many more are set as will be lost of them, so that ``plants`` stand at last: ordered are plants / Π(1 − share).

    Examples
    --------
    >>> gaps = gap_planting(100, [0.2, 0.1, 0.05], years=6)
    >>> gaps.planted.tolist(), gaps.lost.tolist(), gaps.standing.tolist()
    ([100, 20, 12, 15, 0, 0], [20, 12, 8, 5, 1, 1], [80, 88, 92, 102, 101, 100])
    """
    check_not_negative(plants=plants)
    alive = np.cumprod([1.0, *(1.0 - share for share in losses)])
    most = len(losses) if last is None else min(last, len(losses))
    ordered = ceil(plants / prod(1.0 - share for share in losses) - _GRAIN)
    planted, lost = np.zeros(years + 1, np.int64), np.zeros(years, np.int64)
    planted[0] = plants
    for year in range(years):
        ages = np.minimum(year + 1 - np.arange(year + 1), len(losses))
        dead = ceil(float(planted[: year + 1] @ (1.0 - alive[ages])) - _GRAIN)
        lost[year] = dead - int(lost.sum())
        if year + 1 <= most:
            so_far = int(planted.sum())
            full = most == len(losses) and year + 1 == most
            planted[year + 1] = ordered - so_far if full else plants - (so_far - dead)
    return GapPlanting(planted[:years], lost)
