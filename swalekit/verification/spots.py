"""Stretches that lie too high or too low, and the soil that cures a low berm."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit.section.section import Section
from swalekit.verification.built_profile import BuiltProfile, Stretch

_ROUNDING_M = 1e-6  # heights have millimetres; a departure of just the tolerance is within it


@dataclass(frozen=True)
class Spot:
    """A stretch beyond the tolerance.

    Parameters
    ----------
    part : str
        ``floor``, ``crest`` or ``sill``.
    kind : str
        ``low`` or ``high``.
    start_m, stop_m : float
        Chainages between which it lies; round a ring's first station the second is the lesser one [m].
    length_m : float
        Length along the line; zero where a single point stands alone [m].
    greatest_m, at_m : float
        Greatest departure from the design level, up or down, and its chainage [m].
    fill_m3 : float or None
        Compacted soil that raises a low crest to its design level [m³]; None for anything else.
    """

    part: str
    kind: str
    start_m: float
    stop_m: float
    length_m: float
    greatest_m: float
    at_m: float
    fill_m3: float | None


def find_spots(
    part: str, profile: BuiltProfile, stretches: Iterable[Stretch], *, tolerance_m: float, section: Section
) -> list[Spot]:
    """Stretches of a surveyed part that depart from the design level by more than the tolerance.

    Parameters
    ----------
    part : str
        ``floor``, ``crest`` or ``sill``.
    profile : BuiltProfile
        Its points, one at least.
    stretches : iterable of (float, float)
        Chainages from and to between which the part is judged [m].
    tolerance_m : float
        Greatest departure, up or down [m].
    section : Section
        Crest width and faces of the berm.

    Returns
    -------
    list of Spot
        Along the line, low ones first on each stretch.

    Notes
    -----
    Between points the surveyed part is a straight line; a spot begins and ends where that line crosses the tolerance.
    A low crest is filled to the design level: t h + (nᵤ + n_d) h² / 2 a metre, with h the depth, t the crest's width
    and n the side slopes of the berm's faces. The berm below is taken to stand as designed, and the crest to be as
    long as the line: one built too narrow, or round a tight knoll, takes more.

    Examples
    --------
    A crest 0.1 m too low over 10 m; with a tolerance of 0.05 m it is low from the middle of each flank:

    >>> low = np.array([0.0, 0.0, -0.1, -0.1, 0.0])
    >>> profile = BuiltProfile(np.array([0.0, 5.0, 10.0, 20.0, 25.0]), 5.0 + low, low, None, True)
    >>> [spot] = find_spots("crest", profile, [(0.0, 25.0)], tolerance_m=0.05, section=Section())
    >>> spot.kind, round(spot.start_m, 3), round(spot.stop_m, 3), round(spot.greatest_m, 3)
    ('low', 7.5, 22.5, 0.1)
    """
    spots = []
    for start_m, stop_m in stretches:
        chainage, departure = profile.between(start_m, stop_m)
        for kind, depth in (("low", -departure), ("high", departure)):
            for x, h in _beyond(chainage, depth, tolerance_m):
                deepest = int(np.argmax(h))
                spots.append(
                    Spot(
                        part=part,
                        kind=kind,
                        start_m=_on_line(x[0], profile.round_m),
                        stop_m=_on_line(x[-1], profile.round_m),
                        length_m=float(x[-1] - x[0]),
                        greatest_m=float(h[deepest]),
                        at_m=_on_line(x[deepest], profile.round_m),
                        fill_m3=_fill_m3(x, h, section) if (part, kind) == ("crest", "low") else None,
                    )
                )
    return spots


def _beyond(
    x: NDArray[np.float64], depth: NDArray[np.float64], tolerance_m: float
) -> list[tuple[NDArray[np.float64], NDArray[np.float64]]]:
    """Parts of a broken line deeper than a tolerance, each from crossing to crossing."""
    out = np.concatenate([[False], depth > tolerance_m + _ROUNDING_M, [False]])
    firsts, stops = np.flatnonzero(out[1:] & ~out[:-1]), np.flatnonzero(out[:-1] & ~out[1:])
    found = []
    for first, stop in zip(firsts.tolist(), stops.tolist(), strict=True):
        xs, hs = x[first:stop], depth[first:stop]
        if first > 0:
            xs, hs = np.append(_crossing(x, depth, first - 1, tolerance_m), xs), np.append(tolerance_m, hs)
        if stop < len(x):
            xs, hs = np.append(xs, _crossing(x, depth, stop - 1, tolerance_m)), np.append(hs, tolerance_m)
        found.append((xs, hs))
    return found


def _crossing(x: NDArray[np.float64], depth: NDArray[np.float64], before: int, tolerance_m: float) -> float:
    """Where the leg after a node crosses a depth."""
    share = (tolerance_m - depth[before]) / (depth[before + 1] - depth[before])
    return float(x[before] + share * (x[before + 1] - x[before]))


def _fill_m3(x: NDArray[np.float64], depth: NDArray[np.float64], section: Section) -> float:
    """Volume of a fill with the crest's width on top, of depths that are straight between nodes."""
    faces = (section.berm_uphill_side_slope + section.berm_downhill_side_slope) / 2.0
    width, first, last = np.diff(x), depth[:-1], depth[1:]
    area = section.crest_width_m * (first + last) / 2.0 + faces * (first**2 + first * last + last**2) / 3.0
    return float(area @ width)


def _on_line(chainage_m: float, round_m: float | None) -> float:
    return float(chainage_m if round_m is None else chainage_m % round_m)
