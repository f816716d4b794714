"""``swalekit reliability``: how sure a layout is."""

from pathlib import Path
from typing import Annotated

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import numbers, read_laid


def reliability(
    source: opt.Laid,
    draws: Annotated[int | None, opt.option("layouts drawn, in place of the brief's")] = None,
    seed: Annotated[int | None, opt.option("start of the random numbers, likewise")] = None,
    sizes: Annotated[
        str | None, opt.option("size for these multiples of the design storm too: what each costs and holds")
    ] = None,
    hold_chance: Annotated[
        float | None, opt.option("find the storm to size for so that none spills with this chance, as 0.8")
    ] = None,
    workers: Annotated[int, opt.option("processes that share the draws; the result is the same", min=1, max=1000)] = 1,
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("reliability")),
) -> None:
    """Show how sure a layout is: its chance to hold the storm, ranges of soil dug and cost, and what matters most.

    As in: swalekit reliability plan --draws 200 --seed 1

    What a higher price buys: swalekit reliability plan --sizes 1.1,1.25,1.5 --hold-chance 0.8
    """
    given = [] if sizes is None else numbers(sizes, option="--sizes")
    factors = swalekit.design.reliability.checked_factors(given)  # at once: what follows takes minutes
    with result.work() as stage:
        options = {"uncertainty.draws": draws, "uncertainty.seed": seed, "conditions.hold_chance": hold_chance}
        laid = read_laid(source, options, brief=brief, holds=False, stage=stage)
        site, terrain = laid.design.site, laid.design.ground.terrain
        drawn = swalekit.how_sure(site, terrain, lines=laid.lines, workers=workers, stage=stage)
        target, sized = site.brief.conditions.hold_chance, None
        if factors or target is not None:
            sized = swalekit.size_chances(
                drawn, factors=factors, target=target, lines=laid.lines, workers=workers, stage=stage
            )
        stage("writing the results")
        swalekit.write_reliability(drawn, result.out, sizes=sized, overwrite=result.overwrite)
    result.tell(say.print_reliability, drawn, sized, first=laid.anew)
