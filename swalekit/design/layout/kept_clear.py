"""What lines, works and overflow keep off on a site, and where lines go on beneath a crossing."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.crossing import Crossing, kept_clear_for
from swalekit.contours.cuts import within_polygon
from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.section.crossing import CrossingPlace, ramp_grade
from swalekit.section.stations import Stations
from swalekit.tables.load import named_row

ROOM_M = 3.0
"""Line that a bank or a ford needs on both sides of its roadway, for its faces and a piece of ditch: our choice."""

_MOST_ASKEW = 2.0
"""How many times its width a way may take along a line, which it meets at 30 degrees then: our choice."""


def kept_clear(site: Site, ground: Ground) -> tuple[KeepOut, ...]:
    """What lines and works keep off.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.

    Returns
    -------
    tuple of KeepOut
        The keep-outs, then the strip of every crossing on both sides of which swales end.

    Examples
    --------
    >>> kept_clear(site, ground) == site.keep_outs
    True
    """
    gaps = (strip for crossing, strip in crossing_strips(site, ground) if crossing.parts_swales)
    return (*site.keep_outs, *gaps)


def kept_free(site: Site, ground: Ground) -> tuple[KeepOut, ...]:
    """What overflow, plants and other works keep off.

    Parameters
    ----------
    site, ground : Site, Ground
        As for `kept_clear`.

    Returns
    -------
    tuple of KeepOut
        The keep-outs, then the strip of every crossing.

    Examples
    --------
    >>> kept_free(site, ground) == site.keep_outs
    True
    """
    return (*site.keep_outs, *(strip for _, strip in crossing_strips(site, ground)))


def crossing_strips(site: Site, ground: Ground) -> tuple[tuple[Crossing, KeepOut], ...]:
    """Every crossing with the ground that is kept clear for it.

    Parameters
    ----------
    site, ground : Site, Ground
        As for `kept_clear`.

    Returns
    -------
    tuple of (Crossing, KeepOut)
        In the order of the brief.

    Examples
    --------
    >>> import shapely
    >>> from dataclasses import replace
    >>> gate = Crossing("gap", shapely.Point(ground.area.centroid), 4.0, "Gate")
    >>> [round(strip.geometry.area) for _, strip in crossing_strips(replace(site, crossings=(gate,)), ground)]
    [80]
    """
    return tuple((crossing, kept_clear_for(crossing, ground.terrain)) for crossing in site.crossings)


def stations_on(site: Site, ground: Ground, line: LevelLine, reach_m: NDArray[np.float64]) -> Stations:
    """Stations of a line, with the crossings beneath which it goes on.

    Parameters
    ----------
    site, ground : Site, Ground
        As for `kept_clear`.
    line : LevelLine
        The line.
    reach_m : ndarray of float64, shape (n,)
        How far uphill of each station the pond may stand [m].

    Returns
    -------
    Stations
        With the places of `crossings_over`.

    Examples
    --------
    >>> stations_on(site, ground, layout.lines[0], layout.stations[0].reach_m).crossings
    ()
    """
    return Stations.of_line(line, reach_m, crossings=crossings_over(line, crossing_strips(site, ground)))


def crossings_over(line: LevelLine, strips: Sequence[tuple[Crossing, KeepOut]]) -> tuple[CrossingPlace, ...]:
    """Where a line goes on beneath crossings.

    Parameters
    ----------
    line : LevelLine
        The line.
    strips : sequence of (Crossing, KeepOut)
        From `crossing_strips`.

    Returns
    -------
    tuple of CrossingPlace
        By chainage. The roadway is laid square to the line and is as wide along it as the strip is that the line runs
        through, more where the track comes askew. A crossing over which the line can't go on is left out, and parts it
        as a gap does: where less than `ROOM_M` of line is left beside the roadway, the track comes at less than 30
        degrees, or its ramp would be steeper than vehicles drive (table ``crossing_works``).

    Examples
    --------
    >>> crossings_over(layout.lines[0], crossing_strips(site, ground))
    ()
    """
    found: list[CrossingPlace] = []
    for crossing, strip in strips:
        places = [] if crossing.parts_swales else _places(line, crossing, strip)
        if all(_fits(line, place) for place in places):
            found += places
    return tuple(sorted(found, key=lambda place: place.chainage_m))


def parted_by(line: LevelLine, strips: Sequence[tuple[Crossing, KeepOut]]) -> tuple[KeepOut, ...]:
    """Ground of the crossings beneath which a line doesn't go on, which its works keep off.

    Parameters
    ----------
    line : LevelLine
        The line.
    strips : sequence of (Crossing, KeepOut)
        From `crossing_strips`.

    Returns
    -------
    tuple of KeepOut
        Those of the kind gap, and the others but for those of `crossings_over`.

    Examples
    --------
    >>> parted_by(layout.lines[0], crossing_strips(site, ground))
    ()
    """
    beneath = [place.crossing for place in crossings_over(line, strips)]
    return tuple(strip for crossing, strip in strips if crossing not in beneath)


def _places(line: LevelLine, crossing: Crossing, strip: KeepOut) -> list[CrossingPlace]:
    """Where a line runs through the strip of a crossing; across the seam of a ring once."""
    spans, length_m = within_polygon(line.path, strip.geometry), line.length_m
    if line.closed and len(spans) > 1 and spans[0, 0] <= 0.0 and spans[-1, 1] >= length_m:
        spans = np.vstack([spans[1:-1], [spans[-1, 0], length_m + spans[0, 1]]])
    places = []
    for start_m, stop_m in spans.tolist():
        middle_m = (start_m + stop_m) / 2.0 % length_m if line.closed else (start_m + stop_m) / 2.0
        away_m = np.abs(line.chainage_m - middle_m)
        away_m = np.minimum(away_m, length_m - away_m) if line.closed else away_m
        width_m = max(stop_m - start_m, crossing.width_m)
        places.append(CrossingPlace(crossing, middle_m, width_m, int(away_m.argmin())))
    return places


def _fits(line: LevelLine, place: CrossingPlace) -> bool:
    """Whether a line can go on beneath a crossing at a place."""
    needed_m, length_m = place.width_m / 2.0 + ROOM_M, line.length_m
    middle_m = length_m / 2.0 if line.closed else place.chainage_m
    has_room = needed_m <= middle_m <= length_m - needed_m
    steepest = named_row("crossing_works", name="steepest ramp").value
    askew = place.width_m > _MOST_ASKEW * place.crossing.width_m
    return has_room and not askew and ramp_grade(float(line.cross_slope[place.station])) <= steepest
