"""The words of annual beds: how many, how they lie, and what greywater and tank carry of them."""

from swalekit.design.growth.bed_ground import bed_width_words
from swalekit.design.growth.garden import BEDS, PATHS
from swalekit.design.growth.growth import Growth
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.words.shown import shown, small_area


def bed_sentences(growth: Growth) -> tuple[str, ...]:
    """What the beds come to, how they are built, and what waters them.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of str
        Sentences; none without beds.

    Examples
    --------
    >>> bed_sentences(growth)
    ()
    """
    if growth.garden is None or growth.bed_water is None:
        return ()
    return tuple(filter(None, (_carried_words(growth), _lie_words(growth), _left_words(growth))))


def _carried_words(growth: Growth) -> str:
    """The headline: ground of the beds, and what carries how much of it."""
    garden, water = growth.garden, growth.bed_water
    assert garden is not None
    assert water is not None
    units, part = growth.design.site.brief.site.units, growth.design.site.brief.beds
    month = water.thirstiest
    name = MONTHS[month - 1]

    def area(m2: float) -> str:
        return small_area(m2, units=units)

    words = f"{area(garden.area_m2)} of annual beds{', watered from below' if part.wicking else ''}"
    want_mm = float(water.months(water.want_mm)[month - 1])
    if want_mm <= 0.0:
        return f"{words}: rain alone carries them."
    asks = (
        f"A square metre wants {shown(want_mm, 'mm', units=units)} in {name} besides rain, all of them "
        f"{shown(float(water.months(water.want_m3).sum()), 'm3', units=units)} a year"
    )
    if not water.greywater_m3.any() and water.tank is None:
        return f"{words}. {asks}, and neither greywater nor a tank is named that brings it."
    parts = []
    if water.greywater_m3.any():
        does_m2 = 1000.0 * float(water.months(water.greywater_m3)[month - 1]) / want_mm
        carries_m2 = float(water.by_greywater_m2[month - 1])
        parts.append(f"greywater carries {area(carries_m2)} of them in {name}, if they get all of it")
        if carries_m2 < min(does_m2, water.area_m2) - 1.0:
            parts[-1] += f" (it reaches no more by gravity, and would do for {area(does_m2)})"
    if water.tank is not None:
        tank = f"{'with' if parts else ''} the tank of {shown(water.tank_m3, 'm3', units=units)}".strip()
        parts.append(
            f"{tank} {'they carry all' if water.carried_m2 >= water.area_m2 else 'it is ' + area(water.carried_m2)} in "
            f"every month of {100 * water.reliability:.0f} % of years"
        )
        given = float(water.months(water.given_m3)[month - 1])
        left = float(water.months(water.want_m3 - water.greywater_used_m3)[month - 1])
        if water.carried_m2 < water.area_m2 and left > 0.0:
            parts.append(f"with all beds planted the tank meets {100 * given / left:.0f} % of what is left in {name}")
    return f"{words}: {'; '.join(parts)}. {asks}."


def _lie_words(growth: Growth) -> str:
    """How the beds lie and how many are levelled."""
    garden, units = growth.garden, growth.design.site.brief.site.units
    assert garden is not None
    rules, (from_slope, narrow_m) = garden.rules, bed_width_words(garden.rules)
    falls = [bed.fall_m for bed in garden.beds]
    levelled = [bed for bed in garden.beds if bed.levelled]
    words = (
        f"{len(garden.beds):,} beds {shown(rules.width_m, 'm', units=units, decimals=2)} wide lie along level lines, "
        f"{shown(garden.length_m, 'm', units=units)} in all, paths between them never narrower than "
        f"{shown(rules.path_m, 'm', units=units, decimals=2)}; the ground falls {_span(falls, units)} across a bed"
    )
    if not levelled:
        return f"{words}, so that none is levelled (from {100 * from_slope:.1f} % on one would be)."
    walls = _span([bed.wall_m for bed in levelled], units)
    return (
        f"{words}. From a slope of {100 * from_slope:.1f} % on a bed is levelled: {len(levelled):,} are, between a "
        f"cut and a low wall of {walls} each, {shown(garden.wall_length_m, 'm', units=units)} of wall, with "
        f"{shown(garden.moved_m3, 'm3', units=units, decimals=1)} of soil moved from the upper half to the lower; on "
        f"the steepest ground allowed a bed of {shown(narrow_m, 'm', units=units, decimals=2)} would lie as it is."
    )


def _span(values_m: list[float], units: str) -> str:
    low, high = (shown(value, "m", units=units, decimals=2) for value in (min(values_m), max(values_m)))
    return high if low == high else f"{low.split()[0]} to {high}"


def _left_words(growth: Growth) -> str:
    """What of the ground asked for bears no bed."""
    garden, units = growth.garden, growth.design.site.brief.site.units
    assert garden is not None
    left = {why: m2 for why, m2 in garden.ground_m2.items() if why != BEDS and m2 >= 1.0}
    if not left:
        return ""
    named = ", ".join(f"{small_area(m2, units=units)} {why}" for why, m2 in left.items() if why != PATHS)
    paths = small_area(left.get(PATHS, 0.0), units=units)
    asked = small_area(garden.asked.area, units=units)
    return f"Of {asked} asked for, {paths} are {PATHS}{f'; no bed lies on {named}' if named else ''}."
