"""The words of a plan's sheet: table, totals, section, cautions and credits."""

from collections.abc import Mapping
from typing import Any

from swalekit.design.brief.brief import SectionPart
from swalekit.design.brief.settings import soil_of, storm_of
from swalekit.design.plan.cautions import STANDING_CAUTIONS, cautions_by_name
from swalekit.design.plan.design import Design
from swalekit.design.plan.table import swale_row, totals
from swalekit.reporting.words.loss_words import loss_credit, loss_facts
from swalekit.reporting.words.shown import area_shown, listed, number, shown, swales_shown, unit_name

_TABLE: tuple[tuple[str, str, str, int], ...] = (
    ("Level", "level_m", "m", 2),
    ("Length", "length_m", "m", 0),
    ("Depth", "depth_m", "m", 2),
    ("Crest", "crest_m", "m", 2),
    ("Sill", "sill_m", "m", 2),
    ("Dug", "dug_m3", "m3", 0),
    ("Stores", "storage_m3", "m3", 0),
    ("Holds", "held_storm_mm", "mm", 1),
)
"""Head, name of the figure, its unit, decimals."""
_LEVELS = ("level_m", "crest_m", "sill_m")


def plan_header(units: str) -> tuple[str, ...]:
    """Heads of the table of swales."""
    return ("Swale", *(f"{head}\n{unit_name(unit, units=units)}" for head, _, unit, _ in _TABLE))


def plan_table(design: Design) -> tuple[tuple[str, ...], ...]:
    """Rows of the table of swales."""
    return tuple(
        swale_cells(swale_row(swale, design.rates), units=design.site.brief.site.units) for swale in design.swales
    )


def swale_cells(figures: Mapping[str, Any], *, units: str) -> tuple[str, ...]:
    """A row of that table, from the figures by the names of `SWALE_COLUMNS`."""
    cells = {name: number(figures[name], unit, units=units, decimals=digits) for _, name, unit, digits in _TABLE}
    return (figures["swale"], *(cell.replace(",", "") if name in _LEVELS else cell for name, cell in cells.items()))


def plan_facts(design: Design) -> tuple[tuple[str, str], ...]:
    """Totals: label and value."""
    units, storm, soil = design.site.brief.site.units, storm_of(design.site), soil_of(design.site)
    figures: dict[str, Any] = totals(design)
    years = design.site.brief.storm.return_period_y
    design_storm = f"Design storm, {years:g} y" if years else "Design storm"
    facts = [
        (design_storm, shown(storm.depth_mm, "mm", units=units, decimals=1)),
        ("Held storm", shown(figures["held_storm_mm"], "mm", units=units, decimals=1)),
        ("Swales", f"{figures['swales']} · {shown(figures['length_m'], 'm', units=units)}"),
        ("Soil dug", shown(figures["dug_m3"], "m3", units=units)),
        ("Storage when full", shown(figures["storage_m3"], "m3", units=units)),
        ("Runoff kept on site", f"{100 * figures['kept_share']:.0f} %"),
        ("Catchment", area_shown(figures["catchment_m2"], units=units)),
        ("Machine", f"{figures['machine_h']:,.0f} h"),
        *loss_facts(soil.losses, units=units),
    ]
    if design.cost is not None:
        facts.append(("Cost", f"{figures['cost']:,} {design.site.brief.rates.currency}".strip()))
    return tuple(facts)


def section_words(part: SectionPart, *, units: str) -> str:
    """Dimensions of the cross-section as a crew sets them out.

    Examples
    --------
    >>> section_words(SectionPart(downhill_side_slope=2.0), units="metric")
    'Floor 0.6 m, sides 1.5:1 uphill and 2:1 downhill, bench 0.3 m, berm faces 2:1, crest 0.5 m, freeboard 0.15 m'
    """

    def length(value_m: float) -> str:
        text, name = number(value_m, "m", units=units, decimals=2), unit_name("m", units=units)
        return f"{text.rstrip('0').rstrip('.')} {name}"

    def slopes(uphill: float, downhill: float) -> str:
        return f"{uphill:g}:1" if uphill == downhill else f"{uphill:g}:1 uphill and {downhill:g}:1 downhill"

    return (
        f"Floor {length(part.bottom_width_m)}, sides {slopes(part.uphill_side_slope, part.downhill_side_slope)}, "
        f"bench {length(part.bench_m)}, "
        f"berm faces {slopes(part.berm_uphill_side_slope, part.berm_downhill_side_slope)}, "
        f"crest {length(part.crest_width_m)}, freeboard {length(part.freeboard_m)}"
    )


def plan_cautions(design: Design) -> tuple[str, ...]:
    """Cautions of the swales with where they hold, those of one advice together; what fails; the standing ones."""
    by_advice: dict[str, list[str]] = {}
    for name, swales, advice in cautions_by_name(design.cautions):
        where = swales_shown(swales, of=len(design.swales))
        by_advice.setdefault(advice, []).append(f"{name} ({where})")
    raised = (f"{'; '.join(names)}: {advice}." for advice, names in by_advice.items())
    failure = failure_words(design)
    return (
        *(each[:1].upper() + each[1:] for each in raised),
        *([failure] if failure else []),
        *(caution.text for caution in STANDING_CAUTIONS),
    )


def failure_words(design: Design) -> str:
    """What the failure that the map shows does, in a sentence; '' where it shows none."""
    failure, units = design.failure_shown, design.site.brief.site.units
    if failure is None:
        return ""
    over = f"water would go over {listed(failure.overtops)}" if failure.overtops else "no other berm would be topped"
    more = shown(failure.extra_left_m3, "m3", units=units)
    return f"If {failure.swale} failed when fullest, {over}; {more} more would leave the site."


def plan_credits(design: Design) -> tuple[str, ...]:
    """What the figures rest on."""
    terrain = design.ground.terrain
    return (
        f"Terrain: cells of {terrain.grid.cell_m:g} m, height error {terrain.vertical_sigma_m:g} m. "
        + loss_credit(design.ground.soil.losses, units=design.site.brief.site.units),
    )
