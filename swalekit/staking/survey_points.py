"""Stakes as the numbered points that a total station or a satellite receiver takes."""

from collections.abc import Iterator

import numpy as np

from swalekit.staking.stake import Stake, Stakeout
from swalekit.terrain.survey_points import SurveyPoints


def survey_points(stakeout: Stakeout) -> SurveyPoints:
    """Every stake, followed by its offset stakes, with the height of the natural ground at its foot.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    SurveyPoints
        Described by swale, chainage and mark; a stake on the line also by dig depth, an offset stake by its side and
        distance from the line [m].
    """
    rows = [row for stake in stakeout.stakes for row in _points(stake)]
    number, x, y, height, description = zip(*rows, strict=True) if rows else ((),) * 5
    return SurveyPoints(
        number=np.array(number, np.int64),
        easting_m=np.array(x, np.float64),
        northing_m=np.array(y, np.float64),
        height_m=np.array(height, np.float64),
        description=tuple(description),
    )


def _points(stake: Stake) -> Iterator[tuple[int, float, float, float, str]]:
    """Number, easting, northing, height and description of a stake and its offset stakes."""
    name = f"{stake.swale} {stake.chainage_m:.1f} {stake.mark}"
    yield stake.number, stake.x_m, stake.y_m, stake.ground_m, f"{name} dig {stake.dig_m:.2f}"
    for side, offset in stake.offsets:
        yield offset.number, offset.x_m, offset.y_m, offset.ground_m, f"{name} {side} {offset.distance_m:.2f}"
