"""What is told of the steps between tiles, and which of them are refused."""

import math
from collections.abc import Sequence
from pathlib import Path

from swalekit.errors import TerrainError
from swalekit.formats.terrain.tile_steps import TileStep
from swalekit.formats.terrain.usual_error import usual_error
from swalekit.units import METRES_PER

_GREATEST_STEP_M = 1.0
_FEET_RATIOS = (METRES_PER["ft"], 1.0 / METRES_PER["ft"])
_SAME_RATIO = 0.02
"""How near to these the ratio of two heights has to be to look like feet beside metres."""


def judged_steps(steps: Sequence[TileStep]) -> tuple[str, ...]:
    """What is to be told of the steps between tiles.

    Parameters
    ----------
    steps : sequence of TileStep
        Between every two tiles that meet.

    Returns
    -------
    tuple of str
        A note on the largest step, and on those beyond twice the usual error of a height; none if no tiles meet.

    Raises
    ------
    TerrainError
        If a tile stands more than 1 m above another and the step is greater than its spread, or the one looks to be in
        feet and the other in metres.

    Examples
    --------
    >>> judged_steps([TileStep("a.tif", "b.tif", 0.12, 0.03, ratio=1.0, cell_m=1.0)])
    ("steps where tiles meet (1 pair): the largest is 0.12 m, 'b.tif' above 'a.tif', spread 0.03 m",)
    """
    if not steps:
        return ()
    ordered = sorted(steps, key=lambda step: -abs(step.step_m))
    for step in ordered:
        _check(step)
    largest, pairs = ordered[0], "1 pair" if len(ordered) == 1 else f"{len(ordered)} pairs"
    first, second = _names(largest)
    told = (
        f"steps where tiles meet ({pairs}): the largest is {abs(largest.step_m):.2f} m, {second} {_side(largest)} "
        f"{first}, spread {largest.spread_m:.2f} m"
    )
    unsure = [step for step in ordered if abs(step.step_m) > 2.0 * usual_error(step.cell_m)[1].value]
    if unsure:
        others = f" and {len(unsure) - 1} more" if len(unsure) > 1 else ""
        told += (
            f"; lines across the seam of {' and '.join(_names(unsure[0]))}{others} are unsure: "
            "it is more than twice the usual error of a height"
        )
    return (told,)


def _check(step: TileStep) -> None:
    """Refuse a step that is no error of survey."""
    feet = any(math.isclose(step.ratio, ratio, rel_tol=_SAME_RATIO) for ratio in _FEET_RATIOS)
    if abs(step.step_m) <= _GREATEST_STEP_M or (abs(step.step_m) <= step.spread_m and not feet):
        return
    looks = f", {step.ratio:.3g} times its height, as feet beside metres" if feet else ""
    message = (
        f"terrain '{step.second}' stands {abs(step.step_m):.2f} m {_side(step)} '{step.first}' where they meet "
        f"(spread {step.spread_m:.2f} m){looks}; bring both to one vertical datum and unit, name the unit "
        "(vertical_unit counts for every file), or leave one out"
    )
    raise TerrainError(message)


def _side(step: TileStep) -> str:
    return "above" if step.step_m >= 0 else "below"


def _names(step: TileStep) -> tuple[str, str]:
    return f"'{Path(step.first).name}'", f"'{Path(step.second).name}'"
