"""A whole survey against the whole layout, and the storms that stores hold as built."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_same_shape
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import held_storm_mm
from swalekit.hydrology.routing.stores import Stores
from swalekit.section.laid_swale import LaidSwale
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.verification.as_built import AsBuilt, SurveyRules
from swalekit.verification.assignment import UnmatchedPoint, assign_points
from swalekit.verification.swale_check import check_swale

_OTHER_DATUM_M = 3.0
"""No crew digs a whole layout so much too high or too low (common practice): the heights mean something else."""


@one_line("swales", "unmatched")
@dataclass(frozen=True, eq=False)
class SurveyCheck:
    """What a survey says of a layout.

    Parameters
    ----------
    swales : tuple of AsBuilt
        Every swale of the layout, in its order, surveyed or not.
    unmatched : tuple of UnmatchedPoint
        Points that were not used, each with the reason.
    rules : SurveyRules
        What was judged by.
    """

    swales: tuple[AsBuilt, ...]
    unmatched: tuple[UnmatchedPoint, ...]
    rules: SurveyRules


def check_survey(points: SurveyPoints, swales: Sequence[LaidSwale], *, rules: SurveyRules | None = None) -> SurveyCheck:
    """Judge what was built by the points that were surveyed on it.

    Parameters
    ----------
    points : SurveyPoints
        What was surveyed.
    swales : sequence of LaidSwale
        What was designed.
    rules : SurveyRules, optional
        Tolerances and distances; those of common practice unless given.

    Returns
    -------
    SurveyCheck
        A verdict on each swale, and the points that belong to none.

    Raises
    ------
    InputError
        If there is no swale, two have one name, the points lie on the site only when they are read in another order
        or unit, or their heights are of another datum or unit than those of the design.

    Examples
    --------
    >>> from swalekit.contours import LevelLine
    >>> from swalekit.section import Section, ShapedSwale, Stations
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> swale = LaidSwale("S1", 1, line, shape, sill_chainage_m=15.0, sill_length_m=4.0)
    >>> floor = SurveyPoints(np.arange(2), np.array([0.0, 20.0]), np.zeros(2), np.full(2, 9.4), ("S1 floor",) * 2)
    >>> [built] = check_survey(floor, [swale]).swales
    >>> [(spot.part, spot.kind, round(spot.greatest_m, 3)) for spot in built.spots]
    [('floor', 'low', 0.1)]
    """
    rules = rules or SurveyRules()
    assigned = assign_points(points, swales, rules=rules)
    order = np.argsort(assigned.swale, kind="stable")
    bounds = np.searchsorted(assigned.swale[order], np.arange(len(swales) + 1))
    judged = []
    for place, design in enumerate(swales):
        rows = order[bounds[place] : bounds[place + 1]]
        judged.append(
            check_swale(design, assigned.chainage_m[rows], points.height_m[rows], assigned.part[rows], rules=rules)
        )
    _check_heights(judged)
    return SurveyCheck(tuple(judged), assigned.unmatched, rules)


def _check_heights(judged: Sequence[AsBuilt]) -> None:
    """Check that the heights are of the design's datum and unit."""
    departures = [part.departure_m for built in judged for part in built.parts.values()]
    middle_m = float(np.median(np.concatenate(departures))) if any(departure.size for departure in departures) else 0.0
    if abs(middle_m) > _OTHER_DATUM_M:
        message = (
            f"half of the surveyed heights lie {abs(middle_m):.2f} m or more {'above' if middle_m > 0 else 'below'} "
            "the design; check their unit and their datum, and level the benchmark"
        )
        raise InputError(message)


@one_line("designed_mm", "built_mm")
@dataclass(frozen=True, eq=False)
class HeldStorms(Frozen):
    """Deepest storm that each store holds without spilling, with everything above it acting.

    Parameters
    ----------
    designed_mm, built_mm : ndarray of float64, shape (n,)
        With the capacities as designed and as built [mm].
    assumed : ndarray of bool, shape (n,)
        Where the figure as built rests on the capacity as designed of this store or one above.
    """

    designed_mm: NDArray[np.float64]
    built_mm: NDArray[np.float64]
    assumed: NDArray[np.bool_]


def held_storms(
    stores: Stores, designed_m3: NDArray[np.float64], built_m3: NDArray[np.float64], soil: Soil
) -> HeldStorms:
    """Held storms of all stores as designed and as built.

    Parameters
    ----------
    stores : Stores
        The graph with its ground.
    designed_m3, built_m3 : ndarray of float64, shape (n,)
        What each store holds as designed and as built; NaN where that isn't known, as of a swale not surveyed, and the
        capacity as designed is taken [m³].
    soil : Soil
        The loss method.

    Returns
    -------
    HeldStorms
        Deepest storm that each store holds without spilling, as designed and as built [mm], and which of them rest on a
        capacity that wasn't surveyed.

    Raises
    ------
    InputError
        If the capacities differ in number.

    Examples
    --------
    >>> from swalekit.hydrology.losses.curve_number import CurveNumberLoss
    >>> stores = Stores(np.array([[1000.0]]), np.zeros(1), np.array([-1], np.int32))
    >>> held = held_storms(stores, np.array([13.8]), np.array([10.0]), Soil((CurveNumberLoss(80.0),)))
    >>> held.designed_mm.round(1), held.built_mm.round(1)
    (array([50.]), array([43.4]))
    """
    check_same_shape(stores=stores.downstream, designed_m3=designed_m3, built_m3=built_m3)
    assumed = np.isnan(built_m3)
    capacity_m3 = np.where(assumed, designed_m3, built_m3)
    for store in stores.order.tolist():
        if stores.downstream[store] >= 0:
            assumed[stores.downstream[store]] |= assumed[store]
    return HeldStorms(held_storm_mm(stores, designed_m3, soil), held_storm_mm(stores, capacity_m3, soil), assumed)
