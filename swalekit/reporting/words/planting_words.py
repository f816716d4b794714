"""The words of a planting's sheet and of the terminal: table, totals, what the count hangs on, greywater."""

from collections.abc import Mapping, Sequence
from typing import Any

from swalekit.design.growth.growth import ByHand, Growth, pockets_m3
from swalekit.design.growth.plant_table import schedule_rows
from swalekit.design.growth.stand_years import HAND_STEPS_L_WEEK
from swalekit.design.growth.table import grow_row, grow_totals, month_rows, year_rows
from swalekit.design.growth.tree_water import pocket_depth_m, rule_of
from swalekit.planting.water.measures import MEASURES
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.words.bed_words import bed_sentences
from swalekit.reporting.words.chapters import Chapter
from swalekit.reporting.words.greywater_words import greywater_sentences
from swalekit.reporting.words.palette_words import palette_sentences
from swalekit.reporting.words.shown import ShownColumn, area_shown, shown, small_area, table_of
from swalekit.tables.load import named_row

_TABLE: tuple[ShownColumn, ...] = (
    ("Swale", "swale", "", 0),
    ("Harvest", "harvested_m3", "m3", 0),
    ("Carries", "kind", "", 0),
    ("Room for", "room", "", 0),
    ("Trees", "trees", "", 0),
    ("Pioneers", "pioneers", "", 0),
    ("Ground each", "own_m2", "m2", 0),
    ("Want met", "share", "%", 0),
    ("By hand", "least_l_week", "L/week", 0),
)
_SHARES = tuple(name for _, name, unit, _ in _TABLE if unit == "%")
_HARDER = 0.01
"""Share of the want by which a year must fall behind the last one to be named."""
_FIRST = (
    "greywater on beds", "pipe through a swale", "pipe across", "bed above a swale", "storm ditch", "reed bed",
    "health", "codes", "frost", "salt", "pH", "invasive species", "spreading", "dense years",
)  # fmt: skip
"""Cautions that a sheet must have room for."""


def planting_table(growth: Growth) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Heads and rows of the table of swales, shares in per cent.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of str
        Heads, with the unit on a line below.
    tuple of tuple of str
        Figures of each swale.

    Examples
    --------
    >>> planting_table(growth)[1][0][:4]
    ('S1', '109', 'fruit', '14')
    """
    rows: list[dict[str, Any]] = [dict(grow_row(swale)) for swale in growth.swales]
    for row in rows:
        row |= {name: 100.0 * row[name] for name in _SHARES if row[name] is not None}
        row["least_l_week"] = row["least_l_week"] or None
        row["kind"] = str(row["kind"]).removesuffix(" tree").removeprefix("ground ") or None
    return table_of(rows, _TABLE, units=growth.design.site.brief.site.units)


def planting_facts(growth: Growth) -> tuple[tuple[str, str], ...]:
    """Totals of a planting: label and value.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of (str, str)
        Label, and value in the reader's units; reed bed and cost only where there is one.

    Examples
    --------
    >>> planting_facts(growth)[:2]
    (('Trees', '28'), ('Pioneers', '26'))
    """
    units, part = growth.design.site.brief.site.units, growth.design.site.brief.planting
    figures: dict[str, Any] = grow_totals(growth)
    facts = [
        ("Trees", f"{figures['trees']:,}"),
        ("Pioneers", f"{figures['pioneers'] + figures['lasting_pioneers']:,}"),
        ("Rooted ground", area_shown(growth.planted_m2, units=units)),
        ("Harvest, mean year", shown(figures["harvested_of_all_m3"], "m3", units=units)),
        ("Rain, mean year", shown(figures["rain_mm"], "mm", units=units)),
        ("Full want of a tree", shown(figures["tree_want_m3"], "m3", units=units)),
        ("Mulch, first laid", shown(figures["mulch_m3"], "m3", units=units)),
        ("Compost", shown(figures["compost_m3"], "m3", units=units)),
        ("First planting", f"{MONTHS[growth.season.first - 1]} {part.planting_year}"),
    ]
    if figures["reed_bed_m2"] is not None:
        facts.append(
            (
                "Reed bed",
                f"{small_area(figures['reed_bed_m2'], units=units)} · "
                f"{shown(figures['greywater_l_d'], 'L/d', units=units)}",
            )
        )
    if growth.garden is not None:
        facts.append(("Annual beds", small_area(growth.garden.area_m2, units=units)))
    if figures["cost"] is not None:
        worked = any(line.heading == "labour" and line.cost for line in growth.bill.lines)
        what = "Plants, materials, work" if worked else "Plants and materials"
        facts.append((what, f"{figures['cost']:,} {growth.design.site.brief.rates.currency}".strip()))
    return tuple(facts)


def _count_words(growth: Growth) -> str:
    """How many trees without water by hand and with some, on which setting that hangs, and how it moves with it."""
    part, trees, units = growth.design.site.brief.planting, growth.trees_at, growth.design.site.brief.site.units
    curve = {found.l_week: found for found in growth.by_hand}
    dry = _months_words(rule_of(part, growth.season, part.least_ratio).dry_months)
    given = [f"with {_litres(litres, units)} {_trees_words(curve[litres])}" for litres in _told(curve)]
    spreads = ", ".join(f"with {spread:g} it is {count:,}" for spread, count in growth.trees_at_spread.items())
    at = [f"{count:,} at {100 * ratio:.0f} %" for ratio, count in trees.items() if ratio != part.least_ratio]
    words = f"Without watering the swales carry {_trees_words(curve[0.0])}"
    if given:
        words += f"; by hand, to each tree in a week of the dry months ({dry}) and every year: {', '.join(given)}"
    planned = part.hand_water_l_week
    if planned:
        words += f". Planned here are {_trees_words(curve[planned])}, with {_litres(planned, units)}"
    return (
        f"{words}. Counted are full-grown trees that get {100 * part.least_ratio:.0f} % of their full want or more in "
        f"{100 * part.reliability:.0f} % of the years, from January and from the rains. Asked for another share of "
        f"their want, the count changes: {', '.join(at)}. It changes with the roots too: they are taken to spread "
        f"{part.root_spread:g} times as wide as the canopies; {spreads}."
    )


def _told(curve: Mapping[float, ByHand]) -> list[float]:
    """Amounts by hand that change the count, the first of them told always; none beyond that which changes nothing."""
    told: list[float] = []
    before = curve[0.0].trees, curve[0.0].fruit
    for litres, found in curve.items():
        if litres and (not told or (found.trees, found.fruit) != before):
            told.append(litres)
        before = found.trees, found.fruit
    return told


def _trees_words(found: ByHand) -> str:
    """Trees, those that bear and those that merely live.

    Examples
    --------
    >>> _trees_words(ByHand(0.0, 12, 0)), _trees_words(ByHand(0.0, 12, 5)), _trees_words(ByHand(0.0, 0, 1))
    ('12 fruit trees', '12 fruit trees and 5 that live without bearing', '1 tree that lives without bearing')
    """
    fruit = f"{found.fruit:,} fruit {'tree' if found.fruit == 1 else 'trees'}"
    lives = "that lives without bearing" if found.hardy == 1 else "that live without bearing"
    if not found.hardy:
        return fruit
    if found.fruit:
        return f"{fruit} and {found.hardy:,} {lives}"
    return f"{found.hardy:,} {'tree' if found.hardy == 1 else 'trees'} {lives}"


def _litres(litres: float, units: str) -> str:
    return shown(litres, "L", units=units)


def _months_words(months: Sequence[int]) -> str:
    """Months from the first of a run to its last.

    Examples
    --------
    >>> _months_words((5, 6, 7)), _months_words((1, 2, 11, 12)), _months_words((4, 5, 9))
    ('May to July', 'November to February', 'April, May, September')
    """
    starts = [month for month in months if (month - 2) % 12 + 1 not in months]
    ends = [month for month in months if month % 12 + 1 not in months]
    if len(starts) == 1 and len(months) > 1:
        return f"{MONTHS[starts[0] - 1]} to {MONTHS[ends[0] - 1]}"
    return ", ".join(MONTHS[month - 1] for month in months)


def _ladder_words(growth: Growth) -> str:
    """What each swale carries, from fruit trees down to a bare berm, and on how much ground."""
    least = {group.name: group.least_ratio for group in growth.groups}
    least["ground cover"] = growth.cover.least_ratio
    parts, units = [], growth.design.site.brief.site.units
    for kind in (*least, ""):
        swales = growth.swales_of(kind)
        if not swales:
            continue
        plants = sum(swale.capacity.trees for swale in swales)
        on = f" on {_swales_words([swale.swale for swale in swales], len(growth.swales))}"
        if kind in ("", "ground cover"):
            parts.append((f"berm cover alone ({100 * least[kind]:.0f} %)" if kind else "nothing") + on)
            continue
        own_m2 = sum(swale.capacity.planted_m2 for swale in swales) / plants
        shares = sorted(swale.group.least_ratio for swale in swales if swale.group is not None)
        share = " to ".join(dict.fromkeys(f"{100 * end:.0f}" for end in (shares[0], shares[-1])))
        what = f"{plants:,} {kind}{'' if plants == 1 else 's'} ({share} %){on}"
        dug = sum(swale.capacity.trees for swale in swales if swale.pocket_m3)
        pockets = "" if not dug else ", a pocket beside each" if dug == plants else f", a pocket beside {dug:,} of them"
        parts.append(f"{what}, {small_area(own_m2, units=units)} of root ground each{pockets}")
    return f"Swale by swale, with the share of its want on which each kind lives: {'; '.join(parts)}."


def _pocket_words(growth: Growth) -> str:
    """What the pockets are, where there are any."""
    dug_m3, units = pockets_m3(growth.swales), growth.design.site.brief.site.units
    if not dug_m3:
        return ""
    one_m3 = max(swale.pocket_m3 for swale in growth.swales)
    depth_m = pocket_depth_m(growth.design)
    hours = 1000.0 * depth_m / max(growth.design.ground.soil.design_intake_mm_h or 0.0, 1e-9)
    within_h = growth.design.site.brief.soil.empty_within_h
    late = "" if hours <= within_h else f", later than the {within_h:g} h asked for: rip the floor beneath them"
    one, deep, in_all = (
        shown(one_m3, "m3", units=units),
        f"{shown(depth_m, 'm', units=units, decimals=2)} deep on {small_area(one_m3 / depth_m, units=units)}",
        shown(dug_m3, "m3", units=units),
    )
    return (
        "Where the roots of one tree reach too short a stretch of the ditch, the water of small storms is gathered "
        f"beside it: a pocket of {one}, {deep}, dug into the ditch's floor on the plant's side, clear of the "
        f"berm's foot and of the sill; {in_all} in all, which the plan's earthwork doesn't count. Full ones soak away "
        f"in {hours:,.0f} h{late}."
    )


def _swales_words(names: Sequence[str], of: int) -> str:
    """Names of swales, or how many they are where they are many.

    Examples
    --------
    >>> _swales_words(["S1", "S2"], 3), _swales_words(["S1"] * 12, 30), _swales_words(["S1"] * 30, 30)
    ('S1, S2', '12 of 30 swales', 'all swales')
    """
    if len(names) == of:
        return "all swales" if of > 1 else names[0]
    return ", ".join(names) if len(names) <= _FEW else f"{len(names)} of {of} swales"


_FEW = 6
"""Swales that are named one by one."""


def _ratio_words(growth: Growth) -> str:
    """Catchment over planted ground beside the manual's formula; '' where it can't be had."""
    figures: dict[str, Any] = grow_totals(growth)
    if figures["ratio"] is None or figures["needed_ratio"] is None:
        return ""
    units, trees = growth.design.site.brief.site.units, [swale for swale in growth.planted if swale.trees]
    words = (
        f"Catchment to rooted ground is {figures['ratio']:.1f} : 1. The FAO manual's seasonal formula asks for "
        f"{figures['needed_ratio']:.1f} : 1 where trees are to want for nothing two years in three"
    )
    if not trees:
        return f"{words}."
    own_m2 = sum(swale.capacity.planted_m2 for swale in trees) / sum(swale.trees for swale in trees)
    catchment_m2 = own_m2 * figures["needed_ratio"]
    return (
        f"{words}: {small_area(catchment_m2, units=units)} of catchment a tree, "
        f"{small_area(catchment_m2 + own_m2, units=units)} in all with the ground of its roots."
    )


def _mulch_words(growth: Growth) -> str:
    """What mulch keeps from evaporating, and what that costs; '' where it keeps nothing."""
    saved_m3 = float(grow_totals(growth)["mulch_saved_m3"] or 0.0)
    if saved_m3 <= 0.0:
        return ""
    units, brief, mulch = growth.design.site.brief.site.units, growth.design.site.brief, growth.mulch
    plants = sum(swale.capacity.trees for swale in growth.planted)
    words = (
        f"Mulch keeps {shown(saved_m3, 'm3', units=units)} a year from evaporating, full-grown: "
        f"{shown(1000.0 * saved_m3 / plants, 'L', units=units)} a tree"
    )
    top_up_m3 = _yearly_top_up_m3(growth)
    words += f"; that takes {shown(top_up_m3, 'm3', units=units)} of new mulch a year"
    price = brief.planting.prices.get("mulch")
    if price is None:
        return f"{words} ({shown(float(mulch.needed_m3.sum()), 'm3', units=units)} over the schedule)."
    cost = price * top_up_m3 / saved_m3
    return f"{words}, {cost:,.1f} {brief.rates.currency}".rstrip() + " for each m³ of water kept."


def _yearly_top_up_m3(growth: Growth) -> float:
    """Mulch that a year's decay takes from the rings of the full-grown plants [m³]."""
    part = growth.design.site.brief.planting
    top_up_m = part.mulch_top_up_m
    if top_up_m is None:
        top_up_m = named_row("planting_practice", practice="mulch top-up").value
    ring_m2 = part.mulch_cover * growth.chosen.tree_area_m2
    return top_up_m * ring_m2 * sum(swale.capacity.trees for swale in growth.planted)


def growth_words(growth: Growth) -> tuple[str, ...]:
    """What a planting comes to, in sentences.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of str
        Trees that the water carries, where it goes, dry months, measures, plants, young plants, cost and greywater,
        each in a few sentences; what doesn't apply is left out.

    Examples
    --------
    >>> growth_words(growth)[6]
    'To plant from November 2030: 26 bladder senna, 28 olive, 170 rosemary.'
    """
    water = (
        _count_words,
        _ladder_words,
        _pocket_words,
        _reach_words,
        _irrigation_words,
        _dry_words,
        _measure_words,
        _mulch_words,
    )
    young = (_gap_words, _stand_words, _first_water_words)
    parts = (*water, _ratio_words, _plant_words, *young, _bill_words)
    return (*(words for part in parts if (words := part(growth))), *greywater_sentences(growth), *bed_sentences(growth))


def _measure_words(growth: Growth) -> str:
    """What swales and mulch do for the trees; '' where none is planted."""
    rows = month_rows(growth)
    if not rows:
        return ""
    met = {
        name: sum(float(row["transpiration_mm"] or 0.0) for row in rows if row["measure"] == name)
        / sum(float(row["demand_mm"] or 0.0) for row in rows if row["measure"] == name)
        for name in MEASURES
    }
    bare, mulched, swale, both = (f"{100 * met[name]:.0f} %" for name in MEASURES)
    return (
        f"Over the year they get, full-grown, {both} of their want; without swales and mulch it would be {bare}, with "
        f"mulch alone {mulched}, with swales alone {swale}."
    )


def _reach_words(growth: Growth) -> str:
    """Where the water of the planted ditches goes; '' where none is planted."""
    rows: list[dict[str, Any]] = [row for swale in growth.swales if (row := grow_row(swale))["soaked_m3"] is not None]
    if not rows:
        return ""
    units = growth.design.site.brief.site.units
    total = {
        name: sum(float(row[name]) for row in rows)
        for name in ("soaked_m3", "beyond_m3", "evaporated_m3", "spilled_m3")
    }
    reached, beyond, evaporated, spilled = (shown(volume_m3, "m3", units=units) for volume_m3 in total.values())
    return (
        f"Of the water that comes to the planted ditches in a mean year {reached} soak in within reach of the trees' "
        f"roots, {beyond} between the trees; {evaporated} evaporate from the ditches and "
        f"{spilled} spill."
    )


def _irrigation_words(growth: Growth) -> str:
    """What the irrigation that the brief allows comes to; '' where it allows none."""
    part, figures = growth.design.site.brief.planting, grow_totals(growth)
    if not part.irrigation_mm_month:
        return ""
    units, unwatered = growth.design.site.brief.site.units, figures["trees_unwatered"]
    return (
        f"That counts irrigation of up to {shown(part.irrigation_mm_month, 'mm', units=units)} a month: in a mean year "
        f"{shown(float(figures['given_m3'] or 0.0), 'm3', units=units)} are given. Without it the water of the swales "
        f"carries {unwatered:,} fruit trees."
    )


def _dry_words(growth: Growth) -> str:
    """Years and months in which the trees go short; '' where none is planted."""
    rows: list[dict[str, Any]] = list(year_rows(growth))
    if not rows:
        return ""
    carried = [(swale.group.least_ratio, swale.capacity.planted_m2) for swale in growth.planted if swale.group]
    least = sum(ratio * m2 for ratio, m2 in carried) / sum(m2 for _, m2 in carried)
    years = sorted({row["year"] for row in rows})
    met = {
        year: sum(row["transpiration_mm"] for row in rows if row["year"] == year)
        / max(sum(row["demand_mm"] for row in rows if row["year"] == year), 1e-9)
        for year in years
    }
    short = [str(year) for year in years if met[year] < least]
    hard = [
        name
        for month, name in enumerate(MONTHS, start=1)
        if 2 * sum(row["suffers"] for row in rows if row["month"] == month) > len(years)
    ]
    record = "made record" if growth.made_rain else "record"
    named = f"{len(short)} of them" if growth.made_rain else ", ".join(short)
    told = f"in {named}" if short else "in none"
    months = f"; the hard months, in most years, are {', '.join(hard)}" if hard else ""
    return (
        f"Of the {len(years)} years of the {record} they go short (below {100 * least:.0f} % of the year's want, all "
        f"swales together) {told}{months}."
    )


def _plant_words(growth: Growth) -> str:
    """What is planted, and from when; '' where nothing is."""
    if not growth.counts:
        return ""
    plants = ", ".join(f"{count:,} {species.name}" for species, count in growth.counts.items())
    return (
        f"To plant from {MONTHS[growth.season.first - 1]} {growth.design.site.brief.planting.planting_year}: {plants}."
    )


def _stand_words(growth: Growth) -> str:
    """How the want grows with the canopies, and which year is the hardest; '' where nothing is planted."""
    if not growth.stand_years:
        return ""
    units, stands, pioneers = growth.design.site.brief.site.units, growth.stand_years, growth.chosen.pioneers
    first, last, watered = stands[0], stands[-1], max(_watered_years(growth), default=0)
    hard = min((stand for stand in stands if stand.year > watered), key=lambda stand: stand.met, default=last)
    words = (
        f"With the canopies of {'pioneers and ' if pioneers else ''}trees the full want of the planted ground grows "
        f"from {shown(first.want_m3, 'm3', units=units)} in {first.year} to {shown(last.want_m3, 'm3', units=units)} "
        f"in {last.year}, when years like those of the record meet {100 * last.met:.0f} % of it"
    )
    if hard.met < last.met - _HARDER:
        words += f"; the hardest year, once none is watered by hand, is {hard.year}, with {100 * hard.met:.0f} %"
    return f"{words}{_nursed_words(growth) if pioneers else ''}."


def _nursed_words(growth: Growth) -> str:
    """What is taken for granted of pioneers and the trees under them."""
    relief = growth.design.site.brief.planting.shade_relief
    shade = f"; trees in their shade {100 * relief:.0f} % less, assumed" if relief else ""
    return f" (pioneers taken to use what trees do{shade})"


def _gap_words(growth: Growth) -> str:
    """What is lost in the first years and set in gaps; '' where nothing is."""
    gaps: dict[int, int] = {}
    for line in growth.nursery:
        if line.replacements:
            gaps[line.year] = gaps.get(line.year, 0) + line.replacements
    if not gaps:
        return ""
    part = growth.design.site.brief.planting
    told = ", ".join(f"{plants:,} in {part.calendar_year(year)}" for year, plants in sorted(gaps.items()))
    ordered = sum(line.plants for line in growth.nursery)
    places = ordered - sum(gaps.values())
    return (
        f"Of young plants some die (shares by common practice): for {places:,} places "
        f"{ordered:,} plants are ordered, of these for gaps of the year before {told}."
    )


def _watered_years(growth: Growth) -> dict[int, float]:
    """Water carried to young plants by calendar year of the dry season [m³]."""
    season = growth.season
    before = growth.design.site.brief.planting.calendar_year(int(season.first > season.last))
    return {before + year: volume_m3 for year, volume_m3 in growth.first_water_m3.items()}


def _first_water_words(growth: Growth) -> str:
    """Water that young plants must be given; '' where none is planted."""
    if not growth.first_water_m3:
        return ""
    units = growth.design.site.brief.site.units
    years = [f"{shown(volume_m3, 'm3', units=units)} in {year}" for year, volume_m3 in _watered_years(growth).items()]
    dose, interval, seasons = (
        named_row("planting_practice", practice=f"first water, {part}").value
        for part in ("dose", "interval", "seasons")
    )
    return (
        f"Hold water ready for young trees{' and pioneers' if growth.chosen.pioneers else ''}, "
        f"{shown(dose, 'L', units=units)} each every {interval:g} days of their first {seasons:g} dry seasons (common "
        f"practice): {', '.join(years)}.{_young_words(growth)}"
    )


def _young_words(growth: Growth) -> str:
    """Water by hand with which the stand of each year comes through enough years of the record."""
    units = growth.design.site.brief.site.units
    asked = {stand.year: stand.hand_l_week for stand in growth.stand_years if stand.hand_l_week != 0.0}
    if not asked:
        return ""
    most = max(HAND_STEPS_L_WEEK)
    told = [
        f"{shown(litres or most, 'L', units=units)}{' and more' if litres is None else ''} in {year}"
        for year, litres in asked.items()
    ]
    reliability = growth.design.site.brief.planting.reliability
    return (
        f" By the record, to get their least share in {100 * reliability:.0f} % of years each plant wants in a week of "
        f"the dry months: {', '.join(told)}; in other years none."
    )


def _bill_words(growth: Growth) -> str:
    """What plants and materials cost, and how much of it is mulch after the planting; '' where nothing is priced."""
    if growth.bill.cost is None or not growth.counts:
        return ""
    part, currency = growth.design.site.brief.planting, growth.design.site.brief.rates.currency
    later = sum(line.cost or 0.0 for line in growth.bill.lines if line.item.startswith("mulch, top-up"))
    labour = sum(line.cost or 0.0 for line in growth.bill.lines if line.heading == "labour")
    what = "Plants, materials and work by hand" if labour else "Plants and materials"
    words = f"{what} cost {growth.bill.cost:,.0f} {currency}".rstrip()
    words += f", {labour:,.0f} of it the work" if labour else ""
    return f"{words}, {later:,.0f} mulch for the years after planting, to year {part.years}." if later else f"{words}."


def planting_cautions_words(growth: Growth) -> tuple[str, ...]:
    """What a client must know, in sentences: cautions, then what the planting comes to, then what was assumed.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of str
        Sentences.

    Examples
    --------
    >>> planting_cautions_words(growth)[0].split(":")[0]
    'The reed bed stands uphill of S1'
    """
    found, cautions, assumed, *_ = planting_chapters(growth)
    return (*cautions.sentences, *found.sentences, *assumed.sentences)


def planting_chapters(growth: Growth) -> tuple[Chapter, ...]:
    """The planting in words: what it comes to, cautions, assumptions, the work of years and months, the palette.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of Chapter
        In that order; cautions that a sheet must have room for stand first among theirs.

    Examples
    --------
    >>> [chapter.head for chapter in planting_chapters(growth)[1:]]
    ['Cautions', 'Assumptions', 'The years', 'The months', 'The palette (in capitals: planted)']
    """
    names = sorted(growth.cautions, key=lambda name: _FIRST.index(name) if name in _FIRST else len(_FIRST))
    years: dict[Any, list[str]] = {}
    for row in schedule_rows(growth):
        years.setdefault(row["year"], []).append(f"{row['task']} {row['plants']:,} {row['species']}")
    return tuple(
        Chapter(head, tuple(_sentence(text) for text in sentences))
        for head, sentences in (
            (f"{growth.design.site.brief.site.name}: what the planting comes to", growth_words(growth)),
            ("Cautions", [growth.cautions[name] for name in names]),
            ("Assumptions", growth.notes),
            ("The years", [f"{year}: {'; '.join(works)}" for year, works in years.items()]),
            ("The months", [f"{month.name}: {'; '.join(month.tasks)}" for month in growth.calendar]),
            ("The palette (in capitals: planted)", palette_sentences(growth)),
        )
    )


def _sentence(text: str) -> str:
    return text[:1].upper() + text[1:] + ("" if text.endswith(".") else ".")
