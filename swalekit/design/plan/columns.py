"""A column of a table, and the row that columns take from a value."""

from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from math import isfinite
from typing import Any

from swalekit._one_line import one_line

Entry = float | int | str | None
"""What stands in a cell of a table."""


@one_line("name", "unit", "meaning")
@dataclass(frozen=True)
class Column:
    """A column of a table that leaves the program, declared once for all writers and the documentation.

    Parameters
    ----------
    name : str
        With the unit, in names of the house.
    unit : str
        Unit, '' for none.
    meaning : str
        In words.
    decimals : int
        In which it is written.
    of : str or callable, optional
        How the figure is taken from the value that a row tells of: the attribute of that name, dotted where it lies
        deeper (empty where one on the way is None), or a function of the value; the attribute of the column's name
        unless given.
    """

    name: str
    unit: str
    meaning: str
    decimals: int = 1
    of: str | Callable[[Any], Any] = ""

    def figure(self, value: object) -> Entry:
        """The column's figure of a value, rounded; None where there is none, or no finite one.

        Parameters
        ----------
        value : object
            What the row tells of, or a mapping of figures by name.

        Returns
        -------
        Entry
            The figure.

        Examples
        --------
        >>> Column("real_m", "m", "width", 1, "real").figure(2.34)
        2.3
        """
        if callable(self.of):
            return self.rounded(self.of(value))
        if isinstance(value, Mapping):
            return self.rounded(value.get(self.name))
        for step in (self.of or self.name).split("."):
            value = None if value is None else getattr(value, step)
        return self.rounded(value)

    def rounded(self, figure: Any) -> Entry:
        """A figure as it is written.

        Parameters
        ----------
        figure : object
            A number, a text, or None.

        Returns
        -------
        Entry
            A number in the column's decimals, whole without any; what is no float stays; None where it isn't finite.

        Examples
        --------
        >>> Column("cost", "", "cost", 0).rounded(12.6), Column("cost", "", "cost").rounded(float("inf"))
        (13, None)
        """
        if not isinstance(figure, float):
            return figure  # type: ignore[no-any-return]
        if not isfinite(figure):
            return None
        rounded = round(float(figure), self.decimals) + 0.0
        return rounded if self.decimals else int(rounded)


def row_of(value: object, columns: Iterable[Column], **given: Entry) -> dict[str, Entry]:
    """Figures of a value by the names of columns, rounded once, so that every output says the same.

    Parameters
    ----------
    value : object
        What the row tells of; or a mapping of figures by name, of which one that lacks is empty.
    columns : iterable of Column
        In the order of the row.
    **given
        Figures that the value alone doesn't tell, by name.

    Returns
    -------
    dict of str to Entry
        A figure a column, in their order.

    Examples
    --------
    >>> columns = (Column("real", "m", "width", 2), Column("double_m", "m", "twice that", 0, lambda width: 2 * width))
    >>> row_of(1.2345, columns)
    {'real': 1.23, 'double_m': 2}
    """
    return {
        column.name: column.rounded(given[column.name]) if column.name in given else column.figure(value)
        for column in columns
    }
