"""What a cure does to the lines: each edit is a small change of the designer's decisions."""

from dataclasses import dataclass, replace
from typing import Any, Protocol

from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.decided_lines import DROPPED, HELD, DecidedLine, Lines
from swalekit.frozen import Frozen


class Edit(Protocol):
    """A change of decisions about lines."""

    @property
    def touches(self) -> tuple[str, ...]:
        """Names of the lines that it changes."""
        ...

    def on(self, lines: Lines) -> Lines:
        """The lines with it.

        Parameters
        ----------
        lines : Lines
            All decisions.

        Returns
        -------
        Lines
            New ones.
        """
        ...


@one_line("name", "settings")
@dataclass(frozen=True)
class Settle(Frozen):
    """Give a line settings of its own.

    Parameters
    ----------
    name : str
        The line.
    settings : tuple of (str, float)
        Fields of `OwnSettings` and their values.
    """

    name: str
    settings: tuple[tuple[str, float], ...]

    @property
    def touches(self) -> tuple[str, ...]:
        """The line."""
        return (self.name,)

    def on(self, lines: Lines) -> Lines:
        """The lines with these settings.

        Parameters
        ----------
        lines : Lines
            All decisions.

        Returns
        -------
        Lines
            New ones.

        Examples
        --------
        >>> from swalekit.design.plan.lines_of import lines_of
        >>> lines = lines_of(design)
        >>> Settle("S2", (("bottom_width_m", 1.4),)).on(lines).own("S2").bottom_width_m
        1.4
        """
        given: dict[str, Any] = dict(self.settings)
        return lines.decide(self.name, lines.state(self.name), **given)


@one_line("least")
@dataclass(frozen=True)
class Strengthen(Frozen):
    """Give lines settings of so much at least, whatever they have of their own.

    Parameters
    ----------
    least : tuple of (str, str, float)
        Name of a line, field of `OwnSettings`, and its least value.
    """

    least: tuple[tuple[str, str, float], ...]

    @property
    def touches(self) -> tuple[str, ...]:
        """The lines."""
        return tuple(dict.fromkeys(name for name, _, _ in self.least))

    def on(self, lines: Lines) -> Lines:
        """The lines with these settings.

        Parameters
        ----------
        lines : Lines
            All decisions.

        Returns
        -------
        Lines
            New ones.

        Examples
        --------
        >>> from swalekit.design.plan.lines_of import lines_of
        >>> lines = lines_of(design).decide("S2", "held", freeboard_m=0.3)
        >>> [Strengthen((("S2", "freeboard_m", high),)).on(lines).own("S2").freeboard_m for high in (0.2, 0.45)]
        [0.3, 0.45]
        """
        for name, field, value in self.least:
            own = getattr(lines.own(name), field)
            lines = lines.decide(name, lines.state(name), **{field: value if own is None else max(own, value)})
        return lines


@one_line("name", "parts")
@dataclass(frozen=True, eq=False)
class Cut(Frozen):
    """Keep parts of a line and take out the rest.

    Parameters
    ----------
    name : str
        The line; its longest part keeps the name, and others get the next numbers and the same settings, but for the
        place of its sill.
    parts : tuple of ndarray of float64, shape (k, 2)
        Stations of the parts [m].
    """

    name: str
    parts: tuple[NDArray[Any], ...]

    @property
    def touches(self) -> tuple[str, ...]:
        """The line."""
        return (self.name,)

    def on(self, lines: Lines) -> Lines:
        """The lines with the parts, all held.

        Parameters
        ----------
        lines : Lines
            All decisions.

        Returns
        -------
        Lines
            New ones.

        Examples
        --------
        >>> from swalekit.design.plan.lines_of import lines_of
        >>> lines = lines_of(design)
        >>> cut = Cut("S2", (lines.lines[1].xy[:5], lines.lines[1].xy[8:30])).on(lines)
        >>> [(line.name, line.state, len(line.xy)) for line in cut.lines]
        [('S1', 'proposed', 45), ('S2', 'held', 22), ('S3', 'held', 5)]
        """
        number, rows = lines.next_number, []
        longest_first = sorted(self.parts, key=lambda xy: -len(xy))
        for line in lines.lines:
            if line.name != self.name:
                rows.append(line)
                continue
            own = replace(line.own, sill_at_m=None)
            names = [self.name, *(f"S{number + k}" for k in range(len(self.parts) - 1))]
            rows += [
                DecidedLine(name, HELD, xy, False, line.level_m, own)
                for name, xy in zip(names, longest_first, strict=True)
            ]
        return replace(lines, lines=tuple(rows))


@one_line("name", "note")
@dataclass(frozen=True)
class LeaveOut(Frozen):
    """Drop a line.

    Parameters
    ----------
    name : str
        The line.
    note : str
        Why.
    """

    name: str
    note: str

    @property
    def touches(self) -> tuple[str, ...]:
        """The line."""
        return (self.name,)

    def on(self, lines: Lines) -> Lines:
        """The lines with this one dropped.

        Parameters
        ----------
        lines : Lines
            All decisions.

        Returns
        -------
        Lines
            New ones.

        Examples
        --------
        >>> from swalekit.design.plan.lines_of import lines_of
        >>> LeaveOut("S2", "stands long").on(lines_of(design)).state("S2")
        'dropped'
        """
        return lines.decide(self.name, DROPPED, note=self.note)


@one_line("note")
@dataclass(frozen=True, eq=False)
class Add(Frozen):
    """Draw one more line.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        The stroke [m].
    note : str
        What for.
    """

    xy: NDArray[Any]
    note: str

    @property
    def touches(self) -> tuple[str, ...]:
        """No line that is there."""
        return ()

    def on(self, lines: Lines) -> Lines:
        """The lines with the stroke, drawn.

        Parameters
        ----------
        lines : Lines
            All decisions.

        Returns
        -------
        Lines
            New ones.

        Examples
        --------
        >>> from swalekit.design.plan.lines_of import lines_of
        >>> lines = lines_of(design)
        >>> Add(lines.lines[1].xy, "halves the water of S2").on(lines).lines[-1].name
        'S3'
        """
        return lines.draw(self.xy, note=self.note)
