"""Microcatchments on a map."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import LineCollection, PolyCollection
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, PathPatch
from numpy.typing import NDArray

from swalekit.frozen import Frozen
from swalekit.reporting.map.unit_sketch import UnitShape
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.outlines import area_path

_LEAST_MM, _LARGE_MM = 0.9, 3.0
"""Width of a unit on paper up to which its bund is drawn finest, without a tree, and from which it is drawn strong."""


@dataclass(frozen=True, eq=False)
class MapBunds(Frozen):
    """What microcatchments put on a map.

    Parameters
    ----------
    words : str
        Kind, size and number, for the legend.
    size_m : float
        Least width of a unit [m].
    outlines : tuple of ndarray of float64, shape (k, 2)
        Ground that each unit encloses [m].
    bunds : tuple of ndarray of float64, shape (k, 2)
        Middle line of each one's bund [m].
    trees : ndarray of float64, shape (n, 2)
        Places of the trees [m].
    names : tuple of (str, tuple of float)
        Names of the blocks, the larger first, and their places [m].
    asked : shapely geometry or None
        Ground asked for, where it isn't the whole site.
    shape : UnitShape or None
        A usual unit, drawn on the sheet where there is room.
    """

    words: str
    size_m: float
    outlines: tuple[NDArray[np.float64], ...] = ()
    bunds: tuple[NDArray[np.float64], ...] = ()
    trees: NDArray[np.float64] = field(default_factory=lambda: np.empty((0, 2)))
    names: tuple[tuple[str, tuple[float, float]], ...] = ()
    asked: Any | None = None
    shape: UnitShape | None = None


def draw_bunds(bunds: MapBunds, view: MapView, axes: Axes) -> Axes:
    """Draw the ground of the units, their bunds, the trees, and the ground asked for.

    Parameters
    ----------
    bunds : MapBunds
        What is laid.
    view : MapView
        What the axes show, for the size of a unit on paper.
    axes : Axes
        The map.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> square = np.array([[10.0, 0.0], [5.0, 5.0], [10.0, 10.0], [15.0, 5.0]])
    >>> laid = MapBunds("Negarim of 7 m (1)", 7.0, (square,), (square,), np.array([[10.0, 1.0]]))
    >>> axes = draw_bunds(laid, MapView(0.0, 0.0, 20.0, 20.0, points_per_m=10.0), Figure().subplots())
    >>> [len(layer.get_paths()) for layer in axes.collections]
    [1, 1]
    """
    if bunds.asked is not None:
        axes.add_patch(PathPatch(area_path(bunds.asked), fill=False, zorder=7.2, **_ASKED))
    on_paper_mm = bunds.size_m / view.metres(1.0)
    if not bunds.outlines:
        return axes
    axes.add_collection(PolyCollection(list(bunds.outlines), facecolors=palette.BUND_FACE, alpha=0.55, linewidths=0.0,
                                       zorder=7.3), autolim=False)  # fmt: skip
    width = float(np.interp(on_paper_mm, [_LEAST_MM, _LARGE_MM], [0.25, 0.9]))
    style: dict[str, Any] = {"colors": palette.BUND, "linewidths": width, "zorder": 7.4}
    axes.add_collection(LineCollection(list(bunds.bunds), **style), autolim=False)
    marker = float(np.interp(on_paper_mm, [_LEAST_MM, _LARGE_MM], [0.0, 2.4]))
    if marker > 0.4:
        axes.add_line(Line2D(*bunds.trees.T, zorder=7.5, **_tree(marker)))
    return axes


def bund_entries(bunds: MapBunds | None) -> list[tuple[str, Any]]:
    """Words and sample of units, trees and the ground asked for, for the legend.

    Parameters
    ----------
    bunds : MapBunds or None
        What is laid.

    Returns
    -------
    list of (str, matplotlib handle)
        Empty without any.

    Examples
    --------
    >>> bund_entries(MapBunds("Negarim", 7.0)), bund_entries(None)
    ([], [])
    """
    if bunds is None:
        return []
    entries: list[tuple[str, Any]] = []
    if bunds.outlines:
        entries.append((bunds.words, Patch(facecolor=palette.BUND_FACE, edgecolor=palette.BUND, linewidth=0.8)))
        entries.append((f"Tree ({len(bunds.trees):,})", Line2D([], [], **_tree(3.0))))
    if bunds.asked is not None:
        entries.append(("Ground asked for", Patch(fill=False, **_ASKED)))
    return entries


_ASKED: dict[str, Any] = {"edgecolor": palette.BUND, "linewidth": 1.0, "linestyle": palette.REFUSED_DASH}


def _tree(size_pt: float) -> dict[str, Any]:
    style: dict[str, Any] = {"linestyle": "none", "marker": "o", "markersize": size_pt, "markeredgewidth": 0.0}
    return style | {"markerfacecolor": palette.CANOPY_EDGE}
