"""One budget over all bills of a site: each thing once, with a range, a share for what nobody saw, year by year."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import hypot
from typing import Any

from swalekit._one_line import one_line
from swalekit.design.brief.rates_part import RatesPart
from swalekit.design.budget.bill import BillLine
from swalekit.tables.load import read_table

EARTHWORKS, OTHER = "earthworks", "other"
_MACHINE = "bringing the machine"


@dataclass(frozen=True)
class Range:
    """How far the cost of a heading may come out from the sum of its lines.

    Parameters
    ----------
    low, high : float
        Over the sum of the lines [-].
    basis : str
        Where that is from.
    """

    low: float
    high: float
    basis: str


@one_line("heading", "cost", "low", "high")
@dataclass(frozen=True)
class Heading:
    """What one kind of thing costs.

    Parameters
    ----------
    heading : str
        What it is.
    cost : float
        Sum of its priced lines, in the client's currency.
    spread : Range
        How far it may come out otherwise.
    """

    heading: str
    cost: float
    spread: Range

    @property
    def low(self) -> float:
        """Cost at the low end."""
        return self.cost * self.spread.low

    @property
    def high(self) -> float:
        """Cost at the high end."""
        return self.cost * self.spread.high


@one_line("total", "low", "high")
@dataclass(frozen=True)
class Budget:
    """All lines of a site.

    Parameters
    ----------
    lines : tuple of BillLine
        Of all bills, each thing once, by heading; year 1 is the first.
    ranges : mapping of str to Range
        By heading.
    contingency_share : float
        Share of their sum that is kept for what nobody saw [-].
    """

    lines: tuple[BillLine, ...]
    ranges: Mapping[str, Range]
    contingency_share: float

    @property
    def headings(self) -> tuple[Heading, ...]:
        """Sums of the priced lines by heading, in the order of the table."""
        sums: dict[str, float] = {}
        for line in self.lines:
            if line.cost is not None:
                sums[line.heading] = sums.get(line.heading, 0.0) + line.cost
        return tuple(Heading(name, sums[name], spread) for name, spread in self.ranges.items() if name in sums)

    @property
    def known(self) -> float:
        """Sum of all priced lines."""
        return sum(heading.cost for heading in self.headings)

    @property
    def contingency(self) -> float:
        """What is kept for what nobody saw."""
        return self.contingency_share * self.known

    @property
    def total(self) -> float:
        """All lines, and what is kept."""
        return self.known + self.contingency

    @property
    def low(self) -> float:
        """Low end of the total: the headings' shortfalls taken as independent of each other, nothing kept."""
        return self.known - hypot(*(heading.cost - heading.low for heading in self.headings))

    @property
    def high(self) -> float:
        """High end of the total: the headings' overruns likewise, with what is kept where that is more."""
        over = hypot(*(heading.high - heading.cost for heading in self.headings))
        return self.known + max(over, self.contingency)

    @property
    def by_year(self) -> dict[int, float]:
        """Sum of the priced lines by year, what is kept spread over them in proportion."""
        sums: dict[int, float] = {}
        for line in self.lines:
            if line.cost is not None:
                sums[line.year] = sums.get(line.year, 0.0) + line.cost * (1.0 + self.contingency_share)
        return dict(sorted(sums.items()))

    @property
    def unpriced(self) -> tuple[str, ...]:
        """Things that the sums leave out because the brief names no price."""
        return tuple(dict.fromkeys(line.item for line in self.lines if line.price is None))


def usual_ranges() -> dict[str, Range]:
    """How far the cost of each kind of thing may come out, as the table assumes.

    Returns
    -------
    dict of str to Range
        By heading, in the order of a budget.

    Examples
    --------
    >>> usual_ranges()["sills"].high
    1.3
    """
    return {
        row["heading"]: Range(float(row["low"]), float(row["high"]), row["source"])
        for row in read_table("budget_ranges")
    }


def budget_of(bills: Iterable[Sequence[BillLine]], rates: RatesPart, *, dug: Range | None = None) -> Budget:
    """Gather bills into one budget.

    Parameters
    ----------
    bills : iterable of sequence of BillLine
        Bills of the swales, of microcatchments, of the planting.
    rates : RatesPart
        The brief's share for contingency, and sums of its own.
    dug : Range, optional
        How far the earthworks' cost may come out, where draws of the plan say it; the table's when not given.

    Returns
    -------
    Budget
        Bringing the machine is counted once a year, whichever bill asks for it.

    Examples
    --------
    >>> works = [BillLine("machine", 86.0, "h", "earthworks", price=65.0)]
    >>> trees = [BillLine("olive", 100, "plants", price=9.0), BillLine("fig", 10, "plants", year=3)]
    >>> budget = budget_of([works, trees], RatesPart(other={"soil pits": 200.0}))
    >>> budget.known, budget.unpriced
    (6690.0, ('fig',))
    >>> [round(each) for each in (budget.low, budget.total, budget.high)]
    [6123, 7359, 8095]
    """
    ranges = usual_ranges()
    if dug is not None:
        ranges[EARTHWORKS] = dug
    own = [
        BillLine(name, 1.0, "sum", OTHER, basis="as the brief names it", price=sum_)
        for name, sum_ in rates.other.items()
    ]
    order = list(ranges)
    lines = sorted(
        _once([*(line for bill in bills for line in bill), *own]), key=lambda line: order.index(line.heading)
    )
    return Budget(tuple(lines), ranges, rates.contingency_share)


def _once(lines: Iterable[BillLine]) -> list[BillLine]:
    """Lines without a machine that is brought a second time in a year."""
    brought, kept = set[int](), []
    for line in lines:
        if line.item == _MACHINE:
            if line.year in brought:
                continue
            brought.add(line.year)
        kept.append(line)
    return kept


def lines_of_rows(rows: Iterable[Mapping[str, Any]], *, first_year: int = 1) -> list[BillLine]:
    """Lines of a bill as a folder of results keeps them.

    Parameters
    ----------
    rows : iterable of mapping
        By the names of `BILL_COLUMNS`.
    first_year : int
        What year 1 is called there.

    Returns
    -------
    list of BillLine
        The lines; their costs differ by the rounding of quantities, so that the price is taken from the cost.

    Examples
    --------
    >>> from swalekit.design.budget.bill import bill_of, bill_rows
    >>> rows = bill_rows(bill_of([BillLine("stone", 78.86, "m3", "sills", 2)], {"stone": 18.0}))
    >>> line, = lines_of_rows(rows)
    >>> line.quantity, line.cost, line.year
    (78.86, 1419.48, 2)
    """
    return [
        BillLine(
            row["item"],
            row["quantity"],
            row["unit"],
            row["heading"],
            row["year"] - first_year + 1,
            basis=row["basis"],
            price=None if row["cost"] is None else row["cost"] / row["quantity"],
        )
        for row in rows
        if row["quantity"]
    ]
