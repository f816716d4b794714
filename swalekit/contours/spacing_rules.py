"""Spacing of lines by a published rule: interval, distance, length, and the levels that follow on real ground."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely import Geometry

from swalekit._checks import check_positive
from swalekit.contours.levels import levels_by_spacing
from swalekit.contours.spacing_ground import spacing_ground
from swalekit.errors import InputError
from swalekit.tables.spacing_rules import SpacingRule
from swalekit.terrain.terrain import Terrain
from swalekit.units import M2_PER_HECTARE


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
    """Length of line on a hectare [m/ha] at a horizontal distance from line to line [m].

    Examples
    --------
    >>> line_length_m_per_ha(25.0)
    400.0
    """
    check_positive(spacing_m=spacing_m)
    return M2_PER_HECTARE / spacing_m


def slope_note(rule: SpacingRule, slope: float) -> str:
    """Says that a rule isn't meant for a slope [m/m], '' where it is.

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


def levels_by_rule(
    terrain: Terrain, rule: SpacingRule, *, area: Geometry, start_m: float | None = None
) -> NDArray[np.float64]:
    """Levels one below the other, each an interval apart that the rule gives at the mean slope between them.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    rule : SpacingRule
        The rule.
    area : shapely geometry
        The site, in the terrain's CRS.
    start_m : float, optional
        First level [m]; one interval below the highest ground unless given.

    Returns
    -------
    ndarray of float64, shape (n_levels,)
        Levels strictly between the lowest and the highest ground, descending [m].

    Raises
    ------
    InputError
        If the area holds no ground or the start is not finite.

    Notes
    -----
    A rule is a spacing of x metres for each m/m of slope and an interval y besides; see `levels_by_spacing`.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.grid import Grid
    >>> from swalekit.tables.spacing_rules import spacing_rule
    >>> heights = np.outer(0.05 * np.arange(60.0)[::-1], np.ones(60))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((60, 60), cell_m=1.0, west_m=0.0, north_m=60.0))
    >>> levels_by_rule(terrain, spacing_rule("ramser"), area=shapely.box(0, 0, 60, 60), start_m=2.5).round(2)
    array([2.5, 1.4, 0.3])
    """
    heights, slopes = spacing_ground(terrain, area)
    return levels_by_spacing(heights, slopes, rule.x_m, base_interval_m=rule.y_m, start_m=start_m)
