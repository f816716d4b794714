"""``swalekit plan``: from a brief or a tile to a folder of results."""

from dataclasses import dataclass
from functools import partial
from pathlib import Path
from typing import Annotated, Any

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import numbers, read_source


@dataclass(frozen=True)
class LevelOptions:
    """How levels are chosen on a tile in place of a brief."""

    interval: Annotated[float | None, opt.option("vertical interval [m; ft with --us]")] = None
    spacing: Annotated[float | None, opt.option("horizontal spacing [m; ft with --us]")] = None
    levels: Annotated[str | None, opt.option("levels separated by commas [m; ft with --us]")] = None
    rule: Annotated[str | None, opt.option("published spacing rule, by name")] = None
    matched: Annotated[bool, opt.option("levels whose lines the design storm just fills", "--matched")] = False

    @property
    def by_brief_key(self) -> dict[str, Any]:
        """Each option's value, or None, by part and key of the brief."""
        return {
            "levels.interval_m": self.interval,
            "levels.spacing_m": self.spacing,
            "levels.levels_m": None if self.levels is None else numbers(self.levels, option="--levels"),
            "levels.rule": self.rule,
            "levels.matched": self.matched or None,
        }


def plan(
    source: opt.Source,
    *,
    spaced: LevelOptions,
    tile: opt.TileOptions,
    breach: Annotated[str | None, opt.option("show what happens if this swale fails, as S3")] = None,
    no_report: Annotated[bool, opt.option("write no report.html", "--no-report")] = False,
    result: opt.ResultOptions = opt.ResultOptions(Path("plan")),
) -> None:
    """Lay out, size and cost level swales, and write lines, map, volumes and summary to a folder.

    As in: swalekit plan site.toml --out plan

    or: swalekit plan hillside.tif --interval 1.5 --storm 60 --curve-number 81
    """
    site = read_source(source, spaced.by_brief_key | tile.by_brief_key, us=tile.us)
    with result.work(carried=swalekit.results.plan.carried_lines(site)) as stage:
        if breach is not None:
            site = site.with_values({"breach.swale": breach}, source="options")
        terrain = swalekit.terrain_of(site)
        design = swalekit.plan(swalekit.sized_to_hold(site, terrain, stage=stage), terrain, stage=stage)
        staged = swalekit.build_in_stages(design, stage=stage) if swalekit.in_stages(design) else None
        design = design if staged is None else staged.design
        stage("writing the results")
        written: Any = {"overwrite": result.overwrite, "report": not no_report, "staged": staged}
        swalekit.write_plan(design, result.out, **written)
    result.tell(partial(say.print_plan, staged=staged), design)
