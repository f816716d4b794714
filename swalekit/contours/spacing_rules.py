"""Spacing of lines: by a published rule, by the water behind a bund, by the ground that a planted strip drains."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative, check_positive
from swalekit.errors import InputError
from swalekit.tables.spacing_rules import SpacingRule
from swalekit.units import M2_PER_HECTARE

_M_PER_MM = 0.001


def vertical_interval_m(rule: SpacingRule, slope: ArrayLike) -> NDArray[np.float64]:
    """Vertical distance from line to line that a rule gives.

    Parameters
    ----------
    rule : SpacingRule
        The rule.
    slope : array_like, shape (...)
        Slope of the ground, zero or more [m/m].

    Returns
    -------
    ndarray of float64, shape (...)
        VI = x S + y, S being the slope in percent [m].

    Raises
    ------
    InputError
        If a slope is negative or not finite.

    Notes
    -----
    Also given for slopes that the rule isn't meant for; `slope_note` tells them.

    References
    ----------
    .. [1] ASABE S268; USDA NRCS, Engineering Field Handbook, ch. 8, Terraces.

    Examples
    --------
    >>> from swalekit.tables.spacing_rules import spacing_rule
    >>> round(float(vertical_interval_m(spacing_rule("ramser"), 0.045)), 3)
    1.05
    """
    gradient = np.asarray(slope, np.float64)
    wrong = gradient[~((gradient >= 0) & np.isfinite(gradient))]
    if wrong.size:
        message = f"slope is {wrong[0]:g}; it must be finite and zero or greater"
        raise InputError(message)
    return np.asarray(rule.x_m * gradient + rule.y_m)


def horizontal_interval_m(rule: SpacingRule, slope: ArrayLike) -> NDArray[np.float64]:
    """Horizontal distance from line to line that a rule gives.

    Parameters
    ----------
    rule : SpacingRule
        The rule.
    slope : array_like, shape (...)
        Slope of the ground [m/m].

    Returns
    -------
    ndarray of float64, shape (...)
        HI = VI / slope; infinite on level ground [m].

    Raises
    ------
    InputError
        If a slope is negative or not finite.

    Examples
    --------
    >>> from swalekit.tables.spacing_rules import spacing_rule
    >>> round(float(horizontal_interval_m(spacing_rule("ramser"), 0.045)), 1)
    23.3
    """
    interval, gradient = vertical_interval_m(rule, slope), np.asarray(slope, np.float64)
    return np.divide(interval, gradient, out=np.full_like(interval, np.inf), where=gradient > 0)


def line_length_m_per_ha(spacing_m: float) -> float:
    """Length of line on a hectare of evenly spaced lines.

    Parameters
    ----------
    spacing_m : float
        Horizontal distance from line to line [m].

    Returns
    -------
    float
        Length [m/ha].

    Raises
    ------
    InputError
        If the distance isn't greater than zero.

    Examples
    --------
    >>> line_length_m_per_ha(25.0)
    400.0
    """
    check_positive(spacing_m=spacing_m)
    return M2_PER_HECTARE / spacing_m


def slope_note(rule: SpacingRule, slope: float) -> str:
    """Says that a rule isn't meant for a slope.

    Parameters
    ----------
    rule : SpacingRule
        The rule.
    slope : float
        Slope of the ground [m/m].

    Returns
    -------
    str
        A sentence without its stop; empty where the rule is meant for the slope.

    Examples
    --------
    >>> from swalekit.tables.spacing_rules import spacing_rule
    >>> slope_note(spacing_rule("ramser"), 0.12)
    "rule 'ramser' is meant for slopes up to 6 %; the ground here has 12 %"
    >>> slope_note(spacing_rule("ramser"), 0.05)
    ''
    """
    least, greatest = rule.least_slope, rule.greatest_slope
    if (least is None or slope >= least) and (greatest is None or slope <= greatest):
        return ""
    return f"rule '{rule.name}' is meant for {rule.slope_words}; the ground here has {100.0 * slope:.3g} %"


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
        Spacing h² / (2 · slope · runoff) [m].

    Raises
    ------
    InputError
        If a value isn't positive.

    Notes
    -----
    On a plane a level line that impounds the depth h holds the wedge h² / (2 · slope) a metre. No ditch is dug, and the
    bund's uphill face takes nothing away. With slope S %, runoff Re in cm and the interval VI the depth is
    √(Re · VI / 50) [1]_.

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
