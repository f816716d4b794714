"""Microcatchments as the content of a map sheet."""

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.design.brief.issue import subtitle_of
from swalekit.design.bunding.bunding import Bunding
from swalekit.design.layout.lines import workable_area
from swalekit.microcatchments.trees import pit_sides_m, tree_places
from swalekit.reporting.map.bund_marks import MapBunds
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import keep_outs_of
from swalekit.reporting.map.unit_sketch import UnitShape
from swalekit.reporting.words.bund_words import bund_caution_words, bund_facts, bund_table, size_name
from swalekit.tables.microcatchments import microcatchment_rule

_WIDTHS = {"negarim": 1.0, "semi-circular": 2.0}
"""Width of a unit, in its side or radius."""
_CREDIT = "Sizes and bunds: Critchley & Siegert (1991), FAO AGL/MISC/17/91, from memory; water held: geometry."


def bund_content(found: Bunding) -> MapContent:
    """What the map of microcatchments shows.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    MapContent
        Ground, boundary, swales and keep-outs, with the units on them.

    Examples
    --------
    >>> content = bund_content(bunding)
    >>> content.bunds.words.partition(" (")[0], content.table_heading, [name for name, _ in content.bunds.names]
    ('Negarim of 3 m', 'BLOCKS', ['M1'])
    """
    site, ground, design = found.site, found.ground, found.design
    part, (header, table) = site.brief.site, bund_table(found)
    swales = () if design is None else design.swales
    return MapContent(
        title=part.name,
        subtitle=" · ".join(filter(None, ("Microcatchments", subtitle_of(site)))),
        terrain=ground.terrain,
        boundary=site.boundary,
        workable=None if site.boundary is None else workable_area(site, ground),
        lines={swale.id: swale.line.path for swale in swales},
        sills={swale.id: swale.sill_line for swale in swales},
        keep_outs=keep_outs_of(site),
        watercourses=ground.watercourse_lines,
        header=header,
        table=table,
        table_heading="BLOCKS",
        table_file="blocks.csv",
        facts=bund_facts(found),
        cautions=bund_caution_words(found),
        cautions_file="bunding.pdf, page 2",
        credits=(_CREDIT,),
        bunds=_bunds(found),
        units=part.units,
    )


def _bunds(found: Bunding) -> MapBunds:
    units = found.units
    return MapBunds(
        words=f"{size_name(found)} ({len(units):,})",
        size_m=_WIDTHS[units.kind] * float(units.size_m.min()) if len(units) else 1.0,
        outlines=tuple(_xy(outline.exterior) for outline in units.outlines),
        bunds=tuple(_xy(bund) for bund in units.bunds),
        trees=tree_places(units)[0],
        names=_names(found),
        asked=None if found.records.area is None else found.asked.asked,
        shape=_usual(found),
    )


def _usual(found: Bunding) -> UnitShape | None:
    """A unit of middling slope, of the size that most have."""
    units = found.units
    if not len(units):
        return None
    sizes, counts = np.unique(units.size_m, return_counts=True)
    own = np.flatnonzero(units.size_m == sizes[counts.argmax()])
    middling = own[np.argsort(units.slope[own], kind="stable")[len(own) // 2]]
    pit_m = float(pit_sides_m(units)[middling]) if units.kind == "negarim" else 0.0
    return UnitShape(
        kind=units.kind,
        size_m=float(units.size_m[middling]),
        slope=float(units.slope[middling]),
        height_m=float(units.bund_height_m[middling]),
        top_m=microcatchment_rule(f"{units.kind} bund top").value,
        pit_m=pit_m,
        units=found.site.brief.site.units,
    )


def _names(found: Bunding) -> tuple[tuple[str, tuple[float, float]], ...]:
    """Blocks, the larger first, each at the unit nearest to its middle."""
    units, names = found.units, []
    for block in range(1, int(units.block.max(initial=0)) + 1):
        middles = units.pegs_m[units.block == block].mean(axis=1)
        nearest = middles[np.hypot(*(middles - middles.mean(axis=0)).T).argmin()]
        names.append((len(middles), f"M{block}", (float(nearest[0]), float(nearest[1]))))
    names.sort(key=lambda name: -name[0])
    return tuple((name, place) for _, name, place in names)


def _xy(line: shapely.LineString) -> NDArray[np.float64]:
    return np.asarray(line.coords, np.float64)[:, :2]
