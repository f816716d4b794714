"""A plan of decisions made in Python is made again from its folder."""

import geopandas
import numpy as np
import pytest
from sites import plane, write_tile

import swalekit
from swalekit.errors import InputError


@pytest.fixture
def decided(tmp_path):
    """A folder of a plan whose upper line is held and widened, the middle one dropped, and the plan."""
    write_tile(tmp_path / "plane.tif", plane().heights)
    brief = {"terrain.file": str(tmp_path / "plane.tif"), "storm.depth_mm": 50.0, "soil.curve_number": 80.0}
    site = swalekit.site_from_values(brief | {"levels.levels_m": [110.0, 107.0, 104.0]})
    terrain = swalekit.terrain_of(site)
    lines = swalekit.lines_of(swalekit.plan(site, terrain))
    lines = lines.decide("S1", "held", bottom_width_m=1.1).decide("S2", "dropped")
    design = swalekit.plan(site.with_lines(lines), terrain)
    swalekit.write_plan(design, tmp_path / "plan")
    return tmp_path / "plan", design


def test_it_has_the_same_lines(decided):
    """To the bit, with the names that last."""
    folder, design = decided
    again = swalekit.plan_again(swalekit.read_recorded_plan(folder))
    assert [swale.id for swale in again.swales] == [swale.id for swale in design.swales] == ["S1", "S3"]
    for swale, other in zip(again.swales, design.swales, strict=True):
        assert np.array_equal(swale.line.xy, other.line.xy)
        assert swale.own == other.own


def test_lines_edited_since_are_not_those_of_the_plan(decided):
    """The way out is to plan again."""
    folder, _ = decided
    frame = geopandas.read_file(folder / "lines.gpkg")
    (folder / "lines.gpkg").unlink()
    frame.assign(state="proposed").to_file(folder / "lines.gpkg", layer="lines")
    with pytest.raises(InputError, match=r"lines\.gpkg' was changed after it was written"):
        swalekit.read_recorded_plan(folder)
