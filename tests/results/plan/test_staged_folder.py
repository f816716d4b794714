"""A plan built in seasons, in its folder: table, maps, attributes, stakes, and the same design made again."""

import geopandas
import pytest
from read_back import csv_rows
from sites import plane, write_tile

import swalekit

RATES = {"rates.machine_per_h": 60.0, "rates.mobilisation": 300.0}


def staged_site(folder, **values):
    """A site on a plane whose brief asks for seasons."""
    write_tile(folder / "plane.tif", plane().heights)
    brief = {"terrain.file": str(folder / "plane.tif"), "storm.depth_mm": 50.0, "soil.curve_number": 80.0}
    return swalekit.site_from_values(brief | {"levels.levels_m": [110.0, 107.0, 104.0]} | RATES | values)


def test_the_folder_tells_the_seasons(tmp_path):
    """stages.csv, stages.png, and the season of each swale in the layers, earthwork.csv and the stakes."""
    site = staged_site(tmp_path, **{"stages.count": 2})
    swalekit.write_plan(swalekit.plan(site, swalekit.terrain_of(site)), tmp_path / "plan", report=True)
    rows = csv_rows(tmp_path / "plan" / "stages.csv")
    assert [(row["stage"], row["swales"]) for row in rows] == [("1", "S1, S2"), ("2", "S3")]
    assert (tmp_path / "plan" / "stages.png").stat().st_size > 10_000
    assert [row["stage"] for row in csv_rows(tmp_path / "plan" / "earthwork.csv")[:3]] == ["1", "1", "2"]
    assert geopandas.read_file(tmp_path / "plan" / "site.gpkg", layer="swales")["stage"].tolist() == [1, 1, 2]
    lines = geopandas.read_file(tmp_path / "plan" / "lines.gpkg")
    assert lines["stage"].isna().all(), "what the brief orders is not the designer's decision"
    design = swalekit.plan_again(swalekit.read_recorded_plan(tmp_path / "plan"))
    swalekit.write_stakeout(design, swalekit.stake_design(design), tmp_path / "stakes")
    stakes = csv_rows(tmp_path / "stakes" / "stakes.csv")
    assert {(row["swale"], row["stage"]) for row in stakes} == {("S1", "1"), ("S2", "1"), ("S3", "2")}


def test_without_seasons_there_is_no_table_of_them(tmp_path):
    """Nor a season anywhere."""
    site = staged_site(tmp_path)
    swalekit.write_plan(swalekit.plan(site, swalekit.terrain_of(site)), tmp_path / "plan")
    assert not (tmp_path / "plan" / "stages.csv").exists()
    assert {row["stage"] for row in csv_rows(tmp_path / "plan" / "earthwork.csv")} == {""}


def test_longer_sills_are_those_of_the_folder_and_of_the_plan_made_again(tmp_path):
    """The lowest line first: its sill is as long as it needs alone, in every file and when it is made again."""
    site = staged_site(tmp_path, **{"storm.check_depth_mm": 110.0})
    terrain = swalekit.terrain_of(site)
    free = swalekit.plan(site, terrain)
    lines = swalekit.lines_of(free).decide("S3", "proposed", stage=1)
    lines = lines.decide("S1", "proposed", stage=2).decide("S2", "proposed", stage=2)
    whole = swalekit.plan(site.with_lines(lines), terrain)
    swalekit.write_plan(whole, tmp_path / "plan")
    rows = {row["swale"]: row for row in csv_rows(tmp_path / "plan" / "earthwork.csv")}
    longer_m = float(rows["S3"]["sill_length_m"])
    assert longer_m > free.swales[2].sill.length_m + 0.4
    again = swalekit.plan_again(swalekit.read_recorded_plan(tmp_path / "plan"))
    assert again.swales[2].sill.length_m == pytest.approx(longer_m)
    assert [swale.stage for swale in again.swales] == [2, 2, 1]
