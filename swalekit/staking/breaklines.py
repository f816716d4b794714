"""The edges of ditch and berm as lines in space, for drawings and machine control."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.contours.polyline import chainages
from swalekit.frozen import Frozen
from swalekit.kernels.section_nodes import (
    CREST_INNER_EDGE,
    CREST_OUTER_EDGE,
    DOWNHILL_LIP,
    DOWNHILL_TOE,
    UPHILL_LIP,
    UPHILL_TOE,
)
from swalekit.section.crossing import CrossingWorks
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.returns import outline_xy

_EDGES = (
    ("ditch edge", UPHILL_LIP),
    ("ditch edge", DOWNHILL_LIP),
    ("berm toe", UPHILL_TOE),
    ("berm crest", CREST_INNER_EDGE),
    ("berm crest", CREST_OUTER_EDGE),
    ("berm toe", DOWNHILL_TOE),
)

KINDS = ("ditch centre", "ditch edge", "berm toe", "berm crest", "berm return", "sill")
CROSSED_KINDS = ("crossing edge", "pipe")
"""Those that a swale has only where it goes on beneath a crossing."""


@one_line("swale", "kind", "closed", "xyz")
@dataclass(frozen=True, eq=False)
class Breakline(Frozen):
    """An edge of the works.

    Parameters
    ----------
    swale : str
        The swale.
    kind : str
        One of `KINDS` or `CROSSED_KINDS`.
    xyz : ndarray of float64, shape (n, 3)
        Easting, northing and height of its vertices [m].
    closed : bool
        Whether the last vertex is joined to the first.
    """

    swale: str
    kind: str
    xyz: NDArray[np.float64]
    closed: bool


def breaklines(swale: LaidSwale) -> list[Breakline]:
    """Lines of a swale from uphill to downhill, a vertex a station.

    Parameters
    ----------
    swale : LaidSwale
        The swale.

    Returns
    -------
    list of Breakline
        Centre of the ditch at its floor; both edges of the ditch and both toes of the berm on the ground; both edges of
        the crest; of an open line the outline of the returns on the ground; the sill at its level, along the middle of
        the crest; both edges of the roadway of every crossing, from the end of its ramp uphill to that downhill, and
        its pipes' invert, along the middle of the ditch.

    Notes
    -----
    Across the line the ground is the plane of the section. The crest's edges run on over the sill, where the berm is
    built to the sill's level.

    Examples
    --------
    >>> from swalekit.contours import LevelLine
    >>> from swalekit.section import Section, ShapedSwale, Stations
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> drawn = breaklines(LaidSwale("S1", 1, line, shape, sill_chainage_m=10.0, sill_length_m=4.0))
    >>> drawn[0].kind, drawn[0].xyz[:, 2]
    ('ditch centre', array([9.5, 9.5]))
    """
    line, shape = swale.line, swale.shape
    x, y = shape.nodes
    floor = np.column_stack([line.xy, line.ground_m - shape.station_depth_m])
    lines = [Breakline(swale.id, "ditch centre", floor, line.closed)]
    for kind, node in _EDGES:
        edge = np.column_stack([_beside(swale, x[node]), line.ground_m + y[node]])
        lines.append(Breakline(swale.id, kind, edge, line.closed))
    lines += _returns(swale)
    lines.append(_sill(swale, (x[CREST_INNER_EDGE] + x[CREST_OUTER_EDGE]) / 2.0))
    lines += [edge for works in shape.crossings for edge in _crossing(swale, works)]
    return lines


def _beside(swale: LaidSwale, downhill_m: NDArray[np.float64]) -> NDArray[np.float64]:
    """Points at a distance downhill of the stations."""
    return np.asarray(swale.line.xy + swale.line.downhill * downhill_m[:, np.newaxis])


def _returns(swale: LaidSwale) -> list[Breakline]:
    """Outlines of the returns, on ground that falls as it does across the line's end and is level along it."""
    line, returns = swale.line, swale.shape.returns
    ends = [0, -1]
    return [
        Breakline(
            swale.id,
            "berm return",
            np.column_stack([xy, line.ground_m[end] - line.cross_slope[end] * outline[:, 1]]),
            closed=True,
        )
        for end, xy, outline in zip(ends, outline_xy(line, returns), returns.outline_m, strict=False)
    ]


def _crossing(swale: LaidSwale, works: CrossingWorks) -> list[Breakline]:
    """Edges of a roadway, and the invert of its pipes."""
    line, middle_m, half_m = swale.line, works.place.chainage_m, works.place.width_m / 2.0
    offset_m, level_m = works.profile_m
    found = []
    for chainage_m in (middle_m - half_m, middle_m + half_m):
        at = np.array([chainage_m])
        place, downhill = line.at(line.xy.T, at)[:, 0], line.at(line.downhill.T, at)[:, 0]
        xy = place + offset_m[:, np.newaxis] * downhill / np.hypot(*downhill)
        found.append(Breakline(swale.id, "crossing edge", np.column_stack([xy, level_m]), closed=False))
    if not works.is_ford:
        along_m = middle_m + works.pipe_length_m * np.array([-0.5, 0.0, 0.5])
        invert = np.column_stack([line.at(line.xy.T, along_m).T, np.full(3, works.floor_m)])
        found.append(Breakline(swale.id, "pipe", invert, closed=False))
    return found


def _sill(swale: LaidSwale, crest_middle_m: NDArray[np.float64]) -> Breakline:
    """The sill, with the line's stations between its ends."""
    line = swale.line
    start_m, stop_m = swale.sill_span_m
    walked = chainages(line.path)
    chainage = np.array([start_m, *walked[(walked > start_m) & (walked < stop_m)], stop_m])
    xy = line.at(_beside(swale, crest_middle_m).T, chainage).T
    level = np.full(len(chainage), swale.shape.sill_level_m)
    return Breakline(swale.id, "sill", np.column_stack([xy, level]), closed=False)
