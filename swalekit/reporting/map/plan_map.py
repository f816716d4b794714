"""A design as the content of a map sheet."""

from collections.abc import Mapping, Sequence
from typing import Any

import numpy as np
import shapely

from swalekit.contours.polyline import Polyline, stretch
from swalekit.design.brief.site import Site
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design, HollowFate, Swale
from swalekit.reporting.map.content import MapContent, MapLine
from swalekit.reporting.paper.outlines import polygons_of
from swalekit.reporting.paper.typical_section import TypicalSection
from swalekit.reporting.words.plan_words import (
    plan_cautions,
    plan_credits,
    plan_facts,
    plan_header,
    plan_table,
    section_words,
)
from swalekit.section.profile import profile

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
    site, part, failure = design.site, design.site.brief.site, design.failure_shown
    return MapContent(
        title=part.name,
        subtitle=part.subtitle,
        terrain=design.ground.terrain,
        boundary=site.boundary,
        workable=None if site.boundary is None else workable_area(site, design.ground),
        lines=tuple(MapLine(each.id, each.line.xy, each.line.level_m, each.line.closed) for each in design.swales),
        catchments=tuple(catchments.items()),
        sills=tuple((each.id, _sill_stretch(each)) for each in design.swales),
        sill_paths=tuple(each.sill.path for each in design.swales),
        failing=() if failure is None else (failure.swale,),
        overtopped=() if failure is None else failure.overtops,
        keep_outs=keep_outs_of(site),
        watercourses=design.ground.watercourse_lines,
        ponds=_named_ponds([pond for geometry in ponds for pond in polygons_of(geometry)], design.hollows),
        refused=tuple((each.reason, each.xy) for each in design.refused),
        header=plan_header(part.units),
        table=plan_table(design),
        facts=plan_facts(design),
        section=_typical_section(design),
        cautions=plan_cautions(design),
        credits=plan_credits(design),
        units=part.units,
    )


def keep_outs_of(site: Site) -> tuple[tuple[str, str, Geometry, Geometry | None], ...]:
    """Kind, name, place and setback of all that ditches keep clear of."""
    return tuple((each.kind, each.name, each.geometry, each.zone) for each in site.keep_outs)


def _sill_stretch(swale: Swale) -> Polyline:
    """The part of a swale's line that is its sill."""
    line, sill = swale.line, swale.sill
    start_m = sill.chainage_m - sill.length_m / 2
    if line.closed:
        start_m %= line.length_m
    return stretch(line.path, start_m, start_m + sill.length_m)


def _named_ponds(ponds: Sequence[Geometry], hollows: Sequence[HollowFate]) -> tuple[tuple[str, Geometry], ...]:
    """Ponds with the numbers of the hollows whose lowest cell lies in each."""
    numbers: list[list[str]] = [[] for _ in ponds]
    lowest = shapely.points(np.reshape([each.xy for each in hollows], (-1, 2)))
    for hollow, pond in zip(*shapely.STRtree(ponds).query(lowest, predicate="intersects"), strict=True):
        numbers[pond].append(hollows[hollow].id)
    return tuple((", ".join(ids), pond) for ids, pond in zip(numbers, ponds, strict=True))


def _typical_section(design: Design) -> TypicalSection | None:
    """The section at the depth, crest and mean slope of the swale that stores most."""
    if not design.swales:
        return None
    brief, largest = design.site.brief, max(design.swales, key=lambda swale: swale.storage_m3)
    return section_of_swale(largest, words=section_words(brief.section, units=brief.site.units))


def section_of_swale(swale: Swale, *, words: str) -> TypicalSection:
    """The section of a swale at its depth, crest and mean slope, described in words."""
    line, shape = swale.line, swale.sized.shape
    x, y = profile(shape.section, shape.depth_m, shape.crest_level_m - line.level_m, line.mean_slope, reach_m=0.0)
    return TypicalSection(
        words=words,
        of=swale.id,
        xy=np.column_stack([x, y])[1:],
        slope=line.mean_slope,
        sill_m=shape.sill_level_m - line.level_m,
    )
