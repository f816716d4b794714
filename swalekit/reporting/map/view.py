"""The stretch of ground that axes show, and its scale on paper."""

from dataclasses import dataclass
from typing import Self

import numpy as np
import shapely
from matplotlib.axes import Axes
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_positive
from swalekit.units import METRES_PER_FOOT

_POINTS_PER_M = 72 / 0.0254
"""Printer's points to a metre of paper."""

_METRIC_STEPS = (1.0, 1.5, 2.0, 2.5, 5.0, 7.5)
_FEET_TO_THE_INCH = (1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0)


@dataclass(frozen=True)
class MapView:
    """A rectangle of ground at a scale.

    Parameters
    ----------
    west_m, south_m, east_m, north_m : float
        Edges [m].
    points_per_m : float
        Printer's points on paper to a metre of ground.

    Examples
    --------
    >>> view = MapView(0.0, 0.0, 100.0, 50.0, points_per_m=72 / 25.4)
    >>> round(view.denominator), round(view.metres(10.0), 6)
    (1000, 10.0)
    """

    west_m: float
    south_m: float
    east_m: float
    north_m: float
    points_per_m: float

    @classmethod
    def of_axes(cls, axes: Axes) -> Self:
        """The view that axes hold now.

        Parameters
        ----------
        axes : Axes
            Axes in their final size, at one scale both ways.

        Returns
        -------
        MapView
            Edges are their limits.

        Examples
        --------
        >>> from matplotlib.figure import Figure
        >>> axes = Figure(figsize=(4.0, 2.0)).add_axes((0.0, 0.0, 1.0, 1.0), xlim=(0.0, 100.0), ylim=(0.0, 50.0))
        >>> round(MapView.of_axes(axes).denominator, 1)
        984.3
        """
        (west, east), (south, north) = axes.get_xlim(), axes.get_ylim()
        width_pt = axes.get_window_extent().width / axes.figure.dpi * 72
        return cls(float(west), float(south), float(east), float(north), float(width_pt / (east - west)))

    @property
    def denominator(self) -> float:
        """Ground length over paper length."""
        return _POINTS_PER_M / self.points_per_m

    @property
    def rectangle(self) -> BaseGeometry:
        """The view as a polygon [m]."""
        return shapely.box(self.west_m, self.south_m, self.east_m, self.north_m)

    def metres(self, paper_mm: float) -> float:
        """Ground length of a length on paper.

        Parameters
        ----------
        paper_mm : float
            Length on paper [mm].

        Returns
        -------
        float
            Length on the ground [m].
        """
        return paper_mm / 1000 * self.denominator

    def to_points(self, xy_m: NDArray[np.float64]) -> NDArray[np.float64]:
        """Printer's points right of and above the lower left corner.

        Parameters
        ----------
        xy_m : ndarray of float64, shape (n, 2) or (2,)
            Easting and northing [m].

        Returns
        -------
        ndarray of float64, of that shape
            Places on paper [pt].

        Examples
        --------
        >>> MapView(100.0, 0.0, 200.0, 50.0, points_per_m=2.0).to_points([110.0, 5.0])
        array([20., 10.])
        """
        return (np.asarray(xy_m, np.float64) - (self.west_m, self.south_m)) * self.points_per_m

    def to_ground(self, xy_pt: NDArray[np.float64]) -> NDArray[np.float64]:
        """Easting and northing of places on paper.

        Parameters
        ----------
        xy_pt : ndarray of float64, shape (n, 2) or (2,)
            Printer's points right of and above the lower left corner.

        Returns
        -------
        ndarray of float64, of that shape
            Easting and northing [m].

        Examples
        --------
        >>> MapView(100.0, 0.0, 200.0, 50.0, points_per_m=2.0).to_ground([20.0, 10.0])
        array([110.,   5.])
        """
        return np.asarray(xy_pt, np.float64) / self.points_per_m + (self.west_m, self.south_m)


def frame_axes(axes: Axes, bounds: tuple[float, float, float, float], *, margin: float = 0.04) -> Axes:
    """Set the limits of axes so that bounds fit with a margin, at one scale both ways.

    Parameters
    ----------
    axes : Axes
        Axes to frame.
    bounds : tuple of float
        West, south, east and north edge [m].
    margin : float
        Free part of the larger side, on each side [-].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = Figure(figsize=(4.0, 2.0)).add_axes((0.0, 0.0, 1.0, 1.0))
    >>> axes = frame_axes(axes, (0.0, 0.0, 100.0, 100.0), margin=0.1)
    >>> [float(limit) for limit in axes.get_xlim()]
    [-70.0, 170.0]
    """
    west, south, east, north = bounds
    box = axes.get_window_extent()
    pad = 2 * margin * max(east - west, north - south)
    metres_per_dot = max((east - west + pad) / box.width, (north - south + pad) / box.height)
    centre_on(axes, bounds, width_m=box.width * metres_per_dot, height_m=box.height * metres_per_dot)
    return axes


def centre_on(axes: Axes, bounds: tuple[float, float, float, float], *, width_m: float, height_m: float) -> Axes:
    """Show a stretch of ground around the middle of bounds.

    Parameters
    ----------
    axes : Axes
        The map.
    bounds : tuple of float
        West, south, east and north edge [m].
    width_m, height_m : float
        Size of the stretch [m].

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = centre_on(Figure().subplots(), (0.0, 0.0, 10.0, 10.0), width_m=40.0, height_m=20.0)
    >>> [float(limit) for limit in axes.get_xlim()]
    [-15.0, 25.0]
    """
    x, y = (bounds[0] + bounds[2]) / 2, (bounds[1] + bounds[3]) / 2
    axes.set_xlim(x - width_m / 2, x + width_m / 2)
    axes.set_ylim(y - height_m / 2, y + height_m / 2)
    return axes


def round_scale(bounds: tuple[float, float, float, float], frame_mm: tuple[float, float], *, units: str) -> int:
    """Denominator of the largest round scale at which bounds fit a frame.

    Parameters
    ----------
    bounds : tuple of float
        West, south, east and north edge, margin included [m].
    frame_mm : tuple of float
        Width and height of the frame on paper [mm].
    units : str
        ``metric``: 1:200, 250, 500, 750, 1000, 1500 and so on. ``us``: the engineer's scales, one inch to a round
        number of feet, 20, 30, 40, 50, 60, 100, 150 and so on.

    Returns
    -------
    int
        Denominator of the scale.

    Raises
    ------
    InputError
        If the bounds have no width or no height.

    Examples
    --------
    >>> round_scale((0, 0, 400, 380), (287, 255), units="metric")
    1500
    >>> round_scale((0, 0, 400, 380), (287, 255), units="us")
    1800
    """
    west, south, east, north = bounds
    check_positive(width_m=east - west, height_m=north - south)
    least = max((east - west) / frame_mm[0], (north - south) / frame_mm[1]) * 1000
    decades = 10.0 ** np.arange(1, 9)
    if units == "us":
        candidates = np.outer(decades, _FEET_TO_THE_INCH).ravel()[2:] * 12
    else:
        candidates = np.outer(decades[1:], _METRIC_STEPS).ravel()[2:]
    return int(candidates[candidates >= least * (1 - 1e-9)][0])


def scale_text(denominator: float, units: str) -> str:
    """A scale as a reader knows it.

    Parameters
    ----------
    denominator : float
        Of the scale.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        As ``1 : 500``; in US units feet to the inch first.

    Examples
    --------
    >>> scale_text(1500, "metric"), scale_text(1200, "us")
    ('1 : 1500', '1 in = 100 ft (1 : 1200)')
    """
    if units == "us":
        return f"1 in = {denominator * 0.0254 / METRES_PER_FOOT:.0f} ft (1 : {denominator:.0f})"
    return f"1 : {denominator:.0f}"
