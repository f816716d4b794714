"""The stake, its two offset stakes, all stakes of a site, and the numbers of their points."""

from dataclasses import dataclass

from pyproj import CRS

from swalekit._checks import check_finite
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.section.laid_swale import LaidSwale, check_label

_PER_SWALE = 1000
_UPHILL, _DOWNHILL = 300, 600  # added for the offset stakes
MOST_STAKES = _UPHILL - 1
MOST_SWALES = 999


@dataclass(frozen=True)
class Benchmark:
    """A fixed point on the site from which heights are levelled.

    Parameters
    ----------
    name : str
        What it is, in the crew's words.
    level_m : float
        Its height in the terrain's datum [m].

    Raises
    ------
    InputError
        If the name is empty or holds a control character, or the height isn't finite.

    Examples
    --------
    >>> round(Benchmark("gate post", 100.25).above_m(101.0), 2)
    0.75
    """

    name: str
    level_m: float

    def __post_init__(self) -> None:
        check_label(self.name, what="name of the benchmark")
        check_finite(level_m=self.level_m)

    def above_m(self, height_m: float) -> float:
        """How far a height lies above the benchmark.

        Parameters
        ----------
        height_m : float
            The height, in the datum of the design [m].

        Returns
        -------
        float
            Difference, negative below the benchmark [m].

        Examples
        --------
        >>> Benchmark("gate post", 100.25).above_m(100.0)
        -0.25
        """
        return height_m - self.level_m


@one_line("number", "distance_m", "ground_m")
@dataclass(frozen=True)
class OffsetStake:
    """A stake beside the works, which stays when the stake on the line is dug away.

    Parameters
    ----------
    number : int
        Its point number.
    x_m, y_m : float
        Easting and northing [m].
    distance_m : float
        Distance from the stake on the line [m].
    ground_m : float
        Height of the ground at its foot [m]; NaN off the tile.
    """

    number: int
    x_m: float
    y_m: float
    distance_m: float
    ground_m: float


@one_line("number", "swale", "chainage_m", "ground_m", "dig_m", "mark")
@dataclass(frozen=True)
class Stake:
    """A stake on the level line, which is the centreline of the ditch.

    Parameters
    ----------
    number : int
        Its point number.
    swale : str
        The swale.
    chainage_m : float
        Distance from the line's first station [m].
    x_m, y_m : float
        Easting and northing [m].
    ground_m : float
        Height of the ground [m].
    floor_m : float
        Height of the ditch's floor; the ground's where that lies below the floor level, and nothing is dug [m].
    crest_m : float
        Level of the berm's crest [m].
    sill_m : float or None
        Level of the sill, to which the berm is built here; None beside the sill [m].
    mark : str
        Why it stands here: ``end``, ``sill end``, ``sill``, ``crossing edge``, ``pipe end``, ``bend``, ``grade``, or
        ``line``.
    position_sigma_m : float
        Standard error of its place across the slope [m].
    uphill, downhill : OffsetStake or None
        Its offset stakes; None where one would stand in the works, as in the inside of a narrow bend.
    """

    number: int
    swale: str
    chainage_m: float
    x_m: float
    y_m: float
    ground_m: float
    floor_m: float
    crest_m: float
    sill_m: float | None
    mark: str
    position_sigma_m: float
    uphill: OffsetStake | None
    downhill: OffsetStake | None

    @property
    def dig_m(self) -> float:
        """Dig depth at the stake, ground to floor [m]."""
        return self.ground_m - self.floor_m

    @property
    def offsets(self) -> tuple[tuple[str, OffsetStake], ...]:
        """Its offset stakes, each with the word for its side."""
        sides = (("uphill", self.uphill), ("downhill", self.downhill))
        return tuple((side, stake) for side, stake in sides if stake is not None)


@one_line("stakes", "swales", "crs.name")
@dataclass(frozen=True, eq=False)
class Stakeout:
    """All stakes of a site.

    Parameters
    ----------
    swales : tuple of LaidSwale
        What is staked.
    stakes : tuple of Stake
        By swale and along each line.
    benchmark : Benchmark or None
        What heights are also given against.
    crs : CRS
        Of eastings and northings, in metres.
    site, issue : str
        Name of the site; revision, date and number of the plan.
    """

    swales: tuple[LaidSwale, ...]
    stakes: tuple[Stake, ...]
    benchmark: Benchmark | None
    crs: CRS
    site: str = ""
    issue: str = ""

    @property
    def title(self) -> str:
        """Site and issue in one line."""
        return " · ".join(filter(None, (self.site, self.issue)))


def stake_number(swale: int, place: int) -> int:
    """Number of a stake on the line.

    Parameters
    ----------
    swale : int
        Number of the swale, 1 to 999.
    place : int
        Place of the stake along the line, from 1 to 299.

    Returns
    -------
    int
        The swale's number × 1000 + the place.

    Raises
    ------
    InputError
        If there is no such number.

    Notes
    -----
    The two offset stakes add 300 uphill and 600 downhill, so that a number names swale, stake and side: 3014 is the
    14th stake of swale 3, 3314 stands uphill of it and 3614 downhill. The same line staked by the same rules gets the
    same numbers.

    Examples
    --------
    >>> number = stake_number(3, 14)
    >>> number, uphill_number(number), downhill_number(number)
    (3014, 3314, 3614)
    """
    if not 1 <= swale <= MOST_SWALES:
        message = f"swale number {swale} makes no point number; stake swales 1 to {MOST_SWALES}"
        raise InputError(message)
    if not 1 <= place <= MOST_STAKES:
        message = (
            f"swale {swale} would have more than {MOST_STAKES} stakes, for which there are no point numbers; "
            "set the stakes farther apart"
        )
        raise InputError(message)
    return swale * _PER_SWALE + place


def uphill_number(stake: int) -> int:
    """Number of the offset stake uphill of a stake.

    Parameters
    ----------
    stake : int
        Number of the stake on the line.

    Returns
    -------
    int
        Its number.

    Examples
    --------
    >>> uphill_number(3014)
    3314
    """
    return stake + _UPHILL


def downhill_number(stake: int) -> int:
    """Number of the offset stake downhill of a stake.

    Parameters
    ----------
    stake : int
        Number of the stake on the line.

    Returns
    -------
    int
        Its number.

    Examples
    --------
    >>> downhill_number(3014)
    3614
    """
    return stake + _DOWNHILL
