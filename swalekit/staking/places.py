"""At which chainages a swale is staked, and why there."""

from collections.abc import Iterable
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_positive
from swalekit.contours.line import LevelLine
from swalekit.section.laid_swale import LaidSwale

Places = dict[float, tuple[str, ...]]  # chainage [m] -> why there is a stake

_SAME_POINT_M = 0.05  # an end of the line or of the sill is staked to this
_ONE_STAKE_M = 1.0  # other stakes closer than this are one


@dataclass(frozen=True)
class StakeRules:
    """Spacing of stakes and what calls for one in between; the defaults are common practice.

    Parameters
    ----------
    spacing_m : float
        Chainage from stake to stake [m].
    bend_degrees : float
        Turn of the line that is staked [degrees].
    bend_support_m : float
        Length of line over which the turn is measured [m].
    grade_change_m : float
        Change of the ground's height from one stake to the next that needs one in between [m].
    margin_m : float
        How far beyond the edge of the works an offset stake stands [m].

    Raises
    ------
    InputError
        If a length isn't positive, or the turn lies outside 1 to 180 degrees.

    Examples
    --------
    >>> StakeRules(spacing_m=5.0).margin_m
    1.0
    """

    spacing_m: float = 10.0
    bend_degrees: float = 20.0
    bend_support_m: float = 10.0
    grade_change_m: float = 0.05
    margin_m: float = 1.0

    def __post_init__(self) -> None:
        check_positive(
            spacing_m=self.spacing_m,
            bend_support_m=self.bend_support_m,
            grade_change_m=self.grade_change_m,
            margin_m=self.margin_m,
        )
        check_between(1.0, 180.0, bend_degrees=self.bend_degrees)


def stake_places(swale: LaidSwale, rules: StakeRules) -> list[tuple[float, str]]:
    """Chainages of the stakes, in order, each with the word that is written on it.

    Parameters
    ----------
    swale : LaidSwale
        The swale.
    rules : StakeRules
        Spacing, and what calls for a stake in between.

    Returns
    -------
    list of (float, str)
        Chainage [m] and mark: ``end``, ``sill end``, ``sill``, ``crossing edge``, ``pipe end``, ``bend``, ``grade``,
        joined by ``+`` where one stake stands for several, or ``line``.

    Notes
    -----
    Both ends of an open line, both ends and the middle of the sill, both edges of every crossing's roadway and both
    ends of its pipes are staked where they are. Bends and the even chainages 0, s, 2 s, … come next; one within a metre
    of an earlier stake is left to it. Last, each stretch between two stakes is walked: where the ground has come to
    differ by more than the rule from the ground at the stake behind, there is one more. As the floor is level, the dig
    depth changes with the ground and never more than it.

    Examples
    --------
    >>> from swalekit.section import Section, ShapedSwale, Stations
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> stake_places(LaidSwale("S1", 1, line, shape, sill_chainage_m=15.0, sill_length_m=4.0), StakeRules())
    [(0.0, 'end'), (10.0, 'line'), (13.0, 'sill end'), (15.0, 'sill'), (17.0, 'sill end'), (20.0, 'end')]
    """
    length_m, apart_m = swale.line.length_m, min(_ONE_STAKE_M, rules.spacing_m / 2.0)
    round_m = length_m if swale.line.closed else np.inf
    start_m, stop_m = swale.sill_span_m
    fixed = [(start_m, "sill end"), (swale.sill_chainage_m, "sill"), (stop_m, "sill end")]
    if not swale.line.closed:
        fixed = [(0.0, "end"), (length_m, "end"), *fixed]
    for works in swale.shape.crossings:
        middle_m, half_m = works.place.chainage_m, np.array([-0.5, 0.5])
        fixed += [(float(at_m), "crossing edge") for at_m in middle_m + works.place.width_m * half_m]
        if not works.is_ford:
            fixed += [(float(at_m), "pipe end") for at_m in middle_m + works.pipe_length_m * half_m]
    bends = sharp_bends_m(swale.line, bend_degrees=rules.bend_degrees, support_m=rules.bend_support_m)
    even = rules.spacing_m * np.arange(int(length_m / rules.spacing_m) + 1)
    places = _joined({}, fixed, apart_m=_SAME_POINT_M, round_m=round_m)
    places = _joined(places, [(bend_m, "bend") for bend_m in bends], apart_m=apart_m, round_m=round_m)
    places = _joined(places, [(float(even_m), "line") for even_m in even], apart_m=apart_m, round_m=round_m)
    places |= dict.fromkeys(_grade_changes_m(swale, sorted(places), rules, apart_m), ("grade",))
    return [(place_m, _mark(places[place_m])) for place_m in sorted(places)]


def _joined(places: Places, new: Iterable[tuple[float, str]], *, apart_m: float, round_m: float) -> Places:
    """Places with new ones, of which those too close to an earlier one only give it their word."""
    joined = dict(places)
    for chainage_m, word in new:
        away = {place_m: min(abs(place_m - chainage_m), round_m - abs(place_m - chainage_m)) for place_m in joined}
        nearest = min(away, key=lambda place_m: away[place_m], default=None)
        if nearest is not None and away[nearest] < apart_m:
            joined[nearest] = (*joined[nearest], word)
        else:
            joined[chainage_m % round_m] = (word,)
    return joined


def _grade_changes_m(swale: LaidSwale, staked_m: list[float], rules: StakeRules, apart_m: float) -> list[float]:
    """Chainages of the stations where the ground has changed too much since the last stake."""
    line = swale.line
    stops = [*staked_m[1:], staked_m[0] + line.length_m] if line.closed else staked_m[1:]
    chainage, ground = line.chainage_m, line.ground_m
    if line.closed:
        chainage, ground = np.append(chainage, chainage + line.length_m), np.append(ground, ground)
    found = []
    for start_m, stop_m in zip(staked_m, stops, strict=False):
        behind_m, height_m = start_m, float(line.at(line.ground_m, [start_m])[0])
        for station in np.flatnonzero((chainage > start_m) & (chainage <= stop_m - apart_m)):
            clear = chainage[station] - behind_m >= apart_m
            if clear and abs(ground[station] - height_m) > rules.grade_change_m:
                behind_m, height_m = float(chainage[station]), float(ground[station])
                found.append(behind_m % line.length_m if line.closed else behind_m)
    return found


def _mark(words: tuple[str, ...]) -> str:
    """What is written on a stake: every reason once, and ``line`` only where there is no other."""
    reasons = dict.fromkeys(word for word in words if word != "line")
    return "+".join(reasons) or "line"


def sharp_bends_m(line: LevelLine, *, bend_degrees: float, support_m: float) -> list[float]:
    """Chainages of the stations where a line turns most.

    Parameters
    ----------
    line : LevelLine
        The line.
    bend_degrees : float
        Least turn that counts [degrees].
    support_m : float
        Length of line over which the turn is measured [m].

    Returns
    -------
    list of float
        Chainages, the sharpest bend first, none within a support length of a sharper one [m].

    Notes
    -----
    The turn at a station is the angle between the chords to it from half a support length before, and from it to half
    a support length after. A chord over an evenly bent support strays from the line by about length × turn / 8. Within
    half a support length of the ends of an open line no turn is measured.

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [4.0, 2.0], [4.0, 4.0]])
    >>> line = LevelLine(10.0, False, xy, np.full(5, 10.0), np.full(5, 0.1))
    >>> sharp_bends_m(line, bend_degrees=30.0, support_m=4.0)
    [4.0]
    """
    half_m, length_m = support_m / 2.0, line.length_m
    if line.closed:
        chainage = line.chainage_m if support_m < length_m else np.empty(0)
    else:
        chainage = line.chainage_m[(line.chainage_m >= half_m) & (line.chainage_m <= length_m - half_m)]
    turn = _turn_degrees(line, chainage, half_m)
    found: list[float] = []
    for vertex in np.argsort(-turn.round(6), kind="stable"):
        if turn[vertex] < bend_degrees:
            break
        apart = np.abs(chainage[vertex] - np.array(found))
        if line.closed:
            apart = np.minimum(apart, length_m - apart)
        if (apart >= support_m).all():
            found.append(float(chainage[vertex]))
    return found


def _turn_degrees(line: LevelLine, chainage_m: NDArray[np.float64], half_m: float) -> NDArray[np.float64]:
    """Angle between the chords that lead to a point and away from it."""
    places = chainage_m + half_m * np.array([[-1.0], [0.0], [1.0]])
    if line.closed:
        places = np.mod(places, line.length_m)
    before, here, after = np.moveaxis(line.at(line.xy.T, places), 0, -1)
    (x_in, y_in), (x_out, y_out) = (here - before).T, (after - here).T
    return np.asarray(np.degrees(np.abs(np.arctan2(x_in * y_out - y_in * x_out, x_in * x_out + y_in * y_out))))
