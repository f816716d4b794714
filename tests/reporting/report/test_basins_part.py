"""Microcatchments in the report: told beside the swales that they were laid beside, and of no other plan."""

import pytest
from grown import grow_design
from sites import make_site, plane

from swalekit.design.bunding.bund import bund
from swalekit.design.plan.pipeline import plan
from swalekit.errors import InputError
from swalekit.results.bunding.write import write_bunding
from swalekit.results.plan.write import write_plan, write_report

ASKED = {"size_m": 3.0, "rain_mm": 220.0, "greatest_slope": 0.12, "swales": "kept"}


def test_basins_are_told(tmp_path):
    """Sentences, blocks and cautions of the folder stand on the page, with their map; another plan refuses them."""
    design = grow_design()
    site = design.site.with_values({"microcatchments": ASKED})
    found = bund(site, design.ground.terrain, design=design)
    write_plan(design, tmp_path / "plan")
    write_bunding(found, tmp_path / "bund")
    write_report(tmp_path / "plan", bunding=tmp_path / "bund", pdf=True)
    page = (tmp_path / "plan" / "report.html").read_text(encoding="utf-8")
    part = page[page.index('<section id="basins-part"') :].split("</section>")[0]
    assert part.count("<tr>") == 1 + int(found.units.block.max())
    assert f"{len(found.units):,} units" in part
    assert "data:image/png;base64,iVBOR" in part
    write_plan(plan(make_site(levels={"levels_m": [106.0]}), plane()), tmp_path / "other")
    with pytest.raises(InputError, match="bund' was not made of this plan"):
        write_report(tmp_path / "other", bunding=tmp_path / "bund")
