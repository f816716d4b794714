"""What was built against the design: each swale judged by the crew's points, and the storm that the whole now holds."""

from dataclasses import dataclass

import numpy as np

from swalekit._one_line import one_line
from swalekit.design.brief.settings import storm_of
from swalekit.design.plan.design import Caution, Design
from swalekit.design.survey.stakeout import laid_swales
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.stores import Stores
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.units import METRES_PER_FOOT
from swalekit.verification.as_built import INCOMPLETE, NOT_SURVEYED, SurveyRules
from swalekit.verification.survey_check import HeldStorms, SurveyCheck, check_survey, held_storms

SURVEY_CAUTION = Caution(
    "levels only",
    "This check compares levels. It judges neither soil, compaction nor the strength of a berm: where law, height or "
    "what lies below asks for it, a licensed engineer inspects the works before they hold water.",
)
"""Stands for every survey."""


@one_line("design.site.brief.site.name", "points", "check.swales", "held_storm_mm")
@dataclass(frozen=True, eq=False)
class Survey(Frozen):
    """A design as built.

    Parameters
    ----------
    design : Design
        The design.
    points : SurveyPoints
        What the crew surveyed.
    check : SurveyCheck
        A verdict on each swale, and the points that belong to none.
    held : HeldStorms
        What each store holds as designed and as built: swales, then hollows.
    cautions : tuple of Caution
        What the verdicts raise, and what stands for every survey.
    """

    design: Design
    points: SurveyPoints
    check: SurveyCheck
    held: HeldStorms
    cautions: tuple[Caution, ...]

    @property
    def held_storm_mm(self) -> float:
        """Deepest storm that leaves every swale without spilling, as built [mm]."""
        return float(self.held.built_mm[: len(self.check.swales)].min())

    @property
    def designed_storm_mm(self) -> float:
        """The same as designed, by the same sections and catchments: not poured, since as built it can't be [mm]."""
        return float(self.held.designed_mm[: len(self.check.swales)].min())


def survey_rules(units: str, **given: float | None) -> SurveyRules:
    """Tolerances and distances as a crew gives them; what is None is that of common practice.

    Parameters
    ----------
    units : str
        ``metric`` or ``us``: whether lengths are metres or feet.
    **given
        Values by the names of `SurveyRules`.

    Returns
    -------
    SurveyRules
        Tolerances and distances in metres.

    Raises
    ------
    InputError
        If a value isn't positive.

    Examples
    --------
    >>> survey_rules("us", sill_tolerance_m=1.0, within_m=None).sill_tolerance_m
    0.3048
    """
    factor = METRES_PER_FOOT if units == "us" else 1.0
    return SurveyRules(**{name: factor * value for name, value in given.items() if value is not None})


def survey_design(design: Design, points: SurveyPoints, *, rules: SurveyRules | None = None) -> Survey:
    """Judge what was built of a design by the points that were surveyed on it.

    Parameters
    ----------
    design : Design
        The design.
    points : SurveyPoints
        What the crew surveyed; the description names the part and, where the crew gave it, the swale.
    rules : SurveyRules, optional
        Tolerances and distances; those of common practice unless given.

    Returns
    -------
    Survey
        The verdicts. Hollows of the ground are taken to hold what they did.

    Raises
    ------
    InputError
        If there is no swale, or no point that can be used.

    Examples
    --------
    Points of the floor alone, five centimetres too high:
    >>> line = design.swales[0].line
    >>> n = len(line.xy)
    >>> points = SurveyPoints(number=np.arange(n) + 1, easting_m=line.xy[:, 0], northing_m=line.xy[:, 1],
    ...     height_m=np.full(n, design.swales[0].sized.shape.floor_level_m + 0.05), description=("S1 floor",) * n)
    >>> [built.verdict for built in survey_design(design, points).check.swales]
    ['incomplete', 'not surveyed']
    """
    if design.run is None or not design.swales:
        message = "the plan has no swale to check a survey against; plan a layout first"
        raise InputError(message)
    check = check_survey(points, laid_swales(design), rules=rules)
    if len(check.unmatched) == len(points.number):
        message = _nothing_used(check)
        raise InputError(message)
    held = _held_storms(design, check, design.run.stores)
    return Survey(design, points, check, held, (*_cautions(design, check, held), SURVEY_CAUTION))


def _nothing_used(check: SurveyCheck) -> str:
    if not check.unmatched:
        return "the survey holds no point; give those on floor, crest and sill"
    first = check.unmatched[0]
    return (
        f"none of the {len(check.unmatched):,} surveyed points can be used; the first, point {first.number}: "
        f"{first.reason}. Check the order, the unit, the CRS and the codes"
    )


def _held_storms(design: Design, check: SurveyCheck, stores: Stores) -> HeldStorms:
    """Held storms with the swales' capacities as built, where they are known."""
    hollows_m3 = design.ground.network.hollows.volume_m3
    designed_m3 = np.concatenate([[swale.storage_m3 for swale in design.swales], hollows_m3])
    built_m3 = [np.nan if built.storage_m3 is None else built.storage_m3 for built in check.swales]
    return held_storms(stores, designed_m3, np.concatenate([built_m3, hollows_m3]), design.ground.soil)


def _cautions(design: Design, check: SurveyCheck, held: HeldStorms) -> list[Caution]:
    """What the verdicts raise, swale by swale."""
    depth_mm, cautions = storm_of(design.site).depth_mm, []
    for place, built in enumerate(check.swales):
        name = built.design.id
        if built.spill is not None and built.spill.over == "crest":
            text = (
                f"at {built.spill.chainage_m:.1f} m the crest lies {-(built.freeboard_m or 0.0):.2f} m below the sill"
            )
            advice = (
                "water leaves over the berm, not over the sill, and may cut through it: raise the crest before rain"
            )
            cautions.append(Caution("spills over the berm", text, name, advice))
        if held.built_mm[place] < depth_mm <= held.designed_mm[place]:
            text = f"as built it holds {held.built_mm[place]:.1f} mm, as designed {held.designed_mm[place]:.1f} mm"
            advice = f"the design storm of {depth_mm:g} mm is not held: mend low spots here and above, or dig deeper"
            cautions.append(Caution("holds less than asked", text, name, advice))
        if built.verdict in (INCOMPLETE, NOT_SURVEYED):
            gaps = (
                f"no point of the {gap.part} from {gap.start_m:.1f} to {gap.stop_m:.1f} m" for gap in built.unchecked
            )
            text = "; ".join((*built.not_judged, *gaps))
            cautions.append(
                Caution("points lacking", text, name, "nothing is said of what was not surveyed: survey it")
            )
    return cautions
