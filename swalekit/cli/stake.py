"""``swalekit stake``: everything that the crew needs in a folder."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt

Paper = Annotated[str, opt.option("paper of the sheets: A4, A3, letter or tabloid", "--paper")]
Spacing = Annotated[
    float | None,
    opt.option("from stake to stake along a line [m; ft where the brief's units are us]", "--spacing"),
]
Order = Annotated[str | None, opt.option("columns of points.csv: PNEZD, or PENZD with easting first", "--order")]
Unit = Annotated[str | None, opt.option("unit of points.csv: m, ft or us-ft", "--unit")]


def stake(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    spacing: Spacing = None,
    order: Order = None,
    unit: Unit = None,
    paper: Paper = "A4",
    out: opt.Out = Path("stakes"),
    *,
    result: opt.ResultOptions,
) -> None:
    """Stake out the swales of a plan: stakes for field gear (CSV, GPX, KML, DXF, LandXML) and the crew's sheets (PDF).

    As in: swalekit stake site.toml --out stakes --paper A3
    """
    from swalekit._checks import check_one_of
    from swalekit.cli.say.stakes import print_stakes
    from swalekit.cli.source import read_brief_with
    from swalekit.design.plan.pipeline import plan as make_plan
    from swalekit.design.survey.stakeout import stake_design
    from swalekit.formats.inputs.site import terrain_of
    from swalekit.reporting.stakes.sheets import SHEET_PAPERS
    from swalekit.results.stakes.write import write_stakeout

    check_one_of(SHEET_PAPERS, paper=paper)
    options = {"stakes.spacing_m": spacing, "stakes.point_order": order, "stakes.point_unit": unit}
    with result.work_for(out) as stage:
        site = read_brief_with(source, options)
        design = make_plan(site, terrain_of(site), stage=stage)
        stage("setting the stakes")
        stakeout = stake_design(design)
        stage("drawing the sheets")
        write_stakeout(design, stakeout, out, paper=paper, overwrite=result.overwrite)
    result.tell(print_stakes, design, stakeout, out)
