"""What a plan tells of its crossings: swales beside and beneath each, what is built of it, and what is amiss."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from itertools import pairwise
from typing import Any, NamedTuple

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.crossing import CROSSING_KINDS, FORD, GAP, PIPE, Crossing
from swalekit.contours.line import RefusedLine
from swalekit.contours.obstacles import CROSSING, KeepOut
from swalekit.design.brief.settings import rates_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground, first_few
from swalekit.design.layout.kept_clear import crossing_strips
from swalekit.design.layout.sized_layout import DugSwale
from swalekit.design.plan.built_crossings import BuiltCrossing
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Caution, Design, Swale
from swalekit.earthwork.cost import Rates, swale_cost
from swalekit.errors import InputError
from swalekit.section.culvert import USUAL_DIAMETERS_M
from swalekit.tables.load import named_row

LONG_M = 150.0
"""A swale that is longer is a long way round for stock and machines: our choice."""

_BESIDE_M = 5.0
"""Works that end so near the ground of a crossing were cut back for it."""

_CAUTIONS = {PIPE: "pipe under a way", FORD: "ford"}
_MANY = {PIPE: "A bank with a pipe", FORD: "A ford"}
_HEAVY_T = named_row("crossing_works", name="heavy vehicle").value
_ADVICE = {
    GAP: "keep both ends' berms off the way",
    PIPE: "pipe, bedding and cover follow the maker's figures and the local code for the loads that pass, above "
    f"{_HEAVY_T:g} t an engineer's; compact in layers on both sides of the pipe, keep both ends open and look after "
    "each storm, since a blocked pipe parts the swale and one half has no sill",
    FORD: "it isn't passable while water stands on it; its crest must stay at the level of the berm's, so level it "
    f"anew after wear; local code and, above {_HEAVY_T:g} t, an engineer say what stone and bed bear the loads",
}


@one_line("crossing", "ends")
@dataclass(frozen=True, eq=False)
class CrossingRow:
    """A crossing on the plan.

    Parameters
    ----------
    crossing : Crossing
        The crossing.
    strip : shapely polygon
        Ground that is kept clear for it, in the CRS of the terrain.
    ends, beneath : tuple of str
        Swales that end beside it, and those that go on beneath it.
    """

    crossing: Crossing
    strip: BaseGeometry
    ends: tuple[str, ...]
    beneath: tuple[str, ...] = ()

    def figures(self) -> dict[str, Any]:
        """What is written of it.

        Returns
        -------
        dict
            Kind, use, name, width and swales.

        Examples
        --------
        >>> gate = Crossing("gap", shapely.Point(0.0, 0.0), 4.0, "Gate")
        >>> CrossingRow(gate, gate.geometry.buffer(2.0), ("S1", "S2")).figures()
        {'kind': 'gap', 'use': '', 'name': 'Gate', 'width_m': 4.0, 'ends': 'S1, S2', 'beneath': ''}
        """
        crossing = self.crossing
        return {
            "kind": crossing.kind,
            "use": crossing.use,
            "name": crossing.name,
            "width_m": crossing.width_m,
            "ends": ", ".join(self.ends),
            "beneath": ", ".join(self.beneath),
        }


CROSSING_COLUMNS: tuple[Column, ...] = (
    Column("crossing", "", "its name", of="works.place.crossing.name"),
    Column("kind", "", "gap, pipe or ford", of="works.place.crossing.kind"),
    Column("use", "", "what passes, as the file of crossings has it", of="works.place.crossing.use"),
    Column("swale", "", "the swale that goes on beneath it; of a gap those that end beside it"),
    Column("chainage_m", "m", "middle of its roadway along the swale", of="works.place.chainage_m"),
    Column("width_m", "m", "width of its roadway along the swale", of="works.place.width_m"),
    Column("length_m", "m", "length of the swale that it takes, with its faces"),
    Column("uphill_m", "m", "distance from the line to its uphill end"),
    Column("downhill_m", "m", "distance from the line to the foot of its ramp downhill"),
    Column("top_m", "m", "level of the bank; of a ford that of the crest which it rises to", 2, "works.top_m"),
    Column("floor_m", "m", "level of a ford's floor", 2),
    Column("ramp_percent", "%", "grade of its ramp downhill", 0),
    Column("flow_m3s", "m3/s", "peak of the check storm that must pass it from half to half", 3),
    Column("carries_m3s", "m3/s", "what its pipe or dip lets pass at that head", 3),
    Column("head_m", "m", "fall of the water from half to half, half of the freeboard that is left", 3),
    Column("pipes", "", "pipes side by side", 0),
    Column("pipe_m", "m", "inner diameter of a pipe", 2),
    Column("pipe_length_m", "m", "length of a pipe, from face to face", of="works.pipe_length_m"),
    Column("invert_start_m", "m", "level of the pipe's floor at the end nearer the swale's first station", 2),
    Column("invert_stop_m", "m", "the same at its other end: pipes are laid level", 2),
    Column("cover_m", "m", "fill over the pipe", 2),
    Column("fill_m3", "m3", "compacted fill that it adds to the berm's; the pipe isn't taken off"),
    Column("cut_m3", "m3", "soil that it cuts beyond the ditch, bank measure; negative where its ground isn't dug"),
    Column("trench_m3", "m3", "soil dug for the pipe and put back beside it, bank measure", of="trench_m3"),
    Column(
        "lost_m3",
        "m3",
        "storage that it takes, negative where it gives some; what pipes hold isn't counted",
        of="lost_m3",
    ),
    Column("stone_m3", "m3", "stone that paves a ford"),
    Column("cost", "", "pipe, trench and stone at the brief's rates, empty where they have no price", 0),
    Column("caution", "", "what must be seen to on site"),
)


def crossing_figures(swale: Swale, crossing: BuiltCrossing, rates: Rates) -> dict[str, Entry]:
    """Figures of a crossing on a swale by the names of `CROSSING_COLUMNS`.

    Parameters
    ----------
    swale : Swale
        The swale.
    crossing : BuiltCrossing
        One of its crossings.
    rates : Rates
        Prices.

    Returns
    -------
    dict of str to Entry
        A figure a column.

    Examples
    --------
    >>> [crossing_figures(swale, way, design.rates) for swale in design.swales for way in swale.crossings]
    []
    """
    works, pipe_m = crossing.works, crossing.pipe_m
    least_m, greatest_m = works.span_m
    laid = (
        swale_cost(crossing.trench_m3, 0.0, rates, stone_m3=crossing.stone_m3, pipe_m=crossing.pipe_length_m)
        if _is_priced(crossing, rates)
        else None
    )
    figures: dict[str, Entry] = {
        "swale": swale.id,
        "length_m": 2.0 * works.half_length_m,
        "uphill_m": -least_m,
        "downhill_m": greatest_m,
        "floor_m": works.floor_m if works.is_ford else None,
        "ramp_percent": 100.0 * works.ramp,
        "pipes": crossing.pipes or None,
        "pipe_length_m": None if pipe_m is None else works.pipe_length_m,
        "invert_start_m": None if pipe_m is None else works.floor_m,
        "invert_stop_m": None if pipe_m is None else works.floor_m,
        "cover_m": None if pipe_m is None else works.top_m - works.floor_m - pipe_m,
        "fill_m3": works.fill_m3,
        "cut_m3": works.cut_m3,
        "stone_m3": crossing.stone_m3 if works.is_ford else None,
        "cost": laid,
        "caution": _ADVICE[works.place.crossing.kind],
    }
    return row_of(crossing, CROSSING_COLUMNS, **figures)


def _is_priced(crossing: BuiltCrossing, rates: Rates) -> bool:
    """Whether what is laid has its price."""
    return (rates.stone_per_m3 if crossing.works.is_ford else rates.pipe_per_m) is not None


def crossing_table(design: Design) -> list[dict[str, Entry]]:
    """Every crossing of a plan: a row for each swale that goes on beneath it, or one for a gap.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    list of dict
        Figures by the names of `CROSSING_COLUMNS`, in the order of the brief and then from the top of the site down.

    Examples
    --------
    >>> crossing_table(design)
    []
    """
    found: list[dict[str, Entry]] = []
    for row in crossing_rows(design.site, design.ground, design.swales):
        crossing = row.crossing
        if crossing.parts_swales:
            told = {"crossing": crossing.name, "kind": crossing.kind, "use": crossing.use, "width_m": crossing.width_m}
            found.append(row_of({**told, "swale": ", ".join(row.ends), "caution": _ADVICE[crossing.kind]}, _BY_NAME))
        found += [
            crossing_figures(swale, way, design.rates)
            for swale in design.swales
            for way in swale.crossings
            if way.works.place.crossing == crossing
        ]
    return found


_BY_NAME = tuple(replace(column, of="") for column in CROSSING_COLUMNS)


def crossing_rows(site: Site, ground: Ground, swales: Sequence[DugSwale]) -> tuple[CrossingRow, ...]:
    """Every crossing with the swales that end beside it or go on beneath it.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    swales : sequence of DugSwale
        All swales.

    Returns
    -------
    tuple of CrossingRow
        In the order of the brief.

    Examples
    --------
    >>> crossing_rows(site, ground, design.swales)
    ()
    """
    strips = crossing_strips(site, ground)
    works = [swale.works for swale in swales] if strips else []
    return tuple(
        CrossingRow(
            crossing,
            strip.geometry,
            tuple(
                swale.id
                for swale, ground_taken in zip(swales, works, strict=False)
                if crossing.parts_swales and shapely.dwithin(strip.geometry, ground_taken, _BESIDE_M)
            ),
            tuple(
                swale.id
                for swale in swales
                if any(place.crossing == crossing for place in swale.sized.shape.stations.crossings)
            ),
        )
        for crossing, strip in strips
    )


def check_crossings(swales: Sequence[Swale]) -> None:
    """Check that every crossing of a swale that goes on beneath it can be built.

    Parameters
    ----------
    swales : sequence of Swale
        All swales.

    Raises
    ------
    InputError
        If one can't, with all that is amiss in one line.

    Examples
    --------
    >>> check_crossings(design.swales)
    """
    found: dict[tuple[str, str], list[str]] = {}
    for swale in swales:
        for title, what, way_out in (*_overlapping(swale), *_unfit(swale)):
            found.setdefault((title, way_out), []).append(f"{what} over {swale.id}")
    if found:
        raise InputError("; ".join(f"{title} {', '.join(told)}: {out}" for (title, out), told in found.items()))


class _Fault(NamedTuple):
    """What is amiss with a crossing of a swale: its title, the figures, and the way out."""

    title: str
    what: str
    way_out: str


def _overlapping(swale: Swale) -> Iterator[_Fault]:
    """Crossings of a swale that take the room of one another."""
    line, length_m, ways = swale.line, swale.line.length_m, swale.crossings
    for before, after in pairwise((*ways, *ways[:1]) if line.closed and len(ways) > 1 else ways):
        apart_m = after.works.place.chainage_m - before.works.place.chainage_m
        apart_m = apart_m % length_m if line.closed else apart_m
        needed_m = before.works.half_length_m + after.works.half_length_m
        if apart_m < needed_m:
            title = f"{before.works.place.crossing.title} overlaps {after.works.place.crossing.title}:"
            what = f"{apart_m:.1f} m apart, and they need {needed_m:.1f} m,"
            yield _Fault(title, what, "move one of them, or leave it out")


def _unfit(swale: Swale) -> Iterator[_Fault]:
    """Crossings that have no room for a pipe, or don't let pass what must."""
    for way in swale.crossings:
        works, title = way.works, way.works.place.crossing.title
        passed = f"lets {way.carries_m3s:.3f} of {way.flow_m3s:.3f} m3/s pass"
        if works.is_ford:
            if way.carries_m3s < way.flow_m3s:
                yield _Fault(title, passed, f"{_BROUGHT}; move the sills (sill_at_m), or {_TO_GAP}")
        elif not works.most_pipes(USUAL_DIAMETERS_M[0]):
            water_m = swale.sized.shape.sill_level_m - works.floor_m
            out = f"the least pipe is {USUAL_DIAMETERS_M[0]:g} m wide; dig deeper (depth_m of the line), or {_TO_GAP}"
            yield _Fault(title, f"has {water_m:.2f} m below the sill", out)
        elif way.pipe_m is None:
            yield _Fault(title, passed, f"{_BROUGHT}; dig deeper, move the sills (depth_m, sill_at_m), or {_TO_GAP}")


_TO_GAP = "give it the kind gap, so that each half has a sill of its own"
_BROUGHT = "the check storm brings more to the halves without a sill than it has room for"


def crossing_cautions(swales: Sequence[Swale]) -> tuple[Caution, ...]:
    """What must be seen to where swales go on beneath a way, once a kind.

    Parameters
    ----------
    swales : sequence of Swale
        All swales.

    Returns
    -------
    tuple of Caution
        None without such crossings.

    Examples
    --------
    >>> crossing_cautions(design.swales)
    ()
    """
    found = []
    for kind in CROSSING_KINDS:
        over = [swale.id for swale in swales if any(way.works.place.crossing.kind == kind for way in swale.crossings)]
        if over:
            found.append(Caution(_CAUTIONS[kind], f"{_MANY[kind]} over {first_few(over)}: {_ADVICE[kind]}."))
    return tuple(found)


def crossing_notes(
    site: Site, ground: Ground, swales: Sequence[Swale], refused: Sequence[RefusedLine]
) -> tuple[str, ...]:
    """Crossings that meet no line, and swales that are long without one.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    swales : sequence of Swale
        All swales.
    refused : sequence of RefusedLine
        Stretches that were not laid.

    Returns
    -------
    tuple of str
        A sentence for each crossing, and one for all long swales.

    Examples
    --------
    >>> crossing_notes(site, ground, design.swales, design.refused)
    ()
    """
    cut = shapely.MultiLineString([line.xy for line in refused if line.reason == CROSSING and len(line.xy) > 1])
    crossed = [place.crossing for swale in swales for place in swale.sized.shape.stations.crossings]
    told = [
        f"{crossing.title} cuts no line: none comes to it"
        if crossing.parts_swales
        else f"{crossing.title} crosses no swale: none comes to it"
        for crossing, strip in crossing_strips(site, ground)
        if not (strip.geometry.intersects(cut) or crossing in crossed)
    ]
    for crossing, strip in crossing_strips(site, ground):
        levels = sorted(
            {f"{line.level_m:.2f}" for line in refused if not crossing.parts_swales and _parts(strip, line)}
        )
        if levels:
            told.append(
                f"{crossing.title} parts the lines at {first_few(levels)} m as a gap: it has no room on them, runs "
                "along them, or the ground is too steep for its ramps"
            )
    pipes_m = sum(way.pipe_length_m for swale in swales for way in swale.crossings)
    if pipes_m > 0.0 and swale_cost(1.0, 1.0, rates_of(site)) is not None and rates_of(site).pipe_per_m is None:
        told.append(f"{pipes_m:.0f} m of pipe have no price ([rates] pipe_per_m): the cost leaves them out")
    long = [swale.id for swale in swales if swale.line.length_m > LONG_M and not swale.crossings]
    if not long:
        return tuple(told)
    return (
        *told,
        f"{first_few(long)}: longer than {LONG_M:g} m without a way across for stock and machines; name gateways and "
        "tracks under [area] crossings",
    )


def _parts(strip: KeepOut, line: RefusedLine) -> bool:
    """Whether a stretch was taken out of a line for the ground of a crossing."""
    path = shapely.LineString(line.xy) if len(line.xy) > 1 else shapely.Point(line.xy[0])
    return line.reason == CROSSING and bool(strip.geometry.intersects(path))
