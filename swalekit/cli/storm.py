"""``swalekit storm``: the storm analysis alone."""

from pathlib import Path
from typing import Annotated

import typer

from swalekit.cli import options as opt


def storm(
    source: Annotated[Path, typer.Argument(help="site brief (.toml)", readable=False)],
    out: opt.Out = Path("storm"),
    *,
    result: opt.ResultOptions,
) -> None:
    """Show where the storm figure comes from: depth by return period with its band, and the course of the rain.

    As in: swalekit storm site.toml
    """
    from swalekit.cli.say.storm import print_storm
    from swalekit.formats.inputs.site import read_site
    from swalekit.results.storm.write import write_storm

    with result.work_for(out, first="reading the rain"):
        site = read_site(source)
        write_storm(site, out, overwrite=result.overwrite)
    result.tell(print_storm, site, out)
