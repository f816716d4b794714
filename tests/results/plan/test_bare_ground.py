"""A plan on a surface that was cleared: its lines against those on the known ground, its picture, its keep-outs."""

import json

import numpy as np
import pytest
from made_surfaces import made_surface
from sites import make_site

import swalekit
from swalekit.formats.inputs.site import read_site, terrain_of
from swalekit.formats.terrain.cog import write_terrain
from swalekit.results.plan import write_report
from swalekit.terrain.bare_ground import bare_ground
from swalekit.terrain.sample import bilinear
from swalekit.terrain.terrain import Terrain
from swalekit.terrain.voids import fill_small_voids


def planned(terrain, *, lines=None, **levels):
    """A design on terrain of the made surfaces."""
    terrain_part = {"file": "tile.tif", "vertical_sigma_m": 0.05}
    parts = {"storm": {"depth_mm": 40.0}, "section": {"greatest_fill_m": 3.0}}  # no line is cut back for its fill
    return swalekit.plan(make_site(terrain=terrain_part, **parts, **levels), terrain, lines=lines)


@pytest.mark.compiled
@pytest.mark.parametrize(("kind", "seed"), [("flank", 42), ("gullied", 42)])
def test_lines_lie_within_their_error_of_those_on_the_truth(kind, seed):
    """Nineteen stations in twenty, as high as the truth within 1.96 standard errors; their catchments within 5 %."""
    surface = made_surface(kind, seed)
    truth = fill_small_voids(
        Terrain.from_heights(
            np.where(np.isfinite(surface.seen), surface.ground, np.nan), surface.terrain().grid, vertical_sigma_m=0.05
        ),
        greatest_m2=25.0,
    )
    expected = planned(truth)
    levels = sorted({swale.line.level_m for swale in expected.swales})
    bare = bare_ground(fill_small_voids(surface.terrain(), greatest_m2=25.0), radius_m=6.5)
    got = planned(bare, levels={"levels_m": levels})
    beyond = []
    for swale in got.swales:
        true_m = bilinear(surface.ground, *bare.grid.rows_columns(*swale.line.xy.T))
        beyond.append(np.abs(true_m - swale.line.level_m) > 1.96 * bare.sigma_at(*swale.line.xy.T))
    assert np.concatenate(beyond).mean() < 0.05
    on_truth = planned(truth, lines=[swale.line for swale in got.swales])
    area_m2, expected_m2 = (sum(swale.catchment_m2 for swale in design.swales) for design in (got, on_truth))
    assert area_m2 == pytest.approx(expected_m2, rel=0.05)
    unseen = [swale for swale in got.swales if swale.unseen_m > 0]
    assert unseen
    assert all("over unseen ground" in [caution.name for caution in swale.cautions] for swale in unseen)


@pytest.mark.compiled
def test_plan_shows_what_was_taken_off(tmp_path):
    """A picture, and keep-outs that the brief takes: lines then stay clear of them, and none is proposed again."""
    surface = made_surface("flank", 44, side_m=90.0)
    terrain = surface.terrain()
    write_terrain(tmp_path / "tile.tif", surface.seen, terrain.grid)
    text = '[terrain]\nfile = "tile.tif"\ndenoise_radius_m = 6.5\nvertical_sigma_m = 0.05\n[storm]\ndepth_mm = 40.0\n'
    text += "[soil]\ncurve_number = 80\n[levels]\ninterval_m = 2.0\n"
    (tmp_path / "site.toml").write_text(text)
    found = []
    for round_, more in enumerate(("", '[area]\nkeep_outs = "plan0/proposed_keep_outs.geojson"\n')):
        (tmp_path / "site.toml").write_text(text + more)
        site = read_site(tmp_path / "site.toml")
        design = swalekit.plan(site, terrain_of(site))
        swalekit.write_plan(design, tmp_path / f"plan{round_}")
        written = json.loads((tmp_path / f"plan{round_}" / "proposed_keep_outs.geojson").read_text())
        found.append([feature["properties"]["kind"] for feature in written["features"]])
        assert (tmp_path / f"plan{round_}" / "bare_ground.png").stat().st_size > 10_000
    write_report(tmp_path / "plan1")
    assert "What was taken off the surface" in (tmp_path / "plan1" / "report.html").read_text()
    assert found[0].count("tree") >= 10
    assert found[0].count("building") >= 1
    assert found[1] == []
    assert not any(
        swale.works.intersects(thing.outline)
        for swale in design.swales
        for thing in design.ground.terrain.taken_off.things
        if thing.kind == "building"
    )
