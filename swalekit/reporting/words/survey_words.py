"""What a survey says, in the words of the trade."""

from swalekit.design.plan.cautions import cautions_by_name
from swalekit.design.survey.survey import SURVEY_CAUTION, Survey
from swalekit.reporting.words.shown import in_units, listed, shown
from swalekit.verification.as_built import ALL_VERDICTS, AsBuilt, SurveyRules
from swalekit.verification.spots import Spot

_MOST_SPOTS = 5
"""Spots of one swale that are told, the worst first; the table has them all."""


def survey_words(survey: Survey) -> list[str]:
    """Verdicts in a word, what must be mended, what was judged by, points not used, and the cautions, a line each.

    Parameters
    ----------
    survey : Survey
        The survey.

    Returns
    -------
    list of str
        Figures in the units of the brief.

    Examples
    --------
    >>> survey_words(survey)[0]
    '2 swales: 1 incomplete, 1 not surveyed; held storm 51.4 mm as built, 51.4 mm as designed'
    """
    check, units = survey.check, survey.design.site.brief.site.units
    unused, count = len(check.unmatched), len(survey.points.number)
    cautions = cautions_by_name(survey.cautions)
    return [
        _verdicts(survey, units),
        *(f"{built.design.id}: {line}" for built in check.swales for line in _cures(built, units)),
        f"{count - unused:,} of {count:,} points used" + (f", the other {unused:,} in unmatched.csv" if unused else ""),
        _tolerances(check.rules, units),
        *(f"caution: {name}: {listed(swales)} ({in_units(advice, units=units)})" for name, swales, advice in cautions),
        f"caution: {SURVEY_CAUTION.name}: {SURVEY_CAUTION.text}",
    ]


def swale_words(survey: Survey, place: int) -> list[str]:
    """What a survey says of one swale: storage and storm held, what must be mended, cautions, a line each.

    Parameters
    ----------
    survey : Survey
        The survey.
    place : int
        Place of the swale in the layout, from 0.

    Returns
    -------
    list of str
        Figures in the units of the brief.

    Examples
    --------
    >>> swale_words(survey, 0)[0].split(";")[0]
    'caution: points lacking: crest, spill level and storage: no point of the crest'
    """
    built, held, units = survey.check.swales[place], survey.held, survey.design.site.brief.site.units
    lines = []
    if built.storage_m3 is not None:
        designed_m3 = built.design.shape.storage_m3
        stores, of = (shown(volume_m3, "m3", units=units) for volume_m3 in (built.storage_m3, designed_m3))
        holds, asked = (
            shown(float(storms_mm[place]), "mm", units=units, decimals=1)
            for storms_mm in (held.built_mm, held.designed_mm)
        )
        lines.append(
            f"stores {stores}, {percent(built.storage_m3, designed_m3)} of {of} as designed; holds a storm of {holds}, "
            f"as designed {asked}" + ("; a swale above was not surveyed in full" if held.assumed[place] else "")
        )
    own = [caution for caution in survey.cautions if caution.swale == built.design.id]
    cautions = [in_units(f"caution: {each.name}: {each.text}; {each.advice}", units=units) for each in own]
    return [*lines, *_cures(built, units), *cautions, f"caution: {SURVEY_CAUTION.name}: {SURVEY_CAUTION.text}"]


def percent(part: float, whole: float) -> str:
    """Share in per cent.

    Parameters
    ----------
    part, whole : float
        Of one unit.

    Returns
    -------
    str
        The share; a dash where the whole is 0.

    Examples
    --------
    >>> percent(4.0, 5.0)
    '80 %'
    """
    return f"{100 * part / whole:.0f} %" if whole else "–"


def _verdicts(survey: Survey, units: str) -> str:
    """How many swales have which verdict, and the storm that the layout holds."""
    verdicts = [built.verdict for built in survey.check.swales]
    counts = ", ".join(f"{verdicts.count(verdict)} {verdict}" for verdict in ALL_VERDICTS if verdict in verdicts)
    holds, designed = (
        shown(storm_mm, "mm", units=units, decimals=1) for storm_mm in (survey.held_storm_mm, survey.designed_storm_mm)
    )
    return f"{len(verdicts)} swales: {counts}; held storm {holds} as built, {designed} as designed"


def _cures(built: AsBuilt, units: str) -> list[str]:
    """The worst spots of a swale, and what raising its berm takes."""
    worst = sorted(built.spots, key=lambda spot: -spot.greatest_m)[:_MOST_SPOTS]
    told = [_spot_words(spot, units=units) for spot in sorted(worst, key=built.spots.index)]
    more = len(built.spots) - len(told)
    lines = [f"{'; '.join(told)}" + (f"; {more} more in low_spots.csv" if more else "")] if told else []
    if built.low_crest:
        length = shown(built.raised_m, "m", units=units, decimals=1)
        fill = shown(built.fill_m3, "m3", units=units, decimals=2)
        lines.append(f"to cure the crest, raise {length} of berm with {fill} of compacted soil")
    return lines


def _spot_words(spot: Spot, *, units: str) -> str:
    """A stretch too high or too low.

    Examples
    --------
    >>> _spot_words(Spot("crest", "low", 58.5, 67.5, 9.0, 0.22, 63.0, 1.1), units="metric")
    'crest 0.22 m low from 58.5 to 67.5 m'
    """
    by = shown(spot.greatest_m, "m", units=units, decimals=2)
    start, stop = (shown(chainage_m, "m", units=units, decimals=1) for chainage_m in (spot.start_m, spot.stop_m))
    where = f"at {start}" if spot.length_m == 0.0 else f"from {start.split(' ')[0]} to {stop}"
    return f"{spot.part} {by} {spot.kind} {where}"


def _tolerances(rules: SurveyRules, units: str) -> str:
    allowed = (
        f"{part} ±{shown(rules.tolerance_m(part), 'm', units=units, decimals=2)}" for part in ("sill", "floor", "crest")
    )
    usual = SurveyRules()
    common = all(rules.tolerance_m(part) == usual.tolerance_m(part) for part in ("sill", "floor", "crest"))
    return (
        f"judged by {', '.join(allowed)}{' (common practice)' if common else ''}; chainages run with downhill on the "
        "right, as on the stakes"
    )
