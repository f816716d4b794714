"""What is said of the storm."""

from pathlib import Path
from typing import Any

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.brief.settings import duration_h, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.plan.storm_table import storm_rows
from swalekit.reporting.words.shown import number, shown, unit_name


def print_storm(site: Site, folder: Path) -> None:
    """Print depth by return period, the storms asked for, and what a reader must know.

    Parameters
    ----------
    site : Site
        The site.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_storm(site, Path("storm"))
    design storm 50.0 mm, check storm 75.0 mm, in 24 h
    results in storm
    """
    console, units, storm, part = result_console(), site.brief.site.units, storm_of(site), site.brief.storm
    heads = ("return period\nyears", f"depth\n{unit_name('mm', units=units)}", "90 % band\nfrom", "\nto")
    rows = []
    for row in storm_rows(site):
        figures: dict[str, Any] = row
        depths = [number(figures[name], "mm", units=units, decimals=1) for name in ("depth_mm", "low_mm", "high_mm")]
        rows.append((f"{row['return_period_y']:g}", *depths))
    print_table(console, heads, rows, left=())
    design, check = (
        shown(depth, "mm", units=units, decimals=1) + ("" if years is None else f" ({years:g} years)")
        for depth, years in (
            (storm.depth_mm, part.return_period_y),
            (storm.check_depth_mm, part.check_return_period_y),
        )
    )
    console.print(f"design storm {design}, check storm {check}, in {duration_h(site):.3g} h")
    print_lines(console, *(f"note: {note}" for note in site.notes), f"results in {folder}")
