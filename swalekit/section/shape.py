"""The shaped swale: one floor level, one crest level and one sill level along a whole line."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property
from swalekit.kernels.section_balance import balanced_crest
from swalekit.kernels.section_nodes import CREST_OUTER_EDGE, DOWNHILL_LIP, UPHILL_LIP
from swalekit.section.areas import berm_area_m2, catch_width_m, cut_area_m2, storage_area_m2, strip_width_m
from swalekit.section.crossing import CrossingWorks, works_at
from swalekit.section.profile import Nodes, at_stations, check_meets_ground, profile
from swalekit.section.returns import BermReturns, shape_returns
from swalekit.section.section import Section
from swalekit.section.stations import Stations

Values = NDArray[np.float64]

_HIGHEST_BERM_M = 10.0  # far beyond any berm of a ditch's spoil
_CREST_ROUNDS, _SAME_CREST_M = 20, 1e-4
_MOST_SPOIL = 0.6
"""Share of a line's spoil that its crossings may take; what they need beyond it is brought. Our choice."""


@one_line("depth_m", "stations.length_m", "storage_m3", "cut_m3", "crest_level_m")
@dataclass(frozen=True, eq=False)
class ShapedSwale(Frozen):
    """A section laid along a line at a dig depth.

    The floor is level, at ``depth_m`` below the line's level; so is the crest.

    Parameters
    ----------
    stations : Stations
        The line.
    section : Section
        The cross-section.
    depth_m : float
        Dig depth below the level of the line [m].
    crest_level_m : float
        Level of the berm's crest [m].
    """

    stations: Stations
    section: Section
    depth_m: float
    crest_level_m: float

    @property
    def sill_level_m(self) -> float:
        """Level at which water leaves over the sill [m]."""
        return self.crest_level_m - self.section.freeboard_m

    @property
    def floor_level_m(self) -> float:
        """Level of the ditch's floor [m]."""
        return self.stations.level_m - self.depth_m

    @locked_property
    def station_depth_m(self) -> Values:
        """Dig depth at the stations, none where the ground lies below the floor level, shape (n,) [m]."""
        return _station_depth_m(self.stations, self.depth_m)

    @locked_property
    def station_crest_m(self) -> Values:
        """Height of the crest above the ground at the stations, shape (n,) [m]."""
        return self.crest_level_m - self.stations.ground_m

    @locked_property
    def nodes(self) -> Nodes:
        """Nodes of the finished surface at the stations, as `profile` gives them without a pond, shapes (9, n) [m]."""
        return profile(self.section, self.station_depth_m, self.station_crest_m, self.stations.slope, reach_m=0.0)

    @locked_property
    def cut_area_m2(self) -> Values:
        """Cut at the stations, shape (n,) [m²]."""
        return self._at_stations(cut_area_m2, self.station_depth_m)

    @locked_property
    def berm_area_m2(self) -> Values:
        """Berm at the stations, shape (n,) [m²]."""
        return self._at_stations(berm_area_m2, self.station_crest_m, self.station_depth_m)

    @locked_property
    def storage_area_m2(self) -> Values:
        """Pond at the sill's level at the stations, shape (n,) [m²]."""
        sill_m, reach_m = self.station_crest_m - self.section.freeboard_m, self.stations.reach_m
        return self._at_stations(storage_area_m2, sill_m, self.station_depth_m, self.station_crest_m, reach_m=reach_m)

    @locked_property
    def returns(self) -> BermReturns:
        """What closes the first and the last station of an open line, in that order.

        They go no farther uphill than the pond reaches along half of the line: the reach at the end stations themselves
        says little, since just beyond them the ground drains past the line.
        """
        stations = self.stations
        ends = np.array([] if stations.closed else [0, -1], np.intp)
        return shape_returns(
            self.section,
            self.station_depth_m[ends],
            self.station_crest_m[ends],
            stations.slope[ends],
            reach_m=stations.half_way_reach_m,
        )

    @cached_property
    def crossings(self) -> tuple[CrossingWorks, ...]:
        """What is built of the crossings beneath which it goes on."""
        return _crossings(self.stations, self.depth_m, self.section, self.crest_level_m)

    @property
    def top_width_m(self) -> float:
        """Greatest width of the ditch, lip to lip [m]."""
        x, _ = self.nodes
        return float(np.max(x[DOWNHILL_LIP] - x[UPHILL_LIP]))

    @property
    def berm_height_m(self) -> float:
        """Greatest height of the crest above the natural ground beneath its downhill edge [m]."""
        x, y = (rows[CREST_OUTER_EDGE] for rows in self.nodes)
        return float(np.max(y + self.stations.slope * x))

    @property
    def cut_m3(self) -> float:
        """Soil dug, bank measure [m³]."""
        return float(self.cut_area_m2 @ self.stations.width_m) + sum(each.cut_m3 for each in self.crossings)

    @property
    def line_berm_m3(self) -> float:
        """Soil in the berm along the line, compacted [m³]."""
        return float(self.berm_area_m2 @ self.stations.width_m)

    @property
    def returns_m3(self) -> float:
        """Soil in the returns at both ends, compacted [m³]."""
        return float(self.returns.volume_m3.sum())

    @property
    def crossings_m3(self) -> float:
        """Soil in the banks of crossings beyond that of the berm there, compacted [m³]."""
        return sum(each.fill_m3 for each in self.crossings)

    @property
    def berm_m3(self) -> float:
        """Soil in the berm, its returns and the banks of crossings, compacted [m³]."""
        return self.line_berm_m3 + self.returns_m3 + self.crossings_m3

    @locked_property
    def storage_m3(self) -> float:
        """Water held at the sill's level [m³]."""
        whole_m3 = float(self.storage_area_m2 @ self.stations.width_m)
        if not self.crossings:
            return whole_m3
        return max(
            whole_m3 - sum(float(each.lost(np.array([self.sill_level_m]))[0][0]) for each in self.crossings), 0.0
        )

    def room_above_floor_m3(self, height_m: float) -> float:
        """Room of the ditch up to a height above its floor, as silt would fill it.

        Parameters
        ----------
        height_m : float
            Height above the floor; no more of it counts than the depth dug at a station [m].

        Returns
        -------
        float
            Room [m³].

        Examples
        --------
        >>> level = Stations(100.0, np.full(11, 100.0), np.full(11, 0.1), np.full(11, 5.0), np.full(11, 20.0))
        >>> round(shape_swale(level, 0.5, Section()).room_above_floor_m3(0.1), 3)
        4.125
        """
        section, filled = self.section, np.minimum(height_m, self.station_depth_m)
        sides = (section.uphill_side_slope + section.downhill_side_slope) / 2.0
        return float((section.bottom_width_m + sides * filled) * filled @ self.stations.width_m)

    @locked_property
    def catch_m2(self) -> float:
        """Plan area on which every drop is caught, uphill lip to the middle of the crest, and on the returns [m²]."""
        width_m = self._at_stations(catch_width_m, self.station_depth_m, self.station_crest_m)
        return float(width_m @ self.stations.width_m) + float(self.returns.caught_m2.sum())

    @locked_property
    def strip_m2(self) -> float:
        """Plan area that is disturbed: uphill lip to downhill toe, under returns and ramps of crossings [m²]."""
        width_m = self._at_stations(strip_width_m, self.station_depth_m, self.station_crest_m)
        ramps_m2 = sum(each.ground_m2 for each in self.crossings)
        return float(width_m @ self.stations.width_m) + float(self.returns.ground_m2.sum()) + ramps_m2

    def _at_stations(self, measure: Callable[..., Values], *heights_m: Values, **choices: Values) -> Values:
        """Area or width at the stations, by a function of the section."""
        stations = self.stations
        return measure(self.section, *heights_m, stations.slope, curvature_per_m=stations.curvature_per_m, **choices)


def shape_swale(stations: Stations, depth_m: float, section: Section, *, fill_factor: float = 0.9) -> ShapedSwale:
    """Dig a line to a depth and build the berm from its spoil.

    Parameters
    ----------
    stations : Stations
        The line.
    depth_m : float
        Dig depth below the level of the line [m].
    section : Section
        The cross-section.
    fill_factor : float
        Compacted volume per bank volume [-]; 0.9 is common practice.

    Returns
    -------
    ShapedSwale
        The swale with the one crest level at which the whole line's berm, its returns included, uses the whole line's
        spoil.

    Raises
    ------
    InputError
        If depth or fill factor isn't positive, a side is too flat to meet the ground, or the berm finds no room inside
        the line's bends.

    Notes
    -----
    Volumes are areas, weighted for the line's bends, times the length each station stands for, which at even chainage
    is the rule of average end areas. Ditch and pond end with the line: the slanting end faces beyond it are left out.

    Examples
    --------
    >>> level = Stations(100.0, np.full(11, 100.0), np.full(11, 0.1), np.full(11, 5.0), np.full(11, 20.0))
    >>> swale = shape_swale(level, 0.5, Section())
    >>> round(swale.cut_m3, 1), round(swale.berm_m3, 1), round(swale.crest_level_m, 3)
    (38.1, 34.2, 100.198)
    """
    check_positive(depth_m=depth_m, fill_factor=fill_factor)
    check_meets_ground(section, stations.slope)
    spoil_m3, crest_level_m = _spoil_and_its_crest(stations, depth_m, section, fill_factor)
    if np.isnan(crest_level_m):
        message = (
            f"the spoil of the line at {stations.level_m:.2f} m, {spoil_m3 / stations.length_m:.1f} m3 a metre, "
            f"makes no berm below {_HIGHEST_BERM_M:g} m; dig less deep or follow wider bends"
        )
        raise InputError(message)
    return ShapedSwale(stations, section, depth_m, crest_level_m)


def build_to_crest(
    stations: Stations, depth_m: float, section: Section, *, crest_level_m: float, fill_factor: float = 0.9
) -> ShapedSwale:
    """Dig a line to a depth and build the berm to a staked crest, or as high as the spoil reaches.

    Parameters
    ----------
    stations : Stations
        The line's stations, n of them.
    depth_m : float
        Dig depth where the ground stands at the line's level [m].
    section : Section
        Shape of ditch and berm.
    crest_level_m : float
        Level of the crest as staked [m].
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    ShapedSwale
        The swale with the lower of the two crests; spoil left over is in no volume.

    Examples
    --------
    >>> level = Stations(100.0, np.full(11, 100.0), np.full(11, 0.1), np.full(11, 5.0), np.full(11, 20.0))
    >>> build_to_crest(level, 0.5, Section(), crest_level_m=100.1).crest_level_m
    100.1
    >>> round(build_to_crest(level, 0.5, Section(), crest_level_m=109.0).crest_level_m, 3)
    100.198
    """
    _, spoil_crest_m = _spoil_and_its_crest(stations, depth_m, section, fill_factor)
    return ShapedSwale(stations, section, depth_m, float(np.fmin(crest_level_m, spoil_crest_m)))


def _spoil_and_its_crest(
    stations: Stations, depth_m: float, section: Section, fill_factor: float
) -> tuple[float, float]:
    """Spoil of a line, compacted [m³], and level of the crest that uses it [m], NaN if there is too much of it."""
    depth = _station_depth_m(stations, depth_m)
    cut = cut_area_m2(section, depth, stations.slope, curvature_per_m=stations.curvature_per_m)
    spoil_m3 = fill_factor * float(cut @ stations.width_m)
    rows, _ = at_stations(depth, stations.rise_m, stations.slope, stations.curvature_per_m, stations.width_m)

    def crest_of(soil_m3: float) -> float:
        reach_m, closed = stations.half_way_reach_m, stations.closed
        above_level_m = balanced_crest(section.dimensions, soil_m3, _HIGHEST_BERM_M, reach_m, closed, *rows)
        return stations.level_m + float(above_level_m)

    crest_m = crest_of(spoil_m3)
    for _ in range(_CREST_ROUNDS if stations.crossings and not np.isnan(crest_m) else 0):
        works = _crossings(stations, depth_m, section, crest_m)
        taken_m3 = sum(each.fill_m3 - fill_factor * each.cut_m3 for each in works)
        before_m, crest_m = crest_m, crest_of(spoil_m3 - min(taken_m3, _MOST_SPOIL * spoil_m3))
        if abs(crest_m - before_m) < _SAME_CREST_M:
            break
    return spoil_m3, crest_m


def _crossings(stations: Stations, depth_m: float, section: Section, crest_level_m: float) -> tuple[CrossingWorks, ...]:
    """Works of the crossings of a line dug to a depth."""
    depth, curvature = (
        _station_depth_m(stations, depth_m),
        np.broadcast_to(stations.curvature_per_m, stations.slope.shape),
    )
    return tuple(
        works_at(
            place,
            section,
            depth_m=float(depth[place.station]),
            crest_level_m=crest_level_m,
            ground_m=float(stations.ground_m[place.station]),
            slope=float(stations.slope[place.station]),
            reach_m=float(stations.reach_m[place.station]),
            curvature_per_m=float(curvature[place.station]),
        )
        for place in stations.crossings
    )


def _station_depth_m(stations: Stations, depth_m: float) -> Values:
    """Depth at the stations of a level floor."""
    return np.maximum(depth_m + stations.rise_m, 0.0)
