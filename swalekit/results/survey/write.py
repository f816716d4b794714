"""The survey of what was built in a folder."""

from dataclasses import asdict
from pathlib import Path
from typing import Any

from swalekit.design.brief.issue import title_of
from swalekit.design.brief.settings import storm_of
from swalekit.design.survey.survey import Survey
from swalekit.formats.table import write_table
from swalekit.reporting.charts.survey.sheets import survey_sheets
from swalekit.reporting.paper.save import save_pdf
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import input_file
from swalekit.results.folder.provenance import belongs_to, caution_rows, whole_summary, write_json
from swalekit.results.folder.seal import SIGNATURE
from swalekit.results.survey.table import (
    SPOT_COLUMNS,
    SURVEY_COLUMNS,
    UNMATCHED_COLUMNS,
    spot_rows,
    survey_rows,
    unmatched_rows,
)

COLUMNS = {"swales": SURVEY_COLUMNS, "spots": SPOT_COLUMNS, "unmatched": UNMATCHED_COLUMNS}


def write_survey_folder(
    survey: Survey, folder: str | Path, *, plan: str | Path, points: str | Path, overwrite: bool = False
) -> None:
    """Write verdicts, spots, unused points, profiles and summary to a folder, whole or not at all.

    Parameters
    ----------
    survey : Survey
        The survey.
    folder : str or Path
        Where the results go.
    plan : str or Path
        Folder of the plan that it was checked against.
    points : str or Path
        File of the points.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> _ = (folder / "points.csv").write_text("1,3999960,500006,107.45,S1 floor")
    >>> write_survey_folder(survey, folder / "survey", plan=plan_folder, points=folder / "points.csv")
    >>> sorted(file.name for file in (folder / "survey").iterdir())
    ['low_spots.csv', 'profiles.pdf', 'summary.json', 'survey.csv', 'unmatched.csv']
    """
    check = survey.check
    inputs = [input_file("plan", Path(plan) / SIGNATURE, folder), input_file("points", points, folder)]
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(survey_rows(check, survey.held), SURVEY_COLUMNS, results / "survey.csv")
        write_table(spot_rows(check), SPOT_COLUMNS, results / "low_spots.csv")
        write_table(unmatched_rows(check), UNMATCHED_COLUMNS, results / "unmatched.csv")
        save_pdf(survey_sheets(survey), results / "profiles.pdf", title=title_of(survey.design.site))
        write_json(whole_summary(_survey_summary(survey), {"inputs": inputs}, COLUMNS), results / "summary.json")


def _survey_summary(survey: Survey) -> dict[str, Any]:
    """Verdicts, figures and cautions of a survey, in JSON types; points that were not used are counted only."""
    check = survey.check
    verdicts = [built.verdict for built in check.swales]
    return {
        "site": survey.design.site.brief.site.name,
        **belongs_to(survey.design.site),
        "verdicts": {verdict: verdicts.count(verdict) for verdict in dict.fromkeys(verdicts)},
        "storm_depth_mm": storm_of(survey.design.site).depth_mm,
        "design_held_storm_mm": round(survey.designed_storm_mm, 1),
        "held_storm_mm": round(survey.held_storm_mm, 1),
        "swales": survey_rows(check, survey.held),
        "spots": spot_rows(check),
        "points": len(survey.points.number),
        "unmatched": len(check.unmatched),
        "rules": asdict(check.rules),
        "cautions": caution_rows(survey.cautions),
    }
