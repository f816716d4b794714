"""``swalekit gauge``: the notes taken at gauge posts, read back into the ground's own runoff."""

from pathlib import Path
from typing import Annotated

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_laid


def gauge(
    source: opt.Laid,
    notes: Annotated[
        Path,
        typer.Argument(
            help="notes of the posts: date, swale, rain_mm, depth_m above the floor or level_m, and where known "
            "after_h, rain_lasted_h, before_m (.csv)",
            readable=False,
        ),
    ],
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("gauge")),
) -> None:
    """Read gauge notes back: runoff of each rain, the site's own curve number, and what the brief would have to say.

    As in: swalekit gauge plan notes.csv --out gauge
    """
    with result.work() as stage:
        taken = swalekit.read_gauge_notes(notes)
        laid = read_laid(source, {}, brief=brief, stage=stage)
        gauging = swalekit.gauge(laid.design, taken, stage=stage)
        stage("writing the results")
        swalekit.write_gauging(gauging, result.out, notes=notes, overwrite=result.overwrite)
    result.tell(say.print_gauging, gauging, first=laid.anew)
