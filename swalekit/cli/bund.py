"""``swalekit bund``: microcatchments, a basin a tree, where level ditches don't suit."""

from pathlib import Path

import swalekit
from swalekit.cli import options as opt
from swalekit.cli import say
from swalekit.cli.source import read_laid


def bund(
    source: opt.Laid,
    *,
    brief: opt.Moved = None,
    result: opt.ResultOptions = opt.ResultOptions(Path("bund")),
) -> None:
    """Lay negarim or half-moon bunds by the brief's [microcatchments] on ground that suits them, beside the swales.

    As in: swalekit bund site.toml --out bund
    """
    with result.work() as stage:
        if source.suffix.lower() == ".toml":
            site, design = swalekit.read_site(source), None
            terrain = swalekit.terrain_of(site)
        else:
            design = read_laid(source, {}, brief=brief, stage=stage).design
            site, terrain = design.site, design.ground.terrain
        records = swalekit.bund_records_of(site, terrain)
        found = swalekit.bund(site, terrain, records, design=design, stage=stage)
        stage("writing the results")
        swalekit.write_bunding(found, result.out, overwrite=result.overwrite)
    result.tell(say.print_bunding, found)
