"""Plants, reed bed and served ground on a map."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.collections import EllipseCollection
from matplotlib.lines import Line2D
from matplotlib.patches import Patch, PathPatch
from numpy.typing import NDArray

from swalekit.frozen import Frozen
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import note
from swalekit.reporting.paper.lettering import halo
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.save import hatched

_LETTER_PT, _LETTER_PT_EACH = 4.2, 2.4
_BED_SIZE = 7.0
_SIMPLE = {"pioneer": "^", "windbreak": "D"}


@dataclass(frozen=True, eq=False)
class MapSpecies(Frozen):
    """Plants of one species.

    Parameters
    ----------
    name, role : str
        Common name, and role.
    code : str
        A letter or two that stand for it.
    canopy_m : float
        Diameter of a grown canopy [m].
    xy : ndarray of float64, shape (n, 2)
        Easting and northing [m].
    """

    name: str
    role: str
    code: str
    canopy_m: float
    xy: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class MapPlanting(Frozen):
    """What a planting puts on a map.

    Parameters
    ----------
    species : tuple of MapSpecies
        The plants.
    served, bed : shapely geometry or None
        Ground that the reed bed serves by gravity, and the bed.
    pipe : ndarray of float64, shape (k, 2), or None
        Pipe from house to bed [m].
    beds, basins : tuple of shapely polygon
        Annual beds, and basins of a branched drain.
    branches : tuple of ndarray of float64, shape (2, 2)
        Its pipes from split to split and to the basins [m].
    """

    species: tuple[MapSpecies, ...] = ()
    served: Any | None = None
    bed: Any | None = None
    pipe: NDArray[np.float64] | None = None
    beds: tuple[Any, ...] = ()
    basins: tuple[Any, ...] = ()
    branches: tuple[NDArray[np.float64], ...] = ()


def species_codes(names: list[str]) -> list[str]:
    """Shortest beginnings that tell names apart, capitals first.

    Parameters
    ----------
    names : list of str
        Common names.

    Returns
    -------
    list of str
        One a name.

    Examples
    --------
    >>> species_codes(["olive", "almond", "pomegranate", "pistachio"])
    ['O', 'A', 'Po', 'Pi']
    """
    plain = ["".join(letter for letter in name if letter.isalnum()).capitalize() or "X" for name in names]
    codes = []
    for name in plain:
        others = [other for other in plain if other != name]
        lengths = [size for size in range(1, len(name) + 1) if not any(other[:size] == name[:size] for other in others)]
        codes.append(name[: lengths[0] if lengths else len(name)])
    return codes


@hatched
def draw_planting(planting: MapPlanting, axes: Axes) -> Axes:
    """Draw served ground, pipe and bed; low plants as dots, pioneers as triangles, windbreaks as diamonds, trees.

    Parameters
    ----------
    planting : MapPlanting
        What is planted, and what waters it.
    axes : Axes
        The map.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> olives = MapSpecies("olive", "fruit", "O", 5.0, np.array([[0.0, 0.0], [6.0, 0.0]]))
    >>> axes = draw_planting(MapPlanting((olives,)), Figure().subplots())
    >>> len(axes.collections[0].get_offsets())
    2
    """
    if planting.served is not None and not planting.served.is_empty:
        style: dict[str, Any] = {"facecolor": "none", "edgecolor": palette.SERVED, "linewidth": 0.7}
        axes.add_patch(PathPatch(area_path(planting.served), hatch=palette.SERVED_HATCH, zorder=4.5, **style))
    for outline in planting.beds:
        axes.add_patch(PathPatch(area_path(outline), zorder=7.6, **_ANNUAL))
    for species in planting.species:
        if species.role == "fruit":
            _draw_canopies(species, axes)
        axes.add_line(Line2D(*species.xy.T, zorder=8.4 if species.role == "fruit" else 8.2, **_plant_mark(species)))
    for outline in planting.basins:
        axes.add_patch(PathPatch(area_path(outline), zorder=8.0, **_BASIN))
    for branch in planting.branches:
        axes.add_line(Line2D(*branch.T, zorder=9.1, **_PIPE | {"linewidth": 0.9}))
    if planting.pipe is not None:
        axes.add_line(Line2D(*planting.pipe.T, zorder=9.2, **_PIPE))
    if planting.bed is not None:
        _draw_bed(planting.bed, axes)
    return axes


def _plant_mark(species: MapSpecies) -> dict[str, Any]:
    """How a plant is marked: a dot, a triangle, or the letters of a tree."""
    mark: dict[str, Any] = {"linestyle": "none", "markeredgecolor": palette.INK, "markerfacecolor": palette.PIONEER}
    if species.role == "ground cover":
        return mark | {
            "marker": ".",
            "markersize": 1.6,
            "markeredgewidth": 0.0,
            "markerfacecolor": palette.GROUND_COVER,
        }
    if species.role in _SIMPLE:
        return mark | {"marker": _SIMPLE[species.role], "markersize": 3.2, "markeredgewidth": 0.4}
    size = _LETTER_PT + _LETTER_PT_EACH * (len(species.code) - 1)
    letters = f"$\\mathbf{{{species.code}}}$"
    return mark | {"marker": letters, "markersize": size, "markeredgewidth": 0.0, "markerfacecolor": palette.INK}


def planting_entries(planting: MapPlanting | None) -> list[tuple[str, Any]]:
    """Words and sample of every kind of plant, the bed and its ground, for the legend.

    Parameters
    ----------
    planting : MapPlanting or None
        What is planted, and what waters it.

    Returns
    -------
    list of (str, matplotlib handle)
        In reading order; empty without a planting.

    Examples
    --------
    >>> olives = MapSpecies("olive", "fruit", "O", 5.0, np.array([[0.0, 0.0], [6.0, 0.0]]))
    >>> [words for words, sample in planting_entries(MapPlanting((olives,), pipe=np.zeros((2, 2))))]
    ['Olive (2)', 'Greywater pipe']
    """
    if planting is None:
        return []
    canopy = Line2D([], [], linestyle="none", marker="o", markersize=9.0, markeredgewidth=0.6, **_CANOPY)
    entries: list[tuple[str, Any]] = []
    for role in ("fruit", *_SIMPLE, "ground cover"):
        for species in (species for species in planting.species if species.role == role):
            if role == "fruit":
                letters = Line2D([], [], **_plant_mark(species))
                entries.append((f"{species.name.capitalize()} ({len(species.xy):,})", Over(canopy, letters)))
        others = [species for species in planting.species if species.role == role != "fruit"]
        if others:
            count = f" ({sum(len(species.xy) for species in others):,})" if role in _SIMPLE else ""
            sample = Line2D([], [], **_plant_mark(others[0]) | {"markersize": 4.0})
            entries.append((role.capitalize() + count, sample))
    if planting.beds:
        entries.append((f"Annual bed ({len(planting.beds):,})", Patch(**_ANNUAL)))
    if planting.bed is not None:
        mark: dict[str, Any] = {
            "marker": "s",
            "markersize": _BED_SIZE,
            "markerfacecolor": palette.BED,
            "markeredgecolor": palette.INK,
        }
        entries.append(("Reed bed", Line2D([], [], linestyle="none", **mark)))
    if planting.basins:
        entries.append((f"Mulch basin ({len(planting.basins):,})", Patch(**_BASIN)))
    if planting.pipe is not None:
        entries.append(("Greywater pipe", Line2D([], [], **_PIPE)))
    if planting.served is not None and not planting.served.is_empty:
        entries.append(
            ("Served by the bed", Patch(facecolor="none", edgecolor=palette.SERVED, hatch=palette.SERVED_HATCH))
        )
    return entries


class Over(tuple[Any, ...]):
    """Samples that the legend draws over each other."""

    def __new__(cls, *samples: Any) -> "Over":
        """Keep the samples in the order in which they are drawn."""
        return super().__new__(cls, samples)


_CANOPY: dict[str, Any] = {"markerfacecolor": palette.CANOPY, "markeredgecolor": palette.CANOPY_EDGE}
_ANNUAL: dict[str, Any] = {"facecolor": palette.ANNUAL_BED, "edgecolor": palette.INK, "linewidth": 0.35}
_BASIN: dict[str, Any] = {"facecolor": palette.BED, "edgecolor": palette.INK, "linewidth": 0.6}
_PIPE: dict[str, Any] = {
    "color": palette.INK,
    "linewidth": 1.3,
    "linestyle": palette.PIPE_DASH,
    "path_effects": halo(2.8),
}


def _draw_canopies(species: MapSpecies, axes: Axes) -> None:
    """Grown canopies in their true size."""
    width = np.full(len(species.xy), species.canopy_m)
    style: dict[str, Any] = {
        "facecolors": palette.CANOPY, "edgecolors": palette.CANOPY_EDGE, "linewidths": 0.5, "alpha": 0.85,
        "zorder": 7.8,
    }  # fmt: skip
    ellipses = EllipseCollection(
        width, width, np.zeros(len(width)), units="xy", offsets=species.xy, offset_transform=axes.transData, **style
    )
    axes.add_collection(ellipses, autolim=False)


def _draw_bed(bed: Any, axes: Axes) -> None:
    """The bed in its true size, a mark that is seen at any scale, and its name."""
    style: dict[str, Any] = {"facecolor": palette.BED, "edgecolor": palette.INK, "linewidth": 0.8, "zorder": 9.3}
    axes.add_patch(PathPatch(area_path(bed), **style))
    x, y = bed.centroid.x, bed.centroid.y
    mark: dict[str, Any] = {"markerfacecolor": palette.BED, "markeredgecolor": palette.INK, "markeredgewidth": 1.0}
    axes.add_line(Line2D([x], [y], linestyle="none", marker="s", markersize=_BED_SIZE, zorder=9.4, **mark))
    note(axes, "Reed bed", (x, y), (-5, 4), 7.5, weight="bold", zorder=12)
