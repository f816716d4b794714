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
    ... # doctest: +ELLIPSIS
                                                 by the
                       rain  deep  came  runoff   brief   curve
    rain of     swale    mm     m    m³      mm      mm  number  reading
    2026-11-03  S1     40.0  0.20  71.6    16.4    12.7    88.2  used
    1 reading of 1 rain: 1 with runoff known in full
    ditches are taken to soak away 10.9 mm/h, the brief's rate; two readings of one rain would show it
    curve number 88.2 by least squares for Ia/S 0.2 (too few rains for an interval; median of single readings 88.2; ...
    the storm of 50.0 mm brings 24.1 mm of runoff by the fitted number, 19.6 mm by the brief
    to follow it put into the brief, under [soil]: curve_number = 88.2 (it is 85)
    caution: a number of some rains is that of their ground and season: keep to the greater of it and the brief's ...
    caution: the greatest rain read in full is 40.0 mm, the storm to hold 50.0 mm: that is reached for
    results in gauge
    """
    console, units = result_console(), gauging.design.site.brief.site.units
    print_table(console, *table_of(gauge_rows(gauging), _COLUMNS, units=units), left=(0, 1, 8), rest_in="gauge.csv")
    print_lines(console, *gauge_words(gauging), f"results in {folder}")
