"""The words of microcatchments: table, totals, what the size follows from, what became of the ground, cautions."""

from typing import Any

from swalekit.design.brief.settings import storm_of
from swalekit.design.bunding.bunding import Bunding
from swalekit.design.bunding.site_ground import LAID
from swalekit.design.bunding.table import block_rows, bund_totals
from swalekit.reporting.words.chapters import Chapter
from swalekit.reporting.words.shown import ShownColumn, area_shown, shown, table_of

_TABLE: tuple[ShownColumn, ...] = (
    ("Block", "block", "", 0),
    ("Units", "units", "", 0),
    ("Trees", "trees", "", 0),
    ("Size", "size_m", "m", 0),
    ("Slope", "slope", "%", 1),
    ("Bund", "bund_height_m", "m", 2),
    ("Soil", "bund_m3", "m3", 0),
    ("Comes", "runoff_m3", "m3", 0),
    ("Holds", "held_m3", "m3", 0),
    ("Spill", "spilling", "", 0),
)
_SMALL_M2 = 50.0


def bund_table(found: Bunding) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Heads and rows of the table of blocks, those of most units first, the slope in per cent.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    tuple of str
        Heads, with the unit on a line below.
    tuple of tuple of str
        Figures of each block.

    Examples
    --------
    >>> bund_table(bunding)[1][0][0]
    'M1'
    """
    rows: list[dict[str, Any]] = [dict(row) for row in block_rows(found)]
    rows.sort(key=lambda row: -row["units"])
    for row in rows:
        row["slope"] = 100.0 * row["slope"]
    return table_of(rows, _TABLE, units=found.site.brief.site.units)


def bund_facts(found: Bunding) -> tuple[tuple[str, str], ...]:
    """Totals: label and value.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    tuple of (str, str)
        Label, and value in the reader's units; cost only where there is one.

    Examples
    --------
    >>> [label for label, _ in bund_facts(bunding)][:3]
    ['Units', 'Trees', 'Ground they enclose']
    """
    units, figures = found.site.brief.site.units, dict[str, Any](bund_totals(found))
    facts = [
        ("Units", f"{figures['units']:,}"),
        ("Trees", f"{figures['trees']:,}"),
        ("Ground they enclose", area_shown(found.ground_m2[LAID], units=units)),
        ("Ground asked for", area_shown(found.asked.asked.area, units=units)),
        ("Soil in bunds", shown(figures["bund_m3"], "m3", units=units)),
        ("Soil from pits", shown(figures["pit_m3"], "m3", units=units)),
        ("Design storm", shown(storm_of(found.site).depth_mm, "mm", units=units, decimals=1)),
        ("It brings them", shown(figures["runoff_m3"], "m3", units=units)),
        ("They hold", shown(figures["held_m3"], "m3", units=units)),
        ("Spill", f"{found.spilling:,}"),
    ]
    if figures["cost"] is not None:
        facts.append(("Cost", f"{figures['cost']:,} {found.site.brief.rates.currency}".strip()))
    return tuple(facts)


def size_name(found: Bunding) -> str:
    """Kind and size.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    str
        As ``Negarim of 10 m``.

    Examples
    --------
    >>> size_name(bunding)
    'Negarim of 3 m'
    """
    units, size = found.site.brief.site.units, found.size
    laid = sorted(set(found.units.size_m.tolist())) or size.sizes_m
    sizes = " and ".join(shown(length, "m", units=units) for length in laid)
    return f"Negarim of {sizes}" if size.kind == "negarim" else f"Half moons, radius {sizes}"


def bund_sentences(found: Bunding) -> tuple[str, ...]:
    """What was laid, what its size follows from, and what became of the ground.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    tuple of str
        Sentences.

    Examples
    --------
    >>> print(bund_sentences(bunding)[0])  # doctest: +ELLIPSIS
    Negarim of 3 m: ... units for as many trees, in 1 block, on ... of ...; ... m³ of soil in their bunds.
    """
    return (_laid(found), _sized(found), *_held(found), _left(found))


def _laid(found: Bunding) -> str:
    units, count, trees = found.site.brief.site.units, len(found.units), found.trees
    if not count:
        return f"{size_name(found)}: no unit could be laid."
    blocks = int(found.units.block.max())
    for_trees = "for as many trees" if trees == count else f"for {trees:,} trees"
    cost = "" if found.cost is None else f", cost {found.cost:,.0f} {found.site.brief.rates.currency}".rstrip()
    return (
        f"{size_name(found)}: {count:,} units {for_trees}, in {blocks:,} block{'s' if blocks > 1 else ''}, on "
        f"{area_shown(found.ground_m2[LAID], units=units)} of {area_shown(found.asked.asked.area, units=units)}; "
        f"{shown(found.bund_m3, 'm3', units=units)} of soil in their bunds{cost}."
    )


def _sized(found: Bunding) -> str:
    units, part, size = found.site.brief.site.units, found.site.brief.microcatchments, found.size
    if size.catchment_m2 is None or size.rain_mm is None:
        return "The size is that of the brief; how much of its want a tree gets isn't known without the rain."
    mm = {
        name: shown(value, "mm", units=units) for name, value in (("want", part.water_want_mm), ("rain", size.rain_mm))
    }
    whole = size.catchment_m2 + part.rooted_m2
    given = "; the brief names the size" if part.size_m is not None else ""
    total = f", {_m2(whole, units)} with it" if size.kind == "negarim" else " above each bund"
    return (
        f"A tree that wants {mm['want']} over {_m2(part.rooted_m2, units)} and has {mm['rain']} of rain "
        f"({size.rain_from}) needs a catchment of {_m2(size.catchment_m2, units)} besides{total}, where "
        f"{100 * part.runoff_coefficient:g} % runs off and {100 * part.efficiency:g} % of that is used{given}."
    )


def _held(found: Bunding) -> tuple[str, ...]:
    if not len(found.units):
        return ()
    depth = shown(storm_of(found.site).depth_mm, "mm", units=found.site.brief.site.units, decimals=1)
    count = len(found.units)
    if not found.spilling:
        return (f"Each holds the runoff that the design storm of {depth} brings it.",)
    return (f"Of the design storm of {depth} {count - found.spilling:,} of {count:,} units hold all that runs off.",)


def _left(found: Bunding) -> str:
    units = found.site.brief.site.units
    parts = [
        f"{area_shown(area_m2, units=units)} {reason}"
        for reason, area_m2 in found.ground_m2.items()
        if area_m2 >= _SMALL_M2
    ]
    return f"The ground asked for: {', '.join(parts)}."


def _m2(area_m2: float, units: str) -> str:
    """A small area."""
    return f"{area_m2 / 0.3048**2:,.0f} ft²" if units == "us" else f"{area_m2:,.0f} m²"


def bund_caution_words(found: Bunding) -> tuple[str, ...]:
    """Cautions as sentences.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    tuple of str
        Name and text of each.

    Examples
    --------
    >>> bund_caution_words(bunding)[0].partition(":")[0]
    'Thirsty tree'
    """
    return tuple(f"{caution.name[:1].upper()}{caution.name[1:]}: {caution.text}" for caution in found.cautions)


def bund_chapters(found: Bunding) -> tuple[Chapter, ...]:
    """What the sheets after the map say.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    tuple of Chapter
        What was laid, how to build it, cautions, notes and sources.

    Examples
    --------
    >>> [chapter.head for chapter in bund_chapters(bunding)]
    ['What was laid', 'How they are built', 'Cautions', 'Sources']
    """
    chapters = [
        Chapter("What was laid", bund_sentences(found)),
        Chapter("How they are built", _HOW[found.size.kind]),
        Chapter("Cautions", bund_caution_words(found)),
    ]
    if found.notes:
        chapters.append(Chapter("Notes", found.notes))
    return (*chapters, Chapter("Sources", _SOURCES))


_HOW = {
    "negarim": (
        "Peg the corners of a block by stakes.csv, the highest row first; bring both side corners of a unit to one "
        "level with a level or a hose, and move them along the contour if need be.",
        "Dig the pit at the lowest corner, 0.40 m deep, and build the bund with its soil: 0.25 m wide on top, sides of "
        "1 : 1, its crest level from the lowest corner on and nowhere less than 0.25 m above the ground.",
        "Build in two damp layers and trample each; clear the ground within of growth that would drink the water, and "
        "leave its surface smooth.",
        "Plant the tree on a step at the side of the pit, not at its bottom.",
    ),
    "semi-circular": (
        "Peg both tips of a bund by stakes.csv and bring them to one level; draw the bow from the middle between them "
        "with a string as long as the radius, downhill.",
        "Take the soil from within, just above the bund, so that a furrow holds the first water; 0.10 m wide on top, "
        "sides of 1 : 1.",
        "Let the bund fall away to its tips, where surplus leaves on both sides; lay stones there.",
        "Plant trees behind the bow, the first at its foot.",
    ),
}

_SOURCES = (
    "Sizes, bund heights, earthwork, slopes, rain: Critchley & Siegert (1991), Water Harvesting, FAO AGL/MISC/17/91, "
    "from memory; each figure was held against geometry.",
    "Sources differ: negarim on up to 5 % (others 1 to 5 %, or up to 15 %) and from 150 mm (others from 300 mm); "
    "half moons up to 4 % (others rarely above 5 %). The strictest of FAO's is kept unless the brief says otherwise.",
    "FAO's earthwork for negarim is that of a bund 25 cm high on every slope; here one that must be higher takes more.",
    "FAO calls the catchment MC the total size of a unit; by its own balance the roots' ground comes on top, as here.",
    "Water held: geometry over the ground as read from the tile.",
)
