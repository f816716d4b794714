"""What was built, swale by swale: one on axes, and all that were surveyed on sheets with what must be mended."""

from collections.abc import Iterator, Sequence
from textwrap import wrap

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.design.brief.issue import title_of
from swalekit.design.survey.survey import Survey
from swalekit.errors import InputError
from swalekit.reporting.charts.survey.profile import draw_survey_profile
from swalekit.reporting.paper.axes import ABOVE_LEGEND_PT, title
from swalekit.reporting.paper.lettering import font
from swalekit.reporting.paper.palette import INK
from swalekit.reporting.words.survey_words import swale_words
from swalekit.verification.as_built import NOT_SURVEYED, AsBuilt

_SIZE_PT = 8.0
_SHEET = (10.0, 4.6)  # width and height of a sheet without notes [in]
_NOTE_LINE, _NOTE_LETTERS = 0.17, 150  # height of a line of notes [in], and how many letters it takes


def draw_survey(survey: Survey, swale: str, ax: Axes | None = None) -> Axes:
    """Draw a swale along its line as designed and as surveyed, with the stretches that must be mended.

    Parameters
    ----------
    survey : Survey
        The survey.
    swale : str
        Number of the swale, as ``S3``.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The same axes.

    Raises
    ------
    InputError
        If there is no such swale.

    Examples
    --------
    >>> draw_survey(survey, "S1").get_title(loc="left")
    'S1: incomplete'
    """
    built = next((found for found in survey.check.swales if found.design.id == swale), None)
    if built is None:
        names = [found.design.id for found in survey.check.swales]
        message = f"there is no swale '{swale}' in the survey; give {names[0]} to {names[-1]}"
        raise InputError(message)
    axes = draw_survey_profile(built, ax, units=survey.design.site.brief.site.units)
    return title(axes, f"{swale}: {built.verdict}", above_pt=ABOVE_LEGEND_PT)


def survey_sheet(built: AsBuilt, *, title: str, units: str, notes: Sequence[str] = ()) -> Figure:
    """Draw a swale as designed and as surveyed on a sheet, the verdict above it and notes below.

    Parameters
    ----------
    built : AsBuilt
        The swale as built, with its design.
    title : str
        Name of the site.
    units : str
        ``metric`` or ``us``.
    notes : sequence of str
        Sentences below the chart; the sheet is as much higher.

    Returns
    -------
    Figure
        The sheet.

    Raises
    ------
    InputError
        If the units are unknown.

    Examples
    --------
    >>> sheet = survey_sheet(survey.check.swales[0], title="Upper field", units="metric", notes=["Crest not checked."])
    >>> [text.get_text() for text in sheet.texts]
    ['Upper field: S1, incomplete', 'Crest not checked.']
    """
    lines = [line for note in notes for line in wrap(note, _NOTE_LETTERS)]
    height = _SHEET[1] + _NOTE_LINE * len(lines)
    figure = Figure(figsize=(_SHEET[0], height))
    axes = figure.add_axes((0.08, 1.0 - 0.88 * _SHEET[1] / height, 0.9, 0.7 * _SHEET[1] / height))
    draw_survey_profile(built, axes, units=units)
    top = f"{title}: {built.design.id}, {built.verdict}"
    figure.text(0.08, 1.0 - 0.06 * _SHEET[1] / height, top, color=INK, **font(11.0, "bold"))
    for number, line in enumerate(reversed(lines)):
        figure.text(0.08, (0.12 + _NOTE_LINE * number) / height, line, color=INK, **font(_SIZE_PT))
    return figure


def survey_sheets(survey: Survey) -> Iterator[Figure]:
    """Draw a sheet for each swale that was surveyed, one when it is asked for.

    Parameters
    ----------
    survey : Survey
        The survey.

    Yields
    ------
    Figure
        Chart, verdict, and what must be mended.

    Examples
    --------
    >>> len(list(survey_sheets(survey)))
    1
    """
    title, units = title_of(survey.design.site), survey.design.site.brief.site.units
    for place, built in enumerate(survey.check.swales):
        if built.verdict != NOT_SURVEYED:
            yield survey_sheet(built, title=title, units=units, notes=swale_words(survey, place))
