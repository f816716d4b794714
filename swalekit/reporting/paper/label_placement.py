"""Finding room for labels."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Self

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely import affinity

from swalekit.frozen import Frozen

Geometry = Any

_FRACTIONS = (0.5, 0.42, 0.58, 0.34, 0.66, 0.26, 0.74, 0.18, 0.82, 0.1, 0.9)
_OVERLAP_COST = 100.0


@dataclass(frozen=True)
class Spot:
    """A place for a label: its centre, how it is turned and what speaks against it.

    Parameters
    ----------
    x_pt, y_pt : float
        Centre of the lettering [pt].
    angle_deg : float
        Turn, counter-clockwise from level [°].
    cost : float
        Distance from the best place [-]; compared with the overlap, one label wholly covered costing 100.
    """

    x_pt: float
    y_pt: float
    angle_deg: float = 0.0
    cost: float = 0.0


@dataclass(frozen=True)
class Label:
    """Lettering in search of a place.

    Parameters
    ----------
    width_pt, height_pt : float
        Size of the lettering [pt].
    spots : sequence of Spot
        Where it could stand.
    optional : bool
        Whether it is left out rather than laid over something.
    """

    width_pt: float
    height_pt: float
    spots: Sequence[Spot]
    optional: bool = False


def place_labels(
    labels: Sequence[Label], room: Geometry, *, taken: Sequence[Geometry] = (), crossed: Sequence[Geometry] = ()
) -> list[Spot | None]:
    """Choose a spot for every label, the first ones first.

    Parameters
    ----------
    labels : sequence of Label
        Labels, the most important first.
    room : shapely polygon
        Where lettering may stand [pt].
    taken : sequence of shapely geometry
        Areas to keep free [pt].
    crossed : sequence of shapely geometry
        Lines better not covered [pt].

    Returns
    -------
    list of (Spot or None)
        The spot of every label; None for an optional one that finds no free place, or one without spots.

    Notes
    -----
    Greedy: each label takes the spot with the least sum of own cost and covered part of it. Lines count by the length
    covered over the label's width, a tenth as heavily as areas.

    Examples
    --------
    >>> spots = [Spot(10.0, 10.0), Spot(30.0, 10.0, cost=1.0)]
    >>> chosen = place_labels([Label(12.0, 5.0, spots)] * 2, shapely.box(0.0, 0.0, 40.0, 20.0))
    >>> [spot.x_pt for spot in chosen]
    [10.0, 30.0]
    """
    areas, lines = _Shapes.of(taken), _Shapes.of(crossed)
    chosen: list[Spot | None] = []
    for label in labels:
        best: tuple[float, Spot, Geometry] | None = None
        for spot in label.spots:
            box = label_box(label, spot)
            overlap = (_total(shapely.area, areas.near(box), box) + box.area - box.intersection(room).area) / box.area
            if label.optional and overlap > 0.02:
                continue
            covered = _total(shapely.length, lines.near(box), box) / label.width_pt
            cost = spot.cost + _OVERLAP_COST * overlap + _OVERLAP_COST / 10 * covered
            if best is None or cost < best[0] - 1e-9:
                best = (cost, spot, box)
        chosen.append(None if best is None else best[1])
        if best is not None:
            areas = areas.with_one(best[2])
    return chosen


def label_box(label: Label, spot: Spot) -> Geometry:
    """Outline of a label at a spot [pt].

    Parameters
    ----------
    label : Label
        The label.
    spot : Spot
        Where it stands.

    Returns
    -------
    shapely polygon
        Rectangle of the label's size, turned with the spot [pt].

    Examples
    --------
    >>> label_box(Label(12.0, 5.0, []), Spot(10.0, 10.0, 90.0)).bounds
    (7.5, 4.0, 12.5, 16.0)
    """
    half_width, half_height = label.width_pt / 2, label.height_pt / 2
    level = shapely.box(
        spot.x_pt - half_width, spot.y_pt - half_height, spot.x_pt + half_width, spot.y_pt + half_height
    )
    return affinity.rotate(level, spot.angle_deg, origin=(spot.x_pt, spot.y_pt))


def spots_along(xy_pt: NDArray[np.float64], width_pt: float) -> list[Spot]:
    """Spots on a line, turned with it and readable from below; the middle and straight stretches cost least.

    Parameters
    ----------
    xy_pt : ndarray of float64, shape (n, 2)
        The line [pt].
    width_pt : float
        Width of the lettering [pt].

    Returns
    -------
    list of Spot
        Empty when the line is shorter than the lettering.

    Examples
    --------
    >>> spots_along(np.array([[0.0, 0.0], [100.0, 0.0]]), 20.0)[0]
    Spot(x_pt=50.0, y_pt=0.0, angle_deg=0.0, cost=0.0)
    """
    line = shapely.LineString(xy_pt)
    if line.length < 1.2 * width_pt:
        return []
    spots = []
    for rank, fraction in enumerate(_FRACTIONS):
        along = np.clip(fraction * line.length, width_pt / 2, line.length - width_pt / 2)
        steps = np.linspace(along - width_pt / 2, along + width_pt / 2, 9)
        stretch = shapely.get_coordinates(shapely.line_interpolate_point(line, steps))
        (dx, dy), centre = stretch[-1] - stretch[0], stretch.mean(axis=0)
        chord = max(float(np.hypot(dx, dy)), 1e-9)
        wander = np.abs((stretch - centre) @ np.array([-dy, dx])).max() / chord
        angle = float(np.degrees(np.arctan2(dy, dx)) + 90) % 180 - 90
        cost = float(rank + 4 * wander + 40 * (1 - min(chord / width_pt, 1)))
        spots.append(Spot(float(centre[0]), float(centre[1]), angle, cost))
    return spots


def spots_around(
    box_pt: tuple[float, float, float, float], width_pt: float, height_pt: float, *, gap_pt: float = 2.5
) -> list[Spot]:
    """Spots beside a box: right and left, above and below, then the corners, near and then farther out.

    Parameters
    ----------
    box_pt : tuple of float
        West, south, east and north edge of what is named; a point has equal edges [pt].
    width_pt, height_pt : float
        Size of the lettering [pt].
    gap_pt : float
        Distance kept [pt].

    Returns
    -------
    list of Spot
        The best first.

    Examples
    --------
    >>> spots_around((0.0, 0.0, 0.0, 0.0), 20.0, 6.0, gap_pt=4.0)[0]
    Spot(x_pt=14.0, y_pt=0.0, angle_deg=0.0, cost=0)
    """
    west, south, east, north = box_pt
    x_pt, y_pt = (west + east) / 2, (south + north) / 2
    spots: list[Spot] = []
    for far in (1.0, 3.0):
        right = (width_pt + east - west) / 2 + gap_pt * far
        up = (height_pt + north - south) / 2 + gap_pt * far
        for dx, dy in ((1, 0), (-1, 0), (0, 1), (0, -1), (1, 1), (-1, 1), (1, -1), (-1, -1)):
            spots.append(Spot(x_pt + dx * right, y_pt + dy * up, 0.0, len(spots)))
    return spots


@dataclass(frozen=True, eq=False)
class _Shapes(Frozen):
    """Shapes with their bounds, so that few of many are looked at closely."""

    shapes: NDArray[np.object_]
    bounds: NDArray[np.float64]

    @classmethod
    def of(cls, shapes: Sequence[Geometry]) -> Self:
        array = np.array(shapes, dtype=object)
        return cls(array, shapely.bounds(array).reshape(-1, 4))

    def with_one(self, shape: Geometry) -> Self:
        """These taken places and one more."""
        return type(self)(np.append(self.shapes, shape), np.vstack([self.bounds, shape.bounds]))

    def near(self, box: Geometry) -> NDArray[np.object_]:
        """Those whose bounds meet those of a box."""
        west, south, east, north = box.bounds
        left, low, right, high = self.bounds.T
        return np.asarray(self.shapes[(left <= east) & (right >= west) & (low <= north) & (high >= south)])


def _total(measure: Any, shapes: NDArray[np.object_], box: Geometry) -> float:
    """Sum of area or length that shapes share with a box."""
    return float(measure(shapely.intersection(shapes, box)).sum()) if shapes.size else 0.0
