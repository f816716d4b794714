"""Every CSV of every result: the mark that spreadsheets need, the declared columns, and no text that would be run."""

import csv
import json
from dataclasses import replace
from pathlib import Path

import numpy as np
import pytest
from grown import grow_design, records
from read_back import csv_rows
from sites import plane

from swalekit.design.gauging import GaugeNote, gauge
from swalekit.design.growth.grow import grow
from swalekit.design.options.comparison import compare
from swalekit.design.options.spacing_table import spacing_rules_of
from swalekit.design.options.variations import Variation
from swalekit.design.plan.design import Caution
from swalekit.design.plan.storm_table import STORM_COLUMNS
from swalekit.design.plan.table import SWALE_COLUMNS
from swalekit.design.reliability.reliability import how_sure
from swalekit.design.survey.stakeout import stake_design
from swalekit.design.survey.survey import survey_design
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.planting.plants.species import find_species, known_species
from swalekit.results.batch.write import BATCH_COLUMNS, write_batch
from swalekit.results.gauging.write import write_gauging
from swalekit.results.growth.write import TABLES, write_growth
from swalekit.results.options.write import write_comparison, write_spacing_rules
from swalekit.results.plan.write import write_plan
from swalekit.results.reliability.write import write_reliability
from swalekit.results.stakes.table import TABLE_COLUMNS
from swalekit.results.stakes.write import write_stakeout
from swalekit.results.storm.write import write_storm
from swalekit.results.survey.write import write_survey_folder
from swalekit.staking.stake import Benchmark
from swalekit.terrain.correction import judged_by_points
from swalekit.terrain.survey_points import SurveyPoints

FORMULA = "=1+1"

TOLD = {
    "plan/earthwork": "swales",
    "plan/site_water": "site_water",
    "plan/water_account": "water_account",
    "plan/terrain_points": "terrain_points",
    "compare/options": "options",
    "rules/spacing_rules": "rules",
    "reliability/reliability": "swales",
    "survey/survey": "swales",
    "stakes/gauge_posts": "gauge_posts",
    "gauge/gauge": "readings",
    "survey/low_spots": "spots",
    "survey/unmatched": "unmatched",
    **{f"growth/{name}": name for name in TABLES},
}
"""Table -> its part of the columns that the summary beside it explains."""

DECLARED = {"storm/storm": STORM_COLUMNS, "stakes/stakes": TABLE_COLUMNS, "batch/batch": BATCH_COLUMNS}
"""Tables whose columns are explained nowhere else than at their declaration."""

OF_NUMBERS = {"plan/site_water", "storm/storm", "growth/water_year", "growth/years", "growth/stand"}
"""Tables that hold no text of a user's."""


def write_plans(design, folder: Path) -> None:
    """Plan, stakes, survey, reliability and batch of a design whose texts would be run."""
    first, *others = design.swales
    line = first.line
    points = SurveyPoints(np.arange(1), line.xy[:1, 0], line.xy[:1, 1], np.array([107.0]), (FORMULA,))
    odd = replace(
        design,
        swales=(replace(first, id=FORMULA, cautions=(Caution(FORMULA, ""),)), *others),
        ground=replace(design.ground, terrain=judged_by_points(design.ground.terrain, points)),
    )
    write_plan(odd, folder / "plan")
    write_batch(["plan", "bad"], folder, {"bad": FORMULA})
    stakeout = replace(stake_design(design), benchmark=Benchmark(FORMULA, 100.0))
    write_stakeout(replace(design, swales=odd.swales), stakeout, folder / "stakes")
    write_gauging(gauge(odd, [GaugeNote("2026-11-03", FORMULA, 40.0, depth_m=0.2)]), folder / "gauge")
    points = SurveyPoints(
        np.arange(1, 4), line.xy[:3, 0], line.xy[:3, 1], np.array([107.0, 109.0, 108.0]), ("floor", "crest", FORMULA)
    )
    (folder / "points.csv").touch()
    survey = survey_design(design, points)
    built = tuple(replace(swale, design=replace(swale.design, id=FORMULA)) for swale in survey.check.swales)
    survey = replace(survey, check=replace(survey.check, swales=built))
    write_survey_folder(survey, folder / "survey", plan=folder / "plan", points=folder / "points.csv")
    sure = how_sure(design.site.with_values({"uncertainty": {"draws": 20}}), plane())
    write_reliability(replace(sure, layout=replace(sure.layout, swales=odd.swales)), folder / "reliability")


@pytest.fixture(scope="module")
def written(tmp_path_factory):
    """A folder with a folder of each result."""
    folder, design = tmp_path_factory.mktemp("tables"), grow_design()
    write_plans(design, folder)
    write_comparison(compare(design.site, plane(), [Variation(FORMULA, {})]), folder / "compare")
    rules = spacing_rules_of(design.site, plane())
    write_spacing_rules(replace(rules, rows=(replace(rules.rows[0], note=FORMULA),)), design.site, folder / "rules")
    depths = DepthTable(np.array([1.0, 24.0]), np.array([2.0, 10.0]), np.array([[10.0, 20.0], [30.0, 50.0]]))
    write_storm(replace(design.site, rain=depths), folder / "storm")
    own = {FORMULA: replace(find_species("olive", known_species()), name=FORMULA, crop="olive")}
    growing = replace(design, site=design.site.with_values({"planting": {"sheltered": [FORMULA]}}))
    planting = grow(growing, replace(records(), species=own))
    swales = tuple(replace(swale, swale=FORMULA) for swale in planting.swales)
    write_growth(replace(planting, swales=swales), folder / "growth")
    (folder / "batch").mkdir()
    (folder / "batch.csv").rename(folder / "batch" / "batch.csv")
    return folder


def test_no_table_is_left_out(written):
    """The folders hold these tables and no other, but for the points of field gear, which take no mark."""
    found = {str(file.relative_to(written).with_suffix("")) for file in written.glob("*/*.csv")}
    assert found == {*TOLD, *DECLARED, "stakes/points"}
    assert not (written / "stakes" / "points.csv").read_bytes().startswith(b"\xef\xbb\xbf")


@pytest.mark.parametrize("table", [*TOLD, *DECLARED])
def test_every_table_is_safe_in_a_spreadsheet(written, table):
    """It starts with the mark, has the columns that are declared and explained, and no text in it is run."""
    file = written / f"{table}.csv"
    assert file.read_bytes().startswith(b"\xef\xbb\xbf")
    with file.open(encoding="utf-8-sig", newline="") as opened:
        header, *rows = csv.reader(opened)
    if table in TOLD:
        columns = json.loads((file.parent / "summary.json").read_text(encoding="utf-8"))["columns"][TOLD[table]]
        assert header == list(columns)
        assert all(column["meaning"] for column in columns.values())
    else:
        assert header == [column.name for column in DECLARED[table]]
    cells = [cell for row in rows for cell in row]
    assert any(FORMULA in cell for cell in cells) == (table not in OF_NUMBERS)
    for cell in cells:
        if cell.startswith(("=", "+", "-", "@")):
            float(cell)


def test_the_table_of_the_plan_ends_with_its_totals(written):
    """A row a swale and one of totals, under every column of a swale."""
    rows = csv_rows(written / "plan" / "earthwork.csv")
    assert [row["swale"] for row in rows] == [f"'{FORMULA}", "S2", "total"]
    assert list(rows[0]) == [column.name for column in SWALE_COLUMNS]
