"""``swalekit reliability``: how sure a layout is."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt


def reliability(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    draws: Annotated[int | None, opt.option("layouts drawn, in place of the brief's")] = None,
    seed: Annotated[int | None, opt.option("start of the random numbers, likewise")] = None,
    workers: Annotated[int, opt.option("processes that share the draws; the result is the same", min=1, max=1000)] = 1,
    out: opt.Out = Path("reliability"),
    *,
    result: opt.ResultOptions,
) -> None:
    """Show how sure a layout is: its chance to hold the storm, ranges of soil dug and cost, and what matters most.

    As in: swalekit reliability site.toml --draws 200 --seed 1
    """
    from swalekit.cli.say.reliability import print_reliability
    from swalekit.cli.source import read_brief_with
    from swalekit.design.reliability.reliability import how_sure
    from swalekit.formats.inputs.site import terrain_of
    from swalekit.results.reliability.write import write_reliability

    with result.work_for(out) as stage:
        site = read_brief_with(source, {"uncertainty.draws": draws, "uncertainty.seed": seed})
        drawn = how_sure(site, terrain_of(site), workers=workers, stage=stage)
        stage("writing the results")
        write_reliability(drawn, out, overwrite=result.overwrite)
    result.tell(print_reliability, drawn, out)
