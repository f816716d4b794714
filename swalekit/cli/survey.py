"""``swalekit survey``: what was built against what was planned."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt

_LENGTH = "[m; ft where the brief's units are us]"


@dataclass(frozen=True)
class ToleranceOptions:
    """How far from the design what was built may lie."""

    sill: Annotated[
        float | None, opt.option(f"greatest departure of a sill {_LENGTH}; 0.03 m is usual", "--tolerance-sill")
    ] = None
    floor: Annotated[
        float | None, opt.option(f"the same of a floor {_LENGTH}; 0.05 m is usual", "--tolerance-floor")
    ] = None
    crest: Annotated[
        float | None, opt.option(f"the same of a crest {_LENGTH}; 0.05 m is usual", "--tolerance-crest")
    ] = None
    within: Annotated[
        float | None,
        opt.option(f"farthest that a point lies from its line {_LENGTH}; 5 m if not given"),
    ] = None

    @property
    def by_rule(self) -> dict[str, float | None]:
        """Each by its name among the rules of a survey, in the brief's units."""
        return {
            "sill_tolerance_m": self.sill,
            "floor_tolerance_m": self.floor,
            "crest_tolerance_m": self.crest,
            "within_m": self.within,
        }


def survey(
    plan: Annotated[Path, typer.Argument(help="folder that plan, stake or relevel wrote", readable=False)],
    points: Annotated[
        Path,
        typer.Argument(help="points surveyed on floor, crest and sill, named so in their code (.csv)", readable=False),
    ],
    *,
    brief: Annotated[Path | None, opt.option("site brief that says where moved inputs lie now", readable=False)] = None,
    order: Annotated[str | None, opt.option("columns of the points: PNEZD, or PENZD with easting first")] = None,
    unit: Annotated[str | None, opt.option("unit of the points: m, ft or us-ft")] = None,
    tolerances: ToleranceOptions,
    out: opt.Out = Path("survey"),
    result: opt.ResultOptions,
) -> None:
    """Judge what was built by points surveyed on it: levels, low spots and their cure, true spill level, storm held.

    As in: swalekit survey plan asbuilt.csv --out survey
    """
    from swalekit.cli.say.survey import print_survey
    from swalekit.cli.source import given
    from swalekit.design.brief.values import brief_with
    from swalekit.design.survey.survey import survey_design, survey_rules
    from swalekit.formats.exchange.points_csv import read_points
    from swalekit.results.plan.again import plan_again, read_recorded_plan
    from swalekit.results.survey.write import write_survey_folder

    options = given({"stakes.point_order": order, "stakes.point_unit": unit})
    with result.work_for(out, first="reading the plan") as stage:
        recorded = read_recorded_plan(plan, brief=brief)
        asked = brief_with(recorded.site.brief, options, source="options")
        rules = survey_rules(asked.site.units, **tolerances.by_rule)
        surveyed = read_points(points, order=asked.stakes.point_order, unit=asked.stakes.point_unit)
        design = plan_again(recorded, stage=stage)
        stage("judging what was built")
        found = survey_design(design, surveyed, rules=rules)
        stage("drawing the profiles")
        write_survey_folder(found, out, plan=plan, points=points, overwrite=result.overwrite)
    result.tell(print_survey, found, out)
