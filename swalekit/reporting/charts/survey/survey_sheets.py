"""The sheets of a survey: a profile a surveyed swale, with what must be mended."""

from collections.abc import Iterator

from matplotlib.figure import Figure

from swalekit.design.survey.survey import Survey
from swalekit.reporting.charts.survey.survey_profile import survey_sheet
from swalekit.reporting.words.survey_words import swale_words
from swalekit.verification.as_built import NOT_SURVEYED


def survey_sheets(survey: Survey) -> Iterator[Figure]:
    """Draw a sheet for each swale that was surveyed, each when it is asked for.

    Parameters
    ----------
    survey : Survey
        The survey.
    """
    part = survey.design.site.brief.site
    for place, built in enumerate(survey.check.swales):
        if built.verdict != NOT_SURVEYED:
            yield survey_sheet(built, title=part.name, units=part.units, notes=swale_words(survey, place))
