"""``swalekit budget``: one sum over earthworks, planting and all else."""

from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say


def budget(
    plan: Annotated[Path, typer.Argument(help="folder that plan, mend or relevel wrote", readable=False)],
    *,
    growth: Annotated[Path | None, opt.option("folder that swalekit grow wrote", readable=False)] = None,
    bunding: Annotated[Path | None, opt.option("folder that swalekit bund wrote", readable=False)] = None,
    reliability: Annotated[
        Path | None, opt.option("folder that swalekit reliability wrote: range of the earthworks", readable=False)
    ] = None,
    options: Annotated[
        Path | None, opt.option("folder that swalekit compare wrote: choices side by side", readable=False)
    ] = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("budget")),
) -> None:
    """Gather what a plan and its planting cost: each thing once, with its range, year by year.

    As in: swalekit budget plan --growth growth --reliability reliability --options compare
    """
    with result.work(first="reading the bills") as stage:
        gathered = swalekit.gather_budget(
            plan, growth=growth, bunding=bunding, reliability=reliability, options=options
        )
        stage("writing the results")
        swalekit.write_budget(gathered, result.out, overwrite=result.overwrite)
    result.tell(say.print_budget, gathered.found)
