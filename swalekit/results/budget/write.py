"""A budget in a folder."""

from pathlib import Path

from swalekit.design.brief.issue import issue_words, plan_number
from swalekit.design.budget.bill import BILL_COLUMNS
from swalekit.design.budget.site_budget import CHOICE_COLUMNS, HEADING_COLUMNS, budget_rows, choice_rows, heading_rows
from swalekit.formats.table import write_table
from swalekit.reporting.charts.budget.bars import budget_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.reporting.report.text_sheets import text_sheets
from swalekit.reporting.words.budget_words import budget_chapters, budget_sentences
from swalekit.results.budget.gather import Gathered
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import input_file
from swalekit.results.folder.provenance import whole_summary, write_json
from swalekit.results.folder.seal import SIGNATURE

COLUMNS = {"budget": BILL_COLUMNS, "headings": HEADING_COLUMNS, "choices": CHOICE_COLUMNS}


def write_budget(gathered: Gathered, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write lines, chart and summary of a budget to a folder, whole or not at all.

    Parameters
    ----------
    gathered : Gathered
        The budget and what it is from.
    folder : str or Path
        Where the results go.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> from swalekit.results.budget.gather import Gathered
    >>> plan = {"brief": {"site": {"name": "North"}}, "seal": "5d41402abc4b2a76"}
    >>> write_budget(Gathered(budget, plan, {}), folder / "budget")
    >>> sorted(file.name for file in (folder / "budget").iterdir())
    ['budget.csv', 'budget.pdf', 'budget.png', 'summary.json']
    """
    found = gathered.found
    budget, rows = found.budget, budget_rows(found)
    made_of = {
        "brief": gathered.summary["brief"],
        "inputs": [input_file(command, of / SIGNATURE, folder) for command, of in gathered.folders.items()],
    }
    told = {
        "site": found.site,
        "of_plan": {
            "number": plan_number(gathered.summary),
            **{key: gathered.summary["brief"]["site"].get(key, "") for key in ("revision", "date")},
        },
        "currency": found.currency,
        "total": round(budget.total),
        "low": round(budget.low),
        "high": round(budget.high),
        "contingency": round(budget.contingency),
        "by_year": {str(found.first_year - 1 + year): round(sum_) for year, sum_ in budget.by_year.items()},
        "headings": heading_rows(found),
        "choices": choice_rows(found.choices),
        "unpriced": list(budget.unpriced),
        "budget": rows,
        "words": list(budget_sentences(found)),
    }
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(rows, BILL_COLUMNS, results / "budget.csv")
        sheet = budget_sheet(found)
        save_png(sheet, results / "budget.png")
        sheets = [sheet, *text_sheets(budget_chapters(found), "A4")]
        save_pdf(sheets, results / "budget.pdf", title=f"{found.site} · {issue_words(gathered.summary)}")
        write_json(whole_summary(told, made_of, COLUMNS), results / "summary.json")
