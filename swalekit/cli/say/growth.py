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
           Harvest                                      Ground each  Want met  By hand
    Swale       m³  Carries  Room for  Trees  Pioneers           m²         %   L/week
    S1         109    fruit        14     14        13          113        50        –
    S2         104    fruit        14     14        13          113        49        –
    Without watering the swales carry 28 fruit trees; by hand, to each tree in a week of the dry ...
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
