"""Spacing of lines by their water: the wedge behind a bund, and the ground that a planted strip must drain."""

from math import sqrt

from swalekit._checks import check_not_negative, check_positive

_M_PER_MM = 0.001


def wedge_depth_m(slope: float, runoff_mm: float, spacing_m: float) -> float:
    """Depth of water at a line that holds the runoff of the ground above it.

    Parameters
    ----------
    slope : float
        Slope of the ground [m/m].
    runoff_mm : float
        Runoff of the storm [mm].
    spacing_m : float
        Horizontal distance to the line above [m].

    Returns
    -------
    float
        h = √(2 · slope · runoff · spacing) [m].

    Raises
    ------
    InputError
        If slope or spacing isn't positive or the runoff is negative.

    Notes
    -----
    On a plane a level line that impounds the depth h holds the wedge h² / (2 · slope) a metre. No ditch is dug, and the
    bund's uphill face takes nothing away. With slope S %, runoff Re in cm and the interval VI this is √(Re · VI / 50)
    [1]_.

    References
    ----------
    .. [1] Directorate of Watershed and Soil Conservation, Rajasthan, IWMP Jodhpur, bund design sheet.

    Examples
    --------
    >>> round(wedge_depth_m(0.01, 350.0, 54.9), 4)
    0.6199
    """
    check_positive(slope=slope, spacing_m=spacing_m)
    check_not_negative(runoff_mm=runoff_mm)
    return sqrt(2.0 * slope * runoff_mm * _M_PER_MM * spacing_m)


def wedge_spacing_m(slope: float, runoff_mm: float, depth_m: float) -> float:
    """Horizontal distance at which lines that impound a depth of water hold the runoff between them.

    Parameters
    ----------
    slope : float
        Slope of the ground [m/m].
    runoff_mm : float
        Runoff of the storm [mm].
    depth_m : float
        Depth of water at the line [m].

    Returns
    -------
    float
        Spacing h² / (2 · slope · runoff), the inverse of `wedge_depth_m` [m].

    Raises
    ------
    InputError
        If a value isn't positive.

    References
    ----------
    .. [1] Directorate of Watershed and Soil Conservation, Rajasthan, IWMP Jodhpur, bund design sheet.

    Examples
    --------
    >>> round(wedge_spacing_m(0.05, 20.0, 0.3), 1)
    45.0
    """
    check_positive(slope=slope, runoff_mm=runoff_mm, depth_m=depth_m)
    return depth_m**2 / (2.0 * slope * runoff_mm * _M_PER_MM)


def ratio_spacing_m(ratio: float, planted_width_m: float) -> float:
    """Horizontal distance between lines with a planted strip on each.

    Parameters
    ----------
    ratio : float
        Catchment over planted area [-].
    planted_width_m : float
        Width of the planted strip [m].

    Returns
    -------
    float
        Spacing (ratio + 1) · width: catchment and strip [m].

    Raises
    ------
    InputError
        If the ratio is negative or the width isn't positive.

    References
    ----------
    .. [1] Critchley, W. & Siegert, K. (1991). Water Harvesting. FAO AGL/MISC/17/91, ch. 4.

    Examples
    --------
    >>> ratio_spacing_m(3.0, 4.0)
    16.0
    """
    check_not_negative(ratio=ratio)
    check_positive(planted_width_m=planted_width_m)
    return (ratio + 1.0) * planted_width_m
