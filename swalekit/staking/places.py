"""At which chainages a swale is staked, and why there."""

from collections.abc import Iterable

import numpy as np

from swalekit.staking.along_line import along_line
from swalekit.staking.bends import sharp_bends_m
from swalekit.staking.rules import StakeRules
from swalekit.staking.staked_swale import StakedSwale

Places = dict[float, tuple[str, ...]]  # chainage [m] -> why there is a stake

_SAME_POINT_M = 0.05  # an end of the line or of the sill is staked to this
_ONE_STAKE_M = 1.0  # other stakes closer than this are one


def stake_places(swale: StakedSwale, rules: StakeRules) -> list[tuple[float, str]]:
    """Chainages of the stakes, in order, each with the word that is written on it.

    Parameters
    ----------
    swale : StakedSwale
        The swale.
    rules : StakeRules
        Spacing, and what calls for a stake in between.

    Returns
    -------
    list of (float, str)
        Chainage [m] and mark: ``end``, ``sill end``, ``sill``, ``bend``, ``grade``, joined by ``+`` where one stake
        stands for several, or ``line``.

    Notes
    -----
    Both ends of an open line, and both ends and the middle of the sill, are staked where they are. Bends and the even
    chainages 0, s, 2 s, … come next; one within a metre of an earlier stake is left to it. Last, each stretch between
    two stakes is walked: where the ground has come to differ by more than the rule from the ground at the stake behind,
    there is one more. As the floor is level, the dig depth changes with the ground and never more than it.
    """
    length_m, apart_m = swale.line.length_m, min(_ONE_STAKE_M, rules.spacing_m / 2.0)
    round_m = length_m if swale.line.closed else np.inf
    start_m, stop_m = swale.sill_span_m
    fixed = [(start_m, "sill end"), (swale.sill_chainage_m, "sill"), (stop_m, "sill end")]
    if not swale.line.closed:
        fixed = [(0.0, "end"), (length_m, "end"), *fixed]
    bends = sharp_bends_m(swale.line, bend_degrees=rules.bend_degrees, support_m=rules.bend_support_m)
    even = rules.spacing_m * np.arange(int(length_m / rules.spacing_m) + 1)
    places = _joined({}, fixed, apart_m=_SAME_POINT_M, round_m=round_m)
    places = _joined(places, [(each, "bend") for each in bends], apart_m=apart_m, round_m=round_m)
    places = _joined(places, [(float(each), "line") for each in even], apart_m=apart_m, round_m=round_m)
    places |= dict.fromkeys(_grade_changes_m(swale, sorted(places), rules, apart_m), ("grade",))
    return [(each, _mark(places[each])) for each in sorted(places)]


def _joined(places: Places, new: Iterable[tuple[float, str]], *, apart_m: float, round_m: float) -> Places:
    """Places with new ones, of which those too close to an earlier one only give it their word."""
    joined = dict(places)
    for chainage_m, word in new:
        away = {each: min(abs(each - chainage_m), round_m - abs(each - chainage_m)) for each in joined}
        nearest = min(away, key=lambda each: away[each], default=None)
        if nearest is not None and away[nearest] < apart_m:
            joined[nearest] = (*joined[nearest], word)
        else:
            joined[chainage_m % round_m] = (word,)
    return joined


def _grade_changes_m(swale: StakedSwale, staked_m: list[float], rules: StakeRules, apart_m: float) -> list[float]:
    """Chainages of the stations where the ground has changed too much since the last stake."""
    line = swale.line
    stops = [*staked_m[1:], staked_m[0] + line.length_m] if line.closed else staked_m[1:]
    chainage, ground = line.chainage_m, line.ground_m
    if line.closed:
        chainage, ground = np.append(chainage, chainage + line.length_m), np.append(ground, ground)
    found = []
    for start_m, stop_m in zip(staked_m, stops, strict=False):
        behind_m, height_m = start_m, float(along_line(line, line.ground_m, [start_m])[0])
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
