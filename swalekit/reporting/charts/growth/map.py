"""A planting as the content of a map sheet."""

from typing import Any

import numpy as np

from swalekit.design.brief.issue import subtitle_of
from swalekit.design.growth.growth import Growth
from swalekit.design.plan.record import PlanRecord
from swalekit.greywater.branched_drain import basin_outlines
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.map.plant_marks import MapPlanting, MapSpecies, species_codes
from swalekit.reporting.words.planting_words import (
    planting_cautions_words,
    planting_facts,
    planting_table,
)
from swalekit.reporting.words.shown import shown

_SUBTITLE = "Planting plan"


def planting_content(growth: Growth, plan: PlanRecord, *, served: Any, bed: Any | None) -> MapContent:
    """What the map of a planting shows.

    Parameters
    ----------
    growth : Growth
        The planting.
    plan : PlanRecord
        The plan that it stands on.
    served : shapely geometry or None
        Ground that the reed bed serves, in the CRS of the project.
    bed : shapely geometry or None
        The bed.

    Returns
    -------
    MapContent
        Ground, boundary, lines and keep-outs of the plan, with the plants on them.

    Examples
    --------
    >>> content = planting_content(growth, record, served=None, bed=None)
    >>> [(species.code, species.name) for species in content.planting.species]
    [('B', 'bladder senna'), ('O', 'olive'), ('R', 'rosemary')]
    """
    ground = plan_content(plan)
    header, table = planting_table(growth)
    drain = None if growth.greywater is None else growth.greywater.drain
    part, route = growth.design.site.brief.site, None if growth.greywater is None else growth.greywater.route
    kept = {
        name: getattr(ground, name) for name in ("terrain", "boundary", "lines", "sills", "keep_outs", "watercourses")
    }
    return MapContent(
        title=part.name,
        subtitle=" · ".join(filter(None, (_SUBTITLE, subtitle_of(growth.design.site)))),
        **kept,
        header=header,
        table=table,
        table_file="planting.csv",
        facts=planting_facts(growth),
        cautions=planting_cautions_words(growth),
        cautions_file="planting.pdf, page 2",
        credits=(_credit(growth),),
        planting=MapPlanting(
            _species(growth),
            served,
            bed,
            None if route is None else route.xy,
            () if growth.garden is None else tuple(one.outline for one in growth.garden.beds),
            () if drain is None else tuple(basin_outlines(drain)),
            () if drain is None else tuple(drain.legs_m),
        ),
        units=part.units,
    )


def _species(growth: Growth) -> tuple[MapSpecies, ...]:
    """Plants by species over all swales."""
    chosen = [species for species in growth.chosen.all if species in growth.counts]
    codes = species_codes([species.name for species in chosen])
    return tuple(
        MapSpecies(species.name, species.role, code, species.canopy_m, _places(growth, species.name))
        for species, code in zip(chosen, codes, strict=True)
    )


def _places(growth: Growth, name: str) -> Any:
    return np.array(
        [
            xy
            for planting in growth.plantings
            for xy, species in zip(planting.xy, planting.species, strict=True)
            if species.name == name
        ]
    )


def _credit(growth: Growth) -> str:
    units = growth.design.site.brief.site.units
    years, made = np.unique(growth.weather.dates.astype("datetime64[Y]")).size, "made " if growth.made_rain else ""
    return (
        f"Canopies are drawn full-grown. Water: FAO-56, {years} {made}years of daily weather, root zone of "
        f"{shown(growth.zone.total_mm, 'mm', units=units)}; plants and their years: common practice."
    )
