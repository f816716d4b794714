"""Bills of quantities: what is bought and done, in which year, and on what a quantity is based."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from swalekit._checks import check_not_negative
from swalekit._one_line import one_line
from swalekit.design.plan.columns import Column, Entry, row_of

BILL_COLUMNS: tuple[Column, ...] = (
    Column("heading", "", "what kind of thing it is"),
    Column("item", "", "what is supplied or done"),
    Column("year", "", "year in which it is wanted: of the calendar where the brief says when planting begins", 0),
    Column("quantity", "", "how much", 2),
    Column("unit", "", "of what"),
    Column("price", "", "price of a unit, empty where the brief names none", 2),
    Column("cost", "", "quantity times price", 2),
    Column("basis", "", "what the quantity is based on"),
)


@one_line("item", "quantity", "unit", "year", "price")
@dataclass(frozen=True)
class BillLine:
    """One line.

    Parameters
    ----------
    item : str
        What is supplied or done.
    quantity : float
        How much, in ``unit``.
    unit : str
        Unit of the quantity.
    heading : str
        What kind of thing it is, under which a budget counts it: a row of the table of budget ranges.
    year : int
        Year in which it is wanted, from 1 for the first planting and the first season of building.
    priced_as : str
        Name under which it is priced; that of the item where it is empty.
    basis : str
        What the quantity is based on, in words.
    price : float or None
        Price of a unit in the client's currency; None where it isn't known.
    """

    item: str
    quantity: float
    unit: str
    heading: str = "plants"
    year: int = 1
    priced_as: str = ""
    basis: str = ""
    price: float | None = None

    @property
    def cost(self) -> float | None:
        """Quantity times price; None where that isn't known."""
        return None if self.price is None else self.quantity * self.price


@one_line("lines", "cost")
@dataclass(frozen=True)
class Bill:
    """All lines."""

    lines: tuple[BillLine, ...]

    @property
    def cost(self) -> float | None:
        """Sum over the lines with a price; None if none has one."""
        costs = [line.cost for line in self.lines if line.cost is not None]
        return sum(costs) if costs else None

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Items that the cost leaves out."""
        return tuple(dict.fromkeys(line.item for line in self.lines if line.price is None))


def bill_of(lines: Iterable[BillLine], prices: Mapping[str, float] | None = None) -> Bill:
    """Bill of quantities.

    Parameters
    ----------
    lines : iterable of BillLine
        What is supplied or done; lines with no quantity are left out.
    prices : mapping of str to float, optional
        Price of a unit by item, or by what it is priced as.

    Returns
    -------
    Bill
        The lines in their order, priced.

    Raises
    ------
    InputError
        If a price or quantity is negative.

    Examples
    --------
    >>> bill = bill_of([BillLine("olive", 12, "plants"), BillLine("mulch", 30.0, "m3", year=2)], {"olive": 9.5})
    >>> bill.cost, bill.unpriced
    (114.0, ('mulch',))
    """
    known = prices or {}
    check_not_negative(**{f"price of {item}": price for item, price in known.items()})
    wanted = [line for line in lines if line.quantity]
    check_not_negative(**{f"quantity of {line.item}": line.quantity for line in wanted})
    return Bill(tuple(replace(line, price=known.get(line.priced_as or line.item)) for line in wanted))


def bill_rows(bill: Bill, *, first_year: int = 1) -> list[dict[str, Entry]]:
    """Lines of a bill by the names of `BILL_COLUMNS`.

    Parameters
    ----------
    bill : Bill
        The bill.
    first_year : int
        What year 1 is called.

    Returns
    -------
    list of dict
        A row a line.

    Examples
    --------
    >>> row, = bill_rows(bill_of([BillLine("olive", 12, "plants", year=3)], {"olive": 9.5}), first_year=2030)
    >>> row["year"], row["cost"]
    (2032, 114.0)
    """
    return [row_of(line, BILL_COLUMNS, year=first_year - 1 + line.year) for line in bill.lines]
