"""Polylines as arrays of vertices: chainage, points along the way, stretches, even steps.

A path is an array of vertices, shape (n, 2) [m], in which a closed line repeats its first vertex at the end.
"""

import math

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.errors import InputError

Polyline = NDArray[np.float64]


def checked_path(line_xy: ArrayLike) -> Polyline:
    """Vertices of a line from outside [m] as a path.

    Parameters
    ----------
    line_xy : array_like, shape (n, 2)
        Easting and northing of two or more vertices [m].

    Returns
    -------
    ndarray of float64, shape (n, 2)

    Raises
    ------
    InputError
        If it has another shape or a number isn't finite.

    Examples
    --------
    >>> checked_path([(0, 0), (3, 4)])
    array([[0., 0.],
           [3., 4.]])
    """
    path = np.asarray(line_xy, np.float64)
    if path.ndim != 2 or path.shape[1] != 2 or len(path) < 2 or not np.isfinite(path).all():
        message = (
            f"a line of the shape {path.shape} can't run; give two or more vertices, a finite easting and northing each"
        )
        raise InputError(message)
    return path


def path_of(xy: NDArray[np.float64], *, closed: bool) -> Polyline:
    """Vertices of a line as a path.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Easting and northing of the vertices [m].
    closed : bool
        Whether the last is joined to the first.

    Returns
    -------
    ndarray of float64, shape (n, 2) or (n + 1, 2)
        The vertices; a closed line's first is repeated at the end.

    Examples
    --------
    >>> path_of(np.array([[0.0, 0.0], [3.0, 0.0], [3.0, 4.0]]), closed=True)[-1]
    array([0., 0.])
    """
    return np.vstack([xy, xy[:1]]) if closed else xy


def chainages(path: Polyline) -> NDArray[np.float64]:
    """Distance walked from the first vertex to each vertex.

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        Vertices [m].

    Returns
    -------
    ndarray of float64, shape (n,)
        Distance [m].

    Examples
    --------
    >>> chainages(np.array([[0.0, 0.0], [3.0, 4.0], [3.0, 5.0]]))
    array([0., 5., 6.])
    """
    return np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(path, axis=0).T))])


def points_at(path: Polyline, chainage_m: ArrayLike) -> Polyline:
    """Points at given distances along a path.

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        Vertices [m].
    chainage_m : array_like, shape (k,)
        Distance from the first vertex [m]; before it and beyond the last one the end itself is given.

    Returns
    -------
    ndarray of float64, shape (k, 2)
        Easting and northing [m].

    Examples
    --------
    >>> points_at(np.array([[0.0, 0.0], [10.0, 0.0]]), [2.5, 10.0])
    array([[ 2.5,  0. ],
           [10. ,  0. ]])
    """
    return _points_at(path, chainages(path), chainage_m)


def stretch(path: Polyline, start_m: float, stop_m: float) -> Polyline:
    """Part of a path between two chainages [m].

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        The path [m].
    start_m, stop_m : float
        Chainages [m]; on a closed path ``stop_m`` may pass the end by less than one round.

    Returns
    -------
    ndarray of float64, shape (k, 2)
        The part with its two end points [m].

    Examples
    --------
    >>> stretch(np.array([[0.0, 0.0], [4.0, 0.0], [4.0, 4.0]]), 3.0, 6.0)
    array([[3., 0.],
           [4., 0.],
           [4., 2.]])
    """
    walked = chainages(path)
    if stop_m > walked[-1] and np.array_equal(path[0], path[-1]):
        path, walked = np.vstack([path, path[1:]]), np.concatenate([walked, walked[1:] + walked[-1]])
    ends = _points_at(path, walked, [start_m, stop_m])
    inner = path[(walked > start_m) & (walked < stop_m)]
    return np.vstack([ends[:1], inner, ends[1:]])


def even_steps(path: Polyline, *, step_m: float, least_steps: int = 1) -> Polyline:
    """A path with vertices at even chainage, both ends included.

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        The path [m].
    step_m : float
        Greatest distance between vertices [m].
    least_steps : int
        Steps taken however short the path.

    Returns
    -------
    ndarray of float64, shape (k, 2)
        Points on the path [m].

    Examples
    --------
    >>> even_steps(np.array([[0.0, 0.0], [5.0, 0.0]]), step_m=2.0)[:, 0]
    array([0.        , 1.66666667, 3.33333333, 5.        ])
    """
    walked = chainages(path)
    steps = max(math.ceil(walked[-1] / step_m - 1e-9), least_steps)
    return _points_at(path, walked, np.linspace(0.0, walked[-1], steps + 1))


def right_hand(path: NDArray[np.float64], *, closed: bool) -> NDArray[np.float64]:
    """Unit vectors to the right of a path at its vertices.

    Parameters
    ----------
    path : ndarray of float64, shape (n, 2)
        Vertices [m]; a closed path repeats its first vertex.
    closed : bool
        Whether the path is a ring.

    Returns
    -------
    ndarray of float64, shape (n, 2)
        At right angles to the chord between the vertices before and after.

    Examples
    --------
    >>> right_hand(np.array([[0.0, 0.0], [0.0, 5.0]]), closed=False)
    array([[ 1., -0.],
           [ 1., -0.]])
    """
    around = [path[-2:-1], path, path[1:2]] if closed else [path[:1], path, path[-1:]]
    padded = np.vstack(around)
    chord = padded[2:] - padded[:-2]
    right = np.column_stack([chord[:, 1], -chord[:, 0]])
    unit: NDArray[np.float64] = right / np.maximum(np.hypot(*right.T), np.finfo(np.float64).tiny)[:, None]
    return unit


def _points_at(path: Polyline, walked: NDArray[np.float64], chainage_m: ArrayLike) -> Polyline:
    return np.column_stack([np.interp(np.asarray(chainage_m), walked, path[:, axis]) for axis in (0, 1)])
