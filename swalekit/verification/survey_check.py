"""A whole survey against the whole layout."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from swalekit.errors import InputError
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.verification.as_built import AsBuilt
from swalekit.verification.assignment import assign_points
from swalekit.verification.designed_swale import DesignedSwale
from swalekit.verification.survey_rules import SurveyRules
from swalekit.verification.swale_check import check_swale
from swalekit.verification.unmatched_point import UnmatchedPoint

_OTHER_DATUM_M = 3.0
"""No crew digs a whole layout so much too high or too low (common practice): the heights mean something else."""


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


def check_survey(
    points: SurveyPoints, swales: Sequence[DesignedSwale], *, rules: SurveyRules | None = None
) -> SurveyCheck:
    """Judge what was built by the points that were surveyed on it.

    Parameters
    ----------
    points : SurveyPoints
        What was surveyed.
    swales : sequence of DesignedSwale
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
    middle_m = float(np.median(np.concatenate(departures))) if any(each.size for each in departures) else 0.0
    if abs(middle_m) > _OTHER_DATUM_M:
        message = (
            f"half of the surveyed heights lie {abs(middle_m):.2f} m or more {'above' if middle_m > 0 else 'below'} "
            "the design; check their unit and their datum, and level the benchmark"
        )
        raise InputError(message)
