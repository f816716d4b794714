"""What gauge notes say, in the words of the trade; and the words of the gauge sheet."""

from swalekit.design.brief.settings import storm_of
from swalekit.design.gauging.gauging import AT_LEAST, AT_MOST, FROM_ABOVE, LATER, TOO_MUCH, USED, Gauging
from swalekit.design.gauging.posts import GaugePost
from swalekit.hydrology.losses.event_curve_number import INTERVAL
from swalekit.reporting.words.shown import number, shown

STATE_WORDS = {
    USED: "runoff known in full",
    AT_LEAST: "water stood at the sill or over it: that much runoff, or more",
    AT_MOST: "no water to read: that much runoff, or less",
    LATER: "the same rain was read before: for the rate of soaking alone",
    FROM_ABOVE: "water came over a sill above: not counted",
    TOO_MUCH: "more water than all of the rain: look at the catchment, the rain gauge and the reading",
}
"""What a reading is good for, by its state."""

_TRENDS = {
    "steady": "the numbers of single rains show no trend with the rain",
    "levels off": "the numbers fall with the rain from {first:.0f} to {last:.0f} and level off toward {limit:.0f}",
    "still falls": "the numbers still fall at the greatest rain, from {first:.0f} to {last:.0f}: for a greater storm "
    "the fitted one is on the safe side, and a runoff coefficient may suit this ground better",
    "rises": "the numbers rise with the rain from {first:.0f} to {last:.0f}: the ground may shed more in a greater "
    "storm than the fitted one says",
}


def gauge_words(gauging: Gauging) -> list[str]:
    """What the notes come to, and the line to put into the brief.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.

    Returns
    -------
    list of str
        A line each, figures in the units of the brief.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> level_m = design.swales[0].sized.shape.floor_level_m + 0.2
    >>> gauge_words(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, level_m=level_m)]))[0]
    '1 reading of 1 rain: 1 with runoff known in full'
    """
    return [_counts(gauging), *_soaking(gauging), *_number(gauging), *_line(gauging), *gauge_cautions(gauging)]


def gauge_cautions(gauging: Gauging) -> list[str]:
    """What the reader of a fitted number must know.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.

    Returns
    -------
    list of str
        A line each.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> gauge_cautions(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.2)]))[0].split(":")[0]
    'caution'
    """
    told = [
        "caution: a number of some rains is that of their ground and season: keep to the greater of it and the brief's "
        "until wet years are among them, and defer to local codes and licensed practice"
    ]
    units = gauging.design.site.brief.site.units
    rains = [reading.note.rain_mm for reading in gauging.used]
    storm_mm = storm_of(gauging.design.site).depth_mm
    if rains and max(rains) < storm_mm:
        most, asked = (shown(depth_mm, "mm", units=units, decimals=1) for depth_mm in (max(rains), storm_mm))
        told.append(
            f"caution: the greatest rain read in full is {most}, the storm to hold {asked}: that is reached for"
        )
    strange = [reading for reading in gauging.readings if reading.state == TOO_MUCH]
    if strange:
        named = ", ".join(f"{reading.note.swale} on {reading.note.date}" for reading in strange[:3])
        told.append(f"caution: {named}: {STATE_WORDS[TOO_MUCH]}")
    return told


def _counts(gauging: Gauging) -> str:
    states = [reading.state for reading in gauging.readings]
    rains = len({reading.note.date for reading in gauging.readings})
    words = {USED: "with runoff known in full", AT_LEAST: "that or more", AT_MOST: "that or less"}
    words |= {LATER: "read again later", FROM_ABOVE: "fed from above", TOO_MUCH: "more than fell"}
    parts = [f"{states.count(state)} {said}" for state, said in words.items() if state in states]
    return f"{_many(len(states), 'reading')} of {_many(rains, 'rain')}: {', '.join(parts)}"


def _many(count: int, name: str) -> str:
    return f"{count} {name}{'' if count == 1 else 's'}"


def _soaking(gauging: Gauging) -> list[str]:
    units, rate = gauging.design.site.brief.site.units, gauging.intake_mm_h
    if rate is None:
        return [
            "soaking before the reading isn't counted, since no rate is known: read a post twice after one rain, or "
            "give texture or intake_mm_h under [soil]"
        ]
    said = shown(rate, "mm/h", units=units, decimals=1)
    if gauging.intake_read:
        pairs = _many(gauging.intake_read, "pair")
        return [f"ditches soaked away {said} (median of {pairs} of readings): [soil] intake_mm_h = {rate:.1f}"]
    return [f"ditches are taken to soak away {said}, the brief's rate; two readings of one rain would show it"]


def _number(gauging: Gauging) -> list[str]:
    fitted, units = gauging.fitted, gauging.design.site.brief.site.units
    if fitted is None:
        return ["no reading tells the runoff in full, so no curve number is fitted"]
    spread = (
        f"{100 * INTERVAL:.0f} % of fits between {fitted.low:.1f} and {fitted.high:.1f}"
        if fitted.low is not None and fitted.high is not None
        else "too few rains for an interval"
    )
    off = shown(fitted.rms_mm, "mm", units=units, decimals=1)
    told = [
        f"curve number {fitted.curve_number:.1f} by least squares for Ia/S {gauging.ratio:g} ({spread}; median of "
        f"single readings {fitted.median:.1f}; {off} off the curve)"
    ]
    if gauging.trend is not None:
        trend = gauging.trend
        told.append(_TRENDS[trend.kind].format(first=trend.at_least_rain, last=trend.at_most_rain, limit=trend.limit))
    by_brief, by_fit = (
        "–" if depth_mm is None else shown(depth_mm, "mm", units=units, decimals=1)
        for depth_mm in (gauging.design_mm, gauging.fitted_design_mm)
    )
    storm = shown(storm_of(gauging.design.site).depth_mm, "mm", units=units, decimals=1)
    told.append(f"the storm of {storm} brings {by_fit} of runoff by the fitted number, {by_brief} by the brief")
    return told


def _line(gauging: Gauging) -> list[str]:
    """The line to put into the brief, where it follows curve numbers."""
    fitted, numbers = gauging.fitted, gauging.numbers_to_put
    if fitted is None:
        return []
    if not gauging.brief_numbers:
        method = gauging.design.ground.soil.losses[0].method
        return [f"the brief follows another method ({method}): the curve number is told beside it and replaces nothing"]
    soil = gauging.design.site.brief.soil
    instead = " in place of cover, condition and group" if soil.cover is not None else ""
    old = "" if soil.cover is not None else f" (it is {gauging.brief_numbers[0]:g})"
    lowest = " (a brief takes 30 or more)" if numbers[0] < 30.0 else ""
    told = [f"to follow it put into the brief, under [soil]{instead}: curve_number = {numbers[0]:.1f}{lowest}{old}"]
    told += [
        f"and for soil zone {place}: curve_number = {number:.1f} (it is {gauging.brief_numbers[place]:g})"
        for place, number in enumerate(numbers[1:], 1)
    ]
    return told


def post_marks(post: GaugePost, *, units: str) -> tuple[tuple[float, str], ...]:
    """Marks of a post from its foot upward: height above the floor, and what is lettered there.

    Parameters
    ----------
    post : GaugePost
        The post.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of (float, str)
        Height [m]; name, height and level in the reader's units.

    Examples
    --------
    >>> from swalekit.design.gauging import gauge_posts
    >>> [words for _, words in post_marks(gauge_posts(design)[0], units="metric")][::4]
    ['floor 0 · 107.65', 'crest 0.57 · 108.22']
    """
    heights = (0.0, post.half_m, post.full_m, post.over_m, post.crest_m)
    names = ("floor", "half", "full: sill", "over the sill", "crest")
    return tuple(
        (
            height_m,
            f"{name} {number(height_m, 'm', units=units, decimals=2) if height_m else '0'} · "
            f"{number(post.floor_level_m + height_m, 'm', units=units, decimals=2).replace(',', '')}",
        )
        for name, height_m in zip(names, heights, strict=True)
    )


def post_place(post: GaugePost, *, units: str) -> str:
    """Where a post stands, and what a reading is worth.

    Parameters
    ----------
    post : GaugePost
        The post.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        A few words.

    Examples
    --------
    >>> from swalekit.design.gauging import gauge_posts
    >>> post_place(gauge_posts(design)[1], units="metric").endswith(" m³")
    True
    """
    at = shown(post.chainage_m, "m", units=units, decimals=0)
    full = shown(post.full_m3, "m3", units=units, decimals=0)
    return f"{at} along; holds {full}"


def after_rain(empty_within_h: float) -> tuple[str, ...]:
    """What to look at after each rain, in the order of a walk.

    Parameters
    ----------
    empty_within_h : float
        Hours from the end of the rain in which a ditch should be dry [h].

    Returns
    -------
    tuple of str
        A step each.

    Examples
    --------
    >>> len(after_rain(72.0))
    7
    """
    return (
        "Stand a post on the ditch floor beside the middle of each sill, its foot on the floor as dug. Mark it with "
        "the level, not with the tape alone.",
        "Read the rain gauge, then every post, as soon after the rain as it is safe to walk. Note the hours since it "
        "ended. Read from the foot, not from the silt. Dry is a reading too: 0.",
        "Sill: level, nothing washed out beside or below it? Water over it: note it, follow where it went.",
        "Berm: no crack, slump, low spot or animal hole, no wet foot below it. Water that seeps through is told at "
        "once: keep off and away from below while it does.",
        "Silt at the post: note how deep. Dig it out before it takes a tenth of the depth.",
        f"Look again after {empty_within_h:g} h. Water that still stands breeds mosquitoes: note how deep, and rip the "
        "floor when it is dry.",
        "A second reading of the same rain shows how fast the ditch soaks away.",
    )
