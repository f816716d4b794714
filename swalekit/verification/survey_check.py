"""A whole survey against the whole layout."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from swalekit.verification.as_built import AsBuilt
from swalekit.verification.assignment import assign_points
from swalekit.verification.designed_swale import DesignedSwale
from swalekit.verification.survey_rules import SurveyRules
from swalekit.verification.surveyed_points import SurveyedPoints, UnmatchedPoint
from swalekit.verification.swale_check import check_swale


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
    points: SurveyedPoints, swales: Sequence[DesignedSwale], *, rules: SurveyRules | None = None
) -> SurveyCheck:
    """Judge what was built by the points that were surveyed on it.

    Parameters
    ----------
    points : SurveyedPoints
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
        If there is no swale, two have one name, or the points lie on the site only when easting and northing are
        swapped.
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
    return SurveyCheck(tuple(judged), assigned.unmatched, rules)
