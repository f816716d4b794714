"""What staking needs to know of a swale."""

import unicodedata
from dataclasses import dataclass

from swalekit._checks import check_between, check_positive, check_same_shape
from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.section.shape import ShapedSwale


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
