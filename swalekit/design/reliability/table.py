"""How sure a layout is, in figures: a row a swale, the layout, the inputs and what they matter."""

from typing import Any

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.wander import wander_m
from swalekit.design.brief.settings import asked_storm_of, soil_of
from swalekit.design.layout.ground import first_few
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.yearly import year_chance_of

LOW, HIGH = 0.05, 0.95
"""Shares of draws below the ends of every range but that of catchments."""
CATCHMENT_LOW, CATCHMENT_HIGH = 0.1, 0.9
"""Shares of draws below the ends of the range of a catchment."""

_STRAYED = 0.1
"""Share by which the middle of the drawn volumes may leave the designed one before it is told."""

_GROWN = 1.5
"""Times its catchment as designed from which a catchment of one draw in ten is told; our choice."""

_MM_PER_M = 1000.0

RELIABILITY_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale, or layout: all of them"),
    Column("chance_to_hold", "", "share of draws in which it holds the storm that comes", 3),
    Column(
        "chance_of_year", "", "chance that it doesn't spill in a year; empty without a record or a table of rain", 3
    ),
    Column("held_storm_mm", "mm", "deepest storm that it holds as designed"),
    Column("held_low_mm", "mm", "deepest storm held, exceeded in 95 % of draws"),
    Column("held_high_mm", "mm", "the same, exceeded in 5 %"),
    Column("dug_m3", "m3", "bank volume cut as designed"),
    Column("dug_low_m3", "m3", "bank volume, exceeded in 95 % of draws"),
    Column("dug_high_m3", "m3", "the same, exceeded in 5 %"),
    Column("cost", "", "cost as designed at the brief's rates, the layout's with mobilisation", 0),
    Column("cost_low", "", "cost, exceeded in 95 % of draws", 0),
    Column("cost_high", "", "the same, exceeded in 5 %", 0),
    Column("standing_h", "h", "hours that a full ditch takes to soak away as designed, the longest of the layout", 0),
    Column("standing_low_h", "h", "the same, exceeded in 95 % of draws", 0),
    Column("standing_high_h", "h", "the same, exceeded in 5 %", 0),
    Column("chance_to_dry", "", "share of draws in which a full ditch is dry within the hours that the brief asks", 3),
    Column("catchment_m2", "m2", "ground whose water meets it first, as designed", 0),
    Column("catchment_low_m2", "m2", "the same with each draw of heights drained anew, exceeded in 90 % of draws", 0),
    Column("catchment_median_m2", "m2", "the same, exceeded in half of them", 0),
    Column("catchment_high_m2", "m2", "the same, exceeded in 10 %", 0),
    Column("catchment_parted_m2", "m2", "that on the tile which meets no hollow, by flow that parts at each cell", 0),
    Column("catchment_single_m2", "m2", "the same by the steepest of eight directions", 0),
    Column("overflow_moved", "", "share of draws in which its overflow goes to something else than as designed", 3),
    Column("wander_m", "m", "mean distance that the line may lie up or down the hill, 9 times in 10"),
    Column("greatest_wander_m", "m", "greatest distance of it along the line"),
)


def reliability_rows(reliability: Reliability) -> list[dict[str, Entry]]:
    """Figures of every swale by the names of `RELIABILITY_COLUMNS`, then those of the layout.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    list of dict
        A row a swale, then one called layout.

    Examples
    --------
    >>> [row["swale"] for row in reliability_rows(reliability)]
    ['S1', 'S2', 'layout']
    """
    layout, costs = reliability.layout, reliability.swale_cost
    rows = [
        _row(
            reliability,
            swale.id,
            slice(number, number + 1),
            swale.cost(layout.rates),
            None if costs is None else costs[:, number],
        )
        for number, swale in enumerate(layout.swales)
    ]
    return [*rows, _row(reliability, "layout", slice(None), layout.cost, reliability.cost)]


def input_rows(reliability: Reliability) -> list[dict[str, str]]:
    """Every input drawn, with its distribution in words; a record's storm has the spread of its band.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    list of dict of str to str
        Name and distribution of each input.

    Examples
    --------
    >>> input_rows(reliability)[-1]
    {'input': 'ditch floor', 'distribution': 'normal, 0.05 m a swale'}
    """
    spreads = reliability.spreads
    by_number = [loss.follows_condition for loss in soil_of(reliability.layout.site).losses]
    moist = f"retention S lognormal, {spreads.retention_sigma:.2f} of its logarithm from storm to storm"
    kept = [f"{moist}, curve number of the ground ± {spreads.curve_number_sigma:g}"] if any(by_number) else []
    kept += [] if all(by_number) else [f"loss lognormal, {spreads.loss_sigma:.2f} of its logarithm"]
    intake = f"intake lognormal, {spreads.intake_sigma:.2f} of its logarithm"
    together = soil_of(reliability.layout.site).losses[0].infiltrates
    intake += " together with what the ground takes in" if together else ""
    words = {
        "terrain height": (
            f"normal, {spreads.terrain_sigma_m:g} m, correlation falling to 1/e over {spreads.correlation_m:g} m"
        ),
        "catchment": (
            "by the same heights, the tile drained anew in each draw" if spreads.drains_anew else "none: as designed"
        ),
        "runoff": "; ".join(kept),
        "storm depth": (
            f"lognormal round {reliability.expected_mm:.1f} mm, {spreads.storm_sigma:.2f} of its logarithm"
        ),
        "infiltration": intake if reliability.soaks else "none: the brief gives no intake",
        "berm crest": f"normal, {spreads.crest_sigma_m:g} m a swale, the sill with it",
        "ditch floor": f"normal, {spreads.floor_sigma_m:g} m a swale",
    }
    return [{"input": name, "distribution": text} for name, text in words.items()]


def reliability_summary(reliability: Reliability) -> dict[str, Any]:
    """How sure the layout is, in JSON types.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    dict
        Chances, what matters, what was drawn, rows, cautions and notes.

    Examples
    --------
    >>> summary = reliability_summary(reliability)
    >>> summary["draws"], summary["seed"]
    (20, 1)
    """
    *swales, layout = reliability_rows(reliability)
    low, high = np.quantile(reliability.storm_mm, [LOW, HIGH]).round(1).tolist()
    site = reliability.layout.site
    return {
        "site": site.brief.site.name,
        "draws": reliability.storm_mm.size,
        "seed": site.brief.uncertainty.seed,
        "storm_mm": {"design": round(asked_storm_of(reliability.asked).depth_mm, 1), "low": low, "high": high},
        "chance_to_hold": layout["chance_to_hold"],
        "chance_standard_error": round(reliability.chance_sigma, 3),
        "chance_of_year": layout["chance_of_year"],
        "chance_of_year_lacks": year_chance_of(reliability.asked)[1],
        "moisture": moisture_words(reliability),
        "matters_most": {outcome: matters_most(reliability, outcome) for outcome in reliability.influence},
        "rank_correlation": {
            outcome: {name: round(value, 2) + 0.0 for name, value in by_input.items()}
            for outcome, by_input in reliability.influence.items()
        },
        "drawn": input_rows(reliability),
        "layout": layout,
        "swales": swales,
        "cautions": reliability_cautions(reliability),
        "notes": [*site.notes, *reliability.ground.terrain.notes, *reliability.ground.notes],
    }


def reliability_cautions(reliability: Reliability) -> list[str]:
    """What a reader of the chances must know.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    list of str
        One sentence each, that which stands for every layout first.

    Examples
    --------
    >>> reliability_cautions(reliability)[0].startswith("a chance counts the named inputs alone")
    True
    """
    cautions = [
        "a chance counts the named inputs alone, as they are taken to spread: no berm that fails, no blocked sill, no "
        "ground of another kind; local codes and licensed practice decide"
    ]
    cautions += reliability.by_rule.notes([swale.id for swale in reliability.layout.swales])
    cautions += _grown_catchments(reliability)
    designed_m3 = reliability.layout.dug_m3
    drawn_m3 = float(np.median(reliability.dug_m3.sum(axis=1)))
    if abs(drawn_m3 / designed_m3 - 1.0) > _STRAYED:
        cautions.append(
            f"half of the draws dig {drawn_m3:,.0f} m3 or more, {designed_m3:,.0f} m3 as designed: with heights this "
            "unsure the crew meets another ground than the tile's; survey the site before these chances are trusted"
        )
    return cautions


def _grown_catchments(reliability: Reliability) -> list[str]:
    """Swales that in one draw of ten get half as much ground again as they are sized for, or more."""
    grown = []
    high_m2 = np.quantile(reliability.catchment_m2, CATCHMENT_HIGH, axis=0)
    for swale, most_m2 in zip(reliability.layout.swales, high_m2.tolist(), strict=True):
        if most_m2 > _GROWN * swale.catchment_m2:
            grown.append((most_m2 / max(swale.catchment_m2, 1.0), f"{swale.id} {swale.catchment_m2:,.0f}", most_m2))
    told = [f"{sized} to {most_m2:,.0f} m2" for _, sized, most_m2 in sorted(grown, key=lambda each: -each[0])]
    if not told:
        return []
    return [
        "with heights as unsure as the tile's, one time in ten these catch so much more ground than they are sized "
        f"for: {first_few(told)}: look uphill of them for where water could come from, and survey there"
    ]


def moisture_words(reliability: Reliability) -> str:
    """The ground that storms find, in words that go after "a storm on".

    Parameters
    ----------
    reliability : Reliability
        What the draws say.

    Returns
    -------
    str
        By what is drawn of it.

    Examples
    --------
    >>> moisture_words(reliability)
    'ground as dry or wet as it happens to be'
    """
    by_number = any(loss.follows_condition for loss in soil_of(reliability.layout.site).losses)
    if by_number and reliability.spreads.retention_sigma > 0.0:
        return "ground as dry or wet as it happens to be"
    if by_number:
        return "ground of average moisture"
    if reliability.spreads.loss_sigma > 0.0:
        return "ground that soaks up more or less than expected"
    return "ground that soaks up what the brief says"


def matters_most(reliability: Reliability, outcome: str) -> str | None:
    """Input with the greatest rank correlation with an outcome; None where nothing that varies matters.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    outcome : str
        One of `OUTCOMES`.

    Returns
    -------
    str or None
        Name of the input.

    Examples
    --------
    >>> matters_most(reliability, "holding the storm") in reliability.influence["holding the storm"]
    True
    """
    by_input = reliability.influence[outcome]
    first = max(by_input, key=lambda name: by_input[name])
    return first if by_input[first] > 0 else None


def _row(
    reliability: Reliability, name: str, swales: slice, cost: float | None, costs: NDArray[np.float64] | None
) -> dict[str, Entry]:
    """Figures of some swales together, with what they cost as designed and in each draw."""
    chosen = reliability.layout.swales[swales]
    spreads = reliability.spreads
    of_year, by_rule = reliability.holds_a_year(swales), reliability.by_rule
    lines = [(swale.line, wander_m(swale.line, spreads.height_sigma_m(swale.drawn_sigma_m))) for swale in chosen]
    figures: dict[str, Entry] = {
        "swale": name,
        "chance_to_hold": float(reliability.holds[:, swales].all(axis=1).mean()),
        "chance_of_year": None if of_year is None else float(of_year.mean()),
        "held_storm_mm": min(swale.held_storm_mm for swale in chosen),
        "dug_m3": sum(swale.quantities.dug_m3 for swale in chosen),
        "cost": cost,
        "catchment_m2": sum(swale.catchment_m2 for swale in chosen),
        "catchment_parted_m2": float(by_rule.parted_m2[swales].sum()),
        "catchment_single_m2": float(by_rule.single_m2[swales].sum()),
        "overflow_moved": float(reliability.moved[:, swales].any(axis=1).mean()),
        "wander_m": float(np.mean([half_m @ line.width_m / line.length_m for line, half_m in lines])),
        "greatest_wander_m": max(float(half_m.max()) for _, half_m in lines),
    }
    figures |= _range("held", "_mm", reliability.held_mm[:, swales].min(axis=1))
    figures |= _range("dug", "_m3", reliability.dug_m3[:, swales].sum(axis=1))
    figures |= _range("cost", "", costs)
    low, middle, high = np.quantile(
        reliability.catchment_m2[:, swales].sum(axis=1), [CATCHMENT_LOW, 0.5, CATCHMENT_HIGH]
    ).tolist()
    figures |= {"catchment_low_m2": low, "catchment_median_m2": middle, "catchment_high_m2": high}
    return row_of(figures | _standing(reliability, swales), RELIABILITY_COLUMNS)


def _standing(reliability: Reliability, swales: slice) -> dict[str, Entry]:
    """Standing time of the longest of some swales; nothing where the brief gives no intake."""
    site = reliability.layout.site
    intake_mm_h = soil_of(site).design_intake_mm_h
    if intake_mm_h is None:
        return _range("standing", "_h", None) | {"standing_h": None, "chance_to_dry": None}
    longest_h = reliability.standing_h[:, swales].max(axis=1)
    deepest_m = max(swale.water_depth_m for swale in reliability.layout.swales[swales])
    return _range("standing", "_h", longest_h) | {
        "standing_h": _MM_PER_M * deepest_m / intake_mm_h,
        "chance_to_dry": float((longest_h <= site.brief.soil.empty_within_h).mean()),
    }


def _range(name: str, unit: str, drawn: NDArray[np.float64] | None) -> dict[str, Entry]:
    low, high = (None, None) if drawn is None else np.quantile(drawn, [LOW, HIGH]).tolist()
    return {f"{name}_low{unit}": low, f"{name}_high{unit}": high}
