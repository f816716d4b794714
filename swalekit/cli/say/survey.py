"""What is said of a survey."""

from pathlib import Path

from swalekit.cli.say.console import print_lines, print_table, result_console
from swalekit.design.survey.survey import Survey
from swalekit.reporting.words.shown import number, unit_name
from swalekit.reporting.words.survey_words import percent, survey_words


def print_survey(survey: Survey, folder: Path) -> None:
    """Print a verdict on each swale, what must be mended, and what the reader must know."""
    console, units = result_console(), survey.design.site.brief.site.units
    volume, rain = unit_name("m3", units=units), unit_name("mm", units=units)
    heads = ["swale", "verdict", "spills over", f"stores\n{volume}", "of\ndesign"]
    heads += [f"holds\n{rain}", f"designed\n{rain}", "points"]
    rows = []
    for place, built in enumerate(survey.check.swales):
        storage_m3 = built.storage_m3
        held = number(survey.held.built_mm[place], "mm", units=units, decimals=1)
        rows.append(
            (
                built.design.id,
                built.verdict,
                "–" if built.spill is None else built.spill.over,
                number(storage_m3, "m3", units=units),
                "–" if storage_m3 is None else percent(storage_m3, built.design.shape.storage_m3),
                f"({held})" if survey.held.assumed[place] else held,
                number(survey.held.designed_mm[place], "mm", units=units, decimals=1),
                str(sum(part.count for part in built.parts.values())),
            )
        )
    print_table(console, heads, rows, left=(0, 1, 2), rest_in="survey.csv")
    if survey.held.assumed[: len(rows)].any():
        console.print("in brackets: rests on the design of this swale or one above, for want of points")
    print_lines(console, *survey_words(survey), f"results in {folder}")
