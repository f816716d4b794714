"""The report as a client meets it: the page in headless Chromium. Skipped, and said so, where there is none."""

import shutil
from collections.abc import Iterator

import pytest
from reported_plan import HOSTILE, write_beside, write_reported_plan

from swalekit.results.plan.read import read_plan_folder
from swalekit.results.plan.write import write_report

playwright = pytest.importorskip("playwright.sync_api", reason="needs playwright")
axe = pytest.importorskip("axe_playwright_python.sync_playwright", reason="needs axe-playwright-python")

_BROWSER = next(filter(None, map(shutil.which, ("chromium", "chromium-browser", "google-chrome"))), None)
pytestmark = [
    pytest.mark.skipif(_BROWSER is None, reason="needs Chromium: apt-get install chromium"),
    pytest.mark.compiled,
]

_DESKTOP, _PHONE = {"width": 1280, "height": 900}, {"width": 390, "height": 844}
_FIGURES = ("map", "scene", "section", "profile", "storm", "balance", "options", "trees", "chances")


@pytest.fixture(scope="module")
def folder(tmp_path_factory):
    """A folder with a plan, a comparison and the report."""
    path = tmp_path_factory.mktemp("browser")
    write_beside(path, write_reported_plan(path))
    write_report(path / "plan", options=path / "compare", growth=path / "grow", reliability=path / "sure")
    return path / "plan"


@pytest.fixture(scope="module")
def record(folder):
    """The plan behind the page."""
    return read_plan_folder(folder)


@pytest.fixture(scope="module")
def browser() -> Iterator[object]:
    """Chromium that draws in three dimensions without a graphics card."""
    with playwright.sync_playwright() as tools:
        switches = ["--no-sandbox", "--use-angle=swiftshader", "--enable-unsafe-swiftshader"]
        running = tools.chromium.launch(executable_path=_BROWSER, args=switches)
        yield running
        running.close()


@pytest.fixture(scope="module", params=[_DESKTOP, _PHONE], ids=["desktop", "phone"])
def page(request, browser, folder):
    """The page with every figure drawn; what went wrong and what was asked for is kept beside it."""
    opened = browser.new_page(viewport=request.param)
    opened.faults, opened.asked = [], []
    opened.on("pageerror", lambda error: opened.faults.append(str(error)))
    opened.on("console", lambda said: opened.faults.append(said.text) if said.type == "error" else None)
    opened.on("dialog", lambda dialog: (opened.faults.append(dialog.message), dialog.dismiss()))
    opened.on("request", lambda request: opened.asked.append(request.url))
    opened.goto((folder / "report.html").as_uri())
    for name in _FIGURES:
        opened.locator(f"#{name}").scroll_into_view_if_needed()
        opened.wait_for_selector(f"#{name}[data-ready]", timeout=60_000)
    yield opened
    opened.close()


def test_nothing_fails_and_nothing_is_fetched(page):
    """No error, no dialog, and no request but for the file and what it holds itself."""
    assert not page.faults
    fetched = [url for url in page.asked if not url.startswith(("data:", "blob:"))]
    assert [url.rpartition("/")[2] for url in fetched] == ["report.html"]


def test_the_page_fits_its_width(page):
    """Nothing makes the page scroll sideways."""
    width, room = page.evaluate("[document.documentElement.scrollWidth, window.innerWidth]")
    assert width <= room


def test_a_script_for_a_name_is_shown_as_text(page):
    """The name of the site stands in the heading, letter by letter."""
    assert page.inner_text("h1") == HOSTILE
    assert HOSTILE in page.title()


def test_the_answer_is_seen_first(page, record):
    """Held storm and dug volume stand large, and on a wide screen need no scrolling."""
    totals = record.summary["totals"]
    assert page.inner_text("#held") == f"{totals['held_storm_mm']:.1f} mm"
    assert page.inner_text("#dug") == f"{totals['dug_m3']:,.0f} m³"
    bottom = page.evaluate("document.getElementById('dug').getBoundingClientRect().bottom + scrollY")
    assert bottom < page.viewport_size["height"]


def test_layers_switch(page):
    """A box takes the traces of its layer off the map, or its image, and brings them back."""
    seen = "(name) => document.getElementById('map')._fullData.filter((t) => t.name === name).map((t) => t.visible)"
    images = "document.querySelectorAll('#map image').length"
    for shown in (False, True):
        page.set_checked("[data-layer=sills]", shown)
        page.set_checked("[data-layer=catchments]", shown)
        assert set(page.evaluate(seen, "sills")) == {shown}
        assert page.evaluate(images) == (2 if shown else 1)
    assert set(page.evaluate(seen, "refused")) == {False}
    page.set_checked("[data-layer=refused]", True)
    assert set(page.evaluate(seen, "refused")) == {True}


def test_a_tap_on_a_line_shows_its_figures(page, record):
    """A press on a station of the second swale opens the figures of that swale."""
    place = """() => {
      const map = document.getElementById("map");
      const line = map._fullData.find((t) => t.name === "swales" && t.mode === "lines" && t.customdata);
      const { xaxis, yaxis } = map._fullLayout;
      const drag = map.querySelector(".nsewdrag");
      const box = drag.getBoundingClientRect();
      const seen = [...line.customdata].flatMap((swale, at) =>
        swale === 1 && !isNaN(line.x[at]) ? [[box.left + xaxis.d2p(line.x[at]), box.top + yaxis.d2p(line.y[at])]] : []);
      return seen.find(([x, y]) => document.elementFromPoint(x, y) === drag);
    }"""
    page.locator("#map").scroll_into_view_if_needed()
    x, y = page.evaluate(place)
    page.mouse.move(x, y)
    page.mouse.click(x, y)
    page.wait_for_function("document.querySelector('#tapped h3')?.textContent === 'Swale S2'")
    row = record.swales[1]
    assert f"{row['length_m']:,.1f} m" in page.inner_text("#tapped")
    assert page.input_value("#choose-section") == "S2"


def test_the_chosen_swale_is_drawn_across_and_along(page, record):
    """Another swale chosen from the list changes section and profile."""
    page.select_option("#choose-section", "S3")
    floor = page.evaluate("document.getElementById('section').data.at(-1).y[2]")
    assert floor == pytest.approx(-record.swales[2]["depth_m"], abs=1e-3)
    crest = page.evaluate("document.getElementById('profile').data[0].y[0]")
    assert crest == pytest.approx(record.swales[2]["crest_m"])


def test_the_table_sorts(page, record):
    """A head sorts upward, and downward when pressed again; the reader is told which."""
    names = "[...document.querySelectorAll('#swale-table tbody tr')].map((row) => row.dataset.swale)"
    lengths = {row["swale"]: row["length_m"] for row in record.swales}
    for falling, told in ((False, "ascending"), (True, "descending")):
        page.click("button[data-column=length_m]")
        assert [lengths[name] for name in page.evaluate(names)] == sorted(lengths.values(), reverse=falling)
        assert page.get_attribute("th:has([data-column=length_m])", "aria-sort") == told
    page.click("button[data-column=swale]")
    assert page.evaluate(names) == list(lengths)


def test_units_switch(page, record):
    """Figures, heads and axes change to US units and come back as they were."""
    brought = "Math.max(...document.getElementById('storm').data.at(-1).y)"
    before, brought_m3 = page.inner_text("#answer"), page.evaluate(brought)
    page.check("input[name=units][value=us]", force=True)
    assert page.inner_text("#dug") == f"{record.summary['totals']['dug_m3'] / 0.764554857984:,.0f} yd³"
    assert page.inner_text("#held").endswith(" in")
    assert page.inner_text("th:has([data-column=length_m]) small") == "ft"
    assert page.evaluate("document.getElementById('storm')._fullLayout.yaxis.title.text") == "Water [yd³]"
    assert page.evaluate(brought) == pytest.approx(brought_m3 / 0.764554857984)
    page.check("input[name=units][value=metric]", force=True)
    assert page.inner_text("#answer") == before
    assert page.evaluate("document.getElementById('storm')._fullLayout.yaxis.title.text") == "Water [m³]"


def test_the_option_shown_switches(page, folder):
    """Another option chosen changes the figures above the chart and the row marked in the table."""
    options = read_plan_folder(folder, options=folder.parent / "compare").options
    for number in (1, 0):
        page.select_option("#option", str(number))
        assert page.inner_text("[data-option=dug_m3]") == f"{options[number]['dug_m3']:,.0f} m³"
        words = f"{options[number]['number']}: {options[number]['option']}"
        assert page.inner_text("#option-table tr.chosen th").startswith(words)


def test_lines_of_the_option_shown_lie_over_the_map(page):
    """With the box checked the chosen option's lines are drawn, and no other's."""
    drawn = """document.getElementById("map")._fullData
      .filter((t) => t.name.startsWith("option ") && t.visible === true).map((t) => t.name)"""
    assert page.evaluate(drawn) == []
    page.set_checked("[data-layer=option]", True)
    for number in (1, 0):
        page.select_option("#option", str(number))
        assert page.evaluate(drawn) == [f"option {number + 1}"]
    page.set_checked("[data-layer=option]", False)
    assert page.evaluate(drawn) == []


def test_the_storm_is_shown_until_it_is_dry(page):
    """The time axis reaches from the storm to the end of the water that was followed."""
    end = "document.getElementById('storm')._fullLayout.xaxis.range[1]"
    short = page.evaluate(end)
    page.check("input[name=span][value=all]", force=True)
    assert page.evaluate(end) > 2 * short
    page.check("input[name=span][value=storm]", force=True)
    assert page.evaluate(end) == short


def test_buttons_come_nearer_and_go_back(page):
    """Nearer shows less ground, the last button the whole site again."""
    width = "(() => { const [a, b] = document.getElementById('map')._fullLayout.xaxis.range; return b - a; })()"
    whole = page.evaluate(width)
    page.click("[data-zoom='1.6']")
    page.wait_for_function(f"{width} < {0.7 * whole}")
    page.click("[data-zoom='0']")
    page.wait_for_function(f"{width} > {0.99 * whole}")


def test_heights_are_drawn_up(page):
    """Twice the heights double the third side of the scene and leave the others."""
    ratio = "document.getElementById('scene')._fullLayout.scene.aspectratio"
    true = page.evaluate(ratio)
    page.select_option("#heights", "2")
    page.wait_for_function(f"Math.abs({ratio}.z - {2 * true['z']}) < 1e-9")
    assert page.evaluate(ratio)["x"] == pytest.approx(true["x"])


def test_the_page_is_open_to_everybody(page):
    """No violation of WCAG 2.1 A and AA, contrast among them, found by axe."""
    found = axe.Axe().run(page, options={"runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "best-practice"]})
    assert [(fault["id"], [node["target"] for node in fault["nodes"]]) for fault in found.response["violations"]] == []


def test_the_library_is_read_after_the_first_view(browser, folder):
    """When the answer is first painted, the plotting library has not been run yet."""
    opened = browser.new_page(viewport=_PHONE)
    opened.add_init_script("""new PerformanceObserver((list) => {
      for (const entry of list.getEntries()) window.paintedAt ??= entry.startTime;
    }).observe({ type: "paint", buffered: true });
    Object.defineProperty(window, "Plotly", {
      configurable: true,
      set(value) {
        window.libraryAt = performance.now();
        Object.defineProperty(window, "Plotly", { value, writable: true });
      },
    });""")
    opened.goto((folder / "report.html").as_uri())
    opened.wait_for_function("window.paintedAt !== undefined && window.libraryAt !== undefined")
    assert opened.evaluate("window.paintedAt < window.libraryAt")
    opened.close()
