"""What is said of a planting."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.growth.growth import Growth
from swalekit.reporting.words.planting_words import growth_words, planting_table


def print_growth(growth: Growth, folder: Path) -> None:
    """Print what each swale carries, what the count hangs on, the greywater, notes and cautions."""
    console = result_console()
    print_table(console, *planting_table(growth), rest_in="planting.csv")
    print_lines(
        console,
        *growth_words(growth),
        *(f"note: {note}" for note in growth.notes),
        *(f"caution: {name}: {text}" for name, text in growth.cautions.items()),
        f"results in {folder}",
    )
