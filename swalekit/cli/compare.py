"""``swalekit compare``: layouts side by side."""

from pathlib import Path
from typing import Annotated, Any

import typer

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.compare_options import (
    LimitOptions,
    RuleOptions,
    SearchOptions,
    VariedOptions,
    given_options,
    refuse_idle,
)
from swalekit.cli.source import read_source


def compare(
    source: opt.Source,
    later: Annotated[
        Path | None, typer.Argument(help="with folders of two plans: the later one", readable=False, show_default=False)
    ] = None,
    *,
    varied: VariedOptions,
    limits: LimitOptions,
    search: SearchOptions,
    by_rule: RuleOptions,
    workers: Annotated[int | None, opt.option("processes; all cores unless the work is small", min=1, max=1000)] = None,
    tile: opt.TileOptions,
    result: opt.ResultOptions = opt.ResultOptions(Path("compare")),
) -> None:
    """Compare layouts: lines, volumes, cost, water kept and cautions of each, and which is recommended.

    That is, of those that keep all limits of the brief, the one of the least cost / (share of the water kept)^1.25:
    keeping 1 % more of the water may cost 1.25 % more. Every combination of the values given is laid out, or with
    --search enough of them to find the best. Ctrl-C ends it early, and the options that are done are written.

    As in: swalekit compare site.toml --spacing 25,30,35 --bottom-width 0.6,0.8 --depth 0.8,1.0

    Or tell what changed from one plan to another, line by line: swalekit compare plan plan2
    """
    if later is not None:
        asked = {**varied.given, **limits.given, **by_rule.given, "--rules": by_rule.rules, "--search": search.search}
        refuse_idle(
            "what changed between two plans", "is told of their folders alone", {**asked, **given_options(tile)}
        )
        _compare_plans(source, later, result)
        return
    if not search.search:
        refuse_idle("a grid", "has no place to begin from", {"--seed": search.seed is not None})
    if by_rule.rules:
        refuse_idle("--rules", "lays nothing out", {**varied.given, **limits.given, "--search": search.search})
        _compare_rules(source, tile, by_rule, result)
        return
    refuse_idle("without --rules a strip", "gives no spacing", by_rule.given)
    first = varied.first_levels(us=tile.us)
    with result.work() as stage:
        site = read_source(source, tile.by_brief_key, us=tile.us, tile_only=first)
        us = site.brief.site.units == "us"
        axes = varied.axes(us=us)
        choices: Any = {"limits": limits.limits(us=us), "by_volume": search.least == "dug"}
        choices |= {"workers": workers, "stage": stage}
        if search.search:
            seed = 1 if search.seed is None else search.seed
            comparison = swalekit.search(site, swalekit.terrain_of(site), axes, seed=seed, **choices)
        else:
            comparison = swalekit.compare(site, swalekit.terrain_of(site), swalekit.grid_of(axes), **choices)
        stage("writing the results")
        swalekit.write_comparison(comparison, result.out, overwrite=result.overwrite)
    result.tell(say.print_comparison, comparison)
    if comparison.stopped:
        raise typer.Exit(opt.INTERRUPTED)


def _compare_plans(before: Path, after: Path, result: opt.ResultOptions) -> None:
    with result.work(first="reading the plans") as stage:
        changes = swalekit.what_changed(before, after)
        stage("writing the results")
        swalekit.write_changes(changes, result.out, plans=(before, after), overwrite=result.overwrite)
    result.tell(say.print_changes, changes)


def _compare_rules(source: Path, tile: opt.TileOptions, by_rule: RuleOptions, result: opt.ResultOptions) -> None:
    with result.work() as stage:
        site = read_source(source, tile.by_brief_key, us=tile.us, tile_only={"levels.matched": True})
        strip = by_rule.strip(us=site.brief.site.units == "us")
        terrain = swalekit.terrain_of(site)
        table = swalekit.spacing_rules_of(site, terrain, strip=strip, stage=stage)
        written: Any = {"terrain": terrain, "overwrite": result.overwrite}
        swalekit.results.options.write_spacing_rules(table, site, result.out, **written)
    result.tell(say.print_spacing_rules, site, table)
