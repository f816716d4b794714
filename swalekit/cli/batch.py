"""``swalekit batch``: many sites from one table."""

from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say

_FAILED = 1
"""Exit code of a batch with a failed site."""


def batch(
    table: Annotated[
        Path,
        typer.Argument(help="CSV with a row a site: site, brief, and columns like storm.depth_mm", readable=False),
    ],
    workers: Annotated[
        int | None,
        opt.option("processes on this machine; all cores unless given", min=1, max=1000),
    ] = None,
    cluster: Annotated[str | None, opt.option("address of a running Dask scheduler, as tcp://host:8786")] = None,
    out: opt.Out = Path("batch"),
    overwrite: Annotated[bool, opt.option("plan finished sites again", "--overwrite")] = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Plan every site of a table, and gather one table and one GeoPackage.

    A site that fails is a row with its error, and the rest go on. Ctrl-C keeps what is finished; the same command goes
    on from there. Workers of a cluster read briefs and tiles by the paths they have here, and write nothing.

    As in: swalekit batch sites.csv --workers 2 --out batch
    """
    with say.progress() as stage:
        planned = swalekit.plan_sites(table, out, workers=workers, cluster=cluster, overwrite=overwrite, stage=stage)
    if json:
        say.print_json({"sites": list(planned.rows)})
    elif not quiet:
        say.print_batch(planned, out)
    if planned.stopped:
        raise typer.Exit(opt.INTERRUPTED)
    if any(row["error"] for row in planned.rows):
        raise typer.Exit(_FAILED)
