"""``swalekit relevel``: the lines cut anew to the points that the crew levelled."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt
from swalekit.cli.stake import Order, Paper, Unit


def relevel(
    source: Annotated[Path, typer.Argument(help="site brief (.toml), as it was staked", readable=False)],
    points: Annotated[
        Path, typer.Argument(help="points by stake number: number, northing, easting, height (.csv)", readable=False)
    ],
    order: Order = None,
    unit: Unit = None,
    paper: Paper = "A4",
    out: opt.Out = Path("relevelled"),
    *,
    result: opt.ResultOptions,
) -> None:
    """Lay each line through the stakes that the crew moved to one level, size it anew, and write stakes and sheets.

    As in: swalekit relevel site.toml levelled.csv --out relevelled
    """
    from swalekit._checks import check_one_of
    from swalekit.cli.say.stakes import print_stakes
    from swalekit.cli.source import read_brief_with
    from swalekit.design.survey.relevel import relevel as cut_to_points
    from swalekit.design.survey.stakeout import stake_design
    from swalekit.formats.exchange.points_csv import read_points
    from swalekit.formats.inputs.site import terrain_of
    from swalekit.reporting.stakes.sheets import SHEET_PAPERS
    from swalekit.results.stakes.write import write_stakeout

    check_one_of(SHEET_PAPERS, paper=paper)
    with result.work_for(out) as stage:
        site = read_brief_with(source, {"stakes.point_order": order, "stakes.point_unit": unit})
        part = site.brief.stakes
        levelled = read_points(points, order=part.point_order, unit=part.point_unit)
        design = cut_to_points(site, terrain_of(site), levelled, stage=stage)
        stage("drawing the sheets")
        stakeout = stake_design(design)
        write_stakeout(design, stakeout, out, levelled=points, paper=paper, overwrite=result.overwrite)
    result.tell(print_stakes, design, stakeout, out)
