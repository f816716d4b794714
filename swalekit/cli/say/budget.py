"""What is said of a budget."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.budget.site_budget import SiteBudget
from swalekit.reporting.words.budget_words import budget_sentences, money


def print_budget(found: SiteBudget, folder: Path) -> None:
    """Print sums by kind of thing with their ranges, then what it comes to.

    Parameters
    ----------
    found : SiteBudget
        The budget.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_budget(budget, Path("budget"))  # doctest: +ELLIPSIS
                       Cost  At least    At most
    earthworks      650 EUR   585 EUR    812 EUR
    plants          900 EUR   810 EUR  1,040 EUR
    for the unseen  155 EUR
    The site costs about 1,700 EUR, ...
    results in budget
    """
    console, budget = result_console(), found.budget
    rows = [
        (heading.heading, money(found, heading.cost), money(found, heading.low), money(found, heading.high))
        for heading in budget.headings
    ]
    rows += [("for the unseen", money(found, budget.contingency), "", "")] if budget.contingency else []
    print_table(console, ("", "Cost", "At least", "At most"), rows)
    print_lines(console, *budget_sentences(found), f"results in {folder}")
