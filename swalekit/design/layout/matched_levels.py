"""Levels matched to the storm: one below the other, so far apart that each one's lines are just full."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.contours.levels import spacing_ground
from swalekit.design.brief.settings import depths_of, section_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.level_trial import LevelTrial, just_full_level, try_level
from swalekit.frozen import Frozen
from swalekit.section.even_slope import matched_spacing_m, metre_of_swale

_WELL_USED = 0.9
"""Less full levels are noted."""


@one_line("levels_m", "storage_m3", "need_m3")
@dataclass(frozen=True, eq=False)
class MatchedLevels(Frozen):
    """Levels matched to the storm, from the top down.

    Parameters
    ----------
    levels_m : ndarray of float64, shape (n,)
        The levels [m].
    storage_m3 : ndarray of float64, shape (n,)
        What the lines on each level hold together [m³].
    need_m3 : ndarray of float64, shape (n,)
        What the design storm brings them [m³].
    notes : tuple of str
        Levels that are not just full, and how many lines hold less than their own share.
    """

    levels_m: NDArray[np.float64]
    storage_m3: NDArray[np.float64]
    need_m3: NDArray[np.float64]
    notes: tuple[str, ...]


def matched_levels(
    site: Site, ground: Ground, area: BaseGeometry, *, depth_m: float | None = None, start_m: float | None = None
) -> MatchedLevels:
    """Levels one below the other, each so far below the last that its lines are just full at the design storm.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    area : shapely polygon or multipolygon
        Where lines may run.
    depth_m : float, optional
        Depth to which every ditch is dug [m]; the greatest allowed unless given.
    start_m : float, optional
        First level, laid as it is [m]; matched to the ground above it unless given.

    Returns
    -------
    MatchedLevels
        The levels with what they hold and get. Ground at the foot of the site that would not half fill a line gets
        none.

    Raises
    ------
    InputError
        If the start lies off the ground of the site, or the section doesn't fit its slope.

    Notes
    -----
    Each level starts from an interval by hand, `matched_spacing_m` on the site's median slope. It is moved, by
    interpolation and halving, until need over storage of all its lines together lies between 0.98 and 1, or to the
    upper side of the centimetre between a level that holds and one that doesn't: it is never more than full. On a plane
    the interval by hand comes out again, to a row of cells and the ends of the lines.

    On real ground less water may meet a lower level, since its lines are other ones; then the fullest tried is laid if
    it is at least half full. Where no level holds what it gets, below a cliff or where water comes from outside, the
    interval by hand is kept; the surplus isn't counted below it. One line of a level may be short while another has
    room. All this is noted.

    Examples
    --------
    >>> matched = matched_levels(site, ground, ground.area, depth_m=0.3)
    >>> bool((matched.need_m3 <= matched.storage_m3).all())
    True
    """
    lowest, highest = ground.height_range_m
    if start_m is not None:
        check_between(lowest, highest, start_m=start_m)
    depth = depths_of(site).greatest_m if depth_m is None else depth_m
    by_hand, least = _first_intervals_m(site, ground, depth)
    guess = max(least, min(by_hand, (highest - lowest) / 2.0))
    found = [] if start_m is None else [try_level(site, ground, area, start_m, depth_m=depth)]
    above_m = highest if start_m is None else start_m
    while True:

        def fill(level_m: float, above: tuple[LevelTrial, ...] = tuple(found)) -> LevelTrial:
            return try_level(site, ground, area, level_m, above=above, depth_m=depth)

        trial = just_full_level(fill, above_m, lowest, guess_m=guess, least_m=least)
        if trial is None:
            break
        found.append(trial)
        above_m = trial.level_m
    return MatchedLevels(
        np.array([trial.level_m for trial in found]),
        np.array([float(trial.storage_m3.sum()) for trial in found]),
        np.array([float(trial.need_m3.sum()) for trial in found]),
        _notes(found, storm_of(site).depth_mm, depth),
    )


def mean_runoff_mm(site: Site, ground: Ground) -> float:
    """Runoff of the design storm from the ground of the site, its soils weighted by their area [mm].

    Parameters
    ----------
    site : Site
        The site, for its storm.
    ground : Ground
        Its soils.

    Returns
    -------
    float
        The runoff [mm].

    Examples
    --------
    >>> round(mean_runoff_mm(site, ground), 1)
    19.6
    """
    runoff_mm = ground.soil.runoff_mm(storm_of(site).depth_mm)
    if ground.soil_class is None:
        return float(runoff_mm[0])
    cells = np.bincount(ground.soil_class[ground.inside], minlength=runoff_mm.size)
    return float(runoff_mm @ cells / cells.sum())


def _first_intervals_m(site: Site, ground: Ground, depth_m: float) -> tuple[float, float]:
    """By hand on the site's median slope: the interval that matches, and that of lines whose earthworks touch."""
    _, slopes = spacing_ground(ground.terrain, ground.area)
    lines = site.brief.lines
    slope = float(np.clip(np.median(slopes), lines.least_slope, lines.greatest_slope))
    metre = metre_of_swale(slope, section_of(site), depth_m=depth_m, fill_factor=site.brief.soil.fill_factor)
    spacing_m = matched_spacing_m(metre, rain_mm=storm_of(site).depth_mm, runoff_mm=mean_runoff_mm(site, ground))
    return slope * spacing_m, slope * metre.strip_m2


def _notes(found: list[LevelTrial], storm_mm: float, depth_m: float) -> tuple[str, ...]:
    """What the reader must know of the levels."""
    if not found:
        return (
            f"no level is filled by the storm of {storm_mm:g} mm with ditches {depth_m:g} m deep: no line can be laid, "
            "or the ground brings less than half of what one holds; dig less deep, or give an interval or a spacing",
        )
    notes = [
        f"the lines at {trial.level_m:.2f} m get {trial.need_m3.sum():.0f} m3 of the design storm and hold "
        f"{trial.storage_m3.sum():.0f} m3: what is over spills"
        for trial in found
        if trial.fullness > 1.0
    ]
    matched = [trial for trial in found if trial.fullness <= 1.0]
    roomy = [trial for trial in matched if trial.fullness < _WELL_USED]
    notes += [
        f"the lines at {trial.level_m:.2f} m are {trial.fullness:.0%} full: less water meets lower ones"
        for trial in roomy
    ]
    short = sum(int((trial.need_m3 > trial.storage_m3).sum()) for trial in matched)
    if short:
        count = sum(len(trial.lines) for trial in matched)
        notes.append(
            f"{short} of the {count} lines get more than they hold, although the lines of their level together hold all"
        )
    return tuple(notes)
