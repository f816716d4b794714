"""Lines so close above one another that their works would take the same ground."""

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.contours.cuts import runs
from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.contours.polyline import stretch
from swalekit.design.brief.settings import depths_of, section_of
from swalekit.design.brief.site import Site
from swalekit.section.even_slope import metre_of_swale

TOO_CLOSE = "too close"
"""Reason of a stretch that works of a line above would bury."""

_STEEPER = 0.9
"""Share of a line's stations that are less steep than the ground on which its works are measured; our choice."""


def kept_apart(
    site: Site, lines: tuple[LevelLine, ...], *, least_length_m: float
) -> tuple[tuple[LevelLine, ...], tuple[RefusedLine, ...]]:
    """Take out the stretches along which not even the least works fit below the line above.

    Parameters
    ----------
    site : Site
        What was asked: section, least depth and fill factor.
    lines : tuple of LevelLine
        Lines, from the top of the site downward.
    least_length_m : float
        Least length of what is left of an open line [m].

    Returns
    -------
    lines : tuple of LevelLine
        What is left, in the same order.
    refused : tuple of RefusedLine
        Stretches too close to a line above, and what they leave too short.

    Notes
    -----
    Works are as wide as a ditch of the least depth, its bench and its berm on the slope that nine in ten stations of
    the lower line stay below; the upper line is kept. Works that are dug deeper may still meet, which a caution then
    tells. Lines of one level are pieces of one contour and never bury one another.

    Examples
    --------
    >>> kept, refused = kept_apart(site, layout.lines, least_length_m=15.0)
    >>> len(kept), refused
    (2, ())
    """
    kept: list[LevelLine] = []
    refused: list[RefusedLine] = []
    for line in lines:
        width_m = _least_width_m(site, line)
        above = [other for other in kept if other.level_m > line.level_m and _bounds_within(other, line, width_m)]
        close = _close_to(line, above, width_m)
        if not close.any():
            kept.append(line)
            continue
        detail = f"works of {width_m:.1f} m, as narrow as they come, don't fit between it and the line above"
        walked, path = np.append(line.chainage_m, line.length_m)[: len(line.path)], line.path
        marked = np.append(close, close[:1]) if line.closed else close
        refused += [
            RefusedLine(line.level_m, stretch(path, start, stop), TOO_CLOSE, detail)
            for start, stop in runs(walked, marked)
        ]
        for part in _parts_left(line, ~close):
            if part.length_m >= least_length_m:
                kept.append(part)
            else:
                refused.append(
                    RefusedLine(part.level_m, part.path, "short", f"below the least length of {least_length_m:g} m")
                )
    return tuple(kept), tuple(refused)


def _least_width_m(site: Site, line: LevelLine) -> float:
    """Width of the narrowest works that the brief allows, on the steeper ground along a line [m]."""
    section, fill_factor = section_of(site), site.brief.soil.fill_factor
    slope = float(np.quantile(line.cross_slope, _STEEPER))
    metre = metre_of_swale(slope, section, depth_m=depths_of(site).least_m, fill_factor=fill_factor)
    return metre.strip_m2


def _bounds_within(other: LevelLine, line: LevelLine, width_m: float) -> bool:
    """Whether the boxes of two lines come within a distance."""
    low, high = line.xy.min(axis=0) - width_m, line.xy.max(axis=0) + width_m
    return bool((other.xy.max(axis=0) >= low).all() and (other.xy.min(axis=0) <= high).all())


def _close_to(line: LevelLine, above: list[LevelLine], width_m: float) -> NDArray[np.bool_]:
    """Stations within a distance of any of some lines."""
    if not above:
        return np.zeros(len(line.xy), bool)
    near = shapely.multilinestrings([shapely.linestrings(other.path) for other in above])
    shapely.prepare(near)
    return np.asarray(shapely.dwithin(shapely.points(line.xy), near, width_m))


def _parts_left(line: LevelLine, left: NDArray[np.bool_]) -> list[LevelLine]:
    """Runs of at least two stations that are left, as open lines; across the seam of a ring they are one."""
    order = np.arange(len(left))
    if line.closed:
        order = np.roll(order, -int(np.argmin(left)))  # begins at a station that is taken out
    ends = np.flatnonzero(np.diff(left[order], prepend=False, append=False)).reshape(-1, 2)
    chosen = [order[start:stop] for start, stop in ends if stop - start >= 2]
    return [
        LevelLine(line.level_m, False, line.xy[part], line.ground_m[part], line.cross_slope[part]) for part in chosen
    ]
