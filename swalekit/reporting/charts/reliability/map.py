"""How sure a layout is, as the content of a map: the band in which each line may lie, and its chance to hold."""

from typing import Any

from swalekit.contours.wander import wander_band
from swalekit.design.brief.issue import subtitle_of
from swalekit.design.brief.settings import storm_of
from swalekit.design.layout.lines import workable_area
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import input_rows, reliability_rows, reliability_summary
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import keep_outs_of
from swalekit.reporting.words.chance_words import chance_sentence
from swalekit.reporting.words.shown import number, shown, unit_name

_TABLE: tuple[tuple[str, tuple[str, ...], str, int], ...] = (
    ("Held", ("held_low_mm", "held_high_mm"), "mm", 1),
    ("Dug", ("dug_low_m3", "dug_high_m3"), "m3", 0),
    ("Catchment", ("catchment_low_m2", "catchment_high_m2"), "m2", 0),
    ("Wanders", ("wander_m",), "m", 1),
)
"""Head, names of the figures from and to, their unit, decimals."""


def reliability_content(reliability: Reliability) -> MapContent:
    """What the map of a layout's reliability shows.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    MapContent
        The lines with the band in which each may lie, and a row of chances for each swale.

    Examples
    --------
    >>> content = reliability_content(reliability)
    >>> len(content.bands), [row[0] for row in content.table]
    (2, ['S1', 'S2'])
    """
    site, ground, swales = reliability.layout.site, reliability.ground, reliability.layout.swales
    part, spreads = site.brief.site, reliability.spreads
    *rows, _ = reliability_rows(reliability)
    return MapContent(
        title=part.name,
        subtitle=" · ".join(filter(None, (f"How sure: {reliability.storm_mm.size} draws", subtitle_of(site)))),
        terrain=ground.terrain,
        boundary=site.boundary,
        workable=None if site.boundary is None else workable_area(site, ground),
        lines={swale.id: swale.line.path for swale in swales},
        bands=tuple(wander_band(swale.line, spreads.height_sigma_m(swale.drawn_sigma_m)) for swale in swales),
        keep_outs=keep_outs_of(site),
        watercourses=ground.watercourse_lines,
        header=("Swale", "Chance\n%", *(f"{head}\n{unit_name(unit, units=part.units)}" for head, _, unit, _ in _TABLE)),
        table=tuple(_cells(row, part.units) for row in rows),
        table_file="reliability.csv",
        facts=_facts(reliability),
        cautions=(
            chance_sentence(reliability_summary(reliability), units=part.units),
            "Chance: share of draws in which the swale holds the storm that comes. Ranges hold 90 % of the draws, "
            "those of catchments 80 %.",
            "Within its band a line lies 9 times in 10: level it on site.",
        ),
        credits=(" ".join(f"{row['input'].capitalize()}: {row['distribution']}." for row in input_rows(reliability)),),
        units=part.units,
    )


def _cells(row: dict[str, Any], units: str) -> tuple[str, ...]:
    cells = (
        "–".join(number(row[name], unit, units=units, decimals=digits) for name in names)
        for _, names, unit, digits in _TABLE
    )
    return (row["swale"], f"{100 * row['chance_to_hold']:.0f}", *cells)


def _facts(reliability: Reliability) -> tuple[tuple[str, str], ...]:
    site = reliability.layout.site
    units, row = site.brief.site.units, dict[str, Any](reliability_rows(reliability)[-1])

    def spread(name: str, unit: str, decimals: int) -> str:
        low = number(row[f"{name}_low_{unit}"], unit, units=units, decimals=decimals)
        return f"{low} to {shown(row[f'{name}_high_{unit}'], unit, units=units, decimals=decimals)}"

    facts = [
        ("Design storm", shown(storm_of(site).depth_mm, "mm", units=units, decimals=1)),
        ("All swales hold", f"{100 * reliability.chance:.0f} % of draws, ± {100 * reliability.chance_sigma:.0f}"),
        ("Held storm", spread("held", "mm", 1)),
        ("Soil dug", spread("dug", "m3", 0)),
    ]
    if row["cost"] is not None:
        facts.append(("Cost", f"{row['cost_low']:,} to {row['cost_high']:,} {site.brief.rates.currency}".strip()))
    if row["standing_h"] is not None:
        facts.append(("Longest full ditch stands", f"{row['standing_low_h']} to {row['standing_high_h']} h"))
    return tuple(facts)
