"""What a budget comes to, in sentences that a client reads."""

from collections.abc import Iterator

from swalekit.design.budget.bill import BillLine
from swalekit.design.budget.site_budget import SiteBudget
from swalekit.reporting.words.chapters import Chapter
from swalekit.reporting.words.shown import shown

_CALENDAR = 1900


def money(found: SiteBudget, sum_: float) -> str:
    """A sum in the client's currency, in tens from a thousand on: what is estimated isn't known to the unit.

    Parameters
    ----------
    found : SiteBudget
        The budget.
    sum_ : float
        The sum.

    Returns
    -------
    str
        As ``12,350 EUR``.

    Examples
    --------
    >>> money(budget, 12346.7), money(budget, 126.4)
    ('12,350 EUR', '126 EUR')
    """
    return f"{round(sum_, -1) if abs(sum_) >= 1000.0 else sum_:,.0f} {found.currency}".rstrip()


def year_name(found: SiteBudget, year: int) -> str:
    """What a year is called.

    Parameters
    ----------
    found : SiteBudget
        The budget.
    year : int
        Year, from 1.

    Returns
    -------
    str
        The year of the calendar, or its number.

    Examples
    --------
    >>> year_name(budget, 3)
    '2032'
    """
    called = found.first_year - 1 + year
    return str(called) if called >= _CALENDAR else f"year {called}"


def headline(found: SiteBudget) -> str:
    """The one sum, and how far it may come out otherwise.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    str
        A sentence.

    Examples
    --------
    >>> headline(budget)[:52]
    'The site costs about 1,700 EUR, 155 EUR of it kept f'
    """
    budget = found.budget
    kept = f", {money(found, budget.contingency)} of it kept for what nobody saw" if budget.contingency else ""
    return (
        f"The site costs about {money(found, budget.total)}{kept}; it may come out between {money(found, budget.low)} "
        f"and {money(found, budget.high)}."
    )


def budget_sentences(found: SiteBudget) -> tuple[str, ...]:
    """What a budget comes to: the sum, by year, the choices, and what is left out.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    tuple of str
        Sentences.

    Examples
    --------
    >>> budget_sentences(budget)[1]
    'By year, with what is kept: 715 EUR in 2030, 990 EUR in 2032.'
    """
    by_year = found.budget.by_year
    told = [headline(found)]
    if len(by_year) > 1:
        years = [f"{money(found, sum_)} in {year_name(found, year)}" for year, sum_ in by_year.items()]
        told.append(f"By year, with what is kept: {', '.join(years)}.")
    told += choice_sentences(found)
    if found.budget.unpriced:
        told.append(f"Without a price, and so not in the sum: {', '.join(found.budget.unpriced)}.")
    if found.without:
        told.append(f"Not counted, since no result of it was named: {' and '.join(found.without)}.")
    return tuple(told)


def choice_sentences(found: SiteBudget) -> list[str]:
    """The layouts to choose from, each in a sentence; this budget's planting with each.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    list of str
        A sentence a layout.

    Examples
    --------
    >>> print(choice_sentences(budget)[1])
    Most water kept (25 m): 2,190 EUR in all, 1,090 EUR of it for 6 swales; 80 % of the design storm's runoff stays, and
    none spills up to 52 mm.
    """
    share = 1.0 + found.budget.contingency_share
    rest = found.budget.total - share * found.works
    return [
        f"{choice.choice[0].upper()}{choice.choice[1:]} ({choice.option}): {money(found, rest + share * choice.works)} "
        f"in all, {money(found, choice.works)} of it for {choice.swales} swales; {100 * choice.kept_share:.0f} % of "
        "the design storm's runoff stays, and none spills up to "
        f"{shown(choice.held_storm_mm, 'mm', units=found.units)}."
        for choice in found.choices
    ]


def budget_chapters(found: SiteBudget) -> tuple[Chapter, ...]:
    """A budget for the pages behind its chart: what it comes to, what ranges are from, what lines are based on.

    Parameters
    ----------
    found : SiteBudget
        The budget.

    Returns
    -------
    tuple of Chapter
        Heads and sentences.

    Examples
    --------
    >>> [chapter.head for chapter in budget_chapters(budget)]
    ['What it comes to', 'How sure each part is', 'What each sum is based on']
    """
    budget = found.budget
    ranges = [
        f"{heading.heading}: {money(found, heading.low)} to {money(found, heading.high)} ({heading.spread.basis})."
        for heading in budget.headings
    ]
    closing = (
        "An estimate from the design's own amounts and the prices of the brief: no offer. Ask for offers before any is "
        "signed. The range takes the headings' errors as independent of each other; its upper end holds at least what "
        "is kept for what nobody saw. No harvest is reckoned: no source carries a figure for such young trees."
    )
    return (
        Chapter("What it comes to", (*budget_sentences(found), closing)),
        Chapter("How sure each part is", tuple(ranges)),
        Chapter("What each sum is based on", tuple(_line_sentences(found))),
    )


def _line_sentences(found: SiteBudget) -> Iterator[str]:
    """Every thing once, with its years."""
    things: dict[tuple[str, str, str, str], list[BillLine]] = {}
    for line in found.budget.lines:
        things.setdefault((line.heading, line.item, line.unit, line.basis), []).append(line)
    for (heading, item, unit, basis), lines in things.items():
        years = sorted({line.year for line in lines})
        when = year_name(found, years[0]) + (f" to {year_name(found, years[-1])}" if len(years) > 1 else "")
        costs = [line.cost for line in lines if line.cost is not None]
        cost = money(found, sum(costs)) if costs else "no price"
        amount = shown(sum(line.quantity for line in lines), unit, units=found.units)
        yield f"{heading}: {item}, {when}: {amount}, {cost}" + (f" ({basis})." if basis else ".")
