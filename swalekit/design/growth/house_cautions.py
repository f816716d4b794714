"""What the house's water, its annual beds and its compost toilet warn of."""

import shapely

from swalekit.design.growth.bed_water import BedWater
from swalekit.design.growth.garden import GardenBeds
from swalekit.design.growth.greywater import Greywater, serves_across_watercourse, swales_crossed, things_crossed
from swalekit.design.growth.greywater_plan import water_clearances, water_near_bed
from swalekit.design.plan.design import Design
from swalekit.greywater.branched_drain import BranchedDrain, drain_practice
from swalekit.greywater.compost_toilet import toilet_cautions
from swalekit.greywater.household_flow import greywater_cautions
from swalekit.tables.load import named_row

_WALL_M = 0.5
"""Height of a dry wall of a bed up to which none asks for a footing; common practice."""
_DEEP_M = 1.2
"""Depth of a trench from which it is shored or sloped; common practice, sooner than 29 CFR 1926 Subpart P (1.5 m)."""


def bed_water_cautions(garden: GardenBeds | None, water: BedWater | None) -> dict[str, str]:
    """Warn of greywater on food, of low walls, and of beds that nothing waters.

    Parameters
    ----------
    garden, water : GardenBeds, BedWater, or None
        The annual beds and their water.

    Returns
    -------
    dict of str to str
        By a short name; empty without beds.

    Examples
    --------
    >>> bed_water_cautions(None, None)
    {}
    """
    if garden is None or water is None:
        return {}
    cautions = {}
    if water.greywater_used_m3.any():
        cautions["greywater on beds"] = (
            "greywater goes to beds below mulch or soil only, and to crops that are cooked and whose eaten part "
            "doesn't touch the ground; roots and leaves eaten raw get the tank's water; many codes let greywater to no "
            "food but fruit of trees: ask first"
        )
    if water.tank is not None:
        cautions["roof water"] = (
            "roof water isn't drinking water: keep the tank closed against mosquitoes and children, on level firm "
            "ground, and lead its overflow away from walls and beds"
        )
    highest_m = max(bed.wall_m for bed in garden.beds)
    if highest_m > _WALL_M:
        cautions["bed walls"] = (
            f"low walls of beds are up to {highest_m:.1f} m high, with a cut as deep above: walls beyond {_WALL_M:g} m "
            "want a footing, a drain and somebody who answers for them; lay narrower beds there"
        )
    return cautions


def bed_cautions(design: Design, greywater: Greywater) -> dict[str, str]:
    """Gather the cautions of every house, of this bed and its pipe, and of a bed whose ground drains to a swale.

    Parameters
    ----------
    design : Design
        The swales.
    greywater : Greywater
        The house, the bed and its pipe.

    Returns
    -------
    dict of str to str
        By a short name.

    Examples
    --------
    >>> "bed above a swale" in bed_cautions(design, growth.greywater)
    True
    """
    cautions = greywater_cautions(greywater.household)
    if not greywater.places:
        return cautions
    if greywater.drain is not None:
        return cautions | _pipe_cautions(design, greywater) | _drain_cautions(design, greywater, greywater.drain)
    near = water_near_bed(design, greywater)
    if near:
        cautions["bed near water"] = (
            f"the reed bed stands {near}, nearer than codes ask for, since no place farther off commands planted "
            "ground: line it, and ask the authority first"
        )
    cautions |= _pipe_cautions(design, greywater)
    if greywater.bed.notes:
        cautions["reed bed"] = "; ".join(greywater.bed.notes)
    if serves_across_watercourse(design, greywater):
        cautions["ground across a watercourse"] = (
            "a watercourse runs through the ground that the bed serves: end the pipes on the bed's side of it, so that "
            "no greywater reaches it"
        )
    row, column = (
        round(float(axis)) for axis in design.ground.terrain.grid.rows_columns(*greywater.places[0].place.xy)
    )
    below = int(design.catchments[row, column])
    if below > 0:
        cautions["bed above a swale"] = (
            f"the reed bed stands uphill of {design.swales[below - 1].id}: line it, give its overflow a mulched basin "
            "of its own, and lead its outlet to the trees in a closed pipe beneath the ditch, so that none reaches the "
            "swale"
        )
    return cautions


def _drain_cautions(design: Design, greywater: Greywater, drain: BranchedDrain) -> dict[str, str]:
    """What a branched drain asks for, and swales that its branches cross."""
    cautions = {
        "branched drain": (
            f"basins take greywater as it comes: coarse mulch to the brim, renewed each year, no water in sight, no "
            f"kitchen water, nothing kept longer than a day, splits dead level and within reach of a hand; "
            f"{drain.need.loading_mm_d:.0f} mm a day are taken to soak in: try it in a dug basin first"
        )
    }
    if drain.basin_m2 > drain_practice("largest basin") + 1e-9:
        cautions["large basins"] = (
            f"each basin takes {drain.basin_m2:.0f} m², more than the {drain_practice('largest basin'):g} m² that one "
            "tree shades: plant more trees below the house, or lead less water there"
        )
    legs = shapely.multilinestrings(list(drain.legs_m))
    crossed = [swale.id for swale in design.swales if legs.intersects(swale.works)]
    if crossed:
        cautions["branches through a swale"] = (
            f"branches of the drain cross {', '.join(crossed)}: lay them closed and clear beneath the ditch's floor, "
            "so that none reaches the swale, and clear of the berm"
        )
    return cautions


def toilet_site_cautions(design: Design) -> dict[str, str]:
    """Cautions of a compost toilet, and what its place is too near to.

    Parameters
    ----------
    design : Design
        With the brief, wells, watercourses and buildings.

    Returns
    -------
    dict of str to str
        By a short name; empty without a toilet.

    Examples
    --------
    >>> toilet_site_cautions(design)
    {}
    """
    part = design.site.brief.toilet
    toilet = part.toilet()
    if toilet is None:
        return {}
    cautions = toilet_cautions(toilet)
    if part.xy is not None:
        at = shapely.Point(part.xy)
        near = [name for name, zone in water_clearances(design) if zone.contains(at)]
        house_m = named_row("compost_toilet", practice="house").value
        near += [
            f"{keep_out.kind} (nearer than {house_m:g} m)"
            for keep_out in design.site.keep_outs
            if keep_out.kind == "building" and keep_out.geometry.distance(at) < house_m
        ]
        if near:
            cautions["toilet near"] = f"the toilet stands too near to: {', '.join(dict.fromkeys(near))}; move it"
    return cautions


def _pipe_cautions(design: Design, greywater: Greywater) -> dict[str, str]:
    """What the pipe from the house asks for and crosses."""
    cautions = {}
    if greywater.route is not None and greywater.route.above_m > 0.0:
        cautions["pipe in the open"] = (
            f"{greywater.route.above_m:.0f} m of the greywater pipe lie above the ground or under less than its cover, "
            "so that it keeps its height: fix it to a wall, posts or a low bank, out of the sun and of frost"
        )
    if greywater.route is not None and greywater.route.deepest_m > _DEEP_M:
        cautions["deep trench"] = (
            f"the pipe's trench is {greywater.route.deepest_m:.1f} m deep: nobody goes into one deeper than "
            f"{_DEEP_M:g} m that isn't shored or sloped back as the rules for trenches say"
        )
    crossed = swales_crossed(design, greywater)
    if crossed:
        cautions["pipe through a swale"] = (
            f"the greywater pipe crosses {', '.join(crossed)} above the ditch's floor: lay it closed and clear beneath "
            "that floor, or lead it round, and keep it out of the berm"
        )
    across = things_crossed(design, greywater)
    if across:
        cautions["pipe across"] = (
            f"the greywater pipe crosses {', '.join(across)}: sleeve it there, and ask whoever keeps it first, or give "
            "the bed another place"
        )
    return cautions
