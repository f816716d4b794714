"""What a value shows of itself in a notebook: facts, a table, sentences, and a picture where it is given one."""

from collections.abc import Mapping, Sequence
from typing import Any

from matplotlib.axes import Axes

from swalekit.design.growth.growth import Growth
from swalekit.design.layout.ground import Ground
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import OPTION_COLUMNS
from swalekit.design.options.spacing_table import SPACING_COLUMNS, SpacingTable
from swalekit.design.plan.cautions import STANDING_CAUTIONS
from swalekit.design.plan.columns import Column
from swalekit.design.plan.design import Swale
from swalekit.design.plan.record import PlanRecord
from swalekit.design.plan.table import SWALE_COLUMNS, swale_row
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.survey.survey import Survey
from swalekit.reporting.charts.reliability.map import reliability_content
from swalekit.reporting.map.terrain_map import terrain_words
from swalekit.reporting.notebook.html_view import html_view
from swalekit.reporting.words.option_words import option_sentences
from swalekit.reporting.words.plan_words import map_facts, plan_cautions, plan_table
from swalekit.reporting.words.planting_words import (
    planting_cautions_words,
    planting_facts,
    planting_header,
    planting_table,
)
from swalekit.reporting.words.shown import area_shown, shown, unit_name
from swalekit.reporting.words.stake_words import stake_cells, stake_header
from swalekit.reporting.words.survey_words import survey_words
from swalekit.staking.stake import Stakeout
from swalekit.units import to_us

_OPTION_NAMES = (
    "number", "option", "swales", "length_m", "dug_m3", "deepest_m", "cost", "held_storm_mm", "kept_share", "holds",
)  # fmt: skip
_SPACING_NAMES = ("rule", "interval_m", "spacing_m", "spacing_gentle_m", "spacing_steep_m", "lines", "note")
_HEADS = {
    "number": "No.", "option": "Option", "swales": "Swales", "length_m": "Length", "dug_m3": "Dug",
    "deepest_m": "Deepest", "cost": "Cost", "held_storm_mm": "Holds", "kept_share": "Kept on\nthe site",
    "holds": "Holds the\ndesign storm", "rule": "Rule", "interval_m": "Fall from\nline to line",
    "spacing_m": "Spacing at the\nmedian slope", "spacing_gentle_m": "on gentle\nground",
    "spacing_steep_m": "on steep\nground", "lines": "Lines", "note": "Note",
}  # fmt: skip
"""Short heads of columns whose full meaning stands in their tables."""


def ground_view(ground: Ground, map_axes: Axes) -> str:
    """Size and water of the ground.

    Parameters
    ----------
    ground : Ground
        The ground.
    map_axes : Axes
        Its map.
    """
    low_m, high_m = ground.height_range_m
    volumes_m3 = ground.network.hollows.volume_m3
    held = shown(float(volumes_m3.sum()), "m3", units="metric")
    pairs = [
        ("Terrain", terrain_words(ground.terrain)),
        ("Land that may be worked", area_shown(ground.area.area, units="metric")),
        ("Its heights", f"{low_m:.1f} to {high_m:.1f} m"),
        ("Water of the design storm", shown(ground.site_runoff_m3, "m3", units="metric")),
        ("Hollows", f"{len(volumes_m3)}, which hold {held} when full"),
    ]
    return html_view(
        "Ground before a swale is dug",
        facts=pairs,
        picture=(map_axes, "Map of watercourses and ponds"),
        lists=[("Notes", ground.notes)],
    )


def design_view(plan: PlanRecord, map_axes: Axes) -> str:
    """Totals, the table of swales, cautions and warnings of a design.

    Parameters
    ----------
    plan : PlanRecord
        The plan.
    map_axes : Axes
        Its map.
    """
    site = plan.brief["site"]
    return html_view(
        site["name"],
        site["subtitle"],
        facts=map_facts(plan),
        picture=(map_axes, "Map of the swales and their catchments"),
        table=plan_table(plan),
        lists=[("Cautions", plan_cautions(plan)), ("Notes", plan.summary["warnings"])],
    )


def swale_view(swale: Swale) -> str:
    """Every figure of a swale with its meaning, and its cautions.

    Parameters
    ----------
    swale : Swale
        The swale.
    """
    row = swale_row(swale)
    cells = [
        (column.meaning, f"{_written(row[column.name], column)} {unit_name(column.unit, units='metric')}".strip())
        for column in SWALE_COLUMNS
        if column.name not in ("swale", "cautions") and row[column.name] not in (None, "")
    ]
    cautions = [f"{each.name}: {each.text}; {each.advice}" for each in swale.cautions]
    table = ("What it is", "Figure"), cells
    return html_view(f"Swale {swale.id}", table=table, names=(), notes=(0, 1), lists=[("Cautions", cautions)])


def comparison_view(comparison: Comparison) -> str:
    """What a comparison says, and its options; the recommended one is bold.

    Parameters
    ----------
    comparison : Comparison
        The options.
    """
    brief = comparison.site.brief
    rows = [option.figures for option in comparison.options]
    best = next((place for place, option in enumerate(comparison.options) if option.cheapest), None)
    table = _column_table(OPTION_COLUMNS, _OPTION_NAMES, rows, brief.site.units)
    return html_view(brief.site.name, " ".join(option_sentences(comparison)), table=table, strong=best, names=(0, 1))


def spacing_view(rules: SpacingTable) -> str:
    """Spacing rules side by side.

    Parameters
    ----------
    rules : SpacingTable
        The rules.
    """
    gentle, median, steep = (f"{100 * slope:.0f} %" for slope in rules.slopes)
    words = (
        f"A quarter of the ground falls less than {gentle}, half of it less than {median}, a quarter more than {steep}."
    )
    rows = [rules.figures(row) for row in rules.rows]
    table = _column_table(SPACING_COLUMNS, _SPACING_NAMES, rows, "metric")
    return html_view("Spacing of the lines by rule", words, table=table, notes=(6,))


def growth_view(growth: Growth, map_axes: Axes) -> str:
    """Totals, trees by swale, and what a client must know of a planting.

    Parameters
    ----------
    growth : Growth
        The planting.
    map_axes : Axes
        Its map.
    """
    part = growth.design.site.brief.site
    return html_view(
        part.name,
        "Planting plan",
        facts=planting_facts(growth),
        picture=(map_axes, "Map of the planting"),
        table=(planting_header(part.units), planting_table(growth)),
        lists=[("What it comes to, and cautions", planting_cautions_words(growth))],
    )


def reliability_view(reliability: Reliability) -> str:
    """Chances and ranges of a layout, whole and swale by swale.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    """
    content = reliability_content(reliability)
    return html_view(
        content.title,
        content.subtitle,
        facts=content.facts,
        table=(content.header, content.table),
        lists=[("", (*content.cautions, *content.credits))],
    )


def survey_view(survey: Survey) -> str:
    """Verdict on each swale, and what must be mended.

    Parameters
    ----------
    survey : Survey
        The survey.
    """
    part = survey.design.site.brief.site
    rows = [
        (
            built.design.id,
            built.verdict,
            shown(built.design.shape.storage_m3, "m3", units=part.units),
            shown(built.storage_m3, "m3", units=part.units),
        )
        for built in survey.check.swales
    ]
    header = ("Swale", "Verdict", "Stores as\ndesigned", "as built")
    return html_view(part.name, "As built", table=(header, rows), names=(0, 1), lists=[("", survey_words(survey))])


def stakeout_view(stakeout: Stakeout) -> str:
    """The table of stakes, as on the crew's sheets, in metres.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.
    """
    rows = [stake_cells(each, stakeout.benchmark, units="metric") for each in stakeout.stakes]
    swales = f"{len(stakeout.swales)} swale{'' if len(stakeout.swales) == 1 else 's'}"
    words = f"{len(stakeout.stakes):,} stakes on {swales}, {stakeout.crs.name}"
    cautions = [caution.text for caution in STANDING_CAUTIONS]
    table = stake_header(stakeout.benchmark, units="metric"), rows
    return html_view("Stakes", words, table=table, names=(0, 2), lists=[("Cautions", cautions)])


def _column_table(
    columns: Sequence[Column], chosen: Sequence[str], rows: Sequence[Mapping[str, Any]], units: str
) -> tuple[list[str], list[list[str]]]:
    """Some columns of rows of figures, in the reader's units."""
    shown_columns = [next(column for column in columns if column.name == name) for name in chosen]
    header = [
        f"{_HEADS[each.name]}\n{unit_name(each.unit, units=units)}" if each.unit else _HEADS[each.name]
        for each in shown_columns
    ]
    cells = [[_written(row[each.name], each, units) for each in shown_columns] for row in rows]
    return header, cells


def _written(value: Any, column: Column, units: str = "metric") -> str:
    """A figure with the decimals of its column; a dash where there is none."""
    if value is None:
        return "–"
    if isinstance(value, str):
        return value
    number = to_us(float(value), column.unit)[0] if units == "us" else value
    return f"{number:.{column.decimals}f}" if column.name.endswith("level_m") else f"{number:,.{column.decimals}f}"
