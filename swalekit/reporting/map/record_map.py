"""A plan read back as the content of a map."""

from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.design.brief.brief import SectionPart
from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.map.content import MapContent, MapLine
from swalekit.reporting.paper.outlines import lines_of
from swalekit.reporting.paper.typical_section import TypicalSection
from swalekit.reporting.words.plan_words import plan_header, section_words, swale_cells
from swalekit.reporting.words.report_words import fact_words
from swalekit.section.profile import profile
from swalekit.section.section import Section

Geometry = Any


def record_content(record: PlanRecord) -> MapContent:
    """What the map of a plan shows.

    Parameters
    ----------
    record : PlanRecord
        The plan.
    """
    site, layers, shown = record.summary["brief"]["site"], record.layers, record.summary["breach"]["shown"]
    failing = [each for each in record.summary["breach"]["swales"] if each["swale"] == shown]
    return MapContent(
        title=site["name"],
        subtitle=site["subtitle"],
        terrain=record.ground,
        boundary=_first(record, "boundary"),
        workable=_first(record, "workable"),
        lines=tuple(_line(geometry, properties) for geometry, properties in layers["swales"]),
        catchments=tuple((properties["swale"], geometry) for geometry, properties in layers["catchments"]),
        sills=tuple((properties["swale"], _xy(geometry)) for geometry, properties in layers["sills"]),
        sill_paths=tuple(_xy(geometry) for geometry, _ in layers["overflow"]),
        failing=tuple(each["swale"] for each in failing),
        overtopped=tuple(name for each in failing for name in each["overtops"]),
        keep_outs=_keep_outs(record),
        watercourses=tuple(_xy(geometry) for geometry, _ in layers["watercourses"]),
        ponds=tuple(("", geometry) for geometry, _ in layers["ponds"]),
        refused=tuple((properties["reason"], _xy(geometry)) for geometry, properties in layers["refused"]),
        header=plan_header(record.units),
        table=tuple(swale_cells(row, units=record.units) for row in record.swales),
        facts=fact_words(record),
        section=typical_section(record),
        units=record.units,
    )


def section_of_record(record: PlanRecord) -> Section:
    """The cross-section that the brief asks for."""
    return Section(**{name: value for name, value in _section_part(record).items() if name in Section.__match_args__})


def typical_section(record: PlanRecord) -> TypicalSection | None:
    """The section of the swale that stores most, at its depth, crest and mean slope; None without swales."""
    if not record.swales:
        return None
    return section_at(record, max(record.swales, key=lambda row: float(row["storage_m3"])))


def section_at(record: PlanRecord, row: dict[str, Any]) -> TypicalSection:
    """The section of a swale at the depth, crest and mean slope of its row of figures."""
    crest_m, sill_m = (float(row[name] - row["level_m"]) for name in ("crest_m", "sill_m"))
    x, y = profile(section_of_record(record), row["depth_m"], crest_m, row["mean_slope"], reach_m=0.0)
    words = section_words(SectionPart(**_section_part(record)), units=record.units)
    return TypicalSection(words, row["swale"], np.column_stack([x, y])[1:], float(row["mean_slope"]), sill_m)


def _section_part(record: PlanRecord) -> dict[str, Any]:
    return dict(record.summary["brief"]["section"])


def _first(record: PlanRecord, layer: str) -> Geometry | None:
    return next((geometry for geometry, _ in record.layers[layer]), None)


def _xy(line: Geometry) -> NDArray[np.float64]:
    return np.asarray(line.coords, np.float64)[:, :2]


def _line(line: Geometry, properties: dict[str, Any]) -> MapLine:
    xy, closed = _xy(line), bool(line.is_closed)
    return MapLine(properties["swale"], xy[:-1] if closed else xy, float(properties["level_m"]), closed)


def _keep_outs(record: PlanRecord) -> tuple[tuple[str, str, Geometry, Geometry | None], ...]:
    zones = {properties["keep_out"]: zone for zone, properties in record.layers["setbacks"]}
    return tuple(
        (each["kind"], each["name"] or "", geometry, zones.get(each["keep_out"]))
        for geometry, each in record.layers["keep_outs"]
    )


def flat_lines(geometries: list[Geometry]) -> list[NDArray[np.float64]]:
    """Coordinates of all lines and outlines of areas, shape (n, 2) each."""
    outlines = [each.boundary if shapely.get_dimensions(each) == 2 else each for each in geometries]
    return [xy for each in outlines for xy in lines_of(each)]
