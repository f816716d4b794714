"""What a reader of a planting must know: what it takes for granted, and what its plants warn of."""

from collections.abc import Mapping, Sequence

import numpy as np

from swalekit.design.brief.brief import Brief
from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.chosen_species import Chosen
from swalekit.design.growth.growth import Conditions, SwaleGrowth
from swalekit.design.growth.plant_groups import PIONEER
from swalekit.planting.plants.succession import RoleCanopy
from swalekit.planting.water.months import whole_years
from swalekit.planting.work.nursery import planting_cautions

_FEW_YEARS = 10
"""Years of record below which a share of years says little; common practice."""


def growth_notes(brief: Brief, swales: Sequence[SwaleGrowth], shared: Conditions) -> tuple[str, ...]:
    """Tell what the tree count hangs on, and which swales carry none for which reason.

    Parameters
    ----------
    brief : Brief
        The brief.
    swales : sequence of SwaleGrowth
        What each swale carries.
    shared : Conditions
        Weather, species and soil.

    Returns
    -------
    tuple of str
        One sentence each.
    """
    part, zone = brief.planting, shared.zone
    notes = []
    low = [name for name, kinds in (("pioneers", part.pioneers), ("ground cover", part.ground_cover)) if kinds]
    if low:
        notes.append(
            f"no tree count holds {' or '.join(low)}: they live on rain and on what roots of trees don't reach, and "
            "are cut back in dry years"
        )
    assumed = [
        tree.name for tree, crop in zip(shared.chosen.sheltered, shared.chosen.crops, strict=True) if crop.assumed
    ]
    if assumed:
        notes.append(
            f"no crop coefficient, or no stages of it, are published for {', '.join(assumed)}: a class value is taken "
            "(species.csv says which); where you know better give your own, as [planting.coefficients."
            f'"{assumed[0]}"] with kcb and stages'
        )
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
    notes += _why_none(part, swales, shared)
    far = sum(swale.out_of_reach for swale in swales)
    if far:
        notes.append(
            f"places for {far:,} more trees lie so far below their ditch that roots don't reach its water; left out "
            "(rows_below, root_spread, seep_m)"
        )
    return tuple(notes)


def _why_none(part: PlantingPart, swales: Sequence[SwaleGrowth], shared: Conditions) -> list[str]:
    """Why some swales carry no fruit tree, what they carry instead, and what would change it."""
    notes = []
    fruit = shared.groups[0]
    for limit, words in (
        (
            "root zone",
            f"no fruit tree gets {100 * fruit.least_ratio:.0f} % of what it wants in enough years, however few there "
            "are: rain and harvest, as far as the soil keeps them, don't last from rain to rain",
        ),
        (
            "reach",
            f"too little soaks in within reach of any one fruit tree, its roots {part.root_spread:g} times as wide as "
            "its canopy. Lines farther apart gather more on each metre of ditch, kinds with wider roots reach more of "
            "it",
        ),
        (
            "room",
            "no room for a tree clear of works, keep-outs and ways of overflow, with its roots in the ditch's water",
        ),
    ):
        told = [swale for swale in swales if _refused(swale, fruit.name) == limit]
        if told:
            notes.append(f"{', '.join(swale.swale for swale in told)}: {words}{_instead(told)}")
    notes += _on_rain(part, swales)
    if shared.cover.closest_m and shared.cover.spacing_m is None:
        bare = [swale.swale for swale in swales if not swale.planting.plants_of("ground cover")]
        words = (
            f"rain alone carries no low plants of the berms ({100 * shared.cover.least_ratio:.0f} % of their want), "
            "however far apart they stand; they stand where the ditch's water soaks in between the trees"
        )
        if bare:
            words += (
                f", and nowhere on the berms of {', '.join(bare)}: cover these with stones or brush, and sow grasses "
                "of the district in wet years"
            )
        notes.append(words)
    elif shared.cover.spacing_m is not None and shared.cover.spacing_m > shared.cover.closest_m:
        notes.append(
            f"low plants of the berms stand {shared.cover.spacing_m:g} m apart, where closer ones "
            f"({shared.cover.closest_m:g} m) would want more than rain gives"
        )
    if not shared.chosen.pioneers and any(swale.group is None and swale.capacity.room for swale in swales):
        notes.append("no pioneers are named: give hardy ones ([planting] pioneers) for swales that carry no tree")
    return notes


def _on_rain(part: PlantingPart, swales: Sequence[SwaleGrowth]) -> list[str]:
    """What stands on the rain alone, on whose word, how far apart, and with what to reckon."""
    wild = [swale for swale in swales if swale.capacity.trees and swale.capacity.limited_by == "rain" and swale.group]
    if not wild:
        return []
    groups = [swale.group for swale in wild if swale.group is not None]
    known: dict[str, str] = {}
    for group in groups:
        for species in group.chosen.sheltered:
            limit = species.stands("rain")
            if limit is not None and limit.least is not None:
                known[species.name] = f"{species.name} from {limit.least:g} mm ({limit.source})"
    apart_m = max(part.root_spread * group.chosen.mean_canopy_m for group in groups)
    lowest = min(group.least_ratio for group in groups)
    return [
        f"{', '.join(swale.swale for swale in wild)}: by the budget no plant gets its share in enough years; planted "
        f"are those that are known to live on the rain that falls, {', '.join(known.values())}, so far apart "
        f"({apart_m:.0f} m) that their roots don't meet. In the drier years they get {100 * lowest:.0f} % of their "
        "full want, drop leaves and grow little: water them by hand in their first dry seasons, reckon with losses, "
        "and plant no more"
    ]


def _refused(swale: SwaleGrowth, fruit: str) -> str:
    """What keeps a swale from carrying fruit trees; '' where it carries some, or its berm is left bare on purpose."""
    capacity = swale.tried[fruit]
    return "" if capacity.trees else capacity.limited_by


def _instead(swales: Sequence[SwaleGrowth]) -> str:
    """What swales without fruit trees carry, and with how much water by hand a tree would live on them."""
    kinds: dict[str, list[str]] = {}
    for swale in swales:
        kinds.setdefault(swale.kind or "nothing", []).append(swale.swale)
    words = "; they carry " + ", ".join(
        kind if len(kinds) == 1 else f"{kind} ({', '.join(names)})" for kind, names in kinds.items()
    )
    litres = [swale.least_l_week for swale in swales if swale.least_l_week]
    if not litres:
        return words
    span = f"{min(litres):.0f}" if min(litres) == max(litres) else f"{min(litres):.0f} to {max(litres):.0f}"
    return f"{words}; one tree on each would live with {span} L a week in the dry months"


_FRUITING = 0.5
"""Share of their full want on which trees bear; common practice."""


def fruit_cautions(swales: Sequence[SwaleGrowth]) -> dict[str, str]:
    """Warn of fruit trees that get little.

    Parameters
    ----------
    swales : sequence of SwaleGrowth
        What each swale carries.

    Returns
    -------
    dict of str to str
        By a short name; empty where the trees bear.

    Examples
    --------
    >>> list(fruit_cautions(growth.swales))
    ['fruit']
    """
    tables = [
        (swale.capacity.planted_m2, swale.water.table)
        for swale in swales
        if swale.water is not None and swale.kind != PIONEER
    ]
    wanted = sum(m2 * float(table.demand_mm.sum()) for m2, table in tables)
    met = sum(m2 * float(table.transpiration_mm.sum()) for m2, table in tables) / wanted if wanted else 1.0
    if met >= _FRUITING:
        return {}
    return {
        "fruit": (
            f"on {100 * met:.0f} % of their full want trees live and bear little; where the crop counts let them "
            f"have {100 * _FRUITING:.0f} % or more, and plant fewer"
        )
    }


def plant_cautions(
    chosen: Chosen, canopies: Mapping[str, RoleCanopy], planted_m2: float, *, frost_c: float | None
) -> dict[str, str]:
    """Gather the cautions of the species, the coldest night, which only days tell, and years in which canopies crowd.

    Parameters
    ----------
    chosen : Chosen
        The species.
    canopies : mapping of str to RoleCanopy
        Plants and canopies of each role by year.
    planted_m2 : float
        Ground of the trees [m²].
    frost_c : float or None
        Coldest night [°C]; None where only monthly normals are known.

    Returns
    -------
    dict of str to str
        By a short name.

    Examples
    --------
    >>> "coldest night" in plant_cautions(growth.chosen, growth.canopies, growth.planted_m2, frost_c=None)
    True
    """
    cautions = planting_cautions(chosen.all)
    if frost_c is None:
        tender = max(chosen.all, key=lambda species: species.frost_limit_c)
        cautions["coldest night"] = (
            "monthly normals don't tell the coldest night: ask a station near by; the tenderest "
            f"of these, {tender.name}, stands {tender.frost_limit_c:g} °C"
        )
    if not planted_m2:
        return cautions
    drinking = [canopies[role] for role in ("pioneer", "fruit") if role in canopies]
    canopy_m2 = np.sum([canopy.canopy_m2 for canopy in drinking], axis=0)
    reckoned_m2 = float(canopies["fruit" if "fruit" in canopies else "pioneer"].grown_m2.max())
    densest = int(np.argmax(canopy_m2))
    if canopy_m2[densest] > reckoned_m2:
        cautions["dense years"] = (
            f"with the pioneers, canopies cover {canopy_m2[densest] / planted_m2:.0%} of the planted ground in year "
            f"{densest + 1}, more than the {reckoned_m2 / planted_m2:.0%} of the grown trees that the water was "
            "reckoned for; cut pioneers back harder or sooner in dry years"
        )
    return cautions
