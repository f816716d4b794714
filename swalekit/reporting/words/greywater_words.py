"""The words of the house's water: reed bed or branched drain, what each outlet reaches, compost toilet."""

from collections import Counter

from swalekit.design.growth.greywater import Greywater
from swalekit.design.growth.growth import Growth
from swalekit.greywater.branched_drain import BranchedDrain
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.words.shown import area_shown, shown, small_area


def greywater_sentences(growth: Growth) -> tuple[str, ...]:
    """What becomes of the house's water.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of str
        The reed bed, then what each of several outlets reaches; none where the brief names no people.

    Examples
    --------
    >>> greywater_sentences(growth)[0].split(" a day")[0]
    'The house gives 456 L of greywater'
    """
    found = growth.greywater
    if found is None:
        return tuple(filter(None, (_toilet_words(growth),)))
    bed = _bed_words(growth, found) if found.drain is None else _drain_words(growth, found, found.drain)
    return tuple(filter(None, (bed, _outlet_words(growth, found), _toilet_words(growth))))


def _drain_words(growth: Growth, found: Greywater, drain: BranchedDrain) -> str:
    """The branched drain: its basins, their trees, its pipes."""
    units, route, count = growth.design.site.brief.site.units, found.route, drain.count
    daily, each, depth = (
        shown(value, unit, units=units)
        for value, unit in (
            (1000.0 * found.flow_m3_d, "L"),
            (drain.litres_each, "L"),
            (drain.need.loading_mm_d, "mm"),
        )
    )
    trees = Counter(tuple(tree.split(" ", 1)) for tree in found.basin_trees)
    named = ", ".join(f"{number} {species} of {swale}" for (swale, species), number in trees.items())
    words = (
        f"{_who(found)} {daily} of greywater a day{_from(found)}; a branched drain splits it by halves to {count} "
        f"{'basin' if count == 1 else 'basins'} of mulch, {_square(drain.basin_m2, units)} each, by a tree of its own "
        f"({named}): {each} a day each, {depth} over the basin. {shown(drain.length_m, 'm', units=units)} of pipe with "
        f"{drain.splits} {'split' if drain.splits == 1 else 'splits'} lead there"
    )
    if route is None:
        return f"{words}."
    return (
        f"{words}, behind {shown(route.length_m, 'm', units=units)} from the house, at most "
        f"{shown(route.deepest_m, 'm', units=units, decimals=1)} deep."
    )


def _square(area_m2: float, units: str) -> str:
    """Area of a basin, to the tenth where it is small."""
    return shown(area_m2, "m2", units=units, decimals=1) if units != "us" else small_area(area_m2, units=units)


def _toilet_words(growth: Growth) -> str:
    """The compost toilet; '' where none is asked for."""
    toilet, units = growth.design.site.brief.toilet.toilet(), growth.design.site.brief.site.units
    if toilet is None:
        return ""
    chamber, cover, compost = (
        shown(volume_m3, "m3", units=units, decimals=1)
        for volume_m3 in (toilet.chamber_m3, toilet.cover_m3_yr, toilet.compost_m3_yr)
    )
    return (
        f"A compost toilet for {toilet.people:g} {'person' if toilet.people == 1 else 'people'} takes two chambers of "
        f"{chamber} each, of which one fills for {toilet.rest_months:g} months while the other rests, and {cover} of "
        f"sawdust, leaves or straw a year; it gives some {compost} of compost a year, for "
        f"{small_area(toilet.spread_m2, units=units)} below trees."
    )


def _who(found: Greywater) -> str:
    """What gives the water that comes to the bed."""
    names = [outlet.name for outlet in found.led or found.outlets]
    if names == [""]:
        return "The house gives"
    return f"The outlet {names[0]} gives" if len(names) == 1 else f"The outlets {' and '.join(names)} give"


def _from(found: Greywater) -> str:
    return f" ({', '.join(found.household.sources)})" if len(found.outlets) == 1 else ""


def _outlet_words(growth: Growth, found: Greywater) -> str:
    """What each outlet reaches alone, whether it is led to the bed, and what a higher one would gain."""
    units = growth.design.site.brief.site.units
    if not found.reaches:
        return ""
    half = shown(0.5, "m", units=units, decimals=1)
    if len(found.outlets) == 1:
        gain_m2 = found.reaches[0].gain_m2
        if gain_m2 < 1.0:
            return ""
        return f"An outlet {half} higher would serve {small_area(gain_m2, units=units)} more of planted ground."
    parts = []
    for reach in found.reaches:
        outlet = reach.outlet
        part = f"{outlet.name} ({shown(1000.0 * outlet.flow_m3_d, 'L', units=units)} a day)"
        if reach.xy is None:
            part += " comes down to no ground for a bed"
        else:
            part += f" alone reaches {small_area(reach.commanded_m2, units=units)} of planted ground"
        if outlet not in found.led and found.led:
            part += (
                ", and stays in the sewer"
                if reach.xy is None or not reach.commanded_m2
                else f", and feeds a mulched basin of its own at {reach.xy[0]:,.0f}, {reach.xy[1]:,.0f}"
            )
        if reach.gain_m2 >= 1.0:
            part += f"; {half} higher it would reach {small_area(reach.gain_m2, units=units)} more"
        parts.append(part)
    return f"By outlet: {'. '.join(part[:1].upper() + part[1:] for part in parts)}."


def _bed_words(growth: Growth, found: Greywater) -> str:
    """The reed bed, where it stands and what its water meets."""
    units = growth.design.site.brief.site.units
    bed, daily = found.bed, shown(1000.0 * found.flow_m3_d, "L", units=units)
    size = " by ".join(shown(side_m, "m", units=units, decimals=1) for side_m in (bed.length_m, bed.width_m))
    words = (
        f"{_who(found)} {daily} of greywater a day{_from(found)}; a reed bed of "
        f"{size}, {shown(bed.depth_m, 'm', units=units, decimals=1)} deep, cleans it in {bed.residence_d:.1f} days."
    )
    if not found.places:
        reason = found.reason[:1].upper() + found.reason[1:]
        return f"{words} {reason}."
    best, route = found.places[0], found.route
    trees = int(found.watered_m2 / growth.chosen.tree_area_m2)
    meets = f"the full want of {trees if trees else 'no'} grown {'tree' if trees == 1 else 'trees'}"
    if growth.design.site.brief.greywater.wicking_beds:
        meets = f"that of {small_area(found.watered_m2, units=units)} of wicking beds"
    words += (
        f" It stands best {shown(best.place.distance_m, 'm', units=units)} from the house, where it commands "
        f"{area_shown(best.served.area_m2, units=units)}, of which {small_area(best.place.commanded_m2, units=units)} "
        "are planted."
    )
    if route is not None:
        words += (
            f" Its pipe is {shown(route.length_m, 'm', units=units)} long and at most "
            f"{shown(route.deepest_m, 'm', units=units, decimals=1)} deep."
        )
    return f"{words} In {MONTHS[found.month - 1]}, when plants want most, its water meets {meets}."
