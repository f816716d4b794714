"""What is said of gauge notes."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.gauging.gauging import Gauging
from swalekit.design.gauging.table import gauge_rows
from swalekit.reporting.words.gauge_words import gauge_words
from swalekit.reporting.words.shown import ShownColumn, table_of

_COLUMNS: tuple[ShownColumn, ...] = (
    ("rain of", "date", "", 0),
    ("swale", "swale", "", 0),
    ("rain", "rain_mm", "mm", 1),
    ("deep", "depth_m", "m", 2),
    ("came", "came_m3", "m3", 1),
    ("runoff", "runoff_mm", "mm", 1),
    ("by the\nbrief", "brief_mm", "mm", 1),
    ("curve\nnumber", "curve_number", "", 1),
    ("reading", "state", "", 0),
)


def print_gauging(gauging: Gauging, folder: Path) -> None:
    """Print a row a reading, the fitted number, and the line to put into the brief.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> print_gauging(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.2)]), Path("gauge"))
    """
    console, units = result_console(), gauging.design.site.brief.site.units
    print_table(console, *table_of(gauge_rows(gauging), _COLUMNS, units=units), left=(0, 1, 8), rest_in="gauge.csv")
    print_lines(console, *gauge_words(gauging), f"results in {folder}")
