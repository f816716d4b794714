"""``swalekit stake``: everything that the crew needs in a folder."""

from pathlib import Path
from typing import Annotated, Any

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_laid

Paper = Annotated[str, opt.option("paper of the sheets: A4, A3, letter or tabloid", "--paper")]
Spacing = Annotated[
    float | None,
    opt.option("from stake to stake along a line [m; ft where the brief's units are us]", "--spacing"),
]
Order = Annotated[str | None, opt.option("columns of points.csv: PNEZD, or PENZD with easting first", "--order")]
Unit = Annotated[str | None, opt.option("unit of points.csv: m, ft or us-ft", "--unit")]


def stake(
    source: opt.Laid,
    spacing: Spacing = None,
    order: Order = None,
    unit: Unit = None,
    paper: Paper = "A4",
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("stakes")),
) -> None:
    """Stake out the swales of a plan: stakes for field gear (CSV, GPX, KML, DXF, LandXML) and the crew's sheets (PDF).

    As in: swalekit stake plan --out stakes --paper A3
    """
    swalekit.reporting.stakes.check_paper(paper)
    options = {"stakes.spacing_m": spacing, "stakes.point_order": order, "stakes.point_unit": unit}
    with result.work() as stage:
        laid = read_laid(source, options, brief=brief, stage=stage)
        stage("setting the stakes")
        stakeout = swalekit.stake_design(laid.design)
        stage("drawing the sheets")
        written: Any = {"levelled": laid.levelled, "paper": paper, "overwrite": result.overwrite}
        swalekit.write_stakeout(laid.design, stakeout, result.out, **written)
    result.tell(say.print_stakes, laid.design, stakeout, first=laid.anew)
