"""What is said of a site that was begun."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.reporting.words.shown import area_shown, shown
from swalekit.results.begin.begin import BRIEF, Begun, begun_summary


def print_begun(begun: Begun, folder: Path) -> None:
    """Print what the tile says, what the ground suits, what was guessed, and how to go on.

    Parameters
    ----------
    begun : Begun
        What the site begins with.
    folder : Path
        Where it is.
    """
    console, units, told = result_console(), begun.site.brief.site.units, begun_summary(begun)
    found = begun.appraisal
    moved_m = told["vertical_sigma_m"] / max(found.slope_quartiles[1], 1e-3)
    moved = shown(moved_m, "m", units=units, decimals=1)
    slopes = " · ".join(f"{100 * slope:.1f}" for slope in found.slope_quartiles)
    cell, sigma = (shown(told[key], "m", units=units, decimals=2) for key in ("cell_m", "vertical_sigma_m"))
    print_lines(
        console,
        f"{told['site']}: {area_shown(found.area_m2, units=units)}, {told['crs']}, cells of {cell}, heights within "
        f"about {sigma}",
        f"slopes {slopes} % (quartiles): height error moves a line by about {moved}; "
        f"{shown(told['watercourses_m'], 'm', units=units)} of watercourses, "
        f"hollows that hold water: {len(found.ponds)}",
    )
    rows = [
        (row.use, row.name, area_shown(row.area_m2, units=units), found.limits.reason(row.kind, units=units))
        for row in found.classes
    ]
    print_table(console, ("suits", "ground", "area", "why"), rows, left=(0, 1, 3))
    print_lines(console, *(f"note: {note}" for note in told["notes"]))
    if begun.unfit:
        print_lines(console, f"caution: {begun.unfit}")
    print_lines(
        console,
        f"guessed: {', '.join(begun.guesses)}; {BRIEF} says how to find the true values",
        f"begun in {folder}; go on with: swalekit plan {folder / BRIEF}",
    )
