"""``swalekit relevel``: the lines cut anew to the points that the crew levelled."""

from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_brief_with
from swalekit.cli.stake import Order, Paper, Unit


def relevel(
    source: Annotated[Path, typer.Argument(help="site brief (.toml), as it was staked", readable=False)],
    points: Annotated[
        Path, typer.Argument(help="points by stake number: number, northing, easting, height (.csv)", readable=False)
    ],
    order: Order = None,
    unit: Unit = None,
    paper: Paper = "A4",
    *,
    result: opt.ResultOptions = opt.ResultOptions(Path("relevelled")),
) -> None:
    """Lay each line through the stakes that the crew moved to one level, size it anew, and write stakes and sheets.

    As in: swalekit relevel site.toml levelled.csv --out relevelled
    """
    swalekit.reporting.stakes.check_paper(paper)
    with result.work() as stage:
        site = read_brief_with(source, {"stakes.point_order": order, "stakes.point_unit": unit})
        part = site.brief.stakes
        levelled = swalekit.read_points(points, order=part.point_order, unit=part.point_unit)
        design = swalekit.relevel(site, swalekit.terrain_of(site), levelled, stage=stage)
        stage("drawing the sheets")
        stakeout = swalekit.stake_design(design)
        swalekit.write_stakeout(design, stakeout, result.out, levelled=points, paper=paper, overwrite=result.overwrite)
    result.tell(say.print_stakes, design, stakeout)
