"""The figures and sentences of a plan, for map, report and sheets alike."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from statistics import median
from typing import Any

from swalekit.design.plan.breach_run import Failure, by_harm
from swalekit.design.plan.cautions import cautions_by_name
from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.words.loss_words import loss_credit, loss_facts
from swalekit.reporting.words.shown import (
    ShownColumn,
    area_shown,
    cells,
    heads,
    in_units,
    listed,
    number,
    shown,
    swales_shown,
    unit_name,
)

_MAP_TABLE: tuple[ShownColumn, ...] = (
    ("Level", "level_m", "m", 2),
    ("Length", "length_m", "m", 0),
    ("Depth", "depth_m", "m", 2),
    ("Crest", "crest_m", "m", 2),
    ("Sill", "sill_m", "m", 2),
    ("Dug", "dug_m3", "m3", 0),
    ("Stores", "storage_m3", "m3", 0),
    ("Holds", "held_storm_mm", "mm", 1),
)
_REPORT_TABLE: tuple[ShownColumn, ...] = (
    ("Level", "level_m", "m", 2),
    ("Length", "length_m", "m", 1),
    ("Catchment", "catchment_m2", "m2", 0),
    ("Water that comes", "runoff_m3", "m3", 1),
    ("Holds when full", "storage_m3", "m3", 1),
    ("Storm held", "held_storm_mm", "mm", 1),
    ("Dig depth", "depth_m", "m", 2),
    ("Berm height", "berm_height_m", "m", 2),
    ("Soil dug", "dug_m3", "m3", 1),
    ("Sill length", "sill_length_m", "m", 1),
    ("Dry after rain", "empty_h", "h", 0),
    ("Cost", "cost", "", 0),
)
_CLEANED_FIRST = 3
"""Swales named as those to clean first."""

_LEVELS = 1, 4, 5
"""Columns of the map's table that are levels: they are written without a comma."""


@dataclass(frozen=True)
class Fact:
    """A figure with its label.

    Parameters
    ----------
    label : str
        What it is.
    value : float or None
        In SI.
    unit : str
        SI unit, or what stands behind the number.
    decimals : int
        Digits after the point.
    """

    label: str
    value: float | None
    unit: str
    decimals: int = 0


@dataclass(frozen=True)
class RaisedCaution:
    """A caution with the swales that raise it: name, what to do, and (swale, what its figure says)."""

    name: str
    advice: str
    raised: tuple[tuple[str, str], ...]

    @property
    def swales(self) -> str:
        """Numbers of the swales in one phrase."""
        return listed(name for name, _ in self.raised)


def plan_table(record: PlanRecord) -> tuple[tuple[str, ...], tuple[tuple[str, ...], ...]]:
    """Heads and rows of the table of swales beside a map.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        Heads, with the unit on a line below.
    tuple of tuple of str
        Figures of each swale, levels without a comma.

    Examples
    --------
    >>> plan_table(record)[1][0][:4]
    ('S1', '108.00', '88', '0.35')
    """
    rows = [(row["swale"], *cells(row, _MAP_TABLE, units=record.units)) for row in record.swales]
    return ("Swale", *heads(_MAP_TABLE, units=record.units)), tuple(
        tuple(cell.replace(",", "") if place in _LEVELS else cell for place, cell in enumerate(row)) for row in rows
    )


def table_columns(record: PlanRecord) -> tuple[ShownColumn, ...]:
    """Columns of the report's table of swales after their numbers; that of the cost only where there is one.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of ShownColumn
        Head, name of the figure, unit and decimals of each.

    Examples
    --------
    >>> table_columns(record)[0]
    ('Level', 'level_m', 'm', 2)
    """
    priced = record.totals["cost"] is not None
    return tuple(column for column in _REPORT_TABLE if priced or column[1] != "cost")


def facts(record: PlanRecord) -> tuple[Fact, ...]:
    """Totals that a client asks for first.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of Fact
        Storms, swales, volumes and hours; the cost only where there is one.

    Examples
    --------
    >>> facts(record)[1]
    Fact(label='Held storm', value=51.2, unit='mm', decimals=1)
    """
    totals = record.totals
    asked = [
        Fact("Design storm", record.values_used["storm_depth_mm"], "mm", 1),
        Fact("Held storm", totals["held_storm_mm"], "mm", 1),
        Fact("Swales", totals["swales"], ""),
        Fact("Length", totals["length_m"], "m"),
        Fact("Soil dug", totals["dug_m3"], "m3"),
        Fact("Storage when full", totals["storage_m3"], "m3"),
        Fact("Runoff kept on site", 100 * totals["kept_share"], "%"),
        Fact("Machine", totals["machine_h"], "h"),
    ]
    if totals["cost"] is not None:
        asked.append(Fact("Cost", totals["cost"], record.brief["rates"]["currency"]))
    return tuple(asked)


def fact_words(record: PlanRecord) -> tuple[tuple[str, str], ...]:
    """Totals that a client asks for first, as label and words.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of (str, str)
        Label, and value in the reader's units.

    Examples
    --------
    >>> fact_words(record)[1]
    ('Held storm', '51.2 mm')
    """
    return tuple(
        (fact.label, shown(fact.value, fact.unit, units=record.units, decimals=fact.decimals)) for fact in facts(record)
    )


def map_facts(record: PlanRecord) -> tuple[tuple[str, str], ...]:
    """Those totals as a map shows them: with return period, catchment and what the ground keeps.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of (str, str)
        Label, and value in the reader's units.

    Examples
    --------
    >>> dict(map_facts(record))["Swales"]
    '2 · 176 m'
    """
    told, years = dict(fact_words(record)), record.brief["storm"]["return_period_y"]
    sized = record.brief["conditions"].get("sized_for_mm") is not None
    storm = "Sized for" if sized else "Design storm" + (f", {years:g} y" if years else "")
    told["Swales"] += f" · {told.pop('Length')}"
    last = {label: told.pop(label) for label in ("Machine", "Cost") if label in told}
    stages = max((row["stage"] or 0 for row in record.swales), default=0)
    if stages:
        told["Stages of building"] = f"{stages}, in brackets"
    return (
        (storm, told.pop("Design storm")),
        *hold_facts(record),
        *condition_facts(record),
        *told.items(),
        ("Catchment", area_shown(record.totals["catchment_m2"], units=record.units)),
        ("Machine", last.pop("Machine")),
        *loss_facts(record.losses, units=record.units),
        *last.items(),
    )


def hold_facts(record: PlanRecord) -> tuple[tuple[str, str], ...]:
    """What the works are sized for where the storm asked for is to be held with a chance, and that chance.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of (str, str)
        Label, and words in the reader's units; none where they are sized for the storm itself.

    Examples
    --------
    >>> hold_facts(record)
    ()
    """
    part = record.brief["conditions"]
    if part.get("sized_for_mm") is None:
        return ()
    asked = shown(record.values_used["asked_storm_mm"], "mm", units=record.units, decimals=1)
    chance = part.get("sized_chance")
    return (("Holds", asked if chance is None else f"{asked} with {100.0 * chance:.0f} %"),)


def condition_facts(record: PlanRecord) -> tuple[tuple[str, str], ...]:
    """What the storms find, as label and words: the check storm's ditches, and the moisture of the ground.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of (str, str)
        Label, and words in the reader's units.

    Examples
    --------
    >>> condition_facts(record)
    (('Check storm', '75.0 mm, 24 h after it'), ('Ground before', 'average'))
    """
    part = record.brief["conditions"]
    found = {"empty": "on empty ditches", "as left": f"{part['hours_between']:g} h after it", "full": "on full ditches"}
    depth = shown(record.values_used["check_depth_mm"], "mm", units=record.units, decimals=1)
    return ("Check storm", f"{depth}, {found[part['ditches']]}"), ("Ground before", part["moisture"])


def section_words(part: Mapping[str, Any], *, units: str, swales: Sequence[Mapping[str, Any]] = ()) -> str:
    """Dimensions of the cross-section as a crew sets them out.

    Parameters
    ----------
    part : mapping
        The part ``section`` of a brief, by its keys.
    units : str
        ``metric`` or ``us``.
    swales : sequence of mapping
        Rows of the swales; their floors are told, and whose sides or crest are others than the brief's.

    Returns
    -------
    str
        Widths in the reader's units, slopes as horizontal to vertical.

    Examples
    --------
    >>> from swalekit.design.brief.brief import SectionPart
    >>> section_words(SectionPart(downhill_side_slope=2.0).model_dump(), units="metric")
    'Floor 0.6 m, sides 1.5:1 uphill and 2:1 downhill, bench 0.3 m, berm faces 2:1, crest 0.5 m, freeboard 0.15 m'
    >>> rows = [{"swale": f"S{k}", "bottom_width_m": 0.2 + 0.4 * k, "crest_width_m": 0.5 * k} for k in (1, 2)]
    >>> section_words(SectionPart().model_dump(), units="metric", swales=rows)[:18]
    'Floor 0.6 to 1 m, '
    >>> section_words(SectionPart().model_dump(), units="metric", swales=rows)[-60:]
    'freeboard 0.15 m; sides, crest or freeboard of their own: S2'
    """

    def length(*lengths_m: float) -> str:
        texts = (number(value, "m", units=units, decimals=2).rstrip("0").rstrip(".") for value in lengths_m)
        return f"{' to '.join(dict.fromkeys(texts))} {unit_name('m', units=units)}"

    def slopes(of: str) -> str:
        uphill, downhill = part[f"{of}uphill_side_slope"], part[f"{of}downhill_side_slope"]
        return f"{uphill:g}:1" if uphill == downhill else f"{uphill:g}:1 uphill and {downhill:g}:1 downhill"

    floors = [row["bottom_width_m"] for row in swales] or [part["bottom_width_m"]]
    keys = ("uphill_side_slope", "downhill_side_slope", "crest_width_m", "freeboard_m")
    own = [row["swale"] for row in swales if any(key in row and row[key] != round(part[key], 2) for key in keys)]
    return (
        f"Floor {length(min(floors), max(floors))}, sides {slopes('')}, bench {length(part['bench_m'])}, berm faces "
        f"{slopes('berm_')}, crest {length(part['crest_width_m'])}, freeboard {length(part['freeboard_m'])}"
        + (f"; sides, crest or freeboard of their own: {listed(own)}" if own else "")
    )


def raised_cautions(record: PlanRecord) -> tuple[RaisedCaution, ...]:
    """Cautions of the swales by name, those that most swales raise first.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of RaisedCaution
        One a name.

    Examples
    --------
    >>> [(caution.name, caution.swales) for caution in raised_cautions(record)]
    [('catchment cut off', 'S1')]
    """
    cautions = [
        RaisedCaution(
            name,
            in_units(advice, units=record.units),
            tuple((row.swale, in_units(row.text, units=record.units)) for row in record.cautions if row.name == name),
        )
        for name, _, advice in cautions_by_name(record.cautions)
    ]
    return tuple(sorted(cautions, key=lambda caution: -len(caution.raised)))


def standing_cautions(record: PlanRecord) -> tuple[str, ...]:
    """Cautions that stand for every site.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        A sentence each.

    Examples
    --------
    >>> standing_cautions(record)[0]
    'Have buried utilities marked before digging; call the local one-call service days ahead.'
    """
    return tuple(in_units(caution.text, units=record.units) for caution in record.cautions if not caution.swale)


def plan_notes(record: PlanRecord) -> tuple[str, ...]:
    """What the reader must know of the input and the result.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        A note each, in the reader's units.

    Examples
    --------
    >>> plan_notes(record)
    ()
    """
    return tuple(in_units(note, units=record.units) for note in record.summary["warnings"])


def plan_cautions(record: PlanRecord) -> tuple[str, ...]:
    """Cautions of the swales with where they hold, those of one advice together; what fails; the standing ones.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        A sentence each.

    Examples
    --------
    >>> plan_cautions(record)[0]
    'Catchment cut off (S1): more water may come than is counted: use a larger tile.'
    """
    by_advice: dict[str, list[str]] = {}
    for name, swales, advice in cautions_by_name(record.cautions):
        by_advice.setdefault(advice, []).append(f"{name} ({swales_shown(swales, of=len(record.swales))})")
    raised = (f"{'; '.join(names)}: {in_units(advice, units=record.units)}." for advice, names in by_advice.items())
    return (
        *(sentence[:1].upper() + sentence[1:] for sentence in raised),
        *(failure_words(failure, units=record.units) for failure in record.failures_shown),
        *standing_cautions(record),
    )


def failure_words(failure: Failure, *, units: str) -> str:
    """What the failure of a swale does, in a sentence.

    Parameters
    ----------
    failure : Failure
        The failure.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        Which swales would fail after it, what the water reaches, and how much more would leave the site.

    Examples
    --------
    >>> failure_words(record.failures[1], units="metric")
    'If S2 failed when fullest, no other would; 60 m³ more would leave the site.'
    """
    others = f"{listed(failure.overtops)} would fail too" if failure.overtops else "no other would"
    reached = f", reaching {listed(failure.reaches)}" if failure.reaches else ""
    more = shown(failure.extra_left_m3, "m3", units=units)
    return f"If {failure.swale} failed when fullest, {others}{reached}; {more} more would leave the site."


def stop_words(failure: Failure, *, units: str) -> str:
    """What would stop the chain of failures that a swale sets off, in words; '' where it sets off none.

    Parameters
    ----------
    failure : Failure
        The failure.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        For each swale that must be stronger how much higher its berm must be, or how long its sill.

    Examples
    --------
    >>> from swalekit.design.plan.breach_run import Failure
    >>> failure = Failure("S1", (), (), 5.0, 0.1, stops=("S2", "S3"), raise_m=(0.2, 0.1), sill_m=(6.0, None))
    >>> stop_words(failure, units="metric")
    'S2: berm 0.20 m higher, or a sill of 6.0 m; S3: berm 0.10 m higher'
    """
    told = []
    for swale, raise_m, sill_m in zip(failure.stops, failure.raise_m, failure.sill_m, strict=True):
        sill = "" if sill_m is None else f", or a sill of {shown(sill_m, 'm', units=units, decimals=1)}"
        told.append(f"{swale}: berm {shown(raise_m, 'm', units=units, decimals=2)} higher{sill}")
    return "; ".join(told)


def breach_words(record: PlanRecord) -> str:
    """How failures are reckoned, in sentences.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    str
        What fails when, and how fast it empties.

    Examples
    --------
    >>> breach_words(record)[:48]
    'Each is let fail in turn when it is fullest, and'
    """
    minutes = record.summary["breach"]["minutes"]
    empties = (
        "The flow follows Froehlich (1995, 2008), bounded by what the opening can pass and by the water that there is; "
        "those relations rest on dams far larger than a berm, and observed peaks lie between 0.53 and 2.3 times them."
        if minutes is None
        else f"Each empties in {minutes:g} minutes."
    )
    return f"Each is let fail in turn when it is fullest, and each berm that water then goes over fails too. {empties}"


def fail_in_check(record: PlanRecord, swale: str) -> tuple[str, ...]:
    """Swales that fail after one in the check storm.

    Parameters
    ----------
    record : PlanRecord
        The plan.
    swale : str
        The swale that fails first.

    Returns
    -------
    tuple of str
        Their numbers, from the top downward.

    Examples
    --------
    >>> fail_in_check(record, "S2")
    ()
    """
    return next((failure.overtops for failure in record.check_failures if failure.swale == swale), ())


def harmful_failures(record: PlanRecord) -> tuple[Failure, ...]:
    """Swales whose failure reaches something, brings others down or lets water off the site, the most harmful first.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of Failure
        In the design storm, as `by_harm` puts them.

    Examples
    --------
    >>> [failure.swale for failure in harmful_failures(record)]
    ['S2', 'S1']
    """
    return by_harm(record.failures)


def service_words(record: PlanRecord) -> tuple[str, ...]:
    """How fast the swales silt up, in sentences.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        Silt of a year, the swales to clean first, and what is assumed; none without swales.

    Examples
    --------
    >>> service_words(record)[-1]
    'Assumed: rain_year_mm, erodibility, cover_factor, density_t_m3, clean_at_share; give [silt] to replace them.'
    """
    told = [row for row in record.swales if row["clean_after_y"] is not None]
    if not told:
        return ()
    soonest = sorted(told, key=lambda row: float(row["clean_after_y"]))[:_CLEANED_FIRST]
    silt = shown(record.totals["silt_m3_y"], "m3", units=record.units, decimals=1)
    share = 100.0 * record.values_used["silt"]["clean_at_share"]
    short = [row["swale"] for row in told if float(row["design_held_y"] or 0.0) < float(row["clean_after_y"])]
    assumed = record.values_used["silt_assumed"]
    sentences = [
        f"About {silt} of silt settle in a mean year, by the revised universal soil loss equation, all of it caught.",
        f"Clean when it has taken {share:.0f} % of the storage, first "
        + ", ".join(f"{row['swale']} after {row['clean_after_y']:.0f} years" for row in soonest)
        + ".",
    ]
    if short:
        told_short = swales_shown(short, of=len(record.swales))
        sentences.append(f"The design storm lacks room before that in {told_short}: earthwork.csv has the years.")
    if assumed:
        sentences.append(f"Assumed: {', '.join(assumed)}; give [silt] to replace them.")
    return tuple(sentences)


def plan_credits(record: PlanRecord) -> tuple[str, ...]:
    """What the figures rest on.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        A line on the terrain's cells, height error and measured points, and on how runoff was worked out.

    Examples
    --------
    >>> plan_credits(record)
    ('Terrain: cells of 1 m, height error 0.05 m. Runoff by the NRCS curve number.',)
    """
    terrain = record.summary["terrain"]
    points = f", checked at {terrain['points']} measured points" if "points" in terrain else ""
    return (
        in_units(
            f"Terrain: cells of {terrain['cell_m']:.3g} m, height error {terrain['vertical_sigma_m']:g} m{points}. ",
            units=record.units,
        )
        + loss_credit(record.losses, units=record.units),
    )


def holds(record: PlanRecord) -> bool:
    """Whether there are swales and each holds the design storm.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    bool
        False without swales; storms are compared as they are shown, to 0.1 mm.

    Examples
    --------
    >>> holds(record)
    True
    """
    asked_mm = record.values_used["storm_depth_mm"]
    return bool(record.swales) and all(row["held_storm_mm"] >= round(asked_mm, 1) for row in record.swales)


def middle_sigma_m(record: PlanRecord) -> float | None:
    """Standard error of a line's place, that of the middle swale [m]; None without swales.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    float or None
        Height error over slope, the median of the swales [m].

    Examples
    --------
    >>> middle_sigma_m(record)
    0.5
    """
    return median(row["position_sigma_m"] for row in record.swales) if record.swales else None


def shown_options(record: PlanRecord) -> tuple[dict[str, Any], ...]:
    """Options to choose from: those that kept their lines, or all where none did.

    Parameters
    ----------
    record : PlanRecord
        The plan.

    Returns
    -------
    tuple of dict
        Their figures by the names of `OPTION_COLUMNS`; empty where no comparison stands beside the plan.
    """
    kept = tuple(option for option in record.options if option["number"] in record.option_lines)
    return kept or record.options
