"""One swale judged by its surveyed points."""

from collections.abc import Iterator

import numpy as np
from numpy.typing import NDArray

from swalekit.section.areas import cut_area_m2, storage_area_m2
from swalekit.section.laid_swale import LaidSwale
from swalekit.verification.as_built import AsBuilt, SpillPlace, SurveyRules, UncheckedStretch
from swalekit.verification.built_profile import (
    PARTS,
    BuiltProfile,
    judged_stretches,
    part_profiles,
    unchecked_stretches,
)
from swalekit.verification.spots import Spot, find_spots

_LEAST_POINTS = {"floor": 2, "crest": 1, "sill": 1}


def check_swale(
    design: LaidSwale,
    chainage_m: NDArray[np.float64],
    height_m: NDArray[np.float64],
    part: NDArray[np.str_],
    *,
    rules: SurveyRules,
) -> AsBuilt:
    """Judge one swale by its surveyed points.

    Parameters
    ----------
    design : LaidSwale
        The swale as designed.
    chainage_m, height_m : ndarray of float64, shape (k,)
        Distance along the line and height of its points [m].
    part : ndarray of str, shape (k,)
        ``floor``, ``crest`` or ``sill``.
    rules : SurveyRules
        Tolerances.

    Returns
    -------
    AsBuilt
        Levels, spots, storage and soil. What too few points say nothing of is left out and named.

    Notes
    -----
    At every station the section as designed is laid at the depth as built, which is straight between floor points, and
    beyond them that of the outermost one; its storage is what lies below the lowest of crest and sill. As the berm's
    foot keeps its distance from the ditch's lip, a floor 5 cm too deep moves it downhill by the side slope times that.
    Without two floor points the storage is that above the floor as designed.
    """
    profiles = part_profiles(design, chainage_m, height_m, part)
    floor, crest, sill = (profiles[name] for name in PARTS)
    judged = {name: profile for name, profile in profiles.items() if profile.count >= _LEAST_POINTS[name]}
    depth_m = _depth_m(design, judged.get("floor"))
    spill = _spill(crest, sill)
    return AsBuilt(
        design=design,
        floor=floor,
        crest=crest,
        sill=sill,
        spots=tuple(spot for name, profile in judged.items() for spot in _spots(design, name, profile, rules)),
        unchecked=tuple(_unchecked(design, judged, rules)),
        not_judged=tuple(_not_judged(profiles)),
        spill=spill,
        storage_m3=None if spill is None else _storage_m3(design, depth_m, spill.level_m),
        dug_m3=_dug_m3(design, depth_m) if "floor" in judged else None,
    )


def _spots(design: LaidSwale, part: str, profile: BuiltProfile, rules: SurveyRules) -> list[Spot]:
    """Stretches of a part beyond its tolerance."""
    stretches = judged_stretches(design, part, profile)
    return find_spots(part, profile, stretches, tolerance_m=rules.tolerance_m(part), section=design.shape.section)


def _unchecked(design: LaidSwale, judged: dict[str, BuiltProfile], rules: SurveyRules) -> Iterator[UncheckedStretch]:
    """Stretches of floor and crest too long without a point; points of the sill check the crest."""
    for part in ("floor", "crest"):
        if part not in judged:
            continue
        along = judged[part].chainage_m
        if part == "crest" and "sill" in judged:
            along = np.append(along, judged["sill"].chainage_m)
        line = design.line
        for stretch in unchecked_stretches(
            along, length_m=line.length_m, closed=line.closed, longest_m=rules.unchecked_m
        ):
            yield UncheckedStretch(part, *stretch)


def _not_judged(profiles: dict[str, BuiltProfile]) -> Iterator[str]:
    """What can't be said, and the points that are lacking."""
    if profiles["floor"].count < _LEAST_POINTS["floor"]:
        yield f"floor and soil dug: {profiles['floor'].count or 'no'} point of the floor where 2 are needed"
    for part in ("crest", "sill"):
        if not profiles[part].count:
            yield f"{part}, spill level and storage: no point of the {part}"


def _spill(crest: BuiltProfile, sill: BuiltProfile) -> SpillPlace | None:
    """The lowest point of crest and sill; the sill's where both are as low."""
    if not (crest.count and sill.count):
        return None
    over, profile = ("crest", crest) if crest.height_m.min() < sill.height_m.min() else ("sill", sill)
    lowest = profile.lowest
    return SpillPlace(over, float(profile.height_m[lowest]), float(profile.chainage_m[lowest]))


def _depth_m(design: LaidSwale, floor: BuiltProfile | None) -> NDArray[np.float64]:
    """Dig depth as built at the stations, as designed without a floor, shape (n,) [m]."""
    designed_m = design.shape.station_depth_m
    if floor is None:
        return designed_m
    return np.maximum(designed_m - floor.departure_at(design.line.chainage_m), 0.0)


def _storage_m3(design: LaidSwale, depth_m: NDArray[np.float64], spill_m: float) -> float:
    """Water below a spill level."""
    shape, stations = design.shape, design.shape.stations
    area_m2 = storage_area_m2(
        shape.section,
        spill_m - stations.ground_m,
        depth_m,
        max(shape.crest_level_m, spill_m) - stations.ground_m,
        stations.slope,
        reach_m=stations.reach_m,
        curvature_per_m=stations.curvature_per_m,
    )
    return float(area_m2 @ stations.width_m)


def _dug_m3(design: LaidSwale, depth_m: NDArray[np.float64]) -> float:
    """Soil dug to given depths."""
    stations = design.shape.stations
    area_m2 = cut_area_m2(design.shape.section, depth_m, stations.slope, curvature_per_m=stations.curvature_per_m)
    return float(area_m2 @ stations.width_m)
