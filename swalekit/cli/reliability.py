"""``swalekit reliability``: how sure a layout is."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt


def reliability(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    draws: Annotated[int | None, typer.Option("--draws", help="layouts drawn, in place of the brief's")] = None,
    seed: Annotated[int | None, typer.Option("--seed", help="start of the random numbers, likewise")] = None,
    workers: Annotated[
        int, typer.Option("--workers", help="processes that share the draws; the result is the same", min=1, max=1000)
    ] = 1,
    out: opt.Out = Path("reliability"),
    overwrite: opt.Overwrite = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Show how sure a layout is: its chance to hold the storm, ranges of soil dug and cost, and what matters most.

    As in: swalekit reliability site.toml --draws 200 --seed 1
    """
    from swalekit.cli.progress import progress
    from swalekit.cli.say import print_reliability, print_summary
    from swalekit.design.reliability.reliability import how_sure
    from swalekit.formats.inputs.brief import brief_with, read_brief
    from swalekit.formats.inputs.site import site_of, terrain_of
    from swalekit.results.folder.folder import check_free
    from swalekit.results.reliability.write import write_reliability

    check_free(out, overwrite=overwrite)
    with progress() as stage:
        stage("reading the terrain")
        site = site_of(brief_with(read_brief(source), "uncertainty", draws=draws, seed=seed))
        drawn = how_sure(site, terrain_of(site), workers=workers, stage=stage)
        stage("writing the results")
        write_reliability(drawn, out, overwrite=overwrite)
    if json:
        print_summary(out)
    elif not quiet:
        print_reliability(drawn, out)
