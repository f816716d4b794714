"""The sentences of a printed report, and how they flow over pages."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.paper.lettering import line_height_mm, wrap
from swalekit.reporting.report.sources import sources_used
from swalekit.reporting.words import plan_words as words
from swalekit.reporting.words.chance_words import chance_sentence, size_sentence
from swalekit.reporting.words.chapters import Chapter
from swalekit.reporting.words.shown import shown
from swalekit.reporting.words.stage_words import stage_sentences

HEAD_PT, TEXT_PT = 10.0, 7.5
_GAP_MM = 2.2


@dataclass(frozen=True)
class TextLine:
    """A line of a column.

    Parameters
    ----------
    text : str
        What it says.
    heading : bool
        Whether it is a heading or part of one.
    top_mm : float
        Upper edge, from the top of the column [mm].
    """

    text: str
    heading: bool
    top_mm: float


def verdict(record: PlanRecord) -> str:
    """The answer in a sentence.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    str
        How many swales, their length, and whether they hold the design storm or from which storm on the weakest spills.

    Examples
    --------
    >>> verdict(record)
    '2 level swales, 176 m in all, hold the 50.0 mm design storm without spilling.'
    """
    totals, units = record.totals, record.units
    asked = shown(record.values_used["storm_depth_mm"], "mm", units=units, decimals=1)
    if not record.swales:
        return "No level line on this ground is fit to dig by the rules of the brief."
    many, length = len(record.swales), shown(totals["length_m"], "m", units=units)
    opening = f"{many} level swale{'s' if many != 1 else ''}, {length} in all,"
    if words.holds(record):
        return f"{opening} hold the {asked} design storm without spilling."
    weakest = shown(totals["held_storm_mm"], "mm", units=units, decimals=1)
    return f"{opening} don't all hold the {asked} design storm: the weakest spills from {weakest}."


def how_sure(record: PlanRecord) -> tuple[str, ...]:
    """Sentences on how far the answer can be trusted.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        On the chance to hold, on wet and dry ground, and on the place of the lines, those that are known.

    Examples
    --------
    >>> how_sure(record)[-1].split(",")[0]
    "A line's place has a standard error of about 0.50 m"
    """
    totals, units = record.totals, record.units
    sentences = [*_chances(record)]
    if totals["held_wet_mm"] is not None:
        wet, dry = (shown(totals[name], "mm", units=units, decimals=1) for name in ("held_wet_mm", "held_dry_mm"))
        sentences.append(
            f"Curve numbers are rough: on ground wet before the storm the swales hold {wet}, on dry {dry}."
        )
    sigma_m = words.middle_sigma_m(record)
    if sigma_m is not None:
        place = shown(sigma_m, "m", units=units, decimals=2)
        height = shown(record.summary["terrain"]["vertical_sigma_m"], "m", units=units, decimals=2)
        sentences.append(
            f"A line's place has a standard error of about {place}, from a height error of {height}: "
            "set every line out on site with a level."
        )
    return tuple(sentences)


def chapters(record: PlanRecord) -> tuple[Chapter, ...]:
    """Everything that is told in sentences: cautions, failures, data, refusals, inputs, values used, sources.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of Chapter
        In that order, the planting first where there is one.

    Examples
    --------
    >>> [chapter.head for chapter in chapters(record)][:3]
    ['Cautions of the swales', 'If a swale failed', 'Years of service']
    """
    summary, units = record.summary, record.units
    raised = (
        f"{caution.name} ({caution.swales}): {caution.advice}. "
        + "; ".join(f"{swale} {text}" for swale, text in caution.raised)
        for caution in words.raised_cautions(record)
    )
    refused = (
        f"{reason}: {sums['stretches']} stretches, {shown(sums['length_m'], 'm', units=units)}"
        for reason, sums in summary["refused"].items()
    )
    files = tuple(f"{given['key']}: {given['file']}, SHA-256 {given['sha256']}" for given in summary["inputs"])
    sources = tuple(f"{what}, {value}: {source}" for what, value, source in sources_used(record))
    return (
        *_planting(record),
        *(() if record.bunding is None else (Chapter("Trees in basins", tuple(record.bunding.bunding["words"])),)),
        *(() if record.budget is None else (Chapter("What it costs", tuple(record.budget["words"])),)),
        *([Chapter("Built in stages", stage_sentences(record))] if record.stages else []),
        Chapter("Cautions of the swales", _whole(raised)),
        Chapter("If a swale failed", _whole(_failures(record))),
        Chapter("Years of service", _whole(words.service_words(record))),
        Chapter("On every site", words.standing_cautions(record)),
        Chapter("What was done to the data", _whole(words.plan_notes(record))),
        Chapter("Where no line was laid", _whole(refused)),
        Chapter("Files read", files),
        Chapter("The brief, defaults included; metric", _brief(record)),
        Chapter("Sources of the published numbers", sources),
        Chapter("Made by", (", ".join(f"{name} {version}" for name, version in summary["versions"].items()),)),
    )


def flow(chapters: Sequence[Chapter], width_mm: float, height_mm: float) -> list[list[TextLine]]:
    """Chapters broken into columns; no heading stands last in its column.

    Parameters
    ----------
    chapters : sequence of Chapter
        Heads and sentences.
    width_mm, height_mm : float
        Size of a column [mm].

    Returns
    -------
    list of list of TextLine
        Lines of each column.

    Examples
    --------
    >>> columns = flow([Chapter("Sources", ("a book", "another"))], 40.0, 12.0)
    >>> [[line.text for line in column] for column in columns]
    [['Sources', 'a book'], ['another']]
    """
    columns: list[list[TextLine]] = [[]]
    y = 0.0
    for chapter in chapters:
        blocks = [(wrap(chapter.head, width_mm, HEAD_PT, "bold"), True)]
        blocks += [(wrap(sentence, width_mm, TEXT_PT), False) for sentence in chapter.sentences]
        for lines, heading in blocks:
            step = line_height_mm(HEAD_PT if heading else TEXT_PT)
            needed = step * len(lines) + (_GAP_MM + 2 * line_height_mm(TEXT_PT) if heading else 0.0)
            fresh = y > 0 and heading and y + needed > height_mm
            for line in lines:
                if fresh or (y > 0 and y + step > height_mm):
                    columns.append([])
                    y, fresh = 0.0, False
                y += _GAP_MM if heading and y > 0 and line is lines[0] else 0.0
                columns[-1].append(TextLine(line, heading, y))
                y += step
            y += 0.35 * step
    return columns


def _chances(record: PlanRecord) -> tuple[str, ...]:
    """The chance to hold the storm that comes, where it was drawn."""
    if record.reliability is None:
        return ()
    sure, currency = record.reliability.summary, record.brief["rates"]["currency"]
    return (
        f"{chance_sentence(sure, units=record.units)} That is drawn {sure['draws']:,} times from what storm, soil, "
        f"terrain and crew may be; most hangs on {sure['matters_most']['holding the storm']}.",
        *filter(None, [size_sentence(sure["sizes"], units=record.units, currency=currency)] if "sizes" in sure else []),
    )


def _planting(record: PlanRecord) -> tuple[Chapter, ...]:
    """The planting in words, where there is one."""
    if record.growth is None:
        return ()
    planting = record.growth.planting
    warned = (f"{text[:1].upper()}{text[1:]}." for text in (*planting["cautions"].values(), *planting["notes"]))
    return (
        Chapter("Water for trees", _whole(planting["words"])),
        Chapter("Cautions of the planting", _whole(warned)),
    )


def _whole(sentences: Iterable[str]) -> tuple[str, ...]:
    return tuple(sentences) or ("None.",)


def _failures(record: PlanRecord) -> list[str]:
    told = []
    for failure in words.harmful_failures(record):
        check, stops = words.fail_in_check(record, failure.swale), words.stop_words(failure, units=record.units)
        told.append(
            words.failure_words(failure, units=record.units)
            + (f" What would stop it: {stops}." if stops else "")
            + (f" In the check storm {', '.join(check)} would fail too." if check else "")
        )
    opening = words.breach_words(record)
    return [opening, *(told or ["No other berm would be topped, and no more water would leave the site."])]


def _brief(record: PlanRecord) -> tuple[str, ...]:
    return tuple(
        f"{part}: " + "; ".join(f"{key} = {value}" for key, value in values.items() if value not in (None, "", {}))
        for part, values in record.brief.items()
    )
