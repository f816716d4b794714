"""Parts of a line: runs of stations that are left when some of its legs are taken out."""

from dataclasses import replace

import numpy as np

from swalekit.contours.course import station_slopes
from swalekit.contours.line import LevelLine, LineRules, RefusedLine
from swalekit.contours.quads import Marks
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.works_met import Run


def free_runs(line: LevelLine, free: Marks) -> list[Run]:
    """Stations of every run of free legs; across the seam of a ring they are one.

    Parameters
    ----------
    line : LevelLine
        The line.
    free : ndarray of bool, shape (legs,)
        Which legs.

    Returns
    -------
    list of ndarray of intp
        Numbers of the stations of each run.

    Examples
    --------
    >>> line = layout.lines[0]
    >>> free = np.ones(len(line.path) - 1, bool)
    >>> free[3] = False
    >>> [(int(run[0]), int(run[-1])) for run in free_runs(line, free)] == [(0, 3), (4, len(line.xy) - 1)]
    True
    """
    stations, legs = np.arange(len(line.xy)), free
    if line.closed:
        first = int(np.argmin(free))  # a leg that is taken
        stations, legs = np.roll(stations, -first), np.roll(free, -first)
        stations = np.append(stations, stations[:1])
    bounds = np.flatnonzero(np.diff(legs, prepend=False, append=False)).reshape(-1, 2)
    return [stations[start : stop + 1] for start, stop in bounds]


def part_of(line: LevelLine, run: Run) -> LevelLine:
    """The part of a line at some of its stations, with their ground and slope, and the line's name.

    Parameters
    ----------
    line : LevelLine
        The line.
    run : ndarray of intp
        From `free_runs`.

    Returns
    -------
    LevelLine
        An open line.

    Examples
    --------
    >>> part_of(layout.lines[0], np.arange(4)).xy.shape
    (4, 2)
    """
    return LevelLine(line.level_m, False, line.xy[run], line.ground_m[run], line.cross_slope[run], line.name)


def laid_part(ground: Ground, line: LevelLine, run: Run, rules: LineRules) -> LevelLine:
    """The part of a line as if it had been laid alone: its slope is measured anew, as it is of a line from a file.

    Parameters
    ----------
    ground : Ground
        The ground.
    line : LevelLine
        The line.
    run : ndarray of intp
        From `free_runs`.
    rules : LineRules
        How the slope is measured.

    Returns
    -------
    LevelLine
        An open line.

    Examples
    --------
    >>> from swalekit.contours import LineRules
    >>> laid_part(ground, layout.lines[0], np.arange(4), LineRules()).xy.shape
    (4, 2)
    """
    slope = station_slopes(ground.terrain, line.xy[run], closed=False, rules=rules)
    return replace(part_of(line, run), cross_slope=slope)


def too_short(line: LevelLine, rules: LineRules) -> RefusedLine | None:
    """A part as refused if it is below the least length.

    Parameters
    ----------
    line : LevelLine
        The part.
    rules : LineRules
        With the least length.

    Returns
    -------
    RefusedLine or None
        The whole part.

    Examples
    --------
    >>> from swalekit.contours import LineRules
    >>> too_short(layout.lines[0], LineRules()) is None
    True
    """
    detail = f"{line.length_m:.1f} m long, least {rules.least_length_m:g} m"
    return RefusedLine(line.level_m, line.path, "short", detail) if line.length_m < rules.least_length_m else None
