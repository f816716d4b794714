"""What a planting writes: one value for one total in all of it, the same bytes twice, a chart and a map."""

import json
import re

import geopandas
import pytest
from grown import grow_design, records
from read_back import csv_rows

from swalekit.design.growth.grow import grow
from swalekit.design.growth.table import grow_totals, month_rows, year_rows
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.reporting.charts.growth.dry_months import draw_dry_months
from swalekit.reporting.charts.growth.map import planting_content
from swalekit.reporting.charts.growth.water_year import draw_measures, draw_water_year
from swalekit.reporting.map.legend import legend_entries
from swalekit.reporting.map.plant_marks import species_codes
from swalekit.reporting.report.text_sheets import text_sheets
from swalekit.reporting.words.planting_words import growth_words, planting_chapters
from swalekit.results.growth.write import write_growth
from swalekit.results.plan.record import plan_record

FILES = (
    "bill.csv brief.toml calendar.csv dry_months.png guilds.csv nursery.csv palette.csv planting.csv "
    "planting.pdf planting.png schedule.csv site.gpkg species.csv stand.csv summary.json trees.csv "
    "water_year.csv water_year.png watering.csv years.csv"
)


@pytest.fixture(scope="module")
def growth():
    """A planting below a house."""
    return grow(grow_design(greywater={"people": 3.0}), records())


@pytest.fixture(scope="module")
def folder(growth, tmp_path_factory):
    """Its results."""
    path = tmp_path_factory.mktemp("out") / "grow"
    write_growth(growth, path)
    return path


def test_every_promised_file_is_there(folder):
    """The folder holds these files and no other."""
    assert sorted(path.name for path in folder.iterdir()) == FILES.split()


def test_one_total_has_one_value(growth, folder):
    """Trees, plants and cost are the same in tables, layers and summary."""
    totals, summary = grow_totals(growth), json.loads((folder / "summary.json").read_text(encoding="utf-8"))
    plants = geopandas.read_file(folder / "site.gpkg", layer="plants")
    trees = csv_rows(folder / "trees.csv")
    assert summary["planting"]["totals"] == totals
    assert len(plants) == len(trees) == totals["plants"] == sum(summary["planting"]["species"].values())
    assert sum(row["role"] == "fruit" for row in trees) == sum(plants["role"] == "fruit") == totals["trees"]
    assert sum(int(row["trees"]) for row in csv_rows(folder / "planting.csv")) == totals["trees"]
    assert sum(float(row["cost"] or 0.0) for row in csv_rows(folder / "bill.csv")) == pytest.approx(
        totals["cost"], abs=5.0
    )
    assert [row["share"] for row in csv_rows(folder / "water_year.csv")] == [
        str(row["share"]) for row in month_rows(growth)
    ]
    assert summary["planting"]["trees_by_least_ratio"]["0.3"] == totals["trees"]


def test_dry_months_are_those_of_the_budgets(growth, folder):
    """A row a month of every year; a month suffers where its share lies below the least, and the words name them."""
    rows, least = csv_rows(folder / "years.csv"), growth.design.site.brief.planting.least_ratio
    every = [(str(year), str(month)) for year in range(2001, 2005) for month in range(1, 13)]
    assert [(row["year"], row["month"]) for row in rows] == every
    shares = {suffers: [float(row["share"]) for row in rows if row["suffers"] == suffers] for suffers in "01"}
    assert max(shares["1"]) <= least <= min(shares["0"])
    months = [row for row in month_rows(growth) if row["measure"] == "swale and mulch"]
    for name in ("rain_mm", "transpiration_mm", "demand_mm"):
        assert sum(float(row[name]) for row in rows) / 4 == pytest.approx(sum(row[name] for row in months), abs=1.5)
    hard = [row["month"] for row in rows if row["year"] == "2001" and row["suffers"] == "1"]
    (told,) = (words for words in growth_words(growth) if words.startswith("Of the 4 years of the record"))
    assert {MONTHS[int(month) - 1] for month in hard} <= set(re.findall(r"\w+", told))


def test_dry_months_chart_marks_what_suffers(growth):
    """A cross for each month that suffers, a line of text for each year and one for their head."""
    rows = year_rows(growth)
    axes = draw_dry_months(growth)
    (crosses,) = axes.lines
    assert len(crosses.get_xdata()) == sum(row["suffers"] for row in rows)
    assert len(axes.texts) == 5


def test_words_and_cautions_are_on_paper_in_full(growth):
    """The pages after the map hold every caution, the years and the months."""
    chapters = planting_chapters(growth)
    pages = text_sheets(chapters, "A4")
    told = " ".join(text.get_text() for page in pages for axes in page.axes for text in axes.texts).replace("\n", " ")
    for caution in growth.cautions.values():
        assert caution[1:].split(":")[0] in told
    assert all(str(year) in told for year in range(2030, 2040))
    assert all(month in told for month in MONTHS)


@pytest.mark.parametrize("monthly_mm", [25.0, 40.0])
def test_irrigation_carries_more_trees(monthly_mm):
    """Water given within its limit is counted, told, and carries more trees than the swales alone."""
    dry = grow(grow_design(least_ratio=0.6), records())
    watered = grow(grow_design(irrigation_mm_month=monthly_mm, least_ratio=0.6), records())
    before, now = grow_totals(dry), grow_totals(watered)
    assert now["trees_unwatered"] == before["trees"]
    assert now["trees"] > before["trees"]
    assert before["given_m3"] == 0
    assert 0 < now["given_m3"] <= 12 * monthly_mm * watered.planted_m2 / 1000.0 + 1
    assert max(row["given_mm"] for row in year_rows(watered)) == pytest.approx(monthly_mm, abs=0.05)
    told, told_dry = (" ".join(growth_words(growth)) for growth in (watered, dry))
    assert f"Without it the water of the swales carries {before['trees']} fruit trees" in told
    assert "Without it" not in told_dry


def test_layers_hold_bed_pipe_and_served_ground(growth, folder):
    """The bed has its area, the served ground the hectares of each place, and the pipe runs from house to bed."""
    bed, served, pipe, places = (
        geopandas.read_file(folder / "site.gpkg", layer=name)
        for name in ("reed bed", "served ground", "pipe", "bed places")
    )
    found = growth.greywater
    assert bed.geometry.area.iloc[0] == pytest.approx(found.bed.area_m2)
    assert served.geometry.area.tolist() == pytest.approx([place.served.area_m2 for place in found.places])
    assert len(places) == len(found.places)
    assert pipe.geometry.length.iloc[0] == pytest.approx(found.route.length_m)


def test_same_planting_gives_the_same_bytes(growth, folder, tmp_path):
    """Every file but for its place in the summary."""
    write_growth(growth, tmp_path / "grow")
    for name in FILES.split():
        if name != "summary.json":
            assert (folder / name).read_bytes() == (tmp_path / "grow" / name).read_bytes(), name


def test_legend_names_what_is_drawn(growth):
    """Trees by species with their number, pioneers, ground cover, bed and pipe."""
    bed = growth.design.site.keep_outs[0].geometry
    content = planting_content(growth, plan_record(growth.design), served=None, bed=bed)
    words = [each for each, _ in legend_entries(content)]
    assert content.table_file == "planting.csv"  # where the table says that it goes on
    assert f"Olive ({grow_totals(growth)['trees']})" in words
    assert {"Ground cover", "Reed bed", "Greywater pipe", "Building"} <= set(words)


def test_chart_draws_the_rows():
    """Bars are the months' rain and harvest, the line the want."""
    rows = [
        {"measure": name, "month": month, "rain_mm": 10.0 * month, "harvested_mm": 5.0, "transpiration_mm": 8.0,
         "demand_mm": 20.0, "share": 0.4}
        for name in ("bare", "mulch", "swale", "swale and mulch") for month in range(1, 13)
    ]  # fmt: skip
    above, below = draw_water_year(rows), draw_measures(rows, least_ratio=0.3)
    assert [bar.get_height() for bar in above.patches] == [10.0 * month for month in range(1, 13)] + [5.0] * 12
    assert above.lines[0].get_ydata().tolist() == [20.0] * 12
    assert below.get_legend().get_texts()[0].get_text().endswith("40 % of the year's want")


def test_codes_tell_species_apart():
    """Names that begin alike, or alike to the end, or without letters."""
    assert species_codes(["olive", "oleaster", "olive tree", "ñame", "-"]) == ["Olive", "Ole", "Olivet", "Ñ", "X"]
