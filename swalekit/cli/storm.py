"""``swalekit storm``: the storm analysis alone."""

from pathlib import Path

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say


def storm(
    source: opt.Brief,
    *,
    result: opt.ResultOptions = opt.ResultOptions(Path("storm")),
) -> None:
    """Show where the storm figure comes from: depth by return period with its band, and the course of the rain.

    As in: swalekit storm site.toml
    """
    with result.work(first="reading the rain"):
        site = swalekit.read_site(source)
        swalekit.results.write_storm(site, result.out, overwrite=result.overwrite)
    result.tell(say.print_storm, site)
