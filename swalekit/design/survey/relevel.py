"""A design cut anew to the points that the crew levelled on site."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from swalekit.contours.line import LevelLine, LineRules
from swalekit.contours.moved_line import moved_line
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.layout.ground import Stage, first_few, silent
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import lay_out
from swalekit.design.survey.stakeout import stake_design
from swalekit.errors import InputError
from swalekit.staking.stake import Stake
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.terrain.terrain import Terrain

_FARTHEST_M = 25.0
"""No levelled stake stands farther from where it was set out; a point that does is of another place or unit."""


def relevel(design: Design, points: SurveyPoints, *, stage: Stage = silent) -> Design:
    """Lay the swales of a design through levelled points, and size and cost them anew.

    Parameters
    ----------
    design : Design
        What was staked, with the brief's rules for stakes as they were set out by.
    points : SurveyPoints
        Where stakes on the lines were found to belong, by their numbers.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Design
        Swales of the same numbers. One without points stays where it was laid; the warnings say which, and name points
        that moved nothing.

    Raises
    ------
    InputError
        If no point has the number of a stake, one has no height or lies far from its stake, or a line has but one.
    """
    site, terrain = design.site, design.ground.terrain
    stakes = {stake.number: stake for stake in stake_design(design).stakes}
    known = [row for row, number in enumerate(points.number.tolist()) if number in stakes]
    if not known:
        message = f"none of the {len(points.number)} points has the number of a stake on a line; number them as stakes"
        raise InputError(message)
    rules, lines, notes = line_rules_of(site, terrain), [], list(_other_points(points, known))
    for swale in design.swales:
        rows = sorted(
            (row for row in known if stakes[int(points.number[row])].swale == swale.id),
            key=lambda row: int(points.number[row]),
        )
        line = swale.line
        if rows:
            line = _moved(swale.line, [stakes[int(points.number[row])] for row in rows], points, rows, terrain, rules)
            notes += _unlevel(swale.id, points, rows, rules.tolerance_m)
        lines.append(line)
    left = [swale.id for swale, line in zip(design.swales, lines, strict=True) if line is swale.line]
    if left:
        notes.append(f"{first_few(left)}: no levelled point; left where laid, and sized anew for what now reaches them")
    stage("cutting the lines to the points")
    cut = lay_out(site, design.ground, lines=tuple(lines), stage=stage)
    cut = replace(cut, site=replace(cut.site, of_plan=""))  # it is a plan of its own
    return replace(cut, refused=design.refused, warnings=(*cut.warnings, *notes))


def _moved(
    line: LevelLine,
    stakes: Sequence[Stake],
    points: SurveyPoints,
    rows: Sequence[int],
    terrain: Terrain,
    rules: LineRules,
) -> LevelLine:
    """A swale's line through its levelled points."""
    xy = np.column_stack([points.easting_m[rows], points.northing_m[rows]])
    height = points.height_m[rows]
    away_m = np.hypot(*(xy - [(stake.x_m, stake.y_m) for stake in stakes]).T)
    worst = int(np.argmax(away_m))
    if away_m[worst] > _FARTHEST_M:
        message = (
            f"point {stakes[worst].number} lies {away_m[worst]:,.0f} m from its stake; check order and unit of the "
            "columns, and that the brief is the one that was staked"
        )
        raise InputError(message)
    if not np.isfinite(height).all():
        message = f"point {stakes[int(np.argmin(np.isfinite(height)))].number} has no height; level it or leave it out"
        raise InputError(message)
    return moved_line(line, [stake.chainage_m for stake in stakes], xy, height, terrain, rules=rules)


def _unlevel(swale: str, points: SurveyPoints, rows: Sequence[int], tolerance_m: float) -> list[str]:
    """A word on points of one line that don't stand on one level."""
    height = points.height_m[rows]
    astray_m = float(np.abs(height - height.mean()).max())
    if astray_m <= tolerance_m:
        return []
    worst = points.number[rows[int(np.argmax(np.abs(height - height.mean())))]]
    return [f"{swale}: its levelled points are not level, point {worst} by {astray_m:.2f} m"]


def _other_points(points: SurveyPoints, known: Sequence[int]) -> list[str]:
    """A word on points without a stake on a line."""
    others = np.delete(points.number, known).tolist()
    if not others:
        return []
    return [f"points that are no stake on a line and move nothing: {first_few([str(number) for number in others])}"]
