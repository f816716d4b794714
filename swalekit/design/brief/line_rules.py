"""The brief's rules for level lines, no finer than the cells of the terrain can tell."""

from swalekit.contours.line import DEFAULT_RULES, LineRules
from swalekit.design.brief.settings import of_part
from swalekit.design.brief.site import Site
from swalekit.terrain.terrain import Terrain

LEAST_LENGTH_CELLS = 10.0
"""Cells that a line is long at least: our choice."""
LEAST_GAP_CELLS = 3.0
"""Cells from the middle of a watercourse to a line at least: our choice."""
LEAST_WATERCOURSE_CELLS = 50.0
"""Cells that drain to a watercourse at least: our choice."""


def line_rules_of(site: Site, terrain: Terrain) -> LineRules:
    """Where a level line is fit to dig: by the brief, but no finer than the cells can tell.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its ground, for the size of the cells.

    Returns
    -------
    LineRules
        The rules.

    Notes
    -----
    The slope across is measured over 6 m, or over two cells where these are wider. A line is ten cells long at least,
    and stays three cells from the middle of a watercourse, two and a half from the side of its cells: our choice.
    `cell_notes` tells where these go before the brief.

    Examples
    --------
    >>> line_rules_of(site, terrain).tolerance_m
    0.1
    """
    part, cell_m = site.brief.lines, terrain.grid.cell_m
    return of_part(
        LineRules,
        part,
        slope_support_m=max(DEFAULT_RULES.slope_support_m, 2.0 * cell_m),
        least_length_m=max(part.least_length_m, LEAST_LENGTH_CELLS * cell_m),
        watercourse_gap_m=max(part.watercourse_gap_m, (LEAST_GAP_CELLS - 0.5) * cell_m),
    )


def watercourse_area_m2(site: Site, terrain: Terrain) -> float:
    """Contributing area that makes a watercourse: the brief's, but 50 cells at least [m²].

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its ground, for the size of the cells.

    Returns
    -------
    float
        The area [m²]; the least number of cells is our choice.

    Examples
    --------
    >>> watercourse_area_m2(site, terrain)
    10000.0
    """
    return max(site.brief.lines.watercourse_area_m2, LEAST_WATERCOURSE_CELLS * terrain.grid.cell_area_m2)


def cell_notes(site: Site, terrain: Terrain) -> tuple[str, ...]:
    """Rules for lines in which the cells go before the brief.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its ground, for the size of the cells.

    Returns
    -------
    tuple of str
        One note, or none.

    Examples
    --------
    >>> cell_notes(site.with_values({"lines.least_length_m": 5.0}), terrain)
    ('cells of 1 m are too wide for some of [lines]: least_length_m counts as 10',)
    """
    part, rules = site.brief.lines, line_rules_of(site, terrain)
    counted = {
        "least_length_m": rules.least_length_m,
        "watercourse_gap_m": rules.watercourse_gap_m,
        "watercourse_area_m2": watercourse_area_m2(site, terrain),
    }
    raised = [f"{key} counts as {value:.3g}" for key, value in counted.items() if value > getattr(part, key)]
    cells = f"cells of {terrain.grid.cell_m:.3g} m are too wide for some of [lines]"
    return (f"{cells}: {', '.join(raised)}",) if raised else ()
