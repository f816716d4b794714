"""The part of the report that tells the seasons of building."""

import base64
import re

import pytest
from read_back import csv_rows
from sites import make_site, plane

import swalekit
from swalekit.errors import InputError
from swalekit.reporting.report.text import chapters
from swalekit.results.plan.read import read_plan_folder


@pytest.fixture
def staged(tmp_path):
    """Two lines, a season each, written with its report."""
    rates = {"machine_per_h": 60.0, "currency": "EUR"}
    site = make_site(levels={"levels_m": [108.0, 104.0]}, stages={"count": 2}, rates=rates)
    swalekit.write_plan(swalekit.plan(site, plane()), tmp_path / "plan", report=True)
    return tmp_path / "plan"


def test_the_page_has_a_row_a_stage_and_the_picture(staged):
    """Figures of stages.csv as they are, the very bytes of stages.png, and the way there in the contents."""
    page = (staged / "report.html").read_text(encoding="utf-8")
    start = page.index('id="stages-part"')
    part = page[start : page.index("</section>", start)]
    assert 'href="#stages-part"' in page
    rows = csv_rows(staged / "stages.csv")
    assert len(rows) == part.count('<tr><th scope="row">') == 2
    for row in rows:
        for name in ("dug_m3", "machine_h", "cost", "held_storm_mm", "held_m3"):
            assert f'data-si="{float(row[name]):.10g}"' in part
    picture = re.search(r"data:image/png;base64,([^\"]+)", part)
    assert base64.b64decode(picture[1]) == (staged / "stages.png").read_bytes()


def test_printed_sheets_tell_them_in_sentences(staged):
    """A chapter with a sentence a stage; a plan that is built at once has none."""
    record = read_plan_folder(staged)
    (chapter,) = [chapter for chapter in chapters(record) if chapter.head == "Built in stages"]
    assert [sentence.partition(":")[0] for sentence in chapter.sentences] == ["Stage 1", "Stage 2"]


def test_a_changed_table_of_stages_is_told(staged):
    """As every other file of the plan that the report is made from."""
    with (staged / "stages.csv").open("a", encoding="utf-8") as table:
        table.write("3,S9\n")
    with pytest.raises(InputError, match=r"stages\.csv"):
        swalekit.results.plan.write_report(staged)


def test_without_stages_there_is_no_part(tmp_path):
    """Nothing of it stands on the page."""
    swalekit.write_plan(swalekit.plan(make_site(levels={"levels_m": [108.0]}), plane()), tmp_path / "plan", report=True)
    assert "stages-part" not in (tmp_path / "plan" / "report.html").read_text(encoding="utf-8")
