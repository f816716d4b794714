"""What is said of a mended layout."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.mending.mend import Mended
from swalekit.design.mending.table import caution_counts
from swalekit.reporting.words.mending_words import mending_sentences, mending_table


def print_mended(mended: Mended, folder: Path) -> None:
    """Print the cures taken, the cautions before and after, and what the mended layout costs.

    Parameters
    ----------
    mended : Mended
        Before and after.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> from swalekit.design.mending import mend
    >>> from dataclasses import replace
    >>> print_mended(replace(mend(design, only=["S1"]), trials=()), Path("mended"))
    no swale raises a caution that another shape or place of its works could remove
    results in mended
    """
    console = result_console()
    if mended.trials:
        print_table(console, *mending_table(mended), left=(0, 1, 2), rest_in="mending.csv")
        heads = ("caution", "swales before", "after")
        rows = [(name, str(was), str(is_now)) for name, was, is_now in caution_counts(mended)]
        print_table(console, heads, rows, left=(0,), rest_in="mending.csv")
    print_lines(console, *mending_sentences(mended), f"results in {folder}")
