"""``swalekit grow``: what the harvested water carries, and what to plant, mulch and raise."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt


def grow(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    out: opt.Out = Path("grow"),
    *,
    result: opt.ResultOptions,
) -> None:
    """Count the trees that the swales' water carries, and plan planting, mulch, nursery and the house's greywater.

    As in: swalekit grow site.toml --out grow
    """
    from swalekit.cli.say.growth import print_growth
    from swalekit.design.growth.grow import grow as make_growth
    from swalekit.design.plan.pipeline import plan
    from swalekit.formats.inputs.records import records_of
    from swalekit.formats.inputs.site import read_site, terrain_of
    from swalekit.results.growth.write import write_growth

    with result.work_for(out) as stage:
        site = read_site(source)
        terrain = terrain_of(site)
        records = records_of(site, terrain)
        growth = make_growth(plan(site, terrain, stage=stage), records, stage=stage)
        stage("writing the results")
        write_growth(growth, out, overwrite=result.overwrite)
    result.tell(print_growth, growth, out)
