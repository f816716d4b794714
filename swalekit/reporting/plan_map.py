"""A design as the content of a map sheet."""

from collections.abc import Mapping, Sequence
from typing import Any

from swalekit.design.cautions import STANDING_CAUTIONS
from swalekit.design.design import Design, Swale
from swalekit.design.settings import soil_of, storm_of
from swalekit.design.table import totals
from swalekit.reporting.map_content import MapContent, MapLine
from swalekit.reporting.shown import area_shown, listed, number, shown, unit_name

Geometry = Any


def plan_content(design: Design, *, catchments: Mapping[str, Geometry], ponds: Sequence[Geometry]) -> MapContent:
    """What the map of a design shows.

    Parameters
    ----------
    design : Design
        The design.
    catchments : mapping
        Swale -> catchment polygon, in the CRS of the project.
    ponds : sequence
        Water that stands in hollows.
    """
    site, part = design.site, design.site.brief.site
    return MapContent(
        title=part.name,
        subtitle=part.subtitle,
        terrain=design.ground.terrain,
        boundary=site.boundary,
        lines=tuple(MapLine(each.id, each.line.xy, each.line.level_m, each.line.closed) for each in design.swales),
        catchments=tuple(catchments.items()),
        sills=tuple((each.id, *each.sill.xy) for each in design.swales),
        sill_paths=tuple(each.sill.path for each in design.swales),
        keep_outs=tuple((each.kind, each.geometry, each.zone) for each in site.keep_outs),
        watercourses=design.ground.watercourse_lines,
        ponds=tuple(("pond", each) for each in ponds),
        refused=tuple((each.reason, each.xy) for each in design.refused),
        header=_header(part.units),
        table=tuple(_row(each, part.units) for each in design.swales),
        facts=_facts(design),
        cautions=_cautions(design),
        credits=_credits(design),
        units=part.units,
    )


_TABLE: tuple[tuple[str, str, int], ...] = (
    ("Length", "m", 0),
    ("Depth", "m", 2),
    ("Dug", "m3", 0),
    ("Stores", "m3", 0),
    ("Holds", "mm", 0),
)


def _header(units: str) -> tuple[str, ...]:
    decimal_of = [f"{name} {unit_name(unit, units=units)}" for name, unit, _ in (("Level", "m", 1), *_TABLE)]
    return ("Swale", *decimal_of)


def _row(swale: Swale, units: str) -> tuple[str, ...]:
    figures = (
        swale.line.length_m,
        swale.sized.shape.depth_m,
        swale.quantities.dug_m3,
        swale.storage_m3,
        swale.held_storm_mm,
    )
    cells = [
        number(value, unit, units=units, decimals=decimals + (unit == "mm" and units == "us"))
        for value, (_, unit, decimals) in zip(figures, _TABLE, strict=True)
    ]
    return (swale.id, number(swale.line.level_m, "m", units=units, decimals=2).replace(",", ""), *cells)


def _facts(design: Design) -> tuple[tuple[str, str], ...]:
    units, storm, soil = design.site.brief.site.units, storm_of(design.site), soil_of(design.site)
    figures: dict[str, Any] = totals(design)
    decimals = 1 if units == "us" else 0
    facts = [
        ("Design storm", shown(storm.depth_mm, "mm", units=units, decimals=decimals)),
        ("Held storm", shown(figures["held_storm_mm"], "mm", units=units, decimals=decimals)),
        ("Swales", f"{figures['swales']}, {shown(figures['length_m'], 'm', units=units)}"),
        ("Soil dug", shown(figures["dug_m3"], "m3", units=units)),
        ("Water stored", shown(figures["storage_m3"], "m3", units=units)),
        ("Runoff kept on site", f"{figures['kept_share']:.0%}"),
        ("Catchment", area_shown(figures["catchment_m2"], units=units)),
        ("Machine", f"{figures['machine_h']:,.0f} h"),
        ("Curve number", ", ".join(f"{value:g}" for value in soil.curve_number)),
    ]
    if design.cost is not None:
        facts.append(("Cost", f"{figures['cost']:,} {design.site.brief.rates.currency}".strip()))
    return tuple(facts)


def _cautions(design: Design) -> tuple[str, ...]:
    """Cautions of the swales, gathered by name, then the standing ones."""
    by_name: dict[str, list[str]] = {}
    for caution in design.cautions:
        if caution.swale:
            by_name.setdefault(caution.name, []).append(caution.swale)
    raised = [f"{name[0].upper()}{name[1:]}: {listed(swales)}." for name, swales in by_name.items()]
    return (*raised, *(caution.text for caution in STANDING_CAUTIONS))


def _credits(design: Design) -> tuple[str, ...]:
    terrain = design.ground.terrain
    return (
        f"Terrain: cells of {terrain.grid.cell_m:g} m, height error {terrain.vertical_sigma_m:g} m. "
        f"{terrain.grid.crs.name}. Runoff by the NRCS curve number.",
    )
