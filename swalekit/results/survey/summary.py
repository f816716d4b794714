"""The survey of what was built, for machines and for the record."""

from dataclasses import asdict
from pathlib import Path
from typing import Any

from swalekit.design.brief.settings import storm_of
from swalekit.design.survey.survey import Survey
from swalekit.formats.inputs.input_files import input_file
from swalekit.results.folder.provenance import meanings, versions
from swalekit.results.folder.seal import SIGNATURE
from swalekit.results.survey.table import SPOT_COLUMNS, SURVEY_COLUMNS, UNMATCHED_COLUMNS, spot_rows, survey_rows


def survey_summary(survey: Survey, *, plan: str | Path, points: str | Path, folder: str | Path = ".") -> dict[str, Any]:
    """Verdicts, figures and cautions of a survey, in JSON types; points that were not used are counted only.

    Parameters
    ----------
    survey : Survey
        The survey.
    plan : str or Path
        Folder of the plan that it was checked against.
    points : str or Path
        File of the points.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    check = survey.check
    verdicts = [built.verdict for built in check.swales]
    return {
        "site": survey.design.site.brief.site.name,
        "verdicts": {verdict: verdicts.count(verdict) for verdict in dict.fromkeys(verdicts)},
        "storm_depth_mm": storm_of(survey.design.site).depth_mm,
        "design_held_storm_mm": round(survey.design.held_storm_mm, 1),
        "held_storm_mm": round(survey.held_storm_mm, 1),
        "swales": survey_rows(check, survey.held),
        "spots": spot_rows(check),
        "points": len(survey.points.number),
        "unmatched": len(check.unmatched),
        "rules": asdict(check.rules),
        "cautions": [
            {"swale": each.swale, "caution": each.name, "text": each.text, "advice": each.advice}
            for each in survey.cautions
        ],
        "inputs": [
            {"key": "plan"} | input_file(Path(plan) / SIGNATURE, folder),
            {"key": "points"} | input_file(points, folder),
        ],
        "versions": versions(),
        "columns": {
            "swales": meanings(SURVEY_COLUMNS),
            "spots": meanings(SPOT_COLUMNS),
            "unmatched": meanings(UNMATCHED_COLUMNS),
        },
    }
