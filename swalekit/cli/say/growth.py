"""What is said of a planting."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.growth.growth import Growth
from swalekit.reporting.words.planting_words import growth_words, planting_table


def print_growth(growth: Growth, folder: Path) -> None:
    """Print what each swale carries, what the count hangs on, the greywater, notes and cautions.

    Parameters
    ----------
    growth : Growth
        The planting.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_growth(growth, Path("grow"))  # doctest: +ELLIPSIS
           Harvest                             Roots reach  Want met  No swale  Lacking
    Swale       m³  Room for  Trees  Pioneers            %         %         %       m³
    S1         109        14     14        13          100        45        33      238
    S2         104        14     14        13          100        45        33      238
    28 trees: they get 30 % of their full want or more in 80 % of the years, ...
    results in grow
    """
    console = result_console()
    print_table(console, *planting_table(growth), rest_in="planting.csv")
    print_lines(
        console,
        *growth_words(growth),
        *(f"note: {note}" for note in growth.notes),
        *(f"caution: {name}: {text}" for name, text in growth.cautions.items()),
        f"results in {folder}",
    )
