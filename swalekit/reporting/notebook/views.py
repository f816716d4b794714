"""What a value shows of itself in a notebook: facts, a table, sentences, and a picture where it is given one."""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from matplotlib.axes import Axes

from swalekit.design.brief.decided_lines import Lines, OwnSettings
from swalekit.design.brief.site import Site
from swalekit.design.growth.growth import Growth
from swalekit.design.layout.ground import Ground
from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import OPTION_COLUMNS
from swalekit.design.options.spacing_table import SPACING_COLUMNS, SpacingTable
from swalekit.design.plan.cautions import STANDING_CAUTIONS
from swalekit.design.plan.changes import PlanChanges
from swalekit.design.plan.columns import Column
from swalekit.design.plan.design import Swale
from swalekit.design.plan.record import PlanRecord
from swalekit.design.plan.table import SWALE_COLUMNS, swale_row
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.survey.survey import Survey
from swalekit.reporting.charts.reliability.map import reliability_content
from swalekit.reporting.map.terrain_map import terrain_words
from swalekit.reporting.notebook.html_view import html_view
from swalekit.reporting.notebook.site_view import site_view
from swalekit.reporting.words.change_words import change_counts, change_facts, change_sentences, change_table
from swalekit.reporting.words.option_words import option_sentences
from swalekit.reporting.words.plan_words import map_facts, plan_cautions, plan_table
from swalekit.reporting.words.planting_words import planting_cautions_words, planting_facts, planting_table
from swalekit.reporting.words.shown import area_shown, number, shown, unit_name
from swalekit.reporting.words.stake_words import stake_cells, stake_header
from swalekit.reporting.words.survey_words import survey_words
from swalekit.staking.stake import Stakeout

_OPTION_HEADS = {
    "number": "No.", "option": "Option", "swales": "Swales", "length_m": "Length", "dug_m3": "Dug",
    "deepest_m": "Deepest", "cost": "Cost", "held_storm_mm": "Holds", "kept_share": "Kept on\nthe site",
    "standing_h": "Stands", "fill_m": "Fill", "to_cure": "Cautions\nto cure", "of_place": "of place",
    "holds": "Holds the\ndesign storm", "beyond": "Other limits\nbroken",
}  # fmt: skip
_SPACING_HEADS = {
    "rule": "Rule", "interval_m": "Fall from\nline to line", "spacing_m": "Spacing at the\nmedian slope",
    "spacing_gentle_m": "on gentle\nground", "spacing_steep_m": "on steep\nground", "lines": "Lines", "note": "Note",
}  # fmt: skip
"""Short heads of columns whose full meaning stands in their tables."""


def _ground_view(ground: Ground, map_axes: Axes) -> str:
    """Size and water of the ground."""
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


def _plan_view(plan: PlanRecord, map_axes: Axes) -> str:
    """Totals, the table of swales, cautions and warnings of a plan."""
    site = plan.brief["site"]
    return html_view(
        site["name"],
        site["subtitle"],
        facts=map_facts(plan),
        picture=(map_axes, "Map of the swales and their catchments"),
        table=plan_table(plan),
        lists=[("Cautions", plan_cautions(plan)), ("Notes", plan.summary["warnings"])],
    )


def _swale_view(swale: Swale) -> str:
    """Every figure of a swale with its meaning, and its cautions."""
    row = swale_row(swale)
    cells = [
        (column.meaning, _written(row[column.name], column, units="metric", tell=shown))
        for column in SWALE_COLUMNS
        if column.name not in ("swale", "cautions") and row[column.name] not in (None, "")
    ]
    cautions = [f"{caution.name}: {caution.text}; {caution.advice}" for caution in swale.cautions]
    table = ("What it is", "Figure"), cells
    return html_view(f"Swale {swale.id}", table=table, names=(), notes=(0, 1), lists=[("Cautions", cautions)])


def _comparison_view(comparison: Comparison) -> str:
    """What a comparison says, and its options; the recommended or nearest one is bold."""
    brief = comparison.site.brief
    rows = [option.figures for option in comparison.options]
    best = next(
        (place for place, option in enumerate(comparison.options) if option.recommended or option.nearest), None
    )
    table = _column_table(OPTION_COLUMNS, _OPTION_HEADS, rows, units=brief.site.units)
    return html_view(brief.site.name, " ".join(option_sentences(comparison)), table=table, strong=best, names=(0, 1))


def _spacing_view(rules: SpacingTable) -> str:
    """Spacing rules side by side."""
    gentle, median, steep = (f"{100 * slope:.0f} %" for slope in rules.slopes)
    words = (
        f"A quarter of the ground falls less than {gentle}, half of it less than {median}, a quarter more than {steep}."
    )
    rows = [rules.figures(row) for row in rules.rows]
    table = _column_table(SPACING_COLUMNS, _SPACING_HEADS, rows, units="metric")
    return html_view("Spacing of the lines by rule", words, table=table, notes=(6,))


def _growth_view(growth: Growth, map_axes: Axes) -> str:
    """Totals, trees by swale, and what a client must know of a planting."""
    part = growth.design.site.brief.site
    return html_view(
        part.name,
        "Planting plan",
        facts=planting_facts(growth),
        picture=(map_axes, "Map of the planting"),
        table=planting_table(growth),
        lists=[("What it comes to, and cautions", planting_cautions_words(growth))],
    )


def _reliability_view(reliability: Reliability) -> str:
    """Chances and ranges of a layout, whole and swale by swale."""
    content = reliability_content(reliability)
    return html_view(
        content.title,
        content.subtitle,
        facts=content.facts,
        table=(content.header, content.table),
        lists=[("", (*content.cautions, *content.credits))],
    )


def _survey_view(survey: Survey) -> str:
    """Verdict on each swale, and what must be mended."""
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


def _stakeout_view(stakeout: Stakeout) -> str:
    """The table of stakes, as on the crew's sheets, in metres."""
    rows = [stake_cells(stake, stakeout.benchmark, units="metric") for stake in stakeout.stakes]
    swales = f"{len(stakeout.swales)} swale{'' if len(stakeout.swales) == 1 else 's'}"
    words = f"{len(stakeout.stakes):,} stakes on {swales}, {stakeout.crs.name}"
    cautions = [caution.text for caution in STANDING_CAUTIONS]
    table = stake_header(stakeout.benchmark, units="metric"), rows
    return html_view("Stakes", words, table=table, names=(0, 2), lists=[("Cautions", cautions)])


def _changes_view(changes: PlanChanges, map_axes: Axes) -> str:
    """What changed from one plan to another."""
    part = changes.after.brief["site"]
    return html_view(
        part["name"],
        f"What changed: {change_counts(changes)}",
        facts=change_facts(changes),
        picture=(map_axes, "Map of the lines of both plans"),
        table=change_table(changes),
        names=(0, 1),
        lists=[("", change_sentences(changes))],
    )


def _lines_view(lines: Lines) -> str:
    """Every line with its state and what differs from the brief along it."""
    rows = [
        (line.name, line.state, shown(line.level_m, "m", units="metric", decimals=2), _own_words(line.own))
        for line in lines.lines
    ]
    table = ("Line", "State", "Level", "Of its own"), rows
    return html_view("Lines", f"{len(rows)} lines, {lines.crs.name}", table=table, names=(0, 1), notes=(3,))


def _own_words(own: OwnSettings) -> str:
    """What differs from the brief along a line, in words."""
    told = (
        (name.removesuffix("_m").replace("_", " "), name.endswith("_m"), value) for name, value in vars(own).items()
    )
    words = (
        f"{name} {shown(value, 'm', units='metric', decimals=2)}" if metres else f"{name} {value}"
        for name, metres, value in told
        if value not in (None, "") and name not in ("note", "planting")
    )
    bare = () if own.planting in (None, True) else ("berm not planted",)
    return "; ".join((*words, *bare, *filter(None, (own.note,))))


def _column_table(
    columns: Iterable[Column], heads: Mapping[str, str], rows: Iterable[Mapping[str, Any]], *, units: str
) -> tuple[list[str], list[list[str]]]:
    """The columns that have a short head, in its order, of rows of figures in the reader's units."""
    by_name = {column.name: column for column in columns}
    chosen = [(by_name[name], head, unit_name(by_name[name].unit, units=units)) for name, head in heads.items()]
    header = [f"{head}\n{unit}" if unit else head for _, head, unit in chosen]
    return header, [[_written(row[column.name], column, units=units) for column, _, _ in chosen] for row in rows]


def _written(value: Any, column: Column, *, units: str, tell: Callable[..., str] = number) -> str:
    """A figure with the decimals of its column, and its unit where it is told so; words as they are."""
    return value if isinstance(value, str) else tell(value, column.unit, units=units, decimals=column.decimals)


VIEWS: dict[type, Callable[..., str]] = {
    Site: site_view,
    Ground: _ground_view,
    PlanRecord: _plan_view,
    Swale: _swale_view,
    Lines: _lines_view,
    PlanChanges: _changes_view,
    Comparison: _comparison_view,
    SpacingTable: _spacing_view,
    Growth: _growth_view,
    Reliability: _reliability_view,
    Survey: _survey_view,
    Stakeout: _stakeout_view,
}
"""Kind of a value -> its view, which takes the value, and the axes of its map where it has one."""
