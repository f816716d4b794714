"""``swalekit plan``: from a brief or a tile to a folder of results."""

from dataclasses import dataclass
from pathlib import Path
from typing import Annotated, Any

import typer

from swalekit.cli import options as opt
from swalekit.cli.brief_of import brief_values, numbers


@dataclass(frozen=True)
class LevelOptions:
    """How levels are chosen on a tile in place of a brief."""

    interval: Annotated[float | None, typer.Option("--interval", help="vertical interval [m; ft with --us]")] = None
    spacing: Annotated[float | None, typer.Option("--spacing", help="horizontal spacing [m; ft with --us]")] = None
    levels: Annotated[str | None, typer.Option("--levels", help="levels separated by commas [m; ft with --us]")] = None
    rule: Annotated[str | None, typer.Option("--rule", help="published spacing rule, by name")] = None
    matched: Annotated[bool, typer.Option("--matched", help="levels whose lines the design storm just fills")] = False

    @property
    def by_brief_key(self) -> dict[tuple[str, str], Any]:
        """Each option's value, or None, by part and key of the brief."""
        return {
            ("levels", "interval_m"): self.interval,
            ("levels", "spacing_m"): self.spacing,
            ("levels", "levels_m"): None if self.levels is None else numbers(self.levels, option="--levels"),
            ("levels", "rule"): self.rule,
            ("levels", "matched"): self.matched or None,
        }


@opt.with_option_groups
def plan(
    source: opt.Source,
    *,
    spaced: LevelOptions,
    tile: opt.TileOptions,
    breach: Annotated[str | None, typer.Option("--breach", help="show what happens if this swale fails, as S3")] = None,
    no_report: Annotated[bool, typer.Option("--no-report", help="write no report.html")] = False,
    out: opt.Out = Path("plan"),
    overwrite: opt.Overwrite = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Lay out, size and cost level swales, and write lines, map, volumes and summary to a folder.

    As in: swalekit plan site.toml --out plan

    or: swalekit plan hillside.tif --interval 1.5 --storm 60 --curve-number 81
    """
    values = brief_values(source, spaced.by_brief_key | tile.by_brief_key, us=tile.us)
    from swalekit.cli.progress import progress
    from swalekit.cli.say import print_plan, print_summary
    from swalekit.design.plan.pipeline import plan as make_plan
    from swalekit.formats.inputs.site import read_site, site_from_values, terrain_of
    from swalekit.results.folder.folder import check_free
    from swalekit.results.plan.write import write_plan

    check_free(out, overwrite=overwrite)
    with progress() as stage:
        stage("reading the terrain")
        site = read_site(source) if values is None else site_from_values(values)
        if breach is not None:
            site = site.with_breach(breach)
        design = make_plan(site, terrain_of(site), stage=stage)
        stage("writing the results")
        write_plan(design, out, overwrite=overwrite, report=not no_report)
    if json:
        print_summary(out)
    elif not quiet:
        print_plan(design, out)
