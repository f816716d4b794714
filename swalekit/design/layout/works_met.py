"""What the works along a line would meet: keep-outs, the boundary, water, unknown ground, others and themselves."""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.contours.quads import Marks, Quads, quad_polygons, quads_over_cells, taken_twice_m2
from swalekit.design.brief.site import Site
from swalekit.design.layout.fit_ground import LEAST_CELLS_BETWEEN
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import crossing_strips, parted_by
from swalekit.section.footprint import FootprintParts, footprint_parts
from swalekit.section.shape import ShapedSwale
from swalekit.section.uneven_ground import station_fill_m
from swalekit.terrain.terrain import Terrain

TOO_CLOSE = "too close"
"""Reason of a stretch whose works would take ground of other works."""
UNKNOWN_GROUND = "unknown ground"
"""Reason of a stretch whose works or pond would reach the edge of the known ground."""

_MET_WORDS = {
    "watercourse": "a watercourse",
    "pond": "a hollow's pond",
    UNKNOWN_GROUND: "unknown ground",
    "bend": "themselves in a bend",
}
_TRIFLE_M2 = 0.5
"""Ground that the works of a bend may take twice: our choice."""
_SAME_M = 0.001
_IN_HAND_M = 0.02
"""On the height of fill, for what the ground as built on its fine cells differs from points across the line."""
_CUT_BACK_M = 2.0
"""Length by which an end is cut back whose return stands too high, before the next is looked at: our choice."""

Run = NDArray[np.intp]
"""Numbers of stations that follow one another."""


class Margin(NamedTuple):
    """Ground kept free round works: in cells of water and unknown ground, in metres of all else."""

    cells: float
    others_m: float


CUT, LEFT = Margin(1.0, 0.25), Margin(0.5, 0.0)
"""What meets something is cut back for the first; works that grow after that are let be while they keep the second."""


class Meeting(NamedTuple):
    """Legs whose works would meet something, and stations where the return would if the line began or ended there."""

    reason: str
    detail: str
    legs: Marks
    begins: Marks
    ends: Marks

    def with_all_of(self, other: "Meeting") -> "Meeting":
        """What either meets.

        Parameters
        ----------
        other : Meeting
            Of the same line with the same thing.

        Returns
        -------
        Meeting
            Legs and stations of both.
        """
        legs, begins, ends = self.legs | other.legs, self.begins | other.begins, self.ends | other.ends
        return Meeting(self.reason, self.detail, legs, begins, ends)


class Standing(NamedTuple):
    """Works that meet nothing: line, shape and ground, how far the pond reaches beyond it, and whether they are new."""

    line: LevelLine
    shape: ShapedSwale
    works: shapely.MultiPolygon
    bounds: tuple[float, float, float, float]
    pond_m: float
    new: bool

    def is_of(self, shape: ShapedSwale) -> bool:
        """Whether a swale along the same line takes the same ground.

        Parameters
        ----------
        shape : ShapedSwale
            The swale.

        Returns
        -------
        bool
            The same to a millimetre of its crest.
        """
        own = self.shape
        same = own.depth_m == shape.depth_m and abs(own.crest_level_m - shape.crest_level_m) < _SAME_M
        return same and np.array_equal(own.stations.reach_m, shape.stations.reach_m)


class WorksObstacles:
    """All that works of a site must not meet, but for those that stand already.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    """

    def __init__(self, site: Site, ground: Ground) -> None:
        self._site, self._ground, self._cell_m = site, ground, ground.terrain.grid.cell_m
        self._strips = crossing_strips(site, ground)
        self._unknown = np.logical_not(ground.terrain.valid, out=ground.terrain.grid.zeros(np.bool_))

    @property
    def looked_at_m(self) -> float:
        """Distance from works and pond within which the works of others matter [m]."""
        return max(LEAST_CELLS_BETWEEN * self._cell_m, CUT.others_m)

    def met(
        self, line: LevelLine, parts: FootprintParts, stations: Run, others: Sequence[Standing], margin: Margin
    ) -> list[Meeting]:
        """What legs of a line, and returns at some of its stations, would meet.

        Parameters
        ----------
        line : LevelLine
            The line.
        parts : FootprintParts
            Ground that its swale takes.
        stations : ndarray of intp, shape (k,)
            Stations at which a return is looked at.
        others : sequence of Standing
            Works that stand near it.
        margin : Margin
            Ground kept free.

        Returns
        -------
        list of Meeting
            The weightier reason first, the same number of them for any line.

        Examples
        --------
        >>> from swalekit.section import footprint_parts
        >>> line, shape = design.swales[0].line, design.swales[0].sized.shape
        >>> meetings = WorksObstacles(site, ground).met(line, footprint_parts(line, shape), np.array([0]), [], CUT)
        >>> any(meeting.legs.any() for meeting in meetings)
        False
        """
        returns = parts.returns_m[:, stations].reshape(-1, 4, 2)
        works, wet = (np.concatenate([strips, returns]) for strips in (parts.works_m, parts.wet_m))
        found = (*self._on_site(line, wet, others, margin), *self._in_water(works, wet, margin))
        meetings = [_meeting(line, stations, *each) for each in found]
        none = np.zeros(len(line.xy), bool)
        cells = f"less than {LEAST_CELLS_BETWEEN:g} cells of {self._cell_m:g} m from a line of another level"
        meetings.append(Meeting(TOO_CLOSE, cells, self._near(line, others), none, none))
        folded = _folded(line, parts.works_m)
        return [*meetings, Meeting("bend", "its works would lie on themselves within the bend", folded, none, none)]

    def met_by_works(self, line: LevelLine, shape: ShapedSwale) -> tuple[str, ...]:
        """What the works along a line meet besides keep-outs, the boundary and others, in words.

        Parameters
        ----------
        line : LevelLine
            The line, as one that the designer gave, of which nothing is taken.
        shape : ShapedSwale
            The swale along it.

        Returns
        -------
        tuple of str
            What a line of the brief would have been cut for; the weightier first.

        Examples
        --------
        >>> WorksObstacles(site, ground).met_by_works(design.swales[0].line, design.swales[0].sized.shape)
        ()
        """
        ends = np.array([] if line.closed else [0, -1], np.intp)
        met = (
            meeting.reason
            for meeting in self.met(line, footprint_parts(line, shape), ends, (), LEFT)
            if meeting.legs.any() or meeting.begins[0] or meeting.ends[-1]
        )
        return tuple(dict.fromkeys(_MET_WORDS[reason] for reason in met if reason in _MET_WORDS))

    def _on_site(
        self, line: LevelLine, wet: Quads, others: Sequence[Standing], margin: Margin
    ) -> list[tuple[str, str, Marks]]:
        """What would reach keep-outs, crossings, the boundary and other works."""
        site, grown = self._site, quad_polygons(wet, grown_m=margin.others_m)
        found = _on_things((*site.keep_outs, *parted_by(line, self._strips)), grown)
        if site.boundary is not None:
            shapely.prepare(site.boundary)
            beyond = ~shapely.covers(site.boundary, grown)
            found.append(("property line", "its works would reach over the boundary", beyond))
        on_others = np.zeros(len(wet), bool)
        for other in others:
            shapely.prepare(other.works)
            on_others |= shapely.intersects(other.works, grown)
        return [*found, (TOO_CLOSE, "its works or its pond would take ground of other works", on_others)]

    def _in_water(self, works: Quads, wet: Quads, margin: Margin) -> list[tuple[str, str, Marks]]:
        """What would stand in a watercourse, in the pond of a hollow, or where the ground isn't known."""
        ground, grid, margin_m = self._ground, self._ground.terrain.grid, margin.cells * self._cell_m
        course = quads_over_cells(grid, ground.watercourses, wet, margin_m=margin_m)
        pond = quads_over_cells(grid, ground.ponds, works, margin_m=margin_m)
        unknown = quads_over_cells(grid, self._unknown, wet, margin_m=margin_m, beyond=True)
        return [
            ("watercourse", "its works or its pond would stand within a cell of it", course),
            ("pond", "its works would stand within a cell of a hollow's pond", pond),
            (UNKNOWN_GROUND, "its works and its pond need known ground, and a cell of it beyond them", unknown),
        ]

    def _near(self, line: LevelLine, others: Sequence[Standing]) -> Marks:
        """Legs that come closer to a line of another level than cells can tell apart."""
        within_m = LEAST_CELLS_BETWEEN * self._cell_m
        near = shapely.MultiLineString([other.line.path for other in others if other.line.level_m != line.level_m])
        shapely.prepare(near)
        legs = shapely.linestrings(np.stack([line.path[:-1], line.path[1:]], axis=1))
        return np.asarray(shapely.dwithin(near, legs, within_m))


def crossings_met(line: LevelLine, parts: FootprintParts, strips: Sequence[KeepOut], margin: Margin) -> list[Meeting]:
    """What legs of a line, and returns at any of its stations, would meet of the ground of crossings.

    Parameters
    ----------
    line : LevelLine
        The line.
    parts : FootprintParts
        Ground that its swale takes.
    strips : sequence of KeepOut
        The ground of each crossing.
    margin : Margin
        Ground kept free.

    Returns
    -------
    list of Meeting
        One of each crossing.

    Examples
    --------
    >>> from swalekit.section import footprint_parts
    >>> line, shape = design.swales[0].line, design.swales[0].sized.shape
    >>> crossings_met(line, footprint_parts(line, shape), [], CUT)
    []
    """
    works = np.concatenate([parts.wet_m, parts.returns_m.reshape(-1, 4, 2)])
    grown, stations = quad_polygons(works, grown_m=margin.others_m), np.arange(len(line.xy))
    return [_meeting(line, stations, *each) for each in _on_things(strips, grown)]


def high_fill(terrain: Terrain, line: LevelLine, shape: ShapedSwale, *, most_m: float) -> Meeting:
    """Where the berm along a line, or a return at its ends, would stand too high above the real ground.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    line : LevelLine
        The line.
    shape : ShapedSwale
        The swale along it.
    most_m : float
        Greatest height of fill [m].

    Returns
    -------
    Meeting
        Legs with such a station; of an end whose return is too high the first two metres, since the next return may
        not be.

    Examples
    --------
    >>> line, shape = design.swales[0].line, design.swales[0].sized.shape
    >>> bool(high_fill(ground.terrain, line, shape, most_m=0.1).legs.all())
    True
    >>> bool(high_fill(ground.terrain, line, shape, most_m=1.0).legs.any())
    False
    """
    along_m, returns_m = station_fill_m(terrain, line, shape)
    detail, from_m = f"its fill would stand more than {most_m:g} m above the ground", line.chainage_m
    most_m -= _IN_HAND_M
    high = along_m > most_m
    legs = high[:-1] | high[1:]
    if line.closed:
        return Meeting("high fill", detail, np.append(legs, high[-1] | high[0]), high & False, high & False)
    at_first, at_last = returns_m > most_m
    begins, ends = at_first & (from_m < _CUT_BACK_M), at_last & (line.length_m - from_m < _CUT_BACK_M)
    return Meeting("high fill", detail, legs, begins, ends)


def _on_things(things: Sequence[KeepOut], grown: NDArray[np.object_]) -> list[tuple[str, str, Marks]]:
    """What would reach each of some things."""
    return [
        (thing.kind, f"its works would reach the {thing.title}", shapely.intersects(thing.geometry, grown))
        for thing in things
    ]


def _meeting(line: LevelLine, stations: Run, reason: str, detail: str, marked: Marks) -> Meeting:
    """What is marked of legs, and after them of the two parts of both returns at some stations."""
    legs, ends = len(line.path) - 1, np.zeros((2, len(line.xy)), bool)
    ends[:, stations] = marked[legs:].reshape(2, -1, 2).any(axis=2)
    return Meeting(reason, detail, marked[:legs], *ends)


def fills_ring(line: LevelLine, parts: FootprintParts) -> bool:
    """Whether the works and the pond of a ring leave no ground within it.

    Parameters
    ----------
    line : LevelLine
        The line; an open one is no ring.
    parts : FootprintParts
        Ground that its swale takes.

    Returns
    -------
    bool
        Also where they leave some, but none as far from the line as they reach at their widest.

    Examples
    --------
    >>> from swalekit.section import footprint_parts
    >>> line, shape = design.swales[0].line, design.swales[0].sized.shape
    >>> fills_ring(line, footprint_parts(line, shape))
    False
    """
    if not line.closed:
        return False
    ring = shapely.linearrings(line.path)
    inner_edge = parts.wet_m[:, 0] if shapely.is_ccw(ring) else parts.works_m[:, 3]
    reach_m = float(np.hypot(*(inner_edge - line.xy).T).max())
    return bool(shapely.is_empty(shapely.buffer(shapely.polygons(ring), -reach_m)))


def _folded(line: LevelLine, works: Quads) -> Marks:
    """Legs whose works lie on those of the same line, together with their neighbours by more than a trifle."""
    twice_m2 = taken_twice_m2(line, works)
    folded = twice_m2 > 0.0
    run = np.cumsum(np.diff(folded, prepend=False))
    return np.asarray(folded & (np.bincount(run, weights=twice_m2)[run] > _TRIFLE_M2))
