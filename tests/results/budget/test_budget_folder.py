"""A budget in a folder: what is read, what is written, what is refused."""

import csv
import json

import pytest
from grown import grow_design, records
from sites import make_site, plane

from swalekit.design.growth.grow import grow
from swalekit.design.plan.pipeline import plan
from swalekit.errors import InputError
from swalekit.results.budget import gather_budget, write_budget
from swalekit.results.growth.write import write_growth
from swalekit.results.plan.write import write_plan, write_report


@pytest.fixture(scope="module")
def folders(tmp_path_factory):
    """A priced plan, its planting, and a plan of other lines."""
    folder = tmp_path_factory.mktemp("budget")
    design = grow_design()
    site = design.site.with_values({"rates.machine_per_h": 65.0, "rates.labour_per_h": 15.0, "rates.currency": "EUR"})
    priced = type(design)(**{**vars(design), "site": site})
    write_plan(priced, folder / "plan")
    write_growth(grow(priced, records()), folder / "grow")
    write_plan(plan(make_site(levels={"levels_m": [106.0]}), plane()), folder / "other")
    return folder


def test_one_total_in_every_file(folders):
    """Lines, headings, years and the sentence come to one sum; two runs give the same bytes."""
    gathered = gather_budget(folders / "plan", growth=folders / "grow")
    for name in ("budget", "again"):
        write_budget(gathered, folders / name)
    summary = json.loads((folders / "budget" / "summary.json").read_text(encoding="utf-8"))
    with (folders / "budget" / "budget.csv").open(encoding="utf-8-sig", newline="") as file:
        rows = list(csv.DictReader(file))
    assert sum(float(row["cost"] or 0.0) for row in rows) == pytest.approx(summary["total"], abs=1.0)
    assert sum(summary["by_year"].values()) == pytest.approx(summary["total"], abs=len(summary["by_year"]))
    headed = sum(row["cost"] for row in summary["headings"]) + summary["contingency"]
    assert headed == pytest.approx(summary["total"], abs=len(summary["headings"]))
    planned = json.loads((folders / "plan" / "summary.json").read_text(encoding="utf-8"))
    earthworks = next(row["cost"] for row in summary["headings"] if row["heading"] == "earthworks")
    assert earthworks == pytest.approx(planned["totals"]["cost"], abs=1.0)
    assert f"{round(summary['total'], -1):,} EUR" in summary["words"][0]
    for file in (folders / "budget").iterdir():
        if file.name != "summary.json":  # which names its folder's neighbours
            assert file.read_bytes() == (folders / "again" / file.name).read_bytes(), file.name


def test_report_tells_the_budget_of_its_plan(folders):
    """The sum and every heading are on the page; a budget of another plan is refused."""
    write_budget(gather_budget(folders / "plan", growth=folders / "grow"), folders / "told")
    write_report(folders / "plan", budget=folders / "told")
    page = (folders / "plan" / "report.html").read_text(encoding="utf-8")
    summary = json.loads((folders / "told" / "summary.json").read_text(encoding="utf-8"))
    assert summary["words"][0] in page
    for row in summary["headings"]:
        assert f'<th scope="row" class="text">{row["heading"]}</th><td>{row["cost"]:,}</td>' in page
    with pytest.raises(InputError, match="budget of another plan"):
        write_report(folders / "other", budget=folders / "told")


def test_results_of_another_plan_are_refused(folders):
    """In one line that says which folder and what to do."""
    with pytest.raises(InputError, match=r"grow' was not made of this plan .*run swalekit grow again"):
        gather_budget(folders / "other", growth=folders / "grow")
    with pytest.raises(InputError, match=r"holds no summary\.json"):
        gather_budget(folders / "nothing")
