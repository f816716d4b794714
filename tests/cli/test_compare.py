"""Compare on the command line: grid, search, limits, rules side by side."""

import json

import pyogrio
import pytest
from bad_input import assert_one_line_error
from read_back import csv_rows
from sites import hills, plane, write_tile

from swalekit.design.options.option import OptionMaker

STORM = ("--storm", "50", "--curve-number", "80")


@pytest.fixture(autouse=True)
def _tile(tmp_path):
    """A plane of 10 %, plane.tif, 90 m by 80 m."""
    write_tile(tmp_path / "plane.tif", plane(shape=(90, 80)).heights)


def test_a_grid_is_written_whole(swalekit, tmp_path):
    """Table, chart, maps, lines and summary agree in number, and the terminal recommends one."""
    code, out, err = swalekit("compare", "plane.tif", "--spacing", "12,24", "--depth", "0.5,0.8", *STORM)
    assert (code, err) == (0, "")
    assert "Option" in out
    assert "is recommended" in out
    folder = tmp_path / "compare"
    names = {"options.csv", "options.png", "options.gpkg", "options_maps.png", "summary.json"}
    assert {path.name for path in folder.iterdir()} == names
    rows = csv_rows(folder / "options.csv")
    summary = json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    assert [row["option"] for row in rows] == [option["option"] for option in summary["options"]]
    assert len(rows) == 4
    assert pyogrio.read_dataframe(folder / "options.gpkg", layer="options")["number"].tolist() == [1, 2, 3, 4]


def test_lengths_in_feet_are_the_same_options(swalekit):
    """``--us`` takes every length in feet, and words say feet."""
    metric = swalekit("compare", "plane.tif", "--spacing", "12", "--depth", "0.6096", *STORM, "--json", "--out", "a")[1]
    us = swalekit(
        *("compare", "plane.tif", "--us", "--spacing", 12 / 0.3048, "--depth", 2, "--storm", 50 / 25.4),
        *("--curve-number", "80", "--json", "--out", "b"),
    )[1]
    (one,), (other,) = json.loads(metric)["options"], json.loads(us)["options"]
    assert other.pop("option") == "spacing 39.3701 ft, depth to 2 ft"
    assert one.pop("option") == "spacing 12 m, depth to 0.6096 m"
    assert one == other


def test_a_search_tells_what_it_tried(swalekit):
    """Seed, number of designs and the size of its grid; a limit that bars all of them is named, with exit code 0."""
    asked = ("compare", "plane.tif", "--spacing", "10,20,40", "--depth", "0.4,0.6", *STORM, "--search", "--seed", "3")
    code, out, _ = swalekit(*asked, "--json")
    told = json.loads(out)
    assert code == 0
    assert told["says"][0].startswith(f"The search (seed 3) tried {len(told['options'])} designs; its grid has 6")
    code, out, _ = swalekit(*asked, "--most-depth", "0.1", "--out", "barred")
    assert code == 0
    assert "the greatest depth of 0.10 m" in out


def test_rules_side_by_side(swalekit, tmp_path):
    """Every rule and the matched spacing in spacing_rules.csv and on the terminal, from a tile without levels."""
    code, out, _ = swalekit("compare", "plane.tif", "--rules", *STORM)
    assert code == 0
    assert "matched to the storm" in out
    assert "note: ramser, ramser light rain, cox scanty poor, " in out
    assert out.count("meant for slopes up to 6 %") == 1
    rows = csv_rows(tmp_path / "compare" / "spacing_rules.csv")
    assert {"ramser", "kenya", "matched to the storm"} <= {row["rule"] for row in rows}


def test_plan_by_rule_and_matched(swalekit):
    """``plan`` takes a rule or levels matched to the storm in place of an interval."""
    by_rule = json.loads(swalekit("plan", "plane.tif", "--rule", "ramser", *STORM, "--json", "--out", "a")[1])
    assert any("ramser" in warning for warning in by_rule["warnings"])
    matched = json.loads(swalekit("plan", "plane.tif", "--matched", *STORM, "--json", "--out", "b")[1])
    assert matched["brief"]["levels"]["matched"] is True


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        ((), "nothing to compare"),
        (("--spacing", ""), "--spacing"),
        (("--spacing", "20", "--slopes", "0.1"), "gentlest and the steepest"),
        (("--spacing", "20", "--slopes", "0.2,0.1"), "least_slope"),
        (("--spacing", "20", "--budget", "100"), "needs prices"),
        (("--spacing", "20", "--days", "4"), "go together"),
        (("--rules", "--spacing", "20", "--budget", "9"), "so --spacing, --budget would do nothing"),
        (("--spacing", "20", "--seed", "2"), "so --seed would do nothing"),
        (("--spacing", "20", "--catchment-ratio", "9"), "so --catchment-ratio would do nothing"),
        (("--rules", "--catchment-ratio", "9"), "go together"),
        (("--spacing", "20", "--depth", "50"), "greatest_depth_m"),
        (("--spacing", "20", "--least-kept", "1.5"), "least_kept_share is 1.5"),
        (("--spacing", "20", "--workers", "0"), "see swalekit compare --help"),
        (("--spacin", "20"), "no such option: --spacin"),
        (("--spacing", "20", "--freeboard", "0.05"), "head_m"),
        (("--rule", "ramzer"), "near it are ramser"),
        (("--spacing", "20,20"), "listed twice"),
    ],
)
def test_a_wrong_call_is_one_line(swalekit, tmp_path, words, expected):
    """Exit code 2, one line that names what is wrong, no folder."""
    assert_one_line_error(swalekit("compare", "plane.tif", *words, *STORM), expected)
    assert not (tmp_path / "compare").exists()


def test_interrupted_work_is_written_and_ends_with_130(swalekit, monkeypatch, tmp_path):
    """Ctrl-C while the second option is laid out: the first is in the folder, whole."""
    lay = OptionMaker.option

    def interrupted(*given, number, **named):
        if number == 2:
            raise KeyboardInterrupt
        return lay(*given, number=number, **named)

    monkeypatch.setattr(OptionMaker, "option", interrupted)
    code, out, _ = swalekit("compare", "plane.tif", "--spacing", "12,24", *STORM, "--json")
    assert code == 130
    told = json.loads(out)
    assert (told["stopped"], told["asked"], len(told["options"])) == (True, 2, 1)
    assert json.loads((tmp_path / "compare" / "summary.json").read_text(encoding="utf-8")) == told


def test_rough_ground_compares_the_same_on_two_processes(swalekit, tmp_path):
    """Every file but none differs between one process and two."""
    write_tile(tmp_path / "hills.tif", hills(side=96).heights)
    asked = ("compare", "hills.tif", "--spacing", "15,25", "--depth", "0.5,0.7", *STORM)
    for count in (1, 2):
        assert swalekit(*asked, "--workers", count, "--out", f"by{count}", "--quiet")[:2] == (0, "")
    for name in ("options.csv", "options.gpkg", "options.png", "options_maps.png", "summary.json"):
        assert (tmp_path / "by1" / name).read_bytes() == (tmp_path / "by2" / name).read_bytes(), name
