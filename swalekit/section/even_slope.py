"""A swale on an even slope: sized for a runoff, its storage by depth, and the spacing at which it is just full."""

import numpy as np

from swalekit._checks import check_not_negative, check_ordered, check_positive
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.section.section import DepthRules, Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.sizing import SizedSwale, size_swale
from swalekit.section.stage_storage import stage_storage
from swalekit.section.stations import Stations

_REACH_M = 100.0
"""The pond is followed no farther uphill, as on real ground."""

_M_PER_MM = 0.001
_SECTION, _DEPTHS = Section(), DepthRules()


def ditch_for_runoff(
    runoff_m3: float,
    *,
    length_m: float,
    slope: float,
    section: Section = _SECTION,
    depths: DepthRules = _DEPTHS,
    fill_factor: float = 0.9,
) -> SizedSwale:
    """Find the shallowest ditch and berm on an even slope that hold a given runoff.

    A first figure, before any line is laid: how deep, how wide, how much soil.

    Parameters
    ----------
    runoff_m3 : float
        Water to be held [m³].
    length_m : float
        Length of the ditch along the contour [m].
    slope : float
        Slope of the ground [m/m].
    section : Section
        The cross-section.
    depths : DepthRules
        Depths to try.
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    SizedSwale
        Its ``shape`` has the depth and top width [m], storage and cut [m³]; where even the deepest ditch is too small,
        ``short_m3`` [m³] is what it lacks and ``cure`` what would help.

    Raises
    ------
    InputError
        If length or fill factor isn't positive, runoff or slope is negative, or a side is too flat to meet the ground.

    Notes
    -----
    The shallowest depth of the rules that holds the runoff, both ends of the berm turned uphill. The rain on the ditch
    itself isn't added.

    Examples
    --------
    >>> ditch = ditch_for_runoff(40.0, length_m=50.0, slope=0.10)
    >>> ditch
    SizedSwale(depth 0.5 m, top width 2.15 m, need 40 m³, storage 41.77 m³, cut 34.6 m³, short 0 m³)
    >>> round(ditch.shape.top_width_m, 2), round(ditch.shape.berm_height_m, 2)
    (2.15, 0.43)
    """
    check_not_negative(runoff_m3=runoff_m3)
    stations = _even_stations(slope, length_m)
    return size_swale(stations, lambda _: runoff_m3, section=section, depths=depths, fill_factor=fill_factor)


def storage_by_depth(
    depth_m: float,
    *,
    slope: float,
    length_m: float = 1.0,
    section: Section = _SECTION,
    fill_factor: float = 0.9,
    step_m: float = 0.05,
) -> StageStorage:
    """Water that a ditch and berm on an even slope hold at every depth of the water, up to the crest.

    Parameters
    ----------
    depth_m : float
        Dig depth at the stake [m].
    slope : float
        Slope of the ground [m/m].
    length_m : float
        Length of the ditch along the contour [m].
    section : Section
        The cross-section.
    fill_factor : float
        Compacted volume per bank volume [-].
    step_m : float
        Greatest height between two depths [m].

    Returns
    -------
    StageStorage
        Levels count from the ditch's floor: ``level_m`` is the depth of the water [m], beside volume [m³] and plan
        area of the water [m²].

    Raises
    ------
    InputError
        If depth, length, step or fill factor isn't positive, the slope is negative, or a side is too flat to meet the
        ground.

    Examples
    --------
    >>> table = storage_by_depth(0.5, slope=0.10, step_m=0.1)
    >>> table.level_m[:4].round(2), table.volume_m3[:4].round(3)
    (array([0.  , 0.09, 0.17, 0.26]), array([0.   , 0.063, 0.149, 0.258]))
    """
    stations = _even_stations(slope, length_m, level_m=depth_m)
    return stage_storage(shape_swale(stations, depth_m, section, fill_factor=fill_factor), step_m=step_m)


def metre_of_swale(slope: float, section: Section, *, depth_m: float, fill_factor: float = 0.9) -> ShapedSwale:
    """One metre of a swale on an even slope, without ends.

    Parameters
    ----------
    slope : float
        Slope of the ground [m/m].
    section : Section
        The cross-section.
    depth_m : float
        Dig depth at the stake [m].
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    ShapedSwale
        Its volumes and areas are those of a metre of line.

    Raises
    ------
    InputError
        If depth or fill factor isn't positive or a side is too flat to meet the ground.

    Examples
    --------
    >>> round(metre_of_swale(0.1, Section(), depth_m=0.5).storage_m3, 2)
    0.9
    """
    return shape_swale(_even_stations(slope, 1.0, closed=True), depth_m, section, fill_factor=fill_factor)


def matched_spacing_m(swale: ShapedSwale, *, rain_mm: float, runoff_mm: float) -> float:
    """Horizontal distance from line to line at which a swale is just full at the end of a storm.

    Parameters
    ----------
    swale : ShapedSwale
        The swale on an even slope, of any length.
    rain_mm : float
        Rain of the storm [mm].
    runoff_mm : float
        Its runoff from the ground [mm].

    Returns
    -------
    float
        Spacing [m]; infinite where the storm brings no runoff, 0 where the swale can't hold the rain on its own strip.

    Raises
    ------
    InputError
        If a depth is negative or the runoff exceeds the rain.

    Notes
    -----
    What a metre stores, V, equals runoff · HI + (rain − runoff) · strip, because all rain counts on the strip from
    uphill lip to the middle of the crest; hence HI = (V − (rain − runoff) · strip) / runoff. The pond must not reach
    farther than the spacing, which holds where the water stands deeper than twice the runoff.

    Examples
    --------
    >>> swale = metre_of_swale(0.1, Section(), depth_m=0.5)
    >>> round(matched_spacing_m(swale, rain_mm=50.0, runoff_mm=13.8), 1)
    56.4
    """
    check_not_negative(rain_mm=rain_mm, runoff_mm=runoff_mm)
    check_ordered("runoff_mm", runoff_mm, "rain_mm", rain_mm)
    length_m = swale.stations.length_m
    kept_m3 = (rain_mm - runoff_mm) * _M_PER_MM * swale.catch_m2
    left_m3 = max(swale.storage_m3 - kept_m3, 0.0)
    if runoff_mm == 0 and left_m3 > 0:
        return float("inf")
    return left_m3 / (runoff_mm * _M_PER_MM * length_m) if runoff_mm > 0 else 0.0


def _even_stations(slope: float, length_m: float, *, level_m: float = 0.0, closed: bool = False) -> Stations:
    """A straight line on an even slope, as one station that stands for all of it."""
    check_positive(length_m=length_m)
    one = np.ones(1)
    return Stations(level_m, level_m * one, slope * one, length_m * one, _REACH_M * one, closed=closed)
