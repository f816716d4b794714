"""``swalekit report``: a page for the client from a folder of results."""

from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say


def report(
    folder: Annotated[Path, typer.Argument(help="folder that swalekit plan wrote", readable=False)],
    *,
    options: Annotated[
        Path | None,
        opt.option("folder that swalekit compare wrote, shown beside it", readable=False),
    ] = None,
    growth: Annotated[
        Path | None, opt.option("folder that swalekit grow wrote: water for trees", readable=False)
    ] = None,
    reliability: Annotated[
        Path | None,
        opt.option("folder that swalekit reliability wrote: how sure", readable=False),
    ] = None,
    bunding: Annotated[
        Path | None, opt.option("folder that swalekit bund wrote: trees in basins", readable=False)
    ] = None,
    budget: Annotated[
        Path | None, opt.option("folder that swalekit budget wrote: what it costs", readable=False)
    ] = None,
    pdf: Annotated[bool, opt.option("write report.pdf for printing too", "--pdf")] = False,
    quiet: opt.Quiet = False,
) -> None:
    """Write report.html into a plan's folder: one file that opens in any browser, without a network.

    As in: swalekit report plan --pdf

    or: swalekit report plan --options compare --growth growth --budget budget
    """
    with say.progress() as stage:
        stage("writing the report")
        beside = {
            "options": options,
            "growth": growth,
            "reliability": reliability,
            "bunding": bunding,
            "budget": budget,
        }
        swalekit.results.plan.write_report(folder, **beside, pdf=pdf)
    if not quiet:
        typer.echo(f"report in {folder / 'report.html'}" + (f" and {folder / 'report.pdf'}" if pdf else ""))
