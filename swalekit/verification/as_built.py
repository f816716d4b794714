"""A swale as built: its surveyed parts, where it spills, what it holds, and a verdict by the rules of the check."""

from dataclasses import dataclass

from swalekit._checks import check_between, check_positive
from swalekit._one_line import one_line
from swalekit.section.laid_swale import LaidSwale
from swalekit.verification.built_profile import BuiltProfile
from swalekit.verification.spots import Spot

_FARTHEST_M = 1000.0

WITHIN, OUTSIDE, INCOMPLETE, NOT_SURVEYED = "within tolerance", "outside tolerance", "incomplete", "not surveyed"
ALL_VERDICTS = (WITHIN, OUTSIDE, INCOMPLETE, NOT_SURVEYED)


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
        """Tolerance of a part.

        Parameters
        ----------
        part : str
            ``floor``, ``crest`` or ``sill``.

        Returns
        -------
        float
            Greatest departure from the design level, up or down [m].

        Examples
        --------
        >>> SurveyRules(sill_tolerance_m=0.02).tolerance_m("sill")
        0.02
        """
        return {"floor": self.floor_tolerance_m, "crest": self.crest_tolerance_m, "sill": self.sill_tolerance_m}[part]


@one_line("over", "level_m", "chainage_m")
@dataclass(frozen=True)
class SpillPlace:
    """Where water leaves first.

    Parameters
    ----------
    over : str
        ``sill`` or ``crest``.
    level_m, chainage_m : float
        Its level, and where along the line it lies [m].
    """

    over: str
    level_m: float
    chainage_m: float


@dataclass(frozen=True)
class UncheckedStretch:
    """A stretch of the floor or the crest without a point.

    Parameters
    ----------
    part : str
        ``floor`` or ``crest``.
    start_m, stop_m : float
        Chainages between which it lies; round a ring's first station the second is the lesser one [m].
    """

    part: str
    start_m: float
    stop_m: float


@one_line("design.id", "verdict", "storage_m3", "spots")
@dataclass(frozen=True, eq=False)
class AsBuilt:
    """What the survey says of one swale.

    Parameters
    ----------
    design : LaidSwale
        What should have been built.
    floor, crest, sill : BuiltProfile
        Its surveyed points; a crest point along the sill is one of the sill.
    spots : tuple of Spot
        Stretches too high or too low: floor, crest, sill.
    unchecked : tuple of UncheckedStretch
        Stretches too long without a point.
    not_judged : tuple of str
        What can't be said for want of points.
    spill : SpillPlace or None
        The lowest of crest and sill; None without points of both.
    storage_m3 : float or None
        Water held at that level [m³].
    dug_m3 : float or None
        Soil dug, bank measure [m³]; None without two points of the floor.
    """

    design: LaidSwale
    floor: BuiltProfile
    crest: BuiltProfile
    sill: BuiltProfile
    spots: tuple[Spot, ...]
    unchecked: tuple[UncheckedStretch, ...]
    not_judged: tuple[str, ...]
    spill: SpillPlace | None
    storage_m3: float | None
    dug_m3: float | None

    @property
    def parts(self) -> dict[str, BuiltProfile]:
        """Floor, crest and sill by name."""
        return {"floor": self.floor, "crest": self.crest, "sill": self.sill}

    @property
    def freeboard_m(self) -> float | None:
        """Lowest crest above the lowest sill, negative where water leaves over the berm [m]; None without both."""
        if not (self.crest.count and self.sill.count):
            return None
        return float(self.crest.height_m.min() - self.sill.height_m.min())

    @property
    def low_crest(self) -> tuple[Spot, ...]:
        """Stretches of the crest that must be raised."""
        return tuple(spot for spot in self.spots if spot.fill_m3 is not None)

    @property
    def fill_m3(self) -> float:
        """Compacted soil that raises them [m³]."""
        return sum(spot.fill_m3 or 0.0 for spot in self.low_crest)

    @property
    def raised_m(self) -> float:
        """Length of berm that must be raised [m]."""
        return sum(spot.length_m for spot in self.low_crest)

    @property
    def verdict(self) -> str:
        """Within or outside tolerance, incomplete where points are lacking to say so, or not surveyed."""
        if not any(profile.count for profile in self.parts.values()):
            return NOT_SURVEYED
        if self.spots:
            return OUTSIDE
        return INCOMPLETE if self.not_judged or self.unchecked else WITHIN
