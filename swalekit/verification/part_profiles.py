"""Floor, crest and sill of a swale: their points, and where along the line each is judged."""

import numpy as np
from numpy.typing import NDArray

from swalekit.verification.built_profile import BuiltProfile, built_profile
from swalekit.verification.designed_swale import DesignedSwale
from swalekit.verification.spots import Stretch

PARTS = ("floor", "crest", "sill")

_SILL_END_M = 0.5  # so near an end of the sill a crest point belongs to the part whose level is nearer


def part_profiles(
    design: DesignedSwale, chainage_m: NDArray[np.float64], height_m: NDArray[np.float64], part: NDArray[np.str_]
) -> dict[str, BuiltProfile]:
    """Points of each part in order along the line, against their design level.

    Parameters
    ----------
    design : DesignedSwale
        The swale.
    chainage_m, height_m : ndarray of float64, shape (k,)
        Distance along the line and height of its points [m].
    part : ndarray of str, shape (k,)
        ``floor``, ``crest`` or ``sill``. Along the sill the crest is built to the sill's level, so a crest point there
        is one of the sill.
    """
    crest_m, sill_m = design.shape.crest_level_m, design.shape.sill_level_m
    part = np.where((part == "crest") & _on_sill(design, chainage_m, height_m), "sill", part)
    level_m = np.select([part == "crest", part == "sill"], [crest_m, sill_m], design.at(design.floor_m, chainage_m))
    return {
        name: built_profile(
            chainage_m[part == name],
            height_m[part == name],
            level_m[part == name],
            round_m=design.round_m,
            lowest_counts=name != "floor",
        )
        for name in PARTS
    }


def judged_stretches(design: DesignedSwale, part: str, profile: BuiltProfile) -> list[Stretch]:
    """Stretches between the outermost points on which a part is judged; for the crest, less the sill.

    Parameters
    ----------
    design : DesignedSwale
        The swale.
    part : str
        ``floor``, ``crest`` or ``sill``.
    profile : BuiltProfile
        Its points, one at least.

    Returns
    -------
    list of (float, float)
        Chainages from and to; on a ring the second may pass the first station [m].
    """
    along, departure = profile.nodes
    first_m, last_m, half_m = float(along[0]), float(along[-1]), design.sill_length_m / 2.0
    if profile.round_m is None or first_m == last_m:
        if part != "crest" or first_m == last_m:
            return [(first_m, last_m)]
        sill_m = (design.sill_chainage_m - half_m, design.sill_chainage_m + half_m)
        beside = [(first_m, min(last_m, sill_m[0])), (max(first_m, sill_m[1]), last_m)]
        return [(start, stop) for start, stop in beside if start <= stop]
    if part == "crest":
        start_m, length_m = design.sill_chainage_m + half_m, profile.round_m - design.sill_length_m
    elif part == "sill":
        beyond = (along - design.sill_chainage_m + profile.round_m / 2.0) % profile.round_m - profile.round_m / 2.0
        start_m, length_m = design.sill_chainage_m + float(beyond.min()), float(np.ptp(beyond))
    else:
        start_m, length_m = float(along[np.argmin(np.abs(departure))]), profile.round_m
    return [(start_m % profile.round_m, start_m % profile.round_m + length_m)]


def _on_sill(
    design: DesignedSwale, chainage_m: NDArray[np.float64], height_m: NDArray[np.float64]
) -> NDArray[np.bool_]:
    """Whether points of the crest lie on the sill."""
    inside_m = design.sill_length_m / 2.0 - design.from_sill_m(chainage_m)
    middle_m = (design.shape.crest_level_m + design.shape.sill_level_m) / 2.0
    return np.where(np.abs(inside_m) <= _SILL_END_M, height_m < middle_m, inside_m > 0.0)
