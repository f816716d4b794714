"""``swalekit grow``: what the harvested water carries, and what to plant, mulch and raise."""

from pathlib import Path

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_laid


def grow(
    source: opt.Laid,
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("grow")),
) -> None:
    """Count the trees that the swales' water carries, and plan planting, mulch, nursery and the house's greywater.

    As in: swalekit grow plan --out grow
    """
    with result.work() as stage:
        laid = read_laid(source, {}, brief=brief, grows=True, stage=stage)
        records = swalekit.records_of(laid.design.site, laid.design.ground.terrain)
        growth = swalekit.grow(laid.design, records, stage=stage)
        stage("writing the results")
        swalekit.write_growth(growth, result.out, overwrite=result.overwrite)
    result.tell(say.print_growth, growth, first=laid.anew)
