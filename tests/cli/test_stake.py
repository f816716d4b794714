"""``swalekit stake`` and ``swalekit relevel`` as a crew's office uses them."""

import csv
import json

import ezdxf
import pyogrio
import pytest
from bad_input import assert_one_line_error
from read_back import csv_rows
from sites import plane, write_tile

FILES = {
    "brief.toml",
    "stakes.csv",
    "points.csv",
    "stakes.gpx",
    "stakes.kml",
    "stakes.dxf",
    "design.xml",
    "site.gpkg",
    "stakes.pdf",
    "gauge_posts.pdf",
    "gauge_posts.csv",
    "summary.json",
}


@pytest.fixture
def brief(tmp_path):
    """A plane of 10 % with two lines, and its brief; gives a function that writes further parts."""
    write_tile(tmp_path / "plane.tif", plane(shape=(120, 60)).heights)

    def write(text: str = "", *, levels: str = "levels_m = [108.0, 104.0]"):
        path = tmp_path / "site.toml"
        path.write_text(
            f'[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50.0\n[soil]\ncurve_number = 80\n'
            f"[levels]\n{levels}\n{text}",
            encoding="utf-8",
        )
        return path

    return write


def test_stake_writes_every_file(swalekit, brief, tmp_path):
    """One folder with all that field gear reads; the table on the terminal ends with where it is."""
    code, out, err = swalekit("stake", brief(), "--out", "out")
    assert (code, err) == (0, "")
    assert out.strip().endswith("results in out")
    assert {path.name for path in (tmp_path / "out").iterdir()} == FILES
    layers = {name for name, _ in pyogrio.list_layers(tmp_path / "out" / "site.gpkg")}
    assert {"swales", "sills", "stakes", "stake offsets"} <= layers
    assert not ezdxf.readfile(tmp_path / "out" / "stakes.dxf").audit().errors


def test_one_count_everywhere(swalekit, brief, tmp_path):
    """Stakes in summary, JSON on the terminal, table and GeoPackage are the same."""
    code, out, _ = swalekit("stake", brief(), "--out", "out", "--json")
    assert code == 0
    summary = json.loads((tmp_path / "out" / "summary.json").read_text(encoding="utf-8"))
    assert json.loads(out) == summary
    rows = csv_rows(tmp_path / "out" / "stakes.csv")
    assert len(rows) == summary["stakes"]["stakes"] == sum(swale["stakes"] for swale in summary["stakes"]["swales"])
    assert len(pyogrio.read_dataframe(tmp_path / "out" / "site.gpkg", layer="stakes")) == len(rows)
    assert "chainage_m" in summary["columns"]["stakes"]


def test_options_stand_before_the_brief(swalekit, brief, tmp_path):
    """Spacing in feet where the brief is; easting first in feet; no heading where the brief wants none."""
    path = brief('[site]\nunits = "us"\n[stakes]\npoint_header = false\n')
    code, out, _ = swalekit(
        "stake", path, "--spacing", "16.404", "--order", "PENZD", "--unit", "ft", "--paper", "letter", "--json"
    )
    assert code == 0
    assert json.loads(out)["stakes"]["spacing_m"] == pytest.approx(5.0, abs=1e-3)
    first = (tmp_path / "stakes" / "points.csv").read_text(encoding="utf-8").splitlines()[0].split(",")
    assert first[0] == "1001"
    assert float(first[1]) == pytest.approx(500_000 / 0.3048, abs=300)


def test_layout_without_swales_is_no_error(swalekit, brief, tmp_path):
    """Nothing to stake is said in a line; the files are there and empty."""
    code, out, err = swalekit("stake", brief(levels="interval_m = 500.0"))
    assert (code, err) == (0, "")
    assert "0 stakes on 0 swales" in out
    assert "note: no level line fits" in out
    assert {path.name for path in (tmp_path / "stakes").iterdir()} == FILES - {"gauge_posts.pdf"}


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        (["--paper", "A9"], ["paper is 'A9'", "tabloid"]),
        (["--spacing", "0"], ["[stakes] spacing_m is 0.0"]),
        (["--unit", "yd"], ["point_unit is 'yd'"]),
    ],
)
def test_wrong_option_is_one_line(swalekit, brief, tmp_path, words, expected):
    """Exit code 2, one line, no folder."""
    assert_one_line_error(swalekit("stake", brief(), *words), *expected)
    assert not (tmp_path / "stakes").exists()


def test_relevel_cuts_the_lines_to_the_points(swalekit, brief, tmp_path):
    """Points of S1 sent back 1 m lower on the hill: its stakes stand there, and the other swale is named as left."""
    path = brief()
    assert swalekit("stake", path, "--quiet")[:2] == (0, "")
    with (tmp_path / "stakes" / "points.csv").open(encoding="utf-8") as file:
        rows = [row for row in csv.reader(file) if row[0].isdigit() and 1000 < int(row[0]) < 1300]
    with (tmp_path / "levelled.csv").open("w", encoding="utf-8") as file:
        for number, northing, easting, height, *_ in rows:
            file.write(f"{number},{float(northing) - 1.0:.3f},{easting},{float(height) - 0.1:.3f}\n")
    code, out, err = swalekit("relevel", path, "levelled.csv", "--json")
    assert (code, err) == (0, "")
    assert {path.name for path in (tmp_path / "relevelled").iterdir()} >= FILES | {"inputs", "report.html", "map.pdf"}
    summary = json.loads(out)
    assert summary["swales"][0]["level_m"] == pytest.approx(107.9, abs=0.01)
    assert any(warning.startswith("S2: no levelled point; left where laid") for warning in summary["warnings"])


def test_relevel_names_the_faulty_line(swalekit, brief, tmp_path):
    """A cell that is no number is told with file and line."""
    (tmp_path / "levelled.csv").write_text("1001,4000000,500000,108.0\n1002,north,500000,108.0\n", encoding="utf-8")
    code, _, err = swalekit("relevel", brief(), "levelled.csv")
    assert code == 2
    assert "levelled.csv" in err
    assert "line 2" in err
