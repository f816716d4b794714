"""Which levels to trace: by a vertical interval, by a horizontal spacing on the ground of a site, or as given."""

import numpy as np
from numpy.typing import ArrayLike, NDArray
from shapely import Geometry

from swalekit._checks import check_finite, check_not_negative, check_ordered, check_positive, check_same_shape
from swalekit.errors import GeometryError, InputError
from swalekit.terrain.coarsen import coarsen
from swalekit.terrain.slope import slope
from swalekit.terrain.terrain import Terrain, cells_within

_GROUPS = 1000
"""Greatest number of height groups that the ground is divided into to find levels by spacing."""

SPACING_CELL_M = 3.0
"""Spacing is judged on ground averaged to about this cell, so that roughness does not count as slope."""


def levels_by_interval(
    highest_m: float, lowest_m: float, interval_m: float, *, start_m: float | None = None
) -> NDArray[np.float64]:
    """Levels at an even vertical interval, from the top down.

    Parameters
    ----------
    highest_m, lowest_m : float
        Highest and lowest ground of the site [m].
    interval_m : float
        Vertical distance from level to level [m].
    start_m : float, optional
        First level [m]; one interval below the highest ground unless given.

    Returns
    -------
    ndarray of float64, shape (n_levels,)
        Levels strictly between the lowest and the highest ground, descending [m]; none if the interval exceeds the
        relief.

    Raises
    ------
    InputError
        If a value is not finite, the interval not positive or the ground upside down.

    Examples
    --------
    >>> levels_by_interval(105.0, 100.0, 1.5)
    array([103.5, 102. , 100.5])
    """
    check_positive(interval_m=interval_m)
    check_ordered("lowest_m", lowest_m, "highest_m", highest_m)
    start = highest_m - interval_m if start_m is None else start_m
    check_finite(start_m=start)
    count = max(int((start - lowest_m) / interval_m) + 1, 0)
    levels = start - interval_m * np.arange(count, dtype=np.float64)
    return levels[(levels > lowest_m) & (levels < highest_m)]


def levels_by_spacing(
    heights: ArrayLike,
    slope: ArrayLike,
    spacing_m: float,
    *,
    base_interval_m: float = 0.0,
    start_m: float | None = None,
) -> NDArray[np.float64]:
    """Levels whose lines lie a given mean horizontal distance apart on this ground, from the top down.

    Parameters
    ----------
    heights : array_like, shape (n_cells,)
        Ground heights of the site's cells [m].
    slope : array_like, shape (n_cells,)
        Slope of the same cells [m/m].
    spacing_m : float
        Mean horizontal distance from each level to the next [m].
    base_interval_m : float
        Vertical interval that comes on top of slope × spacing, as in rules of the form VI = x S + y [m].
    start_m : float, optional
        First level [m]; one spacing below the highest ground unless given.

    Returns
    -------
    ndarray of float64, shape (n_levels,)
        Levels strictly between the lowest and the highest ground, descending [m].

    Raises
    ------
    InputError
        If the arrays differ in shape, hold no cell or a value that is not finite, the spacing is not positive, or the
        base interval negative.

    Notes
    -----
    Contour length C in a band of area A and height I gives its mean slope, Y = C·I/A [1]_; with I going to zero C·I
    becomes ∫|∇z| dA (the co-area identity). Hence two levels a > b lie A (a − b) / ∫|∇z| dA apart on average, both
    taken over the band between them. Cells are sorted by height once; each next level is the first at which that
    distance reaches the spacing. On a plane it is slope × spacing below the last. A base interval is added to mean
    slope × spacing. The ground is read in up to 1000 groups of equal area, so a spacing that spans less than a group
    has no meaning.

    References
    ----------
    .. [1] USDA NRCS (2010). National Engineering Handbook, Part 630, Chapter 15, Time of Concentration, eq. 15-6.

    Examples
    --------
    >>> heights = np.linspace(100.0, 110.0, 5001)
    >>> levels_by_spacing(heights, np.full(5001, 0.1), 30.0)
    array([107., 104., 101.])
    """
    check_positive(spacing_m=spacing_m)
    check_not_negative(base_interval_m=base_interval_m)
    z, steepness = np.asarray(heights, np.float64), np.asarray(slope, np.float64)
    check_same_shape(heights=z, slope=steepness)
    if z.size == 0 or not (np.isfinite(z).all() and np.isfinite(steepness).all()):
        message = (
            f"the site has {z.size} cells, {int(np.isnan(z).sum())} void; give the heights and slopes of valid cells"
        )
        raise InputError(message)
    group_m, area, fall = _hypsometry(z, steepness)
    levels: list[float] = []
    last = float(group_m[0])
    if start_m is not None:
        check_finite(start_m=start_m)
        levels, last = [start_m], min(start_m, last)
    while (below := _next_level(last, spacing_m, base_interval_m, group_m, area, fall)) is not None:
        levels.append(below)
        last = below
    return np.array([level for level in levels if group_m[-1] < level < group_m[0]], np.float64)


def check_levels(levels_m: ArrayLike) -> NDArray[np.float64]:
    """Levels given one by one, checked and put in descending order.

    Parameters
    ----------
    levels_m : array_like of float, shape (n_levels,)
        Levels [m].

    Returns
    -------
    ndarray of float64, shape (n_levels,)
        The same levels, descending [m].

    Raises
    ------
    InputError
        If a level is not finite or occurs twice.

    Examples
    --------
    >>> check_levels([101.0, 103.0])
    array([103., 101.])
    """
    levels = np.asarray(levels_m, np.float64).ravel()
    check_finite(**{f"levels_m[{place}]": level for place, level in enumerate(levels.tolist())})
    unique, count = np.unique(levels, return_counts=True)
    if (count > 1).any():
        message = f"level {unique[count > 1][0]:g} m is listed {count.max()} times; list every level once"
        raise InputError(message)
    descending: NDArray[np.float64] = unique[::-1]
    return descending


def _hypsometry(
    heights: NDArray[np.float64], slope: NDArray[np.float64]
) -> tuple[NDArray[np.float64], NDArray[np.float64], NDArray[np.float64]]:
    """Heights from the top down, and above each the area and the integral of the slope, both in cells."""
    descending = np.argsort(-heights, kind="stable")
    place = np.unique(np.linspace(0, heights.size - 1, _GROUPS + 1).astype(np.intp))
    area, fall = (place + 1).astype(np.float64), np.cumsum(slope[descending])[place]
    return heights[descending[place]], area, fall


def _next_level(
    level_m: float,
    spacing_m: float,
    base_interval_m: float,
    group_m: NDArray[np.float64],
    area: NDArray[np.float64],
    fall: NDArray[np.float64],
) -> float | None:
    """First level below one that lies spacing and base interval away, none if the ground ends before."""
    below = group_m < level_m
    band_area = area[below] - np.interp(-level_m, -group_m, area)
    band_fall = fall[below] - np.interp(-level_m, -group_m, fall)
    drop_m = level_m - group_m[below] - base_interval_m
    reached = (band_fall > 0) & (drop_m * band_area >= spacing_m * band_fall)
    if not reached.any():
        return None
    first = int(np.argmax(reached))
    return float(level_m - base_interval_m - spacing_m * band_fall[first] / band_area[first])


def spacing_ground(
    terrain: Terrain, area: Geometry, *, slopes: tuple[float, float] = (0.0, np.inf)
) -> tuple[NDArray[np.float32], NDArray[np.float32]]:
    """Heights and slopes of an area, without the roughness of the ground.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    area : shapely geometry
        The site, in the terrain's CRS.
    slopes : tuple of float
        Gentlest and steepest ground that counts [m/m]; where there is none between them, all of the area counts.

    Returns
    -------
    heights, slope : ndarray of float32, shape (n_cells,)
        Height [m] and slope [m/m] of every cell of about 3 m whose centre lies in the area.

    Raises
    ------
    GeometryError
        If there is no such cell.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.grid import Grid
    >>> heights = np.outer(0.1 * np.arange(30.0)[::-1], np.ones(40))  # falls southward
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((30, 40), cell_m=1.0, west_m=0.0, north_m=30.0))
    >>> heights_m, slopes = spacing_ground(terrain, shapely.box(0, 0, 40, 30))
    >>> round(float(slopes.mean()), 3)
    0.1
    """
    coarse = coarsen(terrain, max(1, round(SPACING_CELL_M / terrain.grid.cell_m)))
    inside = cells_within(coarse.grid, area) & coarse.valid
    if not inside.any():
        message = (
            f"the site is too narrow to judge a spacing: none of the ground's cells of {coarse.grid.cell_m:g} m has "
            "its middle in it; give interval_m or levels_m, or a larger boundary"
        )
        raise GeometryError(message)
    heights, steepness = coarse.heights[inside], slope(coarse)[inside]
    counting = (steepness >= slopes[0]) & (steepness <= slopes[1])
    return (heights[counting], steepness[counting]) if counting.any() else (heights, steepness)
