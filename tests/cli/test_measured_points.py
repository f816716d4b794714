"""A brief that names measured points: from the command to the corrected tile, its table and its record."""

import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from bad_input import assert_one_line_error
from measured_ground import CELL_M, GRID, ground, measured, tilt_and_bowl, truth_m
from read_back import csv_rows
from sites import write_tile

import swalekit as package
from swalekit.errors import InputError
from swalekit.formats.inputs.file_hash import sha256

BRIEF = """
[terrain]
file = "tile.tif"
points = "measured/points.csv"
{terrain}

[storm]
depth_mm = 30.0

[soil]
curve_number = 80

[levels]
interval_m = 6.0
"""


def write_points(file: Path, points, **odd: str) -> None:
    """Points as a spreadsheet with decimal commas saves them; a height may be given as text by the point's name."""
    columns = (part.tolist() for part in (points.easting_m, points.northing_m, points.height_m))
    cells = zip(points.description, *columns, strict=True)
    rows = [f"{name};{x:.3f};{y:.3f};{odd.get(name, f'{z:.3f}')}".replace(".", ",") for name, x, y, z in cells]
    file.parent.mkdir(exist_ok=True)
    file.write_text("\ufeff" + "\n".join(["Point;Easting;Northing;Elevation", *rows]) + "\n", encoding="utf-8")


@pytest.fixture
def site(tmp_path):
    """A folder with a tile 12 cm tilted and 20 cm bowled; of 31 points P12 is 0.8 m off and P31 lies elsewhere."""
    folder = tmp_path / "site"
    folder.mkdir()
    write_tile(folder / "tile.tif", ground(tilt_and_bowl).heights, cell_m=CELL_M)
    points = measured(31, 2)
    easting_m, height_m = points.easting_m.copy(), points.height_m.copy()
    easting_m[30] += 5e4
    height_m[11] += 0.8
    write_points(folder / "measured" / "points.csv", replace(points, easting_m=easting_m, height_m=height_m))
    return folder


def brief_in(folder: Path, terrain: str = "") -> Path:
    """The brief, with lines of the terrain's part."""
    path = folder / "site.toml"
    path.write_text(BRIEF.format(terrain=terrain), encoding="utf-8")
    return path


def test_a_tile_is_judged_corrected_and_told(swalekit, site):
    """The heights that are built on are right to 2 cm; table, summary and notes say why."""
    code, out, err = swalekit("plan", brief_in(site, 'correction = "fitted"'), "--out", "plan")
    assert (code, err) == (0, "")
    said = " ".join(out.split())
    assert "at 29 measured points the tile lies 0.0" in said
    assert "drawn across: P31" in said
    assert "m too low at P12; measure them again" in said
    assert "took a bowl by 29 measured points out of the heights" in said
    summary = json.loads(Path("plan/summary.json").read_text(encoding="utf-8"))
    terrain = summary["terrain"]
    assert (terrain["points"], terrain["correction"]) == (29, "bowl")
    assert (terrain["bias_m"], terrain["rmse_m"]) == (pytest.approx(0.07, abs=0.02), pytest.approx(0.09, abs=0.02))
    assert 0.01 < terrain["vertical_sigma_m"] < 0.03
    (listed,) = (row for row in summary["inputs"] if row["key"] == "terrain.points")
    assert listed["sha256"] == sha256(site / "measured" / "points.csv")
    assert summary["brief"]["terrain"]["points"] == "points.csv"
    rows = csv_rows(Path("plan/terrain_points.csv"))
    assert [row["verdict"] for row in rows] == ["used"] * 11 + ["outlier"] + ["used"] * 18 + ["outside"]
    used = [row for row in rows if row["verdict"] == "used"]
    before, after = (np.array([float(row[name]) for row in used]) for name in ("error_m", "left_m"))
    assert np.sqrt(np.mean(before**2)) == pytest.approx(terrain["rmse_m"], abs=1e-3)
    assert np.sqrt(np.mean(after**2)) < 0.03
    assert (rows[30]["tile_m"], rows[30]["error_m"]) == ("", "")
    built = package.read_terrain("plan/design_surface.tif").heights - package.read_terrain("plan/cut_fill.tif").heights
    assert np.sqrt(np.mean((built - truth_m(*GRID.centres(*np.mgrid[0:100, 0:100]))) ** 2)) < 0.02


def test_a_tile_is_left_alone_unless_asked(swalekit, site):
    """Without a correction heights are those of the file, and the words that would help are said."""
    _, out, _ = swalekit("plan", brief_in(site, "vertical_sigma_m = 0.04"), "--out", "plan")
    said = " ".join(out.split())
    assert "the points show a bowl of 0." in said
    assert 'correction = "bowl" would take it out' in said
    assert "vertical_sigma_m = 0.04 of the brief goes before the 0.0" in said
    terrain = json.loads(Path("plan/summary.json").read_text(encoding="utf-8"))["terrain"]
    assert (terrain["correction"], terrain["vertical_sigma_m"]) == ("none", 0.04)
    assert {row["left_m"] == row["error_m"] for row in csv_rows(Path("plan/terrain_points.csv"))} == {True}
    built = package.read_terrain("plan/design_surface.tif").heights - package.read_terrain("plan/cut_fill.tif").heights
    np.testing.assert_allclose(built, ground(tilt_and_bowl).heights, atol=1e-4)


def test_a_plan_is_made_again_from_its_record(swalekit, site):
    """With the correction, by the points that its folder keeps; others in their place are refused."""
    swalekit("plan", brief_in(site, 'correction = "bowl"'), "--out", "plan", "--no-report")
    again = package.plan_again(package.read_recorded_plan("plan"))
    assert again.ground.terrain.control.taken_out.kind == "bowl"
    (site / "measured" / "points.csv").write_text("e,n,z\n1,2,3\n", encoding="utf-8")
    assert package.read_recorded_plan("plan").site.brief.terrain.points == "plan/inputs/points.csv"
    Path("plan/inputs/points.csv").write_text("e,n,z\n1,2,3\n", encoding="utf-8")
    with pytest.raises(InputError, match=r"plan/inputs/points.csv' was changed after it was written"):
        package.read_recorded_plan("plan")


@pytest.mark.parametrize(
    ("terrain", "words"),
    [
        ('correction = "fited"', "[terrain] correction is 'fited'; it must be 'none', 'shift', 'plane', 'bowl' or"),
        ('points_unit = "inch"', "[terrain] points_unit is 'inch'"),
        ('points_crs = "EPSG:4326"', "points.csv', line 2: the point lies where WGS 84 / UTM zone 30N has no place"),
        ('points_crs = "EPSG:32631"', "points.csv': no point lies on ground that the tile shows"),
    ],
)
def test_what_cannot_be_is_refused(swalekit, site, terrain, words):
    """In one line, before anything is written."""
    assert_one_line_error(swalekit("plan", brief_in(site, terrain), "--out", "plan"), words)
    assert not Path("plan").exists()


def test_keys_of_points_go_with_points(swalekit, site):
    """A correction without any, a file that isn't there, a cell that is no number."""
    brief = brief_in(site, 'correction = "plane"')
    brief.write_text(brief.read_text(encoding="utf-8").replace("points = ", "# points = "), encoding="utf-8")
    assert_one_line_error(swalekit("plan", brief), 'correction is "plane", but no points are named')
    (site / "measured" / "points.csv").unlink()
    assert_one_line_error(swalekit("plan", brief_in(site)), "points.csv' does not exist")
    write_points(site / "measured" / "points.csv", measured(5, 1), P3="n/a")
    assert_one_line_error(
        swalekit("plan", brief_in(site)), "line 4: 'n/a' in column 4 is not a number; write the height"
    )
