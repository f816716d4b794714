"""``swalekit grow``: what the harvested water carries, and what to plant, mulch and raise."""

from pathlib import Path

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say


def grow(
    source: opt.Brief,
    *,
    result: opt.ResultOptions = opt.ResultOptions(Path("grow")),
) -> None:
    """Count the trees that the swales' water carries, and plan planting, mulch, nursery and the house's greywater.

    As in: swalekit grow site.toml --out grow
    """
    with result.work() as stage:
        site = swalekit.read_site(source)
        terrain = swalekit.terrain_of(site)
        records = swalekit.records_of(site, terrain)
        growth = swalekit.grow(swalekit.plan(site, terrain, stage=stage), records, stage=stage)
        stage("writing the results")
        swalekit.write_growth(growth, result.out, overwrite=result.overwrite)
    result.tell(say.print_growth, growth)
