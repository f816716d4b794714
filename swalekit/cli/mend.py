"""``swalekit mend``: the cures of a plan's cautions, each tried on the real layout."""

from pathlib import Path
from typing import Annotated

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_laid


def mend(
    source: opt.Laid,
    only: Annotated[str | None, opt.option("mend these swales alone, as S3,S7", "--only")] = None,
    apply: Annotated[
        bool, opt.option("write the mended plan, its lines held; else the table of what was tried alone", "--apply")
    ] = False,
    may_lose: Annotated[
        float, opt.option("share of the water kept that may be lost with lines that are left out", min=0.0, max=1.0)
    ] = 0.05,
    no_report: Annotated[bool, opt.option("write no report.html", "--no-report")] = False,
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("mended")),
) -> None:
    """Try the cures of every caution that a change of the works may remove, and take the cheapest set that works.

    Each is tried on the real layout with all below it sized and poured again: its price, what it cures and worsens.

    As in: swalekit mend plan --apply --out mended
    """
    with result.work() as stage:
        laid = read_laid(source, {}, brief=brief, stage=stage)
        names = [] if only is None else [name.strip() for name in only.split(",")]
        mended = swalekit.mend(laid.design, only=names, may_lose=may_lose, stage=stage)
        stage("writing the results")
        if apply:
            swalekit.write_mended(mended, result.out, overwrite=result.overwrite, report=not no_report)
        else:
            swalekit.write_trials(mended, result.out, overwrite=result.overwrite)
    result.tell(say.print_mended, mended, first=laid.anew)
