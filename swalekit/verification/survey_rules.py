"""How exactly a swale must be built, and how densely it must be surveyed to say so."""

from dataclasses import dataclass

from swalekit._checks import check_between, check_positive

_FARTHEST_M = 1000.0


@dataclass(frozen=True)
class SurveyRules:
    """Tolerances and distances of the as-built check; the defaults are common practice.

    Parameters
    ----------
    sill_tolerance_m, floor_tolerance_m, crest_tolerance_m : float
        Greatest departure from the design level, up or down [m].
    within_m : float
        Greatest distance of a point from the line that it is taken to belong to; as far as the berm's toe always counts
        [m].
    unchecked_m : float
        Longest stretch without a point that is still taken as surveyed [m].

    Raises
    ------
    InputError
        If a value isn't positive, or above a kilometre.

    Examples
    --------
    >>> SurveyRules(sill_tolerance_m=0.02).crest_tolerance_m
    0.05
    """

    sill_tolerance_m: float = 0.03
    floor_tolerance_m: float = 0.05
    crest_tolerance_m: float = 0.05
    within_m: float = 5.0
    unchecked_m: float = 20.0

    def __post_init__(self) -> None:
        check_positive(**vars(self))
        check_between(0.0, _FARTHEST_M, **vars(self))

    def tolerance_m(self, part: str) -> float:
        """Tolerance of the floor, the crest or the sill [m]."""
        return {"floor": self.floor_tolerance_m, "crest": self.crest_tolerance_m, "sill": self.sill_tolerance_m}[part]
