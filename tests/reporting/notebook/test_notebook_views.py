"""What values show of themselves in a notebook: the figures of the summary, with every name escaped."""

import re
import subprocess
import sys
from html import unescape

import pytest
from grown import grow_design, records
from reported_plan import HOSTILE, hostile_site
from sites import hills, make_site, plane
from surveyed_ground import crew

from swalekit.design.growth.grow import grow
from swalekit.design.options.comparison import compare
from swalekit.design.options.spacing_table import spacing_rules_of
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.design.plan.pipeline import plan
from swalekit.design.reliability.reliability import how_sure
from swalekit.design.survey.stakeout import laid_swales, stake_design
from swalekit.design.survey.survey import survey_design
from swalekit.reporting.notebook.html_view import MOST_ROWS, html_view
from swalekit.reporting.words.shown import number, shown
from swalekit.results.notebook import show
from swalekit.results.plan.summary import summary

ARRAYS = re.compile(r"array\(|\[\[|<.* object at")


@pytest.fixture(scope="module")
def design():
    """A design of a site whose name would run as a script."""
    return plan(hostile_site(), hills())


@pytest.fixture(scope="module")
def values(design):
    """A value of every kind that shows itself, by the name of its view."""
    site, terrain = design.site, design.ground.terrain
    dug = plan(make_site(levels={"levels_m": [106.0]}), plane())
    surveyed = crew(laid_swales(dug)[0])
    return {
        "terrain": terrain,
        "site": site,
        "ground": design.ground,
        "design": design,
        "swale": design.swales[0],
        "comparison": compare(site, terrain, grid_of(axes_of({"interval": [2.0, 4.0]}))),
        "spacing": spacing_rules_of(site, terrain),
        "growth": grow(grow_design(), records()),
        "reliability": how_sure(site.with_values({"uncertainty": {"draws": 20}}), terrain),
        "survey": survey_design(dug, surveyed),
        "stakeout": stake_design(design),
    }


VIEWS = (
    "site", "ground", "design", "swale", "comparison", "spacing", "growth", "reliability", "survey", "stakeout",
)  # fmt: skip


def cells(html: str) -> list[list[str]]:
    """Text of the rows of all tables."""
    rows = re.findall(r"<tr>(.*?)</tr>", html)
    return [[unescape(re.sub("<[^>]+>", "", cell)) for cell in re.findall(r"<t[dh].*?</t[dh]>", row)] for row in rows]


@pytest.mark.parametrize("view", VIEWS)
def test_no_name_runs_as_a_script(values, view):
    """Names of site and keep-outs show as text; nothing but our own tags is in the page."""
    html = show(values[view])
    assert "<script" not in html
    used = set(re.findall(r"<(\w+)", html))
    assert used <= {"div", "p", "strong", "br", "table", "thead", "tbody", "tr", "th", "td", "ul", "li", "img"}


@pytest.mark.parametrize("view", ["site", "design", "comparison", "reliability"])
def test_the_name_is_shown_as_it_is(values, view):
    """Escaping changes nothing that a reader sees."""
    assert f"<strong>{HOSTILE.replace('<', '&lt;').replace('>', '&gt;')}</strong>" in show(values[view])


def test_a_design_shows_the_figures_of_its_summary(design, tmp_path):
    """Totals and a row a swale equal those of summary.json, in its decimals or fewer."""
    told, rows = summary(design, folder=tmp_path), cells(show(design))
    facts_shown, totals = {row[0]: row[1] for row in rows if len(row) == 2}, told["totals"]
    assert facts_shown["Held storm"] == shown(totals["held_storm_mm"], "mm", units="metric", decimals=1)
    assert facts_shown["Soil dug"] == shown(totals["dug_m3"], "m3", units="metric")
    assert facts_shown["Storage when full"] == shown(totals["storage_m3"], "m3", units="metric")
    assert facts_shown["Cost"] == f"{totals['cost']:,} EUR"
    by_name = {row[0]: row for row in rows if len(row) == 9}
    for swale in told["swales"]:
        assert by_name[swale["swale"]][3] == number(swale["depth_m"], "m", units="metric", decimals=2)
        assert by_name[swale["swale"]][8] == number(swale["held_storm_mm"], "mm", units="metric", decimals=1)


def test_a_design_shows_its_cautions_and_its_map(design):
    """What must not be overlooked is there, and a picture with words for who can't see it."""
    html = show(design)
    assert "Cautions" in html
    assert "licensed engineer" in html
    assert re.search(r'<img alt="Map of the swales[^"]*" width="\d+" [^>]*src="data:image/png;base64,iVBOR', html)


def test_a_swale_shows_every_figure(design):
    """Depth with its unit beside its meaning."""
    rows = dict(row for row in cells(show(design.swales[0])) if len(row) == 2)
    depth_m = design.swales[0].sized.shape.depth_m
    assert rows["dig depth at the stake, ground to ditch floor"] == f"{depth_m:.2f} m"


def test_the_recommended_option_is_bold(values):
    """One row is set in bold, that of the recommended one."""
    comparison = values["comparison"]
    bold = re.findall(r'<tr><td[^>]*font-weight:bold">(\d+)</td>', show(comparison))
    assert bold == [str(option.number) for option in comparison.options if option.recommended]


def test_a_terrain_is_a_picture(values):
    """PNG, with the size at which it is shown."""
    png, size = show(values["terrain"])
    assert png.startswith(b"\x89PNG")
    assert 300 < size["width"] < 1200
    assert show(values["terrain"])[0] == png


@pytest.mark.parametrize("name", ["terrain", *VIEWS])
def test_plain_text_spills_no_array(values, name):
    """What a terminal shows of a value is one short line."""
    text = repr(values[name])
    if name != "spacing":
        assert len(text) < 200
    assert "\n" not in text
    assert not ARRAYS.search(text)


def test_pieces_are_escaped():
    """Every piece that takes text escapes it."""
    both = (HOSTILE, HOSTILE)
    html = html_view(*both, facts=[both], table=(both, [both]), lists=[(HOSTILE, [HOSTILE])])
    assert "<script" not in html
    assert html.count("&lt;script") == 10


def test_a_long_table_says_how_much_is_left_out():
    """No more rows than a reader can take in."""
    html = html_view("Rows", table=(["No."], [[str(row)] for row in range(MOST_ROWS + 7)]))
    assert cells(html)[-1] == ["and 7 more"]
    assert len(cells(html)) == 1 + MOST_ROWS + 1


@pytest.mark.parametrize("start", ["import swalekit", "%load_ext swalekit\nimport swalekit"])
def test_ipython_is_told_and_nothing_heavy_is_imported(start):
    """Importing or loading the package in IPython registers the views and imports no drawing library for it."""
    code = f"""
from IPython.core.interactiveshell import InteractiveShell
shell = InteractiveShell.instance()
shell.run_cell({start!r})
import sys
kinds = shell.display_formatter.formatters
known = {{name for _, name in (*kinds["text/html"].deferred_printers, *kinds["image/png"].deferred_printers)}}
heavy = {{"matplotlib", "numba", "rasterio"}} & set(sys.modules)
print(sorted({{"Design", "Swale", "Terrain", "Site"}} - known), sorted(heavy))
"""
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=120)
    assert done.stdout.strip().endswith("[] []"), done.stderr


def test_outside_ipython_nothing_is_registered():
    """A plain interpreter imports neither the views nor IPython."""
    code = (
        "import sys, swalekit; print(sorted(name for name in sys.modules if 'notebook' in name or name == 'IPython'))"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, text=True, check=False, timeout=60)
    assert done.stdout.strip() == "[]"
