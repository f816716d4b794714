"""Beds and paths laid on open ground: rows down the slope, then what room they leave."""

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from typing import Any

import numpy as np
import shapely
from shapely.geometry.base import BaseGeometry

from swalekit.beds.bed import Bed, BedRules, outline_of
from swalekit.beds.ground import fall_within
from swalekit.contours.course import level_line
from swalekit.contours.cuts import within_polygon
from swalekit.contours.lay import lay_lines, reading_order, terrain_around
from swalekit.contours.line import LevelLine, LineRules
from swalekit.contours.polyline import Polyline, chainages, points_at
from swalekit.errors import GeometryError
from swalekit.terrain.terrain import Terrain, cells_within

_STEPS = 16
"""Levels that are tried on the way from a bed to the next below it: our choice."""
_JUST_BEYOND = 1.002
"""So that a row a whole pitch below the last isn't refused by a rounding."""
_WINDOW = 2 * _STEPS
_NEARLY = 0.9
"""A row is laid at the first level at which so much of the most that it can have lies clear of the row above."""
_MOST_LEVELS = 20_000
_STATION_M = 1.0
_LINE_SHARE = 0.8
"""Share of the tolerance that a line keeps to before it is cut to beds, whose stations lie elsewhere on it."""
_TRIM_M, _HAIR_M = 0.1, 1e-6
_SELF_OVERLAP = 0.97
_ONE_WAY = 0.7
"""Mean length of the unit vectors of the fall from which paths across lie straight down it: our choice."""


def lay_beds(terrain: Terrain, area: BaseGeometry, rules: BedRules | None = None) -> tuple[Bed, ...]:
    """Lay beds on contour, with a path below each and paths across them.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely polygon or multipolygon
        Open ground, in the CRS of the terrain: no bed leaves it.
    rules : BedRules, optional
        Widths, lengths and slopes.

    Returns
    -------
    tuple of Bed
        From the top down, in a row from west to east; none where the ground is too flat, too steep or too narrow.

    Raises
    ------
    GeometryError
        If the area is nowhere as wide as a bed, or holds no ground of the tile.

    Notes
    -----
    Contours are traced at levels a sixteenth of a pitch apart, smoothed and cut as lines of swales are (`lay_lines`).
    From the top down a row is laid at the first level at which it lies clear of the row above nearly all along; where
    contours draw together it breaks, so that a path never gets narrower than asked. Where they draw apart, what room is
    left is then filled with further beds. No two beds come nearer to each other than a path.

    Examples
    --------
    Ground that falls 5 % southward: a bed 1.2 m wide and a path of 0.45 m make a pitch of 1.65 m.

    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.05 * np.arange(40.0)[::-1], np.ones(40))
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((40, 40), cell_m=1.0, west_m=0.0, north_m=40.0))
    >>> beds = lay_beds(terrain, shapely.box(10.0, 10.0, 20.0, 20.0))
    >>> len(beds), beds[0].name, round(beds[0].length_m, 1), round(beds[0].fall_m, 3)
    (6, 'B1-1', 10.0, 0.06)
    """
    kept = rules or BedRules()
    inset = area.buffer(-0.5 * kept.width_m)
    if inset.is_empty:
        message = (
            f"the ground for beds is nowhere as wide as a bed of {kept.width_m:g} m once what is kept clear is taken "
            "off; give more ground, or narrower beds"
        )
        raise GeometryError(message)
    window = terrain_around(terrain, area, 2.0 * kept.width_m + 6.0)
    if window is None or not cells_within(window.grid, area).any():
        message = "the ground for beds lies off the tile; draw it on the tile, in its CRS"
        raise GeometryError(message)
    bare = area.difference(_paths_across(window, area, kept))
    room = _Room(terrain, bare, kept)
    rows = _rows_by_level(window, inset, kept)
    room.sweep(rows)
    for row in rows:
        for line in row:
            room.place(line)
    return _named(room.beds, kept)


@dataclass
class _Room:
    """Ground as it fills with beds."""

    terrain: Terrain
    open: BaseGeometry
    rules: BedRules
    beds: list[LevelLine] = field(default_factory=list)
    free: Any = None
    outlines: Any = None

    def __post_init__(self) -> None:
        self.free = self.open.buffer(-0.5 * self.rules.width_m)
        self.outlines = shapely.MultiPolygon()
        shapely.prepare(self.open)

    def sweep(self, rows: Sequence[Sequence[LevelLine]]) -> None:
        """Lay row below row, each at the first level that clears the one above nearly all along."""
        next_row = 0
        while next_row < len(rows):
            tried = range(next_row, min(next_row + _WINDOW, len(rows)))
            length_m = [sum(stop - start for line in rows[k] for start, stop in self._intervals(line)) for k in tried]
            most_m = max(length_m)
            if most_m == 0.0:
                next_row += _WINDOW
                continue
            chosen = next_row + next(k for k, length in enumerate(length_m) if length >= _NEARLY * most_m)
            for line in rows[chosen]:
                self.place(line)
            next_row = chosen + 1

    def place(self, line: LevelLine) -> None:
        """Lay beds along what is free of a line."""
        for start_m, stop_m in self._intervals(line):
            for piece in self._pieces(start_m, stop_m):
                self._lay(line, *piece)

    def _intervals(self, line: LevelLine) -> list[tuple[float, float]]:
        """Parts of a line along which the middle of a bed may run."""
        found = within_polygon(line.path, self.free).tolist()
        return [(start, stop) for start, stop in found if stop - start + self.rules.width_m >= self.rules.shortest_m]

    def _pieces(self, start_m: float, stop_m: float) -> Iterator[tuple[float, float]]:
        """Equal pieces no longer than a bed may be, a path across between two."""
        gap_m, length_m = self.rules.cross_path_m, stop_m - start_m
        reach_m = length_m + self.rules.width_m  # ends may be drawn out by half a width
        count = max(1, int(np.ceil((reach_m + gap_m) / (1.25 * self.rules.longest_m + gap_m))))
        each_m = (length_m - (count - 1) * gap_m) / count
        for piece in range(count):
            yield start_m + piece * (each_m + gap_m), start_m + piece * (each_m + gap_m) + each_m

    def _lay(self, line: LevelLine, start_m: float, stop_m: float) -> None:
        """Lay a bed as long as it can be, to both ends of its room."""
        out_m = 0.5 * self.rules.width_m - _HAIR_M
        ends = [start_m, stop_m]
        for place, sign in ((0, -1.0), (1, 1.0)):
            for more_m in (*np.arange(out_m, 0.0, -_TRIM_M).tolist(), 0.0, *(-_TRIM_M * np.arange(1, 13)).tolist()):
                tried = ends.copy()
                tried[place] += sign * more_m
                if self._fits(line, *tried):
                    ends = tried
                    break
        xy = self._stations(line.path, *ends)
        if ends[1] - ends[0] < self.rules.shortest_m or not self._fits(line, *ends) or xy is None:
            return
        made = level_line(self.terrain, line.level_m, xy, closed=False, rules=_line_rules(self.rules))
        if np.abs(made.ground_m - made.level_m).max() > self.rules.tolerance_m:
            return
        outline = outline_of(xy, self.rules.width_m)
        self.beds.append(made)
        self.outlines = shapely.union(self.outlines, outline)
        self.free = self.free.difference(outline.buffer(self.rules.path_m + 0.5 * self.rules.width_m))

    def _stations(self, path: Polyline, start_m: float, stop_m: float) -> Polyline | None:
        if start_m < 0.0 or stop_m > chainages(path)[-1] or stop_m - start_m <= 2.0 * _TRIM_M:
            return None
        return points_at(path, np.linspace(start_m, stop_m, max(3, int(np.ceil((stop_m - start_m) / _STATION_M)) + 1)))

    def _fits(self, line: LevelLine, start_m: float, stop_m: float) -> bool:
        """Whether a bed lies on open ground, a path off all others, and not over itself."""
        xy = self._stations(line.path, start_m, stop_m)
        if xy is None:
            return False
        outline = outline_of(xy, self.rules.width_m)
        length_m = float(chainages(xy)[-1])
        return bool(
            outline.geom_type == "Polygon"
            and self.open.covers(outline)
            and outline.area >= _SELF_OVERLAP * length_m * self.rules.width_m
            and (self.outlines.is_empty or outline.distance(self.outlines) >= self.rules.path_m)
        )


def _rows_by_level(window: Terrain, inset: BaseGeometry, rules: BedRules) -> list[list[LevelLine]]:
    """Lines of all levels that are tried, from the top down."""
    inside = window.heights[cells_within(window.grid, inset.buffer(window.grid.cell_m)) & window.valid]
    if not inside.size:
        return []
    low_m, high_m = float(inside.min()), float(inside.max())
    step_m = _JUST_BEYOND * (rules.width_m + rules.path_m) * _gentle_slope(window, inset, rules) / _STEPS
    count = min(int(np.ceil((high_m - low_m) / step_m)) + 1, _MOST_LEVELS)
    levels_m = high_m - step_m * (np.arange(count) + 0.5)
    lines, _ = lay_lines(window, levels_m, area=inset.buffer(0.5 * rules.width_m), rules=_line_rules(rules))
    by_level: dict[float, list[LevelLine]] = {level_m: [] for level_m in levels_m.tolist()}
    for line in lines:
        by_level[line.level_m].append(line)
    return [row for row in by_level.values() if row]


def _line_rules(rules: BedRules) -> LineRules:
    return LineRules(
        tolerance_m=_LINE_SHARE * rules.tolerance_m,
        bend_radius_m=max(2.0 * rules.width_m, 1.5),
        least_length_m=rules.shortest_m,
        least_ring_m=2.0 * rules.shortest_m,
        least_slope=rules.least_slope,
        greatest_slope=rules.greatest_slope,
        station_m=_STATION_M,
        slope_support_m=max(3.0, 2.0 * rules.width_m),
    )


def _gentle_slope(window: Terrain, area: BaseGeometry, rules: BedRules) -> float:
    """Slope that three quarters of the ground exceed, no less than the least [m/m]."""
    fall = fall_within(window, area, 2.0 * rules.width_m)
    slope = np.hypot(*fall.T)
    slope = slope[slope >= rules.least_slope]
    return float(np.quantile(slope, 0.25)) if slope.size else rules.least_slope


def _paths_across(window: Terrain, area: BaseGeometry, rules: BedRules) -> BaseGeometry:
    """Straight paths down the fall, as far apart as a bed may be long; none where the ground falls many ways."""
    fall = fall_within(window, area, 2.0 * rules.width_m)
    length = np.hypot(*fall.T)
    unit = fall[length > 1e-9] / length[length > 1e-9, np.newaxis]
    if not len(unit) or np.hypot(*unit.mean(axis=0)) < _ONE_WAY:
        return shapely.MultiPolygon()
    down = fall.mean(axis=0) / np.hypot(*fall.mean(axis=0))
    along = np.array([-down[1], down[0]])
    corners = shapely.get_coordinates(area)
    (low, high), (top, foot) = ((side.min(), side.max()) for side in (corners @ along, corners @ down))
    gap_m = rules.cross_path_m
    count = int(np.ceil((high - low + gap_m) / (rules.longest_m + gap_m))) - 1
    each_m = (high - low - count * gap_m) / (count + 1)
    middles = low + (np.arange(count) + 1) * (each_m + gap_m) - 0.5 * gap_m
    ways = [
        shapely.LineString([middle * along + end * down for end in (top - 1.0, foot + 1.0)]).buffer(
            0.5 * gap_m, cap_style="flat"
        )
        for middle in middles
    ]
    return shapely.union_all(ways)


def _named(lines: Iterable[LevelLine], rules: BedRules) -> tuple[Bed, ...]:
    """Beds by row from the top, in a row from west to east; beds of one level are one row."""
    rows: dict[float, int] = {}
    beds, within = [], dict[int, int]()
    for line in sorted(lines, key=reading_order):
        row = rows.setdefault(line.level_m, len(rows) + 1)
        within[row] = within.get(row, 0) + 1
        beds.append(Bed(f"B{row}-{within[row]}", line, rules.width_m, rules.greatest_fall_m))
    return tuple(beds)
