"""``swalekit survey``: what was built against what was planned."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import given

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
    result: opt.ResultOptions = opt.ResultOptions(Path("survey")),
) -> None:
    """Judge what was built by points surveyed on it: levels, low spots and their cure, true spill level, storm held.

    As in: swalekit survey plan asbuilt.csv --out survey
    """
    options = given({"stakes.point_order": order, "stakes.point_unit": unit})
    with result.work(first="reading the plan") as stage:
        recorded = swalekit.read_recorded_plan(plan, brief=brief)
        asked = swalekit.brief_with(recorded.site.brief, options, source="options")
        rules = swalekit.design.survey.survey_rules(asked.site.units, **tolerances.by_rule)
        surveyed = swalekit.read_points(points, order=asked.stakes.point_order, unit=asked.stakes.point_unit)
        design = swalekit.plan_again(recorded, stage=stage)
        stage("judging what was built")
        found = swalekit.survey_design(design, surveyed, rules=rules)
        stage("drawing the profiles")
        swalekit.write_survey_folder(found, result.out, plan=plan, points=points, overwrite=result.overwrite)
    result.tell(say.print_survey, found)
