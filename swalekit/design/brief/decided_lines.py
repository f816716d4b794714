"""The designer's decisions, line by line: what is held, dropped and drawn, and what differs from the brief."""

from dataclasses import dataclass, fields, replace
from functools import cached_property
from re import fullmatch
from typing import Any, Self

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from pyproj import CRS, Transformer

from swalekit._checks import check_between, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.section.laid_swale import check_label

PROPOSED, HELD, DRAWN, DROPPED, LAPSED = "proposed", "held", "drawn", "dropped", "lapsed"
LINE_STATES = (PROPOSED, HELD, DRAWN, DROPPED, LAPSED)
"""What a line is: laid by the brief and found anew by every plan; the designer's, as it is; the designer's, a stroke
that is levelled; left out by the designer; proposed once and not any more, so that its name isn't given again."""

_NUMBERED = r"S([1-9]\d{0,8})"
_GREATEST_M, _FARTHEST_M, _FLATTEST_SIDE = 1000.0, 1e6, 20.0
_SECTION = ("bottom_width_m", "uphill_side_slope", "downhill_side_slope", "crest_width_m", "freeboard_m")


def line_number(name: str) -> int | None:
    """Number in the name of a line.

    Parameters
    ----------
    name : str
        The name.

    Returns
    -------
    int or None
        None where it is called otherwise than S and a number.

    Examples
    --------
    >>> line_number("S7"), line_number("upper")
    (7, None)
    """
    found = fullmatch(_NUMBERED, name)
    return int(found[1]) if found else None


@one_line(
    *("bottom_width_m", "uphill_side_slope", "downhill_side_slope", "depth_m", "crest_width_m", "freeboard_m"),
    *("sill_length_m", "sill_at_m", "stage"),
)
@dataclass(frozen=True)
class OwnSettings:
    """What differs from the brief along one line; None is the brief's.

    Parameters
    ----------
    bottom_width_m, crest_width_m, freeboard_m : float, optional
        Of its section [m].
    uphill_side_slope, downhill_side_slope : float, optional
        Sides of its ditch [H:V].
    depth_m : float, optional
        Dig depth at the stake, in place of the one that its water asks for [m].
    sill_length_m : float, optional
        Length of its sill [m]; a longer one where the check storm needs it.
    sill_at_m : float, optional
        Chainage of the middle of its sill [m].
    planting : bool, optional
        Whether its berm is planted; it is where not given.
    stage : int, optional
        Season of building, from 1.
    note : str
        The designer's own words.

    Raises
    ------
    InputError
        If a length or side slope isn't positive or is beyond any swale's, or the stage is below 1.

    Examples
    --------
    >>> OwnSettings(bottom_width_m=1.2, stage=2)
    OwnSettings(bottom width 1.2 m, stage 2)
    """

    bottom_width_m: float | None = None
    uphill_side_slope: float | None = None
    downhill_side_slope: float | None = None
    depth_m: float | None = None
    crest_width_m: float | None = None
    freeboard_m: float | None = None
    sill_length_m: float | None = None
    sill_at_m: float | None = None
    planting: bool | None = None
    stage: int | None = None
    note: str = ""

    def __post_init__(self) -> None:
        given = {name: value for name, value in vars(self).items() if name.endswith("_m") and value is not None}
        place_m = given.pop("sill_at_m", 0.0)
        check_positive(**given)
        check_between(0.0, _GREATEST_M, **given)
        check_between(0.0, _FARTHEST_M, sill_at_m=place_m)
        sides = {name: value for name, value in vars(self).items() if name.endswith("_slope") and value is not None}
        check_positive(**sides)
        check_between(0.0, _FLATTEST_SIDE, **sides)
        if self.stage is not None and self.stage < 1:
            message = f"stage is {self.stage}; stages are counted from 1"
            raise InputError(message)

    @property
    def none_given(self) -> bool:
        """Whether all is as the brief has it."""
        return self == OwnSettings()

    @property
    def of_section(self) -> dict[str, float]:
        """What of its cross-section differs, by the names of `Section`."""
        return {name: value for name in _SECTION if (value := getattr(self, name)) is not None}


@one_line("name", "state", "level_m", "own")
@dataclass(frozen=True, eq=False)
class DecidedLine(Frozen):
    """A line with its lasting name and what was decided about it.

    Parameters
    ----------
    name : str
        As S7; it is the same line's for the life of a project.
    state : str
        One of `LINE_STATES`.
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of its stations, or of the vertices of a stroke [m]; a closed one doesn't repeat the first.
    closed : bool
        Whether the last is joined to the first.
    level_m : float or None
        Level of a line that was laid [m]; None for a stroke.
    own : OwnSettings
        What differs from the brief.

    Raises
    ------
    InputError
        If the name is empty, the state unknown, or there are too few vertices or one that isn't finite.

    Examples
    --------
    >>> DecidedLine("S7", "drawn", np.array([[0.0, 0.0], [30.0, 1.0]]))
    DecidedLine(S7, drawn, OwnSettings())
    """

    name: str
    state: str
    xy: NDArray[np.float64]
    closed: bool = False
    level_m: float | None = None
    own: OwnSettings = OwnSettings()

    def __post_init__(self) -> None:
        check_label(self.name, what="name of a line")
        check_one_of(LINE_STATES, state=self.state)
        least = 3 if self.closed else 2
        if self.xy.ndim != 2 or self.xy.shape[1] != 2 or len(self.xy) < least or not np.isfinite(self.xy).all():
            message = f"line {self.name} needs {least} or more vertices, each a finite easting and northing"
            raise InputError(message)
        super().__post_init__()


@one_line("source", "lines")
@dataclass(frozen=True, eq=False)
class Lines:
    """All decisions about the lines of a site; what isn't decided is proposed by the brief.

    Parameters
    ----------
    lines : tuple of DecidedLine
        Every line of the project so far.
    crs : CRS
        Of their coordinates.
    source : str
        File that they come from, for messages.
    sha256 : str
        Of that file as it was read; '' where there is none.
    alone : bool
        Whether nothing is proposed beside them; a file never says so.
    last_number : int
        Highest number that any line of the project was given, of those that are no longer there too.

    Raises
    ------
    InputError
        If two have one name.

    Examples
    --------
    >>> stroke = DecidedLine("S7", "drawn", np.array([[0.0, 0.0], [30.0, 1.0]]))
    >>> lines = Lines((stroke,), CRS.from_epsg(32630))
    >>> lines.next_number, lines.own("S7").none_given, lines.own("S9").none_given
    (8, True, True)
    """

    lines: tuple[DecidedLine, ...]
    crs: CRS
    source: str = "lines"
    sha256: str = ""
    alone: bool = False
    last_number: int = 0

    def __post_init__(self) -> None:
        names = [line.name for line in self.lines]
        twice = sorted({name for name in names if names.count(name) > 1})
        if twice:
            message = f"{self.source}: the name {twice[0]} stands twice; give every line a name of its own"
            raise InputError(message)

    @property
    def next_number(self) -> int:
        """Number that the next new line gets: above all that were ever given."""
        return 1 + max(self.last_number, *(line_number(line.name) or 0 for line in self.lines), 0)

    def in_state(self, *states: str) -> tuple[DecidedLine, ...]:
        """The lines in any of some states.

        Parameters
        ----------
        *states : str
            Of `LINE_STATES`.

        Returns
        -------
        tuple of DecidedLine
            In the order of the file.

        Examples
        --------
        >>> stroke = DecidedLine("S7", "drawn", np.array([[0.0, 0.0], [30.0, 1.0]]))
        >>> len(Lines((stroke,), CRS.from_epsg(32630)).in_state("held", "drawn"))
        1
        """
        return tuple(line for line in self.lines if line.state in states)

    @cached_property
    def _by_name(self) -> dict[str, DecidedLine]:
        return {line.name: line for line in self.lines}

    def state(self, name: str) -> str:
        """The state of the line of a name; proposed where none is known.

        Parameters
        ----------
        name : str
            The name.

        Returns
        -------
        str
            Of `LINE_STATES`.

        Examples
        --------
        >>> Lines((), CRS.from_epsg(32630)).state("S1")
        'proposed'
        """
        return self._by_name[name].state if name in self._by_name else PROPOSED

    def own(self, name: str) -> OwnSettings:
        """What differs from the brief along the line of a name; nothing for one that isn't known.

        Parameters
        ----------
        name : str
            The name.

        Returns
        -------
        OwnSettings
            Its settings.

        Examples
        --------
        >>> Lines((), CRS.from_epsg(32630)).own("S1").none_given
        True
        """
        return self._by_name[name].own if name in self._by_name else OwnSettings()

    def decide(self, name: str, state: str, **own: Any) -> Self:
        """The lines with another state, or other settings, of one.

        Parameters
        ----------
        name : str
            The line.
        state : str
            Of `LINE_STATES`.
        **own : float, bool, int or str
            Fields of `OwnSettings`.

        Returns
        -------
        Lines
            New ones.

        Raises
        ------
        InputError
            If there is no such line or setting, or a value breaks a rule.

        Examples
        --------
        >>> stroke = DecidedLine("S7", "proposed", np.array([[0.0, 0.0], [30.0, 1.0]]))
        >>> lines = Lines((stroke,), CRS.from_epsg(32630)).decide("S7", "dropped", note="the oak stands there")
        >>> lines.lines[0].state, lines.own("S7").note
        ('dropped', 'the oak stands there')
        """
        if name not in {line.name for line in self.lines}:
            message = f"{self.source}: no line is called '{name}'"
            raise InputError(message)
        check_one_of(tuple(field.name for field in fields(OwnSettings)), **{f"setting {key}": key for key in own})
        return replace(
            self,
            lines=tuple(
                replace(line, state=state, own=replace(line.own, **own)) if line.name == name else line
                for line in self.lines
            ),
        )

    def draw(self, xy: ArrayLike, *, name: str | None = None, **own: Any) -> Self:
        """The lines with one more that is drawn by hand.

        Parameters
        ----------
        xy : array_like, shape (n, 2)
            Easting and northing of its vertices [m]; a ring repeats its first.
        name : str, optional
            Its name; the next number when not given.
        **own : float, bool, int or str
            Fields of `OwnSettings`.

        Returns
        -------
        Lines
            New ones.

        Raises
        ------
        InputError
            If the name is taken, a value breaks a rule, or the stroke isn't one.

        Examples
        --------
        >>> Lines((), CRS.from_epsg(32630)).draw([[0.0, 0.0], [30.0, 1.0]]).lines
        (DecidedLine(S1, drawn, OwnSettings()),)
        """
        vertices = np.array(xy, np.float64)
        closed = len(vertices) > 3 and bool((vertices[0] == vertices[-1]).all())
        title = f"S{self.next_number}" if name is None else name
        drawn = DecidedLine(title, DRAWN, vertices[:-1] if closed else vertices, closed, own=OwnSettings(**own))
        return replace(self, lines=(*self.lines, drawn))

    def in_crs(self, crs: CRS) -> Self:
        """Bring the lines to another CRS; those that are in it already stay as they are to the last bit.

        Parameters
        ----------
        crs : CRS
            The CRS.

        Returns
        -------
        Lines
            New ones, or these.

        Raises
        ------
        InputError
            If one lies where that CRS has no place.

        Examples
        --------
        >>> lines = Lines((), CRS.from_epsg(32630))
        >>> lines.in_crs(CRS.from_epsg(32630)) is lines
        True
        """
        if crs == self.crs:
            return self
        transformer = Transformer.from_crs(self.crs, crs, always_xy=True)
        moved = []
        for line in self.lines:
            xy = np.column_stack(transformer.transform(*line.xy.T))
            if not np.isfinite(xy).all():
                west, south, east, north = shapely.LineString(line.xy).bounds
                message = (
                    f"{self.source}: line {line.name} reaches from ({west:.6g}, {south:.6g}) to ({east:.6g}, "
                    f"{north:.6g}), too far from the tile for {crs.name}; check the CRS of the file"
                )
                raise InputError(message)
            moved.append(replace(line, xy=xy))
        return replace(self, lines=tuple(moved), crs=crs)
