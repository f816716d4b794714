"""A survey check as CSV: a row a swale, a row a spot, and the points that were not used."""

import csv
from pathlib import Path

from swalekit.design.plan.columns import Column, Entry
from swalekit.formats.spreadsheet_text import shielded_row
from swalekit.results.survey.table import (
    SPOT_COLUMNS,
    SURVEY_COLUMNS,
    UNMATCHED_COLUMNS,
    spot_rows,
    survey_rows,
    unmatched_rows,
)
from swalekit.verification.survey_check import HeldStorms, SurveyCheck


def write_survey(check: SurveyCheck, path: str | Path, *, held: HeldStorms | None = None) -> None:
    """Write a row a swale, as built beside as designed.

    Parameters
    ----------
    check : SurveyCheck
        The check.
    path : str or Path
        File to write: UTF-8 with a byte order mark, without which spreadsheets garble names in other scripts; decimal
        points, comma separated. Text that a spreadsheet would run as a formula gets an apostrophe in front.
    held : HeldStorms, optional
        Of stores that begin with the swales in their order.
    """
    _write(survey_rows(check, held), SURVEY_COLUMNS, path)


def write_spots(check: SurveyCheck, path: str | Path) -> None:
    """Write a row a stretch too high or too low: what the crew has to cure.

    Parameters
    ----------
    check : SurveyCheck
        The check.
    path : str or Path
        File to write, as in `write_survey`.
    """
    _write(spot_rows(check), SPOT_COLUMNS, path)


def write_unmatched(check: SurveyCheck, path: str | Path) -> None:
    """Write a row a point that was not used, with the reason.

    Parameters
    ----------
    check : SurveyCheck
        The check.
    path : str or Path
        File to write, as in `write_survey`.
    """
    _write(unmatched_rows(check), UNMATCHED_COLUMNS, path)


def _write(rows: list[dict[str, Entry]], columns: tuple[Column, ...], path: str | Path) -> None:
    """Write rows under the names of their columns."""
    with Path(path).open("w", encoding="utf-8-sig", newline="") as file:
        writer = csv.DictWriter(file, [column.name for column in columns], lineterminator="\n")
        writer.writeheader()
        writer.writerows(map(shielded_row, rows))
