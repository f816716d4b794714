"""The figures and sentences that a report leads with."""

from dataclasses import dataclass
from statistics import median
from typing import Any

from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.words.shown import listed, shown

TableColumn = tuple[str, str, str, int]
"""Head, name of the figure, its unit, decimals."""
_TABLE: tuple[TableColumn, ...] = (
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


def table_columns(record: PlanRecord) -> tuple[TableColumn, ...]:
    """Columns of the table of swales after their numbers; that of the cost only where there is one."""
    priced = record.summary["totals"]["cost"] is not None
    return tuple(column for column in _TABLE if priced or column[1] != "cost")


def facts(record: PlanRecord) -> tuple[Fact, ...]:
    """Totals that a client asks for first."""
    totals, used = record.summary["totals"], record.summary["values_used"]
    asked = [
        Fact("Design storm", used["storm_depth_mm"], "mm", 1),
        Fact("Held storm", totals["held_storm_mm"], "mm", 1),
        Fact("Swales", totals["swales"], ""),
        Fact("Length", totals["length_m"], "m"),
        Fact("Soil dug", totals["dug_m3"], "m3"),
        Fact("Storage when full", totals["storage_m3"], "m3"),
        Fact("Runoff kept on site", 100 * totals["kept_share"], "%"),
        Fact("Machine", totals["machine_h"], "h"),
    ]
    if totals["cost"] is not None:
        asked.append(Fact("Cost", totals["cost"], record.summary["brief"]["rates"]["currency"]))
    return tuple(asked)


def fact_words(record: PlanRecord) -> tuple[tuple[str, str], ...]:
    """The same as label and words."""
    return tuple(
        (fact.label, shown(fact.value, fact.unit, units=record.units, decimals=fact.decimals)) for fact in facts(record)
    )


def holds(record: PlanRecord) -> bool:
    """Whether there are swales and each holds the design storm."""
    asked_mm = record.summary["values_used"]["storm_depth_mm"]
    return bool(record.swales) and all(row["held_storm_mm"] >= round(asked_mm, 1) for row in record.swales)


def middle_sigma_m(record: PlanRecord) -> float | None:
    """Standard error of a line's place, that of the middle swale [m]; None without swales."""
    return median(row["position_sigma_m"] for row in record.swales) if record.swales else None


def raised_cautions(record: PlanRecord) -> tuple[RaisedCaution, ...]:
    """Cautions of the swales by name, those that most swales raise first."""
    gathered: dict[str, list[dict[str, Any]]] = {}
    for caution in record.summary["cautions"]:
        if caution["swale"]:
            gathered.setdefault(caution["caution"], []).append(caution)
    cautions = [
        RaisedCaution(name, each[0]["advice"], tuple((one["swale"], one["text"]) for one in each))
        for name, each in gathered.items()
    ]
    return tuple(sorted(cautions, key=lambda each: -len(each.raised)))


def standing_cautions(record: PlanRecord) -> tuple[str, ...]:
    """Cautions that stand for every site."""
    return tuple(each["text"] for each in record.summary["cautions"] if not each["swale"])


def shown_options(record: PlanRecord) -> tuple[dict[str, Any], ...]:
    """Options to choose from: those that kept their lines, or all where none did."""
    kept = tuple(option for option in record.options if option["number"] in record.option_lines)
    return kept or record.options


def failures(record: PlanRecord) -> tuple[dict[str, Any], ...]:
    """Swales whose failure sends water over another berm or off the site, the most harmful first."""
    harmful = (each for each in record.summary["breach"]["swales"] if each["overtops"] or each["extra_left_m3"] > 0)
    return tuple(sorted(harmful, key=lambda each: (-len(each["overtops"]), -each["extra_left_m3"])))
