"""A swale as built: its surveyed parts, where it spills, what it holds, and a verdict."""

from dataclasses import dataclass

from swalekit._one_line import one_line
from swalekit.verification.built_profile import BuiltProfile
from swalekit.verification.designed_swale import DesignedSwale
from swalekit.verification.spots import Spot

WITHIN, OUTSIDE, INCOMPLETE, NOT_SURVEYED = "within tolerance", "outside tolerance", "incomplete", "not surveyed"
ALL_VERDICTS = (WITHIN, OUTSIDE, INCOMPLETE, NOT_SURVEYED)


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
    design : DesignedSwale
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

    design: DesignedSwale
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
