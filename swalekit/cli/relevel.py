"""``swalekit relevel``: the lines cut anew to the points that the crew levelled."""

from pathlib import Path
from typing import Annotated, Any

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_laid
from swalekit.cli.stake import Order, Paper, Unit


def relevel(
    source: Annotated[
        Path,
        typer.Argument(
            help="folder that stake wrote, or the plan's if its stakes are spaced as in its brief; or a site brief "
            "(.toml), planned anew",
            readable=False,
        ),
    ],
    points: Annotated[
        Path, typer.Argument(help="points by stake number: number, northing, easting, height (.csv)", readable=False)
    ],
    order: Order = None,
    unit: Unit = None,
    paper: Paper = "A4",
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("relevelled")),
) -> None:
    """Lay each line through the stakes that the crew moved to one level, size it anew, and write plan and stakes.

    As in: swalekit relevel stakes levelled.csv --out relevelled
    """
    swalekit.reporting.stakes.check_paper(paper)
    with result.work() as stage:
        options = {"stakes.point_order": order, "stakes.point_unit": unit}
        laid = read_laid(source, options, brief=brief, stage=stage)
        levelled = swalekit.read_levelled(points, laid.design.site.brief.stakes)
        design = swalekit.relevel(laid.design, levelled.points, stage=stage)
        stage("drawing the sheets")
        stakeout = swalekit.stake_design(design)
        written: Any = {"levelled": (*laid.levelled, levelled), "paper": paper, "overwrite": result.overwrite}
        written |= {"base": laid.design.site}
        swalekit.write_relevelled(design, stakeout, result.out, **written)
    result.tell(say.print_stakes, design, stakeout, first=laid.anew)
