"""What is said of microcatchments."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.bunding.bunding import Bunding
from swalekit.reporting.words.bund_words import bund_sentences, bund_table


def print_bunding(found: Bunding, folder: Path) -> None:
    """Print the blocks, what was laid and why so large, what became of the ground, notes and cautions.

    Parameters
    ----------
    found : Bunding
        The microcatchments.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_bunding(bunding, Path("bund"))  # doctest: +ELLIPSIS
                         Size  Slope  Bund   Soil  Comes  Holds
    Block  Units  Trees     m      %     m     m³     m³     m³  Spill
    M1       930    930     3   10.0  0.45  1,196    164  1,896      0
    Negarim of 3 m: 930 units for as many trees, in 1 block, on 0.84 ha of 1.20 ha; ...
    results in bund
    """
    console = result_console()
    print_table(console, *bund_table(found), rest_in="blocks.csv")
    print_lines(
        console,
        *bund_sentences(found),
        *(f"note: {note}" for note in found.notes),
        *(f"caution: {caution.name}: {caution.text}" for caution in found.cautions),
        f"results in {folder}",
    )
