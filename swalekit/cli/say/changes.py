"""What is said of two plans side by side."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.plan.changes import PlanChanges
from swalekit.reporting.words.change_words import change_counts, change_facts, change_sentences, change_table


def print_changes(changes: PlanChanges, folder: Path) -> None:
    """Print the lines that aren't as before, the totals, cautions and settings that differ.

    Parameters
    ----------
    changes : PlanChanges
        The plans.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> from swalekit.design.plan.changes import changes_between
    >>> print_changes(changes_between(record, record), Path("compare"))  # doctest: +ELLIPSIS
    lines: 2 as before
    swales 2; length 176 m; ...
    results in compare
    """
    console = result_console()
    header, rows = change_table(changes)
    heads = [" ".join(head.split("\n")).strip() if not head.split("\n")[-1] else head for head in header]
    print_table(console, heads, rows, left=(0, 1), rest_in="changes.csv")
    print_lines(console, f"lines: {change_counts(changes)}")
    print_lines(console, "; ".join(f"{label.lower()} {value}" for label, value in change_facts(changes)))
    print_lines(console, *(_opened_low(sentence) for sentence in change_sentences(changes)), f"results in {folder}")


def _opened_low(sentence: str) -> str:
    return sentence[:1].lower() + sentence[1:].rstrip(".")
