"""``swalekit compare``: layouts side by side."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt
from swalekit.cli.brief_of import brief_values, level_variations


@opt.with_tile_options
def compare(
    source: opt.Source,
    *,
    interval: Annotated[
        str | None, typer.Option("--interval", help="vertical intervals separated by commas [m; ft with --us]")
    ] = None,
    spacing: Annotated[
        str | None, typer.Option("--spacing", help="horizontal spacings separated by commas [m; ft with --us]")
    ] = None,
    tile: opt.TileOptions,
    out: opt.Out = Path("compare"),
    overwrite: opt.Overwrite = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Compare spacings: lines, volumes, cost and held storm of each, and the cheapest that holds the design storm.

    As in: swalekit compare site.toml --interval 1,1.5,2,3
    """
    values = brief_values(source, tile.by_brief_key, us=tile.us)
    if values is not None:
        values.setdefault("levels", {}).update(level_variations(interval, spacing, us=tile.us)[0][1])
    from swalekit.cli.results import write_comparison
    from swalekit.cli.say import print_comparison, print_json, progress
    from swalekit.design.options import compare as lay_out_options
    from swalekit.formats.result_folder import check_free
    from swalekit.formats.site import read_site, site_from_values, terrain_of

    check_free(out, overwrite=overwrite)
    with progress() as stage:
        stage("reading the terrain")
        site = read_site(source) if values is None else site_from_values(values)
        variations = level_variations(interval, spacing, us=site.brief.site.units == "us")
        comparison = lay_out_options(site, terrain_of(site), variations, stage=stage)
        stage("writing the results")
        write_comparison(comparison, out, overwrite=overwrite)
    if json:
        print_json({"options": [option.figures for option in comparison.options]})
    elif not quiet:
        print_comparison(comparison, out)
