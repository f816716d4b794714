"""What staking needs to know of a swale, and values of its line's stations at any chainage."""

import unicodedata
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages
from swalekit.errors import InputError
from swalekit.section.shape import ShapedSwale


@one_line("id", "line.level_m", "line.length_m", "shape.depth_m")
@dataclass(frozen=True, eq=False)
class StakedSwale:
    """A swale that is to be staked.

    Parameters
    ----------
    id : str
        Its name, as on the map.
    number : int
        Its number on the site, from 1; the numbers of its stakes follow from it.
    line : LevelLine
        The line that is staked.
    shape : ShapedSwale
        Ditch and berm along it, of the same stations.
    sill_chainage_m, sill_length_m : float
        Chainage of the middle of the overflow sill, and its length along the line [m].

    Raises
    ------
    InputError
        If the name holds a control character, line and shape differ in stations, or the sill doesn't lie on the line.
    """

    id: str
    number: int
    line: LevelLine
    shape: ShapedSwale
    sill_chainage_m: float
    sill_length_m: float

    def __post_init__(self) -> None:
        check_label(self.id, what="name of a swale")
        check_same_shape(line=self.line.ground_m, shape=self.shape.stations.ground_m)
        check_positive(sill_length_m=self.sill_length_m)
        check_between(0.0, self.line.length_m, sill_chainage_m=self.sill_chainage_m)

    @property
    def sill_span_m(self) -> tuple[float, float]:
        """Chainages between which the sill lies, which it leaves at neither end of the line [m]."""
        half_m = self.sill_length_m / 2.0
        return max(self.sill_chainage_m - half_m, 0.0), min(self.sill_chainage_m + half_m, self.line.length_m)


def check_label(text: str, *, what: str) -> None:
    """Check that a name isn't empty and can stand in every file: no line ends or other control characters."""
    if not text.strip() or any(unicodedata.category(character) in {"Cc", "Cs"} for character in text):
        message = f"the {what} is {text!r}; it must be one line of plain text"
        raise InputError(message)


def along_line(line: LevelLine, station_values: NDArray[np.float64], chainage_m: ArrayLike) -> NDArray[np.float64]:
    """Values between stations, in proportion to the distance from them.

    Parameters
    ----------
    line : LevelLine
        The line.
    station_values : ndarray of float64, shape (..., n)
        A value a station.
    chainage_m : array_like, shape (k,)
        Distances along the line, from 0 to its length; a closed line's last leg counts [m].

    Returns
    -------
    ndarray of float64, shape (..., k)
        Values there.

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
    >>> line = LevelLine(10.0, False, xy, np.array([10.0, 10.1, 9.9]), np.full(3, 0.1))
    >>> along_line(line, line.ground_m, [1.0, 3.0]).round(3)
    array([10.05, 10.  ])
    """
    walked = chainages(line.path)
    values = np.concatenate([station_values, station_values[..., :1]], axis=-1) if line.closed else station_values
    chainage = np.asarray(chainage_m, np.float64)
    before = np.clip(np.searchsorted(walked, chainage, side="right") - 1, 0, len(walked) - 2)
    share = (chainage - walked[before]) / (walked[before + 1] - walked[before])
    return np.asarray(values[..., before] + share * (values[..., before + 1] - values[..., before]))
