"""What is said of a survey."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.survey.survey import Survey
from swalekit.reporting.words.shown import ShownColumn, number, table_of
from swalekit.reporting.words.survey_words import percent, survey_words

_COLUMNS: tuple[ShownColumn, ...] = (
    ("swale", "swale", "", 0),
    ("verdict", "verdict", "", 0),
    ("spills over", "over", "", 0),
    ("stores", "storage_m3", "m3", 0),
    ("of\ndesign", "share", "", 0),
    ("holds", "held_mm", "mm", 1),
    ("designed", "designed_mm", "mm", 1),
    ("points", "points", "", 0),
)


def print_survey(survey: Survey, folder: Path) -> None:
    """Print a verdict on each swale, what must be mended, and what the reader must know.

    Parameters
    ----------
    survey : Survey
        What was found.
    folder : Path
        Where the results are.

    Examples
    --------
    >>> print_survey(survey, Path("survey"))  # doctest: +ELLIPSIS
                                      stores      of   holds  designed
    swale  verdict       spills over      m³  design      mm        mm  points
    S1     incomplete    –                 –       –  (53.4)      53.4      45
    S2     not surveyed  –                 –       –  (51.4)      51.4       0
    in brackets: rests on the design of this swale or one above, for want of points
    2 swales: 1 incomplete, 1 not surveyed; held storm 51.4 mm as built, 51.4 mm as designed
    45 of 45 points used
    judged by sill ±0.03 m, floor ±0.05 m, crest ±0.05 m (common practice); chainages run with downhill on the r...
    caution: points lacking: S1, S2 (nothing is said of what was not surveyed: survey it)
    caution: levels only: This check compares levels. It judges neither soil, compaction nor the strength of a b...
    results in survey
    """
    console, units = result_console(), survey.design.site.brief.site.units
    rows = []
    for place, built in enumerate(survey.check.swales):
        storage_m3 = built.storage_m3
        held = number(survey.held.built_mm[place], "mm", units=units, decimals=1)
        rows.append(
            {
                "swale": built.design.id,
                "verdict": built.verdict,
                "over": None if built.spill is None else built.spill.over,
                "storage_m3": storage_m3,
                "share": None if storage_m3 is None else percent(storage_m3, built.design.shape.storage_m3),
                "held_mm": f"({held})" if survey.held.assumed[place] else held,
                "designed_mm": survey.held.designed_mm[place],
                "points": str(sum(part.count for part in built.parts.values())),
            }
        )
    print_table(console, *table_of(rows, _COLUMNS, units=units), left=(0, 1, 2), rest_in="survey.csv")
    if survey.held.assumed[: len(rows)].any():
        console.print("in brackets: rests on the design of this swale or one above, for want of points")
    print_lines(console, *survey_words(survey), f"results in {folder}")
