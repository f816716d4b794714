"""The bill of quantities of a planting."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass

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
    price : float or None
        Price of a unit in the client's currency; None where it isn't known.
    """

    item: str
    quantity: float
    unit: str
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
        return tuple(line.item for line in self.lines if line.price is None)


def bill_of(items: Iterable[tuple[str, float, str]], prices: Mapping[str, float] | None = None) -> Bill:
    """Bill of quantities.

    Parameters
    ----------
    items : iterable of tuple
        Item, quantity and unit of each line; lines with no quantity are left out.
    prices : mapping of str to float, optional
        Price of a unit by item.

    Returns
    -------
    Bill
        The lines in their order.

    Raises
    ------
    InputError
        If a price or quantity is negative.

    Examples
    --------
    >>> bill = bill_of([("olive", 12, "plants"), ("mulch", 30.0, "m3")], {"olive": 9.5})
    >>> bill.cost, bill.unpriced
    (114.0, ('mulch',))
    """
    known = prices or {}
    check_not_negative(**{f"price of {item}": price for item, price in known.items()})
    lines = tuple(BillLine(item, quantity, unit, known.get(item)) for item, quantity, unit in items if quantity)
    check_not_negative(**{f"quantity of {line.item}": line.quantity for line in lines})
    return Bill(lines)
