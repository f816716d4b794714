"""A plan as the content of a map sheet."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.crossing import FORD, PIPE
from swalekit.contours.obstacles import CROSSING
from swalekit.design.brief.issue import issue_words
from swalekit.design.brief.site import Site
from swalekit.design.plan.record import Feature, PlanRecord
from swalekit.reporting.map.content import KeptClear, MapContent
from swalekit.reporting.words import plan_words as words

Geometry = Any


def plan_content(record: PlanRecord) -> MapContent:
    """What the map of a plan shows.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    MapContent
        Lines, catchments, sills and all else that its layers hold, with table, totals and cautions.

    Examples
    --------
    >>> content = plan_content(record)
    >>> [row[0] for row in content.table], content.facts[0]
    (['S1', 'S2'], ('Design storm', '50.0 mm'))
    """
    site, layers, failures, largest = record.brief["site"], record.layers, record.failures_shown, record.largest
    failing = tuple(failure.swale for failure in failures)
    after = dict.fromkeys(swale for failure in failures for swale in failure.overtops if swale not in failing)
    header, table = words.plan_table(record)
    issue = issue_words(record.summary)
    return MapContent(
        title=site["name"],
        subtitle=" · ".join(filter(None, (site["subtitle"], issue))),
        terrain=record.ground,
        boundary=_first(layers["boundary"]),
        workable=_first(layers["workable"]),
        lines={properties["swale"]: _xy(line) for line, properties in layers["swales"]},
        stages={row["swale"]: row["stage"] for row in record.swales if row["stage"] is not None},
        catchments={properties["swale"]: area for area, properties in layers["catchments"]},
        sills={properties["swale"]: _xy(line) for line, properties in layers["sills"]},
        aprons=tuple(area for area, _ in layers.get("aprons", ())),
        banks=_roadways(record, PIPE),
        fords=_roadways(record, FORD),
        sill_paths=tuple(_xy(line) for line, _ in layers["overflow"]),
        failing=failing,
        overtopped=tuple(after),
        keep_outs=_keep_outs(record),
        watercourses=tuple(_xy(line) for line, _ in layers["watercourses"]),
        ponds=record.ponds,
        refused=tuple((properties["reason"], _xy(line)) for line, properties in layers["refused"]),
        header=header,
        table=table,
        facts=words.map_facts(record),
        section=largest,
        section_words=words.section_words(record.brief["section"], units=record.units, swales=record.swales),
        cautions=words.plan_cautions(record),
        credits=words.plan_credits(record),
        units=record.units,
    )


def keep_outs_of(site: Site) -> tuple[KeptClear, ...]:
    """What ditches keep clear of, as a map shows it.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    tuple of KeptClear
        Kind, name, place and zone of each keep-out, and every crossing.

    Examples
    --------
    >>> [(kind, name) for kind, name, place, zone in keep_outs_of(site)]
    [('building', 'House')]
    """
    things = ((keep_out.kind, keep_out.name, keep_out.geometry, keep_out.zone) for keep_out in site.keep_outs)
    ways = ((CROSSING, crossing.name, crossing.geometry, None) for crossing in site.crossings)
    return (*things, *ways)


def _xy(line: Geometry) -> NDArray[np.float64]:
    """Coordinates of a line, shape (n, 2)."""
    return np.asarray(line.coords, np.float64)[:, :2]


def _first(features: tuple[Feature, ...]) -> Geometry | None:
    return next((geometry for geometry, _ in features), None)


def _keep_outs(record: PlanRecord) -> tuple[KeptClear, ...]:
    zones = {properties["keep_out"]: zone for zone, properties in record.layers["setbacks"]}
    things = (
        (properties["kind"], properties["name"] or "", geometry, zones.get(properties["keep_out"]))
        for geometry, properties in record.layers["keep_outs"]
    )
    ways = ((strip, row) for strip, row in record.layers.get("crossings", ()) if not row.get("swale"))
    return (*things, *((CROSSING, row["name"] or "", strip, None) for strip, row in ways))


def _roadways(record: PlanRecord, kind: str) -> tuple[Geometry, ...]:
    """What is built of crossings of a kind on swales that go on beneath them."""
    ways = record.layers.get("crossings", ())
    return tuple(area for area, row in ways if row.get("swale") and row["kind"] == kind)
