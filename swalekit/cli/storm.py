"""``swalekit storm``: the storm analysis alone."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt


def storm(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    out: opt.Out = Path("storm"),
    overwrite: opt.Overwrite = False,
    json: opt.Json = False,
    quiet: opt.Quiet = False,
) -> None:
    """Show where the storm figure comes from: depth by return period with its band, and the course of the rain.

    As in: swalekit storm site.toml
    """
    from swalekit.cli.say import print_storm, print_summary
    from swalekit.formats.inputs.site import read_site
    from swalekit.results.folder.folder import check_free
    from swalekit.results.storm.write import write_storm

    check_free(out, overwrite=overwrite)
    site = read_site(source)
    write_storm(site, out, overwrite=overwrite)
    if json:
        print_summary(out)
    elif not quiet:
        print_storm(site, out)
