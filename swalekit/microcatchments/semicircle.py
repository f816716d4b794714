"""Measures of a semi-circular bund: its tips on one level, its bow downhill of them."""

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.tables.microcatchments import SemiCircularRow, microcatchment_rule


def published_height_m(row: SemiCircularRow) -> float:
    """Height of the bund that a published volume means.

    Parameters
    ----------
    row : SemiCircularRow
        A published size.

    Returns
    -------
    float
        Height that gives its volume over its length with a top of 10 cm and sides of 1 : 1 [m].

    Examples
    --------
    >>> from swalekit.tables.microcatchments import semi_circular_sizes
    >>> [round(published_height_m(row), 2) for row in semi_circular_sizes()]
    [0.31, 0.6, 0.6]
    """
    top, side = _rule("bund top"), _rule("bund side slope")
    section = row.earthwork_m3 / row.length_m
    return float((np.sqrt(top**2 + 4.0 * side * section) - top) / (2.0 * side))


def semi_circular_height_m(row: SemiCircularRow, slope: ArrayLike) -> NDArray[np.float64]:
    """Height of the bund on a slope.

    Parameters
    ----------
    row : SemiCircularRow
        A published size.
    slope : array_like
        Fall of the ground [m/m].

    Returns
    -------
    ndarray of float64
        The published height, or 20 cm above the deepest water, radius · slope, where that is more [m].

    Examples
    --------
    >>> from swalekit.tables.microcatchments import semi_circular_sizes
    >>> semi_circular_height_m(semi_circular_sizes()[1], [0.02, 0.06]).round(2).tolist()
    [0.6, 0.8]
    """
    wanted = row.radius_m * np.asarray(slope, np.float64) + _rule("freeboard")
    return np.maximum(published_height_m(row), wanted)


def steepest_slope(row: SemiCircularRow) -> float:
    """Steepest ground on which the bund is no higher than common practice builds without an engineer.

    Parameters
    ----------
    row : SemiCircularRow
        A published size.

    Returns
    -------
    float
        Fall of the ground [m/m].

    Examples
    --------
    >>> from swalekit.tables.microcatchments import semi_circular_sizes
    >>> [round(steepest_slope(row), 3) for row in semi_circular_sizes()]
    [0.133, 0.08, 0.04]
    """
    return (_rule("greatest bund") - _rule("freeboard")) / row.radius_m


def semi_circular_m3(radius_m: ArrayLike, height_m: ArrayLike) -> NDArray[np.float64]:
    """Soil in a bund of one height all along.

    Parameters
    ----------
    radius_m, height_m : array_like
        Radius, and height above the ground [m].

    Returns
    -------
    ndarray of float64
        Volume [m³].

    Notes
    -----
    π r · h (0.10 + h). The manual lets the bund fall to 10 cm at its tips; its volumes are those of one section all
    along, which is counted here.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, semi-circular bunds; from memory.

    Examples
    --------
    >>> from swalekit.tables.microcatchments import semi_circular_sizes
    >>> [round(float(semi_circular_m3(row.radius_m, published_height_m(row))), 1) for row in semi_circular_sizes()]
    [2.4, 13.4, 26.3]
    """
    height = np.asarray(height_m, np.float64)
    return np.pi * np.asarray(radius_m, np.float64) * height * (_rule("bund top") + _rule("bund side slope") * height)


def half_base_m(height_m: float) -> float:
    """Half the width of the bund at the ground.

    Parameters
    ----------
    height_m : float
        Height above the ground [m].

    Returns
    -------
    float
        From its middle line to its toe [m].

    Examples
    --------
    >>> round(half_base_m(0.6), 2)
    0.65
    """
    return _rule("bund top") / 2.0 + _rule("bund side slope") * height_m


def half_disc_water_m3(radius_m: ArrayLike, slope: ArrayLike) -> NDArray[np.float64]:
    """Water behind a bund on an even slope when it runs over at its tips.

    Parameters
    ----------
    radius_m : array_like
        Radius [m].
    slope : array_like
        Fall of the ground [m/m].

    Returns
    -------
    ndarray of float64
        Volume [m³]; the deepest of it, at the bow, stands radius · slope deep.

    Notes
    -----
    V = (2/3) r³ s. Geometry.

    Examples
    --------
    >>> [round(float(half_disc_water_m3(*given)), 2) for given in ((6.0, 0.01), (20.0, 0.02))]
    [1.44, 106.67]
    """
    return 2.0 / 3.0 * np.asarray(radius_m, np.float64) ** 3 * np.asarray(slope, np.float64)


def row_pitch_m(row: SemiCircularRow) -> float:
    """Distance from the tips of a row of bunds to those of the next, which gives the published catchment.

    Parameters
    ----------
    row : SemiCircularRow
        A published size.

    Returns
    -------
    float
        Downhill [m].

    Examples
    --------
    >>> from swalekit.tables.microcatchments import semi_circular_sizes
    >>> [round(row_pitch_m(row), 1) for row in semi_circular_sizes()]
    [9.0, 25.1, 50.3]
    """
    return (1.0 + row.catchment_ratio) * np.pi * row.radius_m**2 / 2.0 / tip_pitch_m(row)


def tip_pitch_m(row: SemiCircularRow) -> float:
    """Distance from bund to bund along a row.

    Parameters
    ----------
    row : SemiCircularRow
        A published size.

    Returns
    -------
    float
        Two radii and the gap between the tips [m].

    Examples
    --------
    >>> from swalekit.tables.microcatchments import semi_circular_sizes
    >>> [tip_pitch_m(row) for row in semi_circular_sizes()]
    [15.0, 25.0, 50.0]
    """
    return (2.0 + _rule("tip gap")) * row.radius_m


def _rule(name: str) -> float:
    return microcatchment_rule(f"semi-circular {name}").value
