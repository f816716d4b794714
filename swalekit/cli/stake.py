"""``swalekit stake``: everything that the crew needs in a folder."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt

Paper = Annotated[str, typer.Option("--paper", help="paper of the sheets: A4, A3, letter or tabloid")]
Spacing = Annotated[
    float | None,
    typer.Option("--spacing", help="from stake to stake along a line [m; ft where the brief's units are us]"),
]
Order = Annotated[str | None, typer.Option("--order", help="columns of points.csv: PNEZD, or PENZD with easting first")]
Unit = Annotated[str | None, typer.Option("--unit", help="unit of points.csv: m, ft or us-ft")]


def stake(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    spacing: Spacing = None,
    order: Order = None,
    unit: Unit = None,
    paper: Paper = "A4",
    out: opt.Out = Path("stakes"),
    overwrite: opt.Overwrite = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Stake out the swales of a plan: stakes for field gear (CSV, GPX, KML, DXF, LandXML) and the crew's sheets (PDF).

    As in: swalekit stake site.toml --out stakes --paper A3
    """
    from swalekit._checks import check_one_of
    from swalekit.cli.progress import progress
    from swalekit.cli.say import print_stakes, print_summary
    from swalekit.design.plan.pipeline import plan as make_plan
    from swalekit.design.survey.stakeout import stake_design
    from swalekit.formats.inputs.brief import brief_with, read_brief
    from swalekit.formats.inputs.site import site_of, terrain_of
    from swalekit.reporting.stakes.sheets import SHEET_PAPERS
    from swalekit.results.folder.folder import check_free
    from swalekit.results.stakes.write import write_stakeout

    check_one_of(SHEET_PAPERS, paper=paper)
    check_free(out, overwrite=overwrite)
    with progress() as stage:
        stage("reading the terrain")
        brief = read_brief(source)
        spacing_key = "spacing_ft" if brief.site.units == "us" else "spacing_m"
        given = {spacing_key: spacing, "point_order": order, "point_unit": unit}
        site = site_of(brief_with(brief, "stakes", **given))
        design = make_plan(site, terrain_of(site), stage=stage)
        stage("setting the stakes")
        stakeout = stake_design(design)
        stage("drawing the sheets")
        write_stakeout(design, stakeout, out, paper=paper, overwrite=overwrite)
    if json:
        print_summary(out)
    elif not quiet:
        print_stakes(design, stakeout, out)
