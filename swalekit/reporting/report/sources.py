"""The published numbers that a plan used, each with its source."""

from typing import Any

from swalekit.design.brief.settings import DAY_H, DEFAULT_COURSE, EARTH_SILL
from swalekit.design.brief.soil_part import LOSS_METHODS
from swalekit.design.plan.record import PlanRecord
from swalekit.design.plan.watercourse_ways import THROUGH_WATERCOURSE
from swalekit.section.outlet import cover_roughness
from swalekit.tables.curve_numbers import curve_number
from swalekit.tables.load import named_rows, read_table

Source = tuple[str, str, str]
"""What it is, the number with its unit, and where it is published."""


def sources_used(record: PlanRecord) -> tuple[Source, ...]:
    """Published numbers that stand behind a plan, in the order of the work.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of (str, str, str)
        What it is, the number with its unit or ``table``, and where it is published.

    Examples
    --------
    >>> sources_used(record)[0][:2]
    ('Setback from building', '10 m')
    """
    brief = record.brief
    return (
        *_setbacks(record),
        *_pipes(record),
        *_storm(record, brief["storm"]),
        *_losses(record, brief["soil"]),
        *_travel(brief["soil"]),
        *_intake(record, brief["soil"]),
        *_sill(brief["sill"]),
        *_swell(brief["soil"]),
        *(_named("silt", key, f"Silt: {key}") for key in record.values_used["silt_assumed"]),
    )


def _setbacks(record: PlanRecord) -> list[Source]:
    """Of the kinds that are there, where the brief gives none of its own."""
    kinds = dict.fromkeys(properties["kind"] for _, properties in record.layers["keep_outs"])
    asked = [*kinds, *(["property line"] if record.layers["boundary"] else [])]
    given, known = record.brief["area"]["setbacks_m"], named_rows("setbacks")
    return [_named("setbacks", kind, f"Setback from {kind}") for kind in asked if kind in known and kind not in given]


def _pipes(record: PlanRecord) -> list[Source]:
    """Of pipes under ways, where a way runs through a watercourse."""
    if THROUGH_WATERCOURSE not in {caution.name for caution in record.cautions}:
        return []
    return [_named("culverts", name, f"Pipe under a way: {name}") for name in named_rows("culverts")]


def _storm(record: PlanRecord, part: dict[str, Any]) -> list[Source]:
    if part["course_file"] is not None or part["course"] in ("uniform", "alternating block"):
        return []
    kind = part["course"] or DEFAULT_COURSE
    sources = [_of_table(f"Course of the rain, NRCS type {kind}", "nrcs_storms")]
    if part["record"] is not None and record.values_used["storm_duration_h"] != DAY_H:
        sources.append(_of_table("Share of a day's rain in a shorter storm", "duration_ratios"))
    return sources


def _losses(record: PlanRecord, part: dict[str, Any]) -> list[Source]:
    methods = {loss["method"] for loss in record.values_used["losses"]}
    sources: list[Source] = []
    if part["cover"] is not None:
        row = curve_number(part["cover"], part["condition"] or "any", part["group"])
        words = f"Curve number of {row.cover}, {row.condition}, soil group {row.group}"
        sources.append((words, f"{row.curve_number:g}", row.source))
    used = [method for method in LOSS_METHODS if method.method in methods]
    return [*sources, *(_of_table(words, table) for method in used for words, table in method.sources)]


def _travel(part: dict[str, Any]) -> list[Source]:
    sources = [_of_table("Unit hydrograph", "unit_hydrograph")]
    if part["travel"] == "velocity":
        sources.insert(0, _named("overland_velocity", part["surface"], f"Flow over land, {part['surface']}, slope 1"))
    return sources


def _intake(record: PlanRecord, part: dict[str, Any]) -> list[Source]:
    given = part["intake_mm_h"] is not None or record.values_used["infiltration_test"] is not None
    if given or part["texture"] is None:
        return []
    return [_named("soil_intake", part["texture"], f"Intake of {part['texture']}")]


def _sill(part: dict[str, Any]) -> list[Source]:
    covers = [row for row in read_table("permissible_velocity") if row["cover"] == part["cover"]]
    velocities = ", ".join(dict.fromkeys(row["velocity_ft_s"] for row in covers))
    bears = (f"Velocity that {part['cover']} bears", f"{velocities} ft/s", covers[0]["source"])
    surface = part["surface"] or cover_roughness(part["cover"]).name
    rough = _named("roughness", surface, f"Roughness of {surface}")
    weir = (
        [] if part["coefficient"] is not None else [_named("weirs", EARTH_SILL, "Weir coefficient of a sill of earth")]
    )
    return [*weir, bears, rough]


def _swell(part: dict[str, Any]) -> list[Source]:
    return [] if part["swell"] is not None else [_named("swell", part["material"], f"Swell of {part['material']}")]


def _named(table: str, name: str, words: str) -> Source:
    row = named_rows(table)[name]
    return words, f"{row.value:g} {row.unit}".strip(), row.source


def _of_table(words: str, table: str) -> Source:
    return words, "table", read_table(table)[0]["source"]
