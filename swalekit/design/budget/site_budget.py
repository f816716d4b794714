"""The budget of a site, with what a client must know to read it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from swalekit._one_line import one_line
from swalekit.design.brief.rates_part import RatesPart
from swalekit.design.budget.bill import BILL_COLUMNS, BillLine
from swalekit.design.budget.budget import EARTHWORKS, Budget, Range, budget_of, lines_of_rows, usual_ranges
from swalekit.design.budget.choices import Choice, choices_of
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.errors import InputError

HEADING_COLUMNS: tuple[Column, ...] = (
    Column("heading", "", "what kind of thing it is"),
    Column("cost", "", "sum of its priced lines", 0),
    Column("low", "", "low end", 0),
    Column("high", "", "high end", 0),
    Column("basis", "", "what the range is from", 0, "spread.basis"),
)
CHOICE_COLUMNS: tuple[Column, ...] = (
    Column("choice", "", "why it is shown"),
    Column("option", "", "what is varied"),
    Column("swales", "", "number of swales", 0),
    Column("works", "", "cost of its earthworks and sills", 0),
    Column("kept_share", "", "share of the water of the design storm that stays on the site", 3),
    Column("held_storm_mm", "mm", "deepest storm that leaves every swale without spilling"),
)


@one_line("site", "budget.total", "currency")
@dataclass(frozen=True)
class SiteBudget:
    """A budget and what it is of.

    Parameters
    ----------
    site : str
        Name of the site.
    currency : str
        As it is written beside sums.
    first_year : int
        What year 1 is called: a year of the calendar where the brief says when planting begins.
    budget : Budget
        All lines.
    works : float
        Sum of the earthworks and sills of the plan.
    choices : tuple of Choice
        Layouts compared, where there are any.
    without : tuple of str
        What isn't counted, since no result of it was given.
    units : str
        ``metric`` or ``us``.
    """

    site: str
    currency: str
    first_year: int
    budget: Budget
    works: float
    choices: tuple[Choice, ...] = ()
    without: tuple[str, ...] = ()
    units: str = "metric"


def site_budget(
    plan: Mapping[str, Any],
    rates: RatesPart,
    *,
    first_year: int = 1,
    planting: Sequence[Mapping[str, Any]] | None = None,
    microcatchments: Sequence[Mapping[str, Any]] | None = None,
    reliability: Mapping[str, Any] | None = None,
    options: Sequence[Mapping[str, Any]] = (),
    units: str = "metric",
) -> SiteBudget:
    """Make the budget from what results keep.

    Parameters
    ----------
    plan : mapping
        Summary of a plan: ``site``, ``bill``.
    rates : RatesPart
        Prices of its brief.
    first_year : int
        What year 1 is called.
    planting, microcatchments : sequence of mapping, optional
        Rows of their bills.
    reliability : mapping, optional
        Summary of how sure the plan is; its draws of the cost give the range of the earthworks.
    options : sequence of mapping
        Options compared.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    SiteBudget
        All of it.

    Raises
    ------
    InputError
        If nothing has a price.

    Examples
    --------
    >>> line = BillLine("machine", 10.0, "h", "earthworks", price=65.0)
    >>> row = row_of(line, BILL_COLUMNS)
    >>> site_budget({"site": "North", "bill": [row]}, RatesPart(currency="EUR"))
    SiteBudget(North, total 715, EUR)
    """
    bills = [lines_of_rows(rows, first_year=first_year) for rows in (plan["bill"], microcatchments, planting) if rows]
    budget = budget_of(bills, rates, dug=None if reliability is None else _dug_range(reliability))
    if not budget.headings:
        message = "the plan's brief names no price; give some under [rates] and [planting.prices] and plan again"
        raise InputError(message)
    without = [word for word, rows in (("planting", planting), ("microcatchments", microcatchments)) if rows is None]
    works = sum(line.cost or 0.0 for line in lines_of_rows(plan["bill"], first_year=first_year))
    name, choices = str(plan["site"]), choices_of(options)
    return SiteBudget(name, rates.currency, first_year, budget, works, choices, tuple(without), units)


def _dug_range(reliability: Mapping[str, Any]) -> Range | None:
    """Cost of the earthworks at the ends of nine draws in ten, no narrower than the table assumes of the ground."""
    whole = reliability["layout"]
    if not whole["cost"]:
        return None
    low, high = (whole[f"cost_{end}"] / whole["cost"] for end in ("low", "high"))
    assumed, draws = usual_ranges()[EARTHWORKS], reliability["draws"]
    drawn = f"{draws} draws of heights, crew and soil give {low:.2f} to {high:.2f}"
    return Range(min(low, assumed.low), max(high, assumed.high), f"{assumed.basis}; {drawn}")


def budget_rows(found: SiteBudget) -> list[dict[str, Entry]]:
    """Every line by the names of `BILL_COLUMNS`, what is kept for the unseen last.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    list of dict
        A row a line.

    Examples
    --------
    >>> [row["item"] for row in budget_rows(budget)]
    ['machine', 'olive', 'contingency']
    """
    budget = found.budget
    kept = BillLine(
        "contingency",
        100.0 * budget.contingency_share,
        "%",
        "contingency",
        basis="a share of the sum for what nobody saw",
        price=budget.known / 100.0,
    )
    return [
        row_of(line, BILL_COLUMNS, year=None if line is kept else found.first_year - 1 + line.year)
        for line in (*budget.lines, kept)
        if line is not kept or budget.contingency_share
    ]


def heading_rows(found: SiteBudget) -> list[dict[str, Entry]]:
    """Sums by heading, by the names of `HEADING_COLUMNS`.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    list of dict
        A row a heading.

    Examples
    --------
    >>> [(row["heading"], row["cost"]) for row in heading_rows(budget)]
    [('earthworks', 650), ('plants', 900)]
    """
    return [row_of(heading, HEADING_COLUMNS) for heading in found.budget.headings]


def choice_rows(choices: Iterable[Choice]) -> list[dict[str, Entry]]:
    """Layouts to choose from, by the names of `CHOICE_COLUMNS`.

    Parameters
    ----------
    choices : iterable of Choice
        The layouts.

    Returns
    -------
    list of dict
        A row a layout.

    Examples
    --------
    >>> [row["choice"] for row in choice_rows(budget.choices)]
    ['least, recommended', 'most water kept']
    """
    return [row_of(choice, CHOICE_COLUMNS) for choice in choices]
