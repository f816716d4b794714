"""The report as files: everything inside, nothing run, the same bytes twice, also for a plan without swales."""

import json
import re
import sys
from dataclasses import replace

import numpy as np
import pytest
from markupsafe import escape
from reported_plan import HOSTILE, write_beside, write_reported_plan
from sites import hills, make_site

from swalekit.cli.main import run
from swalekit.design.plan.pipeline import plan
from swalekit.errors import InputError
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.paper import palette
from swalekit.reporting.report.map import IMAGE_LAYERS, map_figure
from swalekit.reporting.report.page import report_html
from swalekit.reporting.report.scene import scene_figure
from swalekit.reporting.report.sheets import report_sheets
from swalekit.reporting.report.sources import sources_used
from swalekit.reporting.report.text import chapters, how_sure
from swalekit.reporting.words.account_words import balance_parts
from swalekit.reporting.words.plan_words import harmful_failures, raised_cautions
from swalekit.results.plan.beside import read_growth_folder, read_reliability_folder
from swalekit.results.plan.read import read_plan_folder
from swalekit.results.plan.record import plan_record
from swalekit.results.plan.write import write_plan, write_report


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with a plan and a comparison."""
    path = tmp_path_factory.mktemp("report")
    write_reported_plan(path)
    return path


@pytest.fixture(scope="module")
def record(folder):
    """The plan with its options."""
    return read_plan_folder(folder / "plan", options=folder / "compare")


@pytest.fixture(scope="module")
def page(record):
    """The page."""
    return report_html(record)


def _without_scripts(page):
    return re.sub(r"<(script|style).*?</\1>", "", page, flags=re.DOTALL)


def test_names_are_text(page):
    """A name that is a script stands escaped in the text and never opens an element anywhere."""
    assert HOSTILE not in page
    assert "<script\\u003e" not in page
    assert "<img src=x" not in page
    assert "&lt;script&gt;alert(1)&lt;/script&gt;" in _without_scripts(page)


def test_the_page_fetches_nothing(page):
    """No address but those with the data in them, and a policy that forbids any other."""
    addresses = re.findall(r"""(?:src|href)=["']([^"']*)""", _without_scripts(page))
    assert all(address.startswith(("#", "data:")) for address in addresses)
    assert "default-src 'none'" in page
    assert len(page.encode()) < 12_000_000


def test_the_answer_stands_first(page, record):
    """Number, length, dug volume, cost and held storm are text of the page before any figure is drawn."""
    totals = record.summary["totals"]
    text = re.sub(r"<[^>]*>", "", _without_scripts(page)).partition("Drag to move")[0]
    for words in (f"{totals['swales']} level swales", f"{totals['held_storm_mm']:.1f} mm", f"{totals['cost']:,}"):
        assert words in text
    assert f"{totals['dug_m3']:,.0f} m³" in text
    assert f"{totals['held_wet_mm']:.1f} mm" in text


def test_every_caution_warning_input_and_source_is_told(page, record):
    """Nothing that a reader must know is left out."""
    text = re.sub(r"\s+", " ", _without_scripts(page))
    text = text.replace("&#39;", "'").replace("&lt;", "<").replace("&gt;", ">").replace("&amp;", "&")
    for caution in record.summary["cautions"]:
        assert caution["text"] in text
    for words in (*record.summary["warnings"], *(given["sha256"] for given in record.summary["inputs"])):
        assert words in text
    for what, _, source in sources_used(record):
        assert what in text
        assert source in text


def test_a_brief_in_us_units_is_reported_in_them(tmp_path):
    """The text of the page is in feet, inches and cubic yards before any script runs."""
    write_reported_plan(tmp_path, site={"name": "Lower field", "units": "us"})
    record = read_plan_folder(tmp_path / "plan")
    text = _without_scripts(report_html(record))
    assert f"{record.summary['totals']['dug_m3'] / 0.764554857984:,.0f} yd³" in text
    assert f"{record.summary['totals']['held_storm_mm'] / 25.4:.2f} in" in text


def test_the_rain_of_both_storms_is_accounted_for(page, record):
    """Every part of the rain of both storms, and a row a swale, are text of the page."""
    part = re.sub(r"<[^>]*>", "", _without_scripts(page)).partition("Where the rain goes\n")[2].partition("Options")[0]
    for name in ("design", "check"):
        assert f"rain {record.account[name]['rain_m3']:,.0f} m³" in part
        for words, volume_m3, depth_mm in balance_parts(record.account[name]):
            assert f"{volume_m3:,.0f} m³ ({depth_mm:.1f} mm) {words}" in part
    for row in record.account["swales"]:
        assert re.search(rf"{row['swale']}\s+{row['arriving_m3']:,.1f}\s", part)


def test_the_water_account_comes_back_from_the_folder(tmp_path):
    """It is read as it was made, to the last digit."""
    design = write_reported_plan(tmp_path)
    assert read_plan_folder(tmp_path / "plan").account == plan_record(design).account


def test_the_water_account_has_a_sheet(record):
    """Sentences, bars and a row a swale stand on it, the rows on as many sheets as they need."""
    many = [record.account["swales"][0] | {"swale": f"S{number}"} for number in range(1, 81)]
    changed = replace(record, summary=record.summary | {"water_account": record.account | {"swales": many}})
    sheets = [
        [text.get_text() for axes in sheet.axes for text in axes.texts]
        for sheet in report_sheets(changed)
        if any(text.get_text() == "Where the rain goes" for axes in sheet.axes for text in axes.texts)
    ]
    assert len(sheets) > 1
    assert any(text.startswith("Check storm: rain") for text in sheets[0])
    assert [text for sheet in sheets for text in sheet if re.fullmatch(r"S\d+", text)][:3] == ["S1", "S2", "S3"]
    assert {f"S{number}" for number in range(1, 81)} <= {text for sheet in sheets for text in sheet}


def test_sources_follow_the_brief(record):
    """Numbers of the tables that were used, not those that the brief gave itself."""
    told = {what: (value, source) for what, value, source in sources_used(record)}
    assert told["Curve number of meadow, any, soil group D"][0] == "78"  # NEH 630 ch. 9 Table 9-1
    assert told["Intake of sandy loam"][0] == "10.9 mm/h"  # Rawls et al. (1983)
    assert "Setback from well" in told
    own = record.summary["brief"] | {"area": {"setbacks_m": {"well": 40.0}}}
    changed = replace(record, summary=record.summary | {"brief": own})
    assert "Setback from well" not in {what for what, _, _ in sources_used(changed)}


def test_the_map_has_every_layer(record):
    """Traces bear the names of the layers that the page switches, and two images lie under them."""
    figure = map_figure(record, plan_content(record))
    names = {trace.name for trace in figure.data}
    assert names >= {"swales", "sills", "overflow", "watercourses", "hollows", "keep-outs", "boundary", "refused"}
    assert len(figure.layout.images) == len(IMAGE_LAYERS)
    assert len({(image.x, image.y, image.sizex, image.sizey) for image in figure.layout.images}) == len(IMAGE_LAYERS)


def test_the_scene_holds_ditches_and_berms(record):
    """Floors lie below and crests above the ground of the thinned mesh, and it has no hole."""
    mesh, crests = scene_figure(record, plan_content(record)).data
    lowest = min(row["level_m"] - row["depth_m"] for row in record.swales)
    assert np.nanmax(crests.z) == pytest.approx(
        max(row["crest_m"] for row in record.swales) - float(np.nanmin(record.ground.heights)), abs=0.02
    )
    assert np.min(np.abs(mesh.z + float(np.nanmin(record.ground.heights)) - lowest)) < 0.02
    assert set(np.concatenate([mesh.i, mesh.j, mesh.k]).tolist()) == set(range(len(mesh.x)))


def test_cautions_are_gathered_by_name(record):
    """Each caution of a swale is told once, under its name."""
    told = [(caution.name, swale, text) for caution in raised_cautions(record) for swale, text in caution.raised]
    asked = [(row["caution"], row["swale"], row["text"]) for row in record.summary["cautions"] if row["swale"]]
    assert sorted(told) == sorted(asked)


def test_the_worst_failure_comes_first(record):
    """Failures are told in the order of the berms they top, then of the water that leaves; harmless ones are not."""
    harms = {"S1": (1, 5.0), "S2": (0, 90.0), "S3": (2, 0.0), "S4": (1, 7.0), "S5": (0, 0.0)}
    told = [
        {"swale": name, "overtops": ["S9"] * over, "spills_more": [], "extra_left_m3": left, "peak_left_m3s": 0.0}
        for name, (over, left) in harms.items()
    ]
    changed = replace(record, summary=record.summary | {"breach": {"swales": told}})
    assert [failure.swale for failure in harmful_failures(changed)] == ["S3", "S4", "S1", "S2"]


def test_the_same_plan_gives_the_same_bytes(folder):
    """Page and sheets, written twice."""
    written = []
    for _ in range(2):
        write_report(folder / "plan", options=folder / "compare", pdf=True)
        written.append([(folder / "plan" / name).read_bytes() for name in ("report.html", "report.pdf")])
    assert written[0] == written[1]
    assert written[0][1].startswith(b"%PDF")
    assert written[0][1].count(b"/Type /Page\n") + written[0][1].count(b"/Type /Page ") >= 7


def test_a_plan_without_swales_has_a_report(tmp_path):
    """It says so in words; page and sheets are written."""
    write_plan(plan(make_site(levels={"interval_m": 900.0}), hills()), tmp_path / "plan")
    write_report(tmp_path / "plan", pdf=True)
    page = (tmp_path / "plan" / "report.html").read_text("utf-8")
    assert "No level line on this ground is fit to dig" in page
    assert "Where the rain goes" not in page


def test_a_report_that_fails_leaves_the_older_one(folder, tmp_path, monkeypatch):
    """Neither file is touched when the sheets can't be made."""
    write_report(folder / "plan")
    older = (folder / "plan" / "report.html").read_bytes()
    monkeypatch.setattr("swalekit.reporting.report.sheets.report_sheets", lambda _: (1 / 0 for _ in range(1)))
    with pytest.raises(ZeroDivisionError):
        write_report(folder / "plan", options=folder / "compare", pdf=True)
    assert (folder / "plan" / "report.html").read_bytes() == older
    assert not [path for path in (folder / "plan").iterdir() if path.name.startswith(".")]


def test_a_plan_writes_its_report_when_asked(tmp_path):
    """The report of a plan written with it is the report made from its folder."""
    design = plan(make_site(), hills())
    write_plan(design, tmp_path / "plan", report=True)
    assert (tmp_path / "plan" / "report.html").read_text("utf-8") == report_html(read_plan_folder(tmp_path / "plan"))


def test_the_command_writes_page_and_sheets(folder, monkeypatch, capsys):
    """It names the files on standard output."""
    words = ["report", str(folder / "plan"), "--options", str(folder / "compare"), "--pdf"]
    monkeypatch.setattr(sys, "argv", ["swalekit", *words])
    with pytest.raises(SystemExit) as stop:
        run()
    assert not stop.value.code
    assert "report.html" in capsys.readouterr().out
    assert json.loads((folder / "plan" / "summary.json").read_text("utf-8"))["site"] == HOSTILE


def test_the_command_names_what_is_no_plan(tmp_path, monkeypatch, capsys):
    """One line on standard error and exit code 2 for a folder that no plan was written to."""
    monkeypatch.setattr(sys, "argv", ["swalekit", "report", str(tmp_path)])
    with pytest.raises(SystemExit) as stop:
        run()
    assert stop.value.code == 2
    assert "holds no summary.json" in capsys.readouterr().err


@pytest.mark.parametrize("text", [palette.INK, palette.QUIET_INK, palette.SPILL, palette.SWALE])
@pytest.mark.parametrize("ground", [palette.PAPER, palette.RELIEF_LIGHT, palette.PANEL_STRIPE])
def test_text_stands_out_from_its_ground(text, ground):
    """Contrast of at least 4.5 : 1, WCAG 2.1 success criterion 1.4.3."""
    lighter, darker = sorted((_luminance(text), _luminance(ground)), reverse=True)
    assert (lighter + 0.05) / (darker + 0.05) >= 4.5


def _luminance(color):
    """Relative luminance, WCAG 2.1."""
    levels = [int(color[at : at + 2], 16) / 255 for at in (1, 3, 5)]
    linear = [level / 12.92 if level <= 0.04045 else ((level + 0.055) / 1.055) ** 2.4 for level in levels]
    return float(np.dot(linear, (0.2126, 0.7152, 0.0722)))


def test_a_damaged_option_folder_is_named(folder, tmp_path):
    """A folder without a comparison is refused before anything is written."""
    with pytest.raises(InputError, match=r"holds no summary\.json"):
        write_report(folder / "plan", options=tmp_path)


@pytest.fixture(scope="module")
def beside(tmp_path_factory):
    """A folder with a plan, a planting on it, and how sure it is."""
    path = tmp_path_factory.mktemp("beside")
    write_beside(path, write_reported_plan(path))
    return path


@pytest.fixture(scope="module")
def full_record(beside):
    """The plan with both."""
    plain = read_plan_folder(beside / "plan")
    return replace(
        plain,
        growth=read_growth_folder(beside / "grow", plain),
        reliability=read_reliability_folder(beside / "sure", plain),
    )


def test_planting_and_chances_are_on_the_page(full_record):
    """Trees, words, cautions and the chance stand there, and a species that is a script is text."""
    page = report_html(full_record)
    planting, sure = full_record.growth.planting, full_record.reliability.summary
    text = _without_scripts(page)
    assert f'id="trees-carried">{planting["totals"]["trees"]:,}<' in text
    assert f"<b>{100 * sure['chance_to_hold']:.0f} %</b>" in text
    assert HOSTILE not in page
    assert all(str(escape(caution[1:])) in text for caution in planting["cautions"].values())
    assert {"plants", "bed", "served", "bands"} <= {
        trace.name for trace in map_figure(full_record, plan_content(full_record)).data
    }


def test_a_plain_page_says_nothing_of_trees(page):
    """Without a planting and chances there is neither part nor layer."""
    assert not re.search('id="(trees|sure)-part"|data-layer="(plants|bands)"', page)


def test_planting_and_chances_are_on_paper(full_record, record):
    """The printed report has a sheet of charts more, and the chance among its first words."""
    assert any("no swale spills with a chance of" in sentence for sentence in how_sure(full_record))
    heads = [chapter.head for chapter in chapters(full_record)]
    assert heads[:2] == ["Water for trees", "Cautions of the planting"]
    assert not any("chance that" in sentence for sentence in how_sure(record))


@pytest.mark.parametrize(("read", "name"), [(read_growth_folder, "grow"), (read_reliability_folder, "sure")])
def test_results_of_another_plan_are_refused(beside, full_record, read, name):
    """What was made of other swales is told, with the command to run."""
    fewer = replace(full_record, summary=full_record.summary | {"swales": full_record.swales[1:]})
    with pytest.raises(InputError, match=rf"{name}' was not made of this plan .*run swalekit"):
        read(beside / name, fewer)
    with pytest.raises(InputError, match="has no"):
        read(beside / "plan", full_record)
