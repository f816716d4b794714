"""The bill of quantities of a planting."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, replace

from swalekit._checks import check_not_negative
from swalekit._one_line import one_line


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
        What kind of thing it is, under which a budget counts it.
    year : int
        Year after the first planting in which it is wanted, from 1.
    priced_as : str
        Name under which it is priced; that of the item where it is empty.
    price : float or None
        Price of a unit in the client's currency; None where it isn't known.
    """

    item: str
    quantity: float
    unit: str
    heading: str = "plants"
    year: int = 1
    priced_as: str = ""
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
