"""``swalekit grow``: what the harvested water carries, and what to plant, mulch and raise."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt


def grow(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    out: opt.Out = Path("grow"),
    overwrite: opt.Overwrite = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Count the trees that the swales' water carries, and plan planting, mulch, nursery and the house's greywater.

    As in: swalekit grow site.toml --out grow
    """
    from swalekit.cli.progress import progress
    from swalekit.cli.say import print_growth, print_summary
    from swalekit.design.growth.grow import grow as make_growth
    from swalekit.design.plan.pipeline import plan
    from swalekit.formats.inputs.records import records_of
    from swalekit.formats.inputs.site import read_site, terrain_of
    from swalekit.results.folder.folder import check_free
    from swalekit.results.growth.write import write_growth

    check_free(out, overwrite=overwrite)
    with progress() as stage:
        stage("reading the terrain")
        site = read_site(source)
        terrain = terrain_of(site)
        records = records_of(site, terrain)
        growth = make_growth(plan(site, terrain, stage=stage), records, stage=stage)
        stage("writing the results")
        write_growth(growth, out, overwrite=overwrite)
    if json:
        print_summary(out)
    elif not quiet:
        print_growth(growth, out)
