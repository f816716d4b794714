"""What a planting takes for granted, and what it leaves out."""

from collections.abc import Sequence

from swalekit.design.brief.brief import Brief
from swalekit.design.growth.growth import SwaleGrowth
from swalekit.design.growth.tree_water import Conditions
from swalekit.planting.water.months import whole_years

_FEW_YEARS = 10
"""Years of record below which a share of years says little; common practice."""


def growth_notes(brief: Brief, swales: Sequence[SwaleGrowth], shared: Conditions) -> tuple[str, ...]:
    """What the tree count hangs on, and which swales carry none for which reason."""
    part, zone = brief.planting, shared.zone
    notes = []
    low = [name for name, kinds in (("pioneers", part.pioneers), ("ground cover", part.ground_cover)) if kinds]
    if low:
        notes.append(f"no tree count holds {' or '.join(low)}: they live on rain and are cut back in dry years")
    if brief.weather.method == "Hargreaves":
        notes.append(
            "reference evapotranspiration is had from temperature alone (Hargreaves): too low in strong wind and too "
            "high in damp air; where wind and humidity are known let Penman-Monteith count them"
        )
    if part.root_depth_m is not None and part.root_depth_m > zone.root_depth_m + 0.05:
        notes.append(
            f"roots are taken {zone.root_depth_m:.2f} m deep, as these species root in the mean, though "
            f"{part.root_depth_m:g} m are given: only species that root deeper use more"
        )
    years = whole_years(shared.weather.dates)
    if years < _FEW_YEARS:
        notes.append(
            f"weather: only {years} whole years; a share of years says little over so few, so plant fewer trees"
        )
    for limit, words in (
        ("root zone", f"no tree gets {100 * part.least_ratio:.0f} % of what it wants in enough years; left unplanted"),
        (
            "reach",
            f"too little soaks in within reach of any one tree, its roots {part.root_spread:g} times as wide as its "
            "canopy; left unplanted. Lines farther apart gather more on each metre of ditch, kinds with wider roots "
            "reach more of it",
        ),
        (
            "room",
            "no room for a tree clear of works, keep-outs and ways of overflow, with its roots in the ditch's water",
        ),
    ):
        bare = [each.swale for each in swales if not each.trees and each.capacity.limited_by == limit]
        if bare:
            notes.append(f"{', '.join(bare)}: {words}")
    far = sum(each.out_of_reach for each in swales)
    if far:
        notes.append(
            f"places for {far:,} more trees lie so far below their ditch that roots don't reach its water; left out "
            "(rows_below, root_spread, seep_m)"
        )
    return tuple(notes)
