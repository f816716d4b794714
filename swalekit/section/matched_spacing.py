"""Spacing at which a swale on an even slope is just full at the end of a storm."""

import numpy as np

from swalekit._checks import check_not_negative, check_ordered
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stations import Stations

_REACH_M = 100.0
"""The pond is followed no farther uphill, as on real ground."""

_M_PER_MM = 0.001


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
    one = np.ones(1)
    stations = Stations(0.0, 0.0 * one, slope * one, one, _REACH_M * one, closed=True)
    return shape_swale(stations, depth_m, section, fill_factor=fill_factor)


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
    uphill lip to crest; hence HI = (V − (rain − runoff) · strip) / runoff. The pond must not reach farther than the
    spacing, which holds where the water stands deeper than twice the runoff.

    Examples
    --------
    >>> swale = metre_of_swale(0.1, Section(), depth_m=0.5)
    >>> round(matched_spacing_m(swale, rain_mm=50.0, runoff_mm=13.8), 1)
    57.1
    """
    check_not_negative(rain_mm=rain_mm, runoff_mm=runoff_mm)
    check_ordered("runoff_mm", runoff_mm, "rain_mm", rain_mm)
    length_m = swale.stations.length_m
    kept_m3 = (rain_mm - runoff_mm) * _M_PER_MM * swale.catch_m2
    left_m3 = max(swale.storage_m3 - kept_m3, 0.0)
    if runoff_mm == 0 and left_m3 > 0:
        return float("inf")
    return left_m3 / (runoff_mm * _M_PER_MM * length_m) if runoff_mm > 0 else 0.0
