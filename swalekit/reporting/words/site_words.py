"""What is said of a site before any line is laid."""

from swalekit.design.appraisal.appraisal import QUARTERS, WIDEST_FOR_ROUGHNESS_M, Appraisal
from swalekit.design.appraisal.first_brief import first_spacing
from swalekit.design.brief.settings import storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.fit_ground import fitness_of
from swalekit.reporting.words.shown import ShownColumn, area_shown, shown, table_of

_MOST_PONDS = 5
_POND_COLUMNS: tuple[ShownColumn, ...] = (
    ("pond", "name", "", 0),
    ("deep", "depth_m", "m", 2),
    ("full", "full_m3", "m3", 0),
    ("storm", "held_m3", "m3", 0),
    ("check storm", "held_check_m3", "m3", 0),
)


def slope_words(found: Appraisal) -> str:
    """Quartiles of the slopes.

    Parameters
    ----------
    found : Appraisal
        What was found.

    Returns
    -------
    str
        As "10 – 13 – 15 %".

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> slope_words(appraise(site, ground))
    '10 – 10 – 10 %'
    """
    return " – ".join(f"{100.0 * slope:.2g}" for slope in found.slope_quartiles) + " %"


def facing_words(found: Appraisal) -> str:
    """Which way most of the ground falls.

    Parameters
    ----------
    found : Appraisal
        What was found.

    Returns
    -------
    str
        As "south 62 %, east 30 %"; that which is all but level too.

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> facing_words(appraise(site, ground))
    'south 100 %'
    """
    named = sorted(zip((*QUARTERS, "level"), found.facing_shares, strict=True), key=lambda pair: -pair[1])
    return ", ".join(f"{name} {100.0 * share:.0f} %" for name, share in named[:2] if share >= 0.005)


def site_facts(site: Site, found: Appraisal) -> tuple[tuple[str, str], ...]:
    """Figures of the site for its sheet.

    Parameters
    ----------
    site : Site
        The site.
    found : Appraisal
        What was found.

    Returns
    -------
    tuple of (str, str)
        Label and value.

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> dict(site_facts(site, appraise(site, ground)))["Falls to"]
    'south 100 %'
    """
    units, ground, storm = site.brief.site.units, found.ground, storm_of(site)
    (low_m, high_m), slope = ground.height_range_m, max(found.slope_quartiles[1], 1e-3)
    carried = fitness_of(site, ground.terrain)
    spacing = () if carried is None else (("Spacing by rule", f"'{first_spacing(carried).rule.name}'"),)
    return (
        ("Land", area_shown(found.area_m2, units=units)),
        ("Heights", f"{shown(low_m, 'm', units=units)} to {shown(high_m, 'm', units=units)}"),
        ("Slopes, quartiles", slope_words(found)),
        ("Falls to", facing_words(found)),
        ("Height error", shown(ground.terrain.vertical_sigma_m, "m", units=units, decimals=2)),
        ("It moves a line", shown(ground.terrain.vertical_sigma_m / slope, "m", units=units, decimals=1)),
        ("Storm looked at", shown(storm.depth_mm, "mm", units=units)),
        ("Check storm", shown(storm.check_depth_mm, "mm", units=units)),
        ("It brings", shown(ground.site_runoff_m3, "m3", units=units)),
        ("Watercourses", shown(found.watercourses_m, "m", units=units)),
        ("Spacing to start", shown(site.brief.levels.spacing_m, "m", units=units, decimals=1)),
        *spacing,
    )


def pond_table(found: Appraisal, *, units: str) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    r"""What stands in the hollows after both storms, the largest first.

    Parameters
    ----------
    found : Appraisal
        What was found.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    header : tuple of str
        Heads of the columns.
    rows : tuple of tuple of str
        Of the five largest.

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> pond_table(appraise(site, ground), units="metric")[0][:2]
    ('pond', 'deep\nm')
    """
    rows = [
        {
            "name": pond.name,
            "depth_m": pond.depth_m,
            "full_m3": pond.full_m3,
            "held_m3": pond.held_m3[0],
            "held_check_m3": pond.held_m3[1],
        }
        for pond in found.ponds[:_MOST_PONDS]
    ]
    heads, cells = table_of(rows, _POND_COLUMNS, units=units)
    return tuple(heads), tuple(map(tuple, cells))


def site_cautions(site: Site, found: Appraisal, *, unfit: str = "") -> tuple[str, ...]:
    """What a reader of the sheet must know.

    Parameters
    ----------
    site : Site
        The site.
    found : Appraisal
        What was found.
    unfit : str
        Why the tile can't carry ditches; '' where it can.

    Returns
    -------
    tuple of str
        Sentences.

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> site_cautions(site, appraise(site, ground))[-1].startswith("No line is laid yet")
    True
    """
    limits, units = found.limits, site.brief.site.units
    rain = (
        "The year's rain isn't known, so no ground is called too dry."
        if limits.rain_year_mm is None
        else f"A year brings {shown(limits.rain_year_mm, 'mm', units=units)} of rain; swales want "
        f"{shown(limits.swale_rain_mm, 'mm', units=units)}, basins "
        f"{shown(limits.microcatchment_rain_mm, 'mm', units=units)} (FAO, from memory)."
    )
    coarse = found.terrain.grid.cell_m > WIDEST_FOR_ROUGHNESS_M
    return (
        *((f"{unfit[:1].upper()}{unfit[1:]}.",) if unfit else ()),
        *(("Cells are too wide to tell rough ground: look for it on site.",) if coarse else ()),
        rain,
        "Steep and slip-prone ground, and what lies below it, want an engineer's word before water is let in.",
        "No line is laid yet: figures are for planning and defer to local codes and licensed practice.",
    )


def site_credits(found: Appraisal) -> tuple[str, ...]:
    """How the sheet was made.

    Parameters
    ----------
    found : Appraisal
        What was found.

    Returns
    -------
    tuple of str
        Sentences.

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> site_credits(appraise(site, ground))[0]
    'Judged on cells of 3 m (the tile: 1 m). Limits with their sources: swalekit/tables/site_limits.csv.'
    """
    cell_m, half = found.terrain.grid.cell_m, "south" if found.latitude_deg < 0 else "north"
    own_m = found.ground.terrain.grid.cell_m
    return (
        f"Judged on cells of {cell_m:g} m (the tile: {own_m:.3g} m). Limits with their sources: "
        "swalekit/tables/site_limits.csv.",
        f"Winter sun: noon of the shortest day at {abs(found.latitude_deg):.1f}° {half}, over that on level ground; no "
        "hill casts a shadow.",
    )
