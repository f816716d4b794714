"""The survey of what was built in a folder."""

from pathlib import Path

from swalekit.design.survey.survey import Survey
from swalekit.reporting.charts.survey.survey_sheets import survey_sheets
from swalekit.reporting.paper.save import save_pdf
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.provenance import write_json
from swalekit.results.survey.csv import write_spots, write_survey, write_unmatched
from swalekit.results.survey.summary import survey_summary


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
    """
    check = survey.check
    with result_folder(folder, overwrite=overwrite) as results:
        write_survey(check, results / "survey.csv", held=survey.held)
        write_spots(check, results / "low_spots.csv")
        write_unmatched(check, results / "unmatched.csv")
        save_pdf(survey_sheets(survey), results / "profiles.pdf")
        write_json(survey_summary(survey, plan=plan, points=points, folder=folder), results / "summary.json")
