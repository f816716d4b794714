"""Cautions of microcatchments: raised by a figure, or standing for every site."""

from collections.abc import Iterator

import numpy as np

from swalekit.design.brief.settings import storm_of
from swalekit.design.bunding.bunding import Bunding
from swalekit.design.bunding.site_ground import BETWEEN, STEEP, SWALES
from swalekit.design.plan.cautions import STANDING_CAUTIONS
from swalekit.design.plan.design import Caution
from swalekit.tables.microcatchments import microcatchment_rule

_STANDING = ("utilities", "permits and water rights", "licensed practice")
_MORE = 0.25
"""Share of the pits' soil from which it is told that bunds take more: our choice."""


def bund_cautions(found: Bunding) -> tuple[Caution, ...]:
    """What a reader must be warned of.

    Parameters
    ----------
    found : Bunding
        The units, without cautions yet.

    Returns
    -------
    tuple of Caution
        Those that figures raise first.

    Examples
    --------
    >>> from swalekit.design.bunding.bund import bund
    >>> dry = site.with_values({"microcatchments.rain_mm": 120.0, "microcatchments.swales": "none"})
    >>> [caution.name for caution in bund_cautions(bund(dry, terrain))][:3]
    ['rain below the published range', 'nothing laid', 'soil depth']
    """
    standing = (caution for caution in STANDING_CAUTIONS if caution.name in _STANDING)
    return (*_rain(found), *_ground(found), *_water(found), *_always(found), *standing)


def _rain(found: Bunding) -> Iterator[Caution]:
    kind, year_mm = found.size.kind, found.size.year_mm
    low, high = (microcatchment_rule(f"{kind} {end} rain").value for end in ("least", "greatest"))
    if year_mm is not None and year_mm < low:
        yield Caution(
            "rain below the published range",
            f"{year_mm:.0f} mm a year, and {kind} bunds are published from {low:.0f} mm on: in many years trees get "
            "too little; plant the hardiest, fewer, and be ready to water",
        )
    if year_mm is not None and year_mm > high:
        yield Caution(
            "rain above the published range",
            f"{year_mm:.0f} mm a year, and {kind} bunds are published up to {high:.0f} mm: they may stand full and "
            "drown roots; swales suit better",
        )
    if found.size.met_share < 1.0:
        yield Caution(
            "thirsty tree",
            f"a tree needs a catchment of {found.size.catchment_m2:.0f} m² and the unit gives "
            f"{100 * found.size.met_share:.0f} % of it, by a published size; choose a thriftier tree",
        )


def _ground(found: Bunding) -> Iterator[Caution]:
    kind, part, units = found.size.kind, found.site.brief.microcatchments, found.units
    published = microcatchment_rule(f"{kind} greatest slope").value / 100.0
    above = int(np.count_nonzero(units.slope > published + 1e-9))
    if above:
        yield Caution(
            "above the published slope",
            f"{above:,} of {len(units):,} units lie on more than {100 * published:g} %, beyond what is published for "
            f"{kind} bunds: bunds may fail one after the other; have an engineer look",
        )
    if not len(units):
        yield Caution("nothing laid", _why_nothing(found))
    cell_m = found.ground.terrain.grid.cell_m
    if cell_m > min(found.size.sizes_m) / 2.0:
        yield Caution(
            "coarse tile",
            f"cells of {cell_m:.3g} m are wider than half a unit: take the layout for a count, and set out on site",
        )
    wanted_m = microcatchment_rule(f"{kind} least soil").value
    if part.soil_depth_m is not None and part.soil_depth_m < wanted_m:
        yield Caution(
            "shallow soil",
            f"{part.soil_depth_m:g} m of soil was found and {wanted_m:g} m is wanted: it can't keep a season's water",
        )


def _water(found: Bunding) -> Iterator[Caution]:
    units, storm_mm = found.units, storm_of(found.site).depth_mm
    if found.spilling:
        way = "over the bund" if found.size.kind == "negarim" else "round the tips"
        yield Caution(
            "spills in the design storm",
            f"{found.spilling:,} of {len(units):,} units can't hold the runoff of {storm_mm:.0f} mm: it leaves {way} "
            "to those below; lay stones there, and protect what lies below the lowest row",
        )
    lacking = float((units.bund_m3 - units.pit_m3).sum()) if found.size.kind == "negarim" else 0.0
    if lacking > _MORE * float(units.pit_m3.sum()):
        yield Caution(
            "more soil than the pits give",
            f"the bunds take {lacking:,.0f} m³ more than the pits give: edges of blocks have walls of their own, steep "
            "ground higher ones; scrape it from within the units, not from below",
        )


def _always(found: Bunding) -> Iterator[Caution]:
    kind, part = found.size.kind, found.site.brief.microcatchments
    wanted_m = microcatchment_rule(f"{kind} least soil").value
    if part.soil_depth_m is None:
        yield Caution("soil depth", f"dig test pits: {wanted_m:g} m of soil is wanted, or trees dry out between rains")
    slope = float(np.median(found.units.slope)) if len(found.units) else found.asked.open.greatest_slope
    sigma_m = found.ground.terrain.vertical_sigma_m
    corners = "the tips of each bund" if kind == "semi-circular" else "the side corners of each unit"
    yield Caution(
        "level on site",
        f"bring {corners} to one level with a level or hose: heights within {sigma_m:.2g} m move a contour by "
        f"{sigma_m / slope:.2g} m",
    )
    yield Caution(
        "water from above",
        "units are sized for their own ground alone: where ground above a block sheds water, dig a cut-off ditch first",
    )
    yield Caution(
        "storms break bunds",
        "walk them after every storm and mend the lowest places; compact bunds in layers, damp, and keep stock off",
    )


def _why_nothing(found: Bunding) -> str:
    """What takes most of the ground asked for, and what would open it."""
    reason, area_m2 = max(found.ground_m2.items(), key=lambda ground: ground[1])
    cure = _CURES.get(reason, "ask for other ground, by [microcatchments] area")
    return f"most of the ground asked for, {area_m2 / 1e4:.2f} ha, is {reason}: {cure}"


_CURES = {
    SWALES: '[microcatchments] swales = "kept" lets units stand between swales, and take water from them',
    STEEP: "level ditches suit steeper ground, or smaller units, which a thriftier tree allows",
    BETWEEN: "smaller units may fit, which a thriftier tree allows",
}
