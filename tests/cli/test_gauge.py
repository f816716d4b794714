"""``swalekit gauge`` and the gauge sheet as the people who read the posts use them."""

import json

import pytest
from bad_input import assert_one_line_error
from read_back import csv_rows
from sites import plane, write_tile

FILES = {"gauge.csv", "gauge.png", "summary.json"}


@pytest.fixture
def planned(tmp_path, swalekit):
    """A plan of two swales in US units or metric, and its notes."""

    def make(units="metric"):
        write_tile(tmp_path / "plane.tif", plane(shape=(120, 60)).heights)
        (tmp_path / "site.toml").write_text(
            f'[site]\nunits = "{units}"\n[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50.0\n[soil]\n'
            'curve_number = 75\ntexture = "loam"\n[levels]\nlevels_m = [108.0, 104.0]\n',
            encoding="utf-8",
        )
        (tmp_path / "notes.csv").write_text(
            "date,swale,rain_mm,depth_cm,after_h\n2026-01-05,S1,30,16,2\n2026-01-05,S2,30,15,2\n2026-02-01,S1,40,29,5\n",
            encoding="utf-8",
        )
        assert swalekit("plan", "site.toml", "--out", "plan", "--no-report", "--quiet")[0] == 0

    return make


def test_notes_become_a_number_and_a_line_for_the_brief(swalekit, planned, tmp_path):
    """Table, chart and summary are there; the terminal ends with the line to put; the plan stays as it was."""
    planned()
    before = (tmp_path / "plan" / "brief.toml").read_bytes()
    code, out, err = swalekit("gauge", "plan", "notes.csv", "--out", "gauge")
    assert (code, err) == (0, "")
    assert {path.name for path in (tmp_path / "gauge").iterdir()} == FILES
    rows = csv_rows(tmp_path / "gauge" / "gauge.csv")
    told = json.loads((tmp_path / "gauge" / "summary.json").read_text(encoding="utf-8"))
    number = told["gauging"]["curve_numbers_to_put"][0]
    assert f"under [soil]: curve_number = {number} (it is 75)" in out
    assert [row["state"] for row in rows] == ["used"] * 3
    assert told["of_plan"]["number"]
    assert "notes" in [entry["key"] for entry in told["inputs"]]
    assert (tmp_path / "plan" / "brief.toml").read_bytes() == before
    assert swalekit("gauge", "plan", "notes.csv", "--out", "again", "--quiet")[0] == 0
    for name in ("gauge.csv", "gauge.png"):
        assert (tmp_path / "again" / name).read_bytes() == (tmp_path / "gauge" / name).read_bytes()


def test_us_units_on_the_terminal(swalekit, planned):
    """Rain in inches, water in feet and cubic yards."""
    planned("us")
    _, out, _ = swalekit("gauge", "plan", "notes.csv", "--out", "gauge")
    assert "yd³" in out
    assert " mm" not in out.replace("after_h", "")


def test_bad_notes_end_in_one_line(swalekit, planned, tmp_path):
    """A file that isn't there, one without a column, a swale that isn't in the plan; nothing is written."""
    planned()
    (tmp_path / "bad.csv").write_text("date,swale,rain_mm\n2026-01-05,S1,30\n", encoding="utf-8")
    (tmp_path / "other.csv").write_text("date,swale,rain_mm,depth_m\n2026-01-05,S7,30,0.1\n", encoding="utf-8")
    for name, told in (("none.csv", "none.csv"), ("bad.csv", "there is no column depth_m"), ("other.csv", "'S7'")):
        assert_one_line_error(swalekit("gauge", "plan", name, "--out", "gauge"), told)
        assert not (tmp_path / "gauge").exists()


def test_the_crew_gets_the_posts(swalekit, planned, tmp_path):
    """A row a swale with its marks, and the sheet beside the others."""
    planned()
    assert swalekit("stake", "plan", "--out", "stakes", "--quiet")[0] == 0
    rows = csv_rows(tmp_path / "stakes" / "gauge_posts.csv")
    assert [row["swale"] for row in rows] == ["S1", "S2"]
    assert all(0.0 < float(row["half_m"]) < float(row["full_m"]) < float(row["crest_m"]) for row in rows)
    assert (tmp_path / "stakes" / "gauge_posts.pdf").read_bytes()[:5] == b"%PDF-"
