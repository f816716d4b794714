"""A swale on its line: what staking and the check of a survey need to know of it."""

import unicodedata
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.kernels.section_nodes import DOWNHILL_TOE
from swalekit.section.apron import Apron
from swalekit.section.shape import ShapedSwale


@one_line("id", "line.level_m", "line.length_m", "shape.depth_m")
@dataclass(frozen=True, eq=False)
class LaidSwale:
    """A swale on its line, as it is staked and built and a survey is checked against it.

    Parameters
    ----------
    id : str
        Its name, as on the map and in the codes of the crew.
    number : int
        Its number on the site, from 1; the numbers of its stakes follow from it.
    line : LevelLine
        The line that is staked, the centreline of the ditch.
    shape : ShapedSwale
        Ditch and berm along it, of the same stations.
    sill_chainage_m, sill_length_m : float
        Chainage of the middle of the overflow sill, and its length along the line [m].
    stage : int or None
        Season of building, from 1; None where all is built at once.
    apron : Apron or None
        What is laid at the sill.

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
    stage: int | None = None
    apron: Apron | None = None

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

    @property
    def round_m(self) -> float | None:
        """Length after which chainages repeat [m]; None on an open line."""
        return self.line.length_m if self.line.closed else None

    @property
    def floor_m(self) -> NDArray[np.float64]:
        """Level of the floor at the stations: the ground's where that lies lower and nothing is dug, shape (n,) [m]."""
        return self.line.ground_m - self.shape.station_depth_m

    @property
    def toe_m(self) -> float:
        """Greatest distance of the berm's downhill toe from the line [m]."""
        return float(self.shape.nodes[0][DOWNHILL_TOE].max())

    def from_sill_m(self, chainage_m: ArrayLike) -> NDArray[np.float64]:
        """Distance along the line from the middle of the sill.

        Parameters
        ----------
        chainage_m : array_like, shape (...)
            Chainage of the places [m].

        Returns
        -------
        ndarray of float64, shape (...)
            Distance, the shorter way round a closed line [m].

        Examples
        --------
        >>> from swalekit.section.section import Section
        >>> from swalekit.section.stations import Stations
        >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
        >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
        >>> LaidSwale("S1", 1, line, shape, sill_chainage_m=15.0, sill_length_m=4.0).from_sill_m([0.0, 18.0])
        array([15.,  3.])
        """
        away = np.abs(np.asarray(chainage_m, np.float64) - self.sill_chainage_m)
        return away if self.round_m is None else np.minimum(away, self.round_m - away)


def check_label(text: str, *, what: str) -> None:
    """Check that a name isn't empty and can stand in every file: no line ends or other control characters.

    Parameters
    ----------
    text : str
        The name.
    what : str
        What an error calls it, after ``the``.

    Raises
    ------
    InputError
        If it is empty, blank or not plain text.

    Examples
    --------
    >>> check_label("upper", what="name of a swale")
    >>> check_label("  ", what="name of a swale")
    Traceback (most recent call last):
    swalekit.errors.InputError: the name of a swale is '  '; it must be one line of plain text
    """
    if not text.strip() or any(unicodedata.category(character) in {"Cc", "Cs"} for character in text):
        message = f"the {what} is {text!r}; it must be one line of plain text"
        raise InputError(message)
