"""The summary: inputs with hashes, versions, every total, every warning, for machines and for the record."""

import json
from collections.abc import Iterable, Mapping
from hashlib import sha256
from pathlib import Path
from typing import Any

from swalekit.design.brief.issue import number_of
from swalekit.design.brief.settings import (
    asked_storm_of,
    course_words,
    duration_h,
    noise_depth_m,
    sill_coefficient,
    soil_of,
    storm_of,
    swell_percent,
)
from swalekit.design.brief.silt_part import ASSUMED_KEYS
from swalekit.design.budget.bill import BILL_COLUMNS, bill_rows
from swalekit.design.budget.works_bill import works_bill
from swalekit.design.plan.account_table import account_summary
from swalekit.design.plan.breach_run import Failure
from swalekit.design.plan.design import Design
from swalekit.design.plan.storm_table import storm_course, storm_summary
from swalekit.design.plan.table import SWALE_COLUMNS, TOTAL_COLUMNS, swale_row, totals
from swalekit.design.plan.terrain_table import terrain_figures
from swalekit.hydrology.losses.infiltration_test import InfiltrationFit
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.results.folder.inputs import made_from
from swalekit.results.folder.provenance import belongs_to, caution_rows, whole_summary

COLUMNS = {"swales": SWALE_COLUMNS, "totals": TOTAL_COLUMNS, "bill": BILL_COLUMNS}


def summary(
    design: Design, *, folder: str | Path | None = ".", hashes: Mapping[str, str] | None = None
) -> dict[str, Any]:
    """Everything a reader needs to trust and repeat a design, in JSON types.

    Parameters
    ----------
    design : Design
        The design.
    folder : str or Path or None
        Folder of the results, from which the paths of the inputs are given; with None they are left out.
    hashes : mapping of str to str, optional
        SHA-256 of files read besides those of the design.

    Returns
    -------
    dict
        The summary, not sealed yet.

    Examples
    --------
    >>> told = summary(design)
    >>> told["site"], told["totals"]["swales"], told["values_used"]["storm_depth_mm"]
    ('Unnamed site', 2, 50.0)
    """
    site, ground = design.site, design.ground
    storm, soil = storm_of(site), soil_of(site)
    told = {
        "site": site.brief.site.name,
        **belongs_to(site),
        "totals": totals(design),
        "swales": [swale_row(swale, design.rates) for swale in design.swales],
        "bill": bill_rows(works_bill(design), first_year=site.brief.planting.calendar_year(1)),
        "hollows": [
            {
                "hollow": hollow.id,
                "volume_m3": round(hollow.volume_m3, 1),
                "held_m3": round(hollow.held_m3, 1),
                "fate": hollow.fate,
            }
            for hollow in design.hollows
        ],
        "breach": _breach(design),
        "refused": _refused(design),
        "spacing": _spacing(design),
        "water_account": account_summary(design),
        "warnings": list(design.warnings),
        "cautions": caution_rows(design.cautions),
        "storm": storm_summary(site) | _course(storm_course(site)),
        "terrain": {
            "crs": ground.terrain.grid.crs.to_string(),
            "rows": ground.terrain.grid.shape[0],
            "columns": ground.terrain.grid.shape[1],
            "cell_m": ground.terrain.grid.cell_m,
            "vertical_sigma_m": ground.terrain.vertical_sigma_m,
            **terrain_figures(ground.terrain.control),
        },
        "values_used": {
            "storm_depth_mm": storm.depth_mm,
            "asked_storm_mm": asked_storm_of(site).depth_mm,
            "check_depth_mm": storm.check_depth_mm,
            "storm_duration_h": _significant(duration_h(site)),
            "storm_course": course_words(site),
            "losses": [_method(loss) for loss in soil.losses],
            "infiltration_test": None if site.infiltration is None else _method(site.infiltration),
            "intake_mm_h": None if soil.intake_mm_h is None else _significant(soil.intake_mm_h),
            "swell_percent": swell_percent(site),
            "sill_coefficient": sill_coefficient(site),
            "silt": {key: site.brief.silt.value(key) for key in ASSUMED_KEYS},
            "silt_assumed": list(site.brief.silt.assumed),
            "hollow_noise_m": noise_depth_m(site, ground.terrain),
        },
    }
    designed_from = {**site.hashes, **ground.terrain.hashes}
    made = made_from(site.brief, designed_from | dict(hashes or {}), folder, keeps=True)
    told["number"] = _number(told, made["brief"], designed_from)
    return whole_summary(told, made, COLUMNS)


def _number(told: Mapping[str, Any], brief: Mapping[str, Any], hashes: Mapping[str, str]) -> str:
    """Number of a plan: of its swales, brief and inputs, but for the files of ground and lines, told by the swales."""
    asked = dict(brief)
    asked["lines"] = {**brief["lines"], "file": None}
    asked["terrain"] = {**brief["terrain"], "file": None, "memory_gb": None}  # which alters no figure
    read = sorted((place, digest) for place, digest in hashes.items() if not place.endswith(".file"))
    said = json.dumps([told["totals"], told["swales"], asked, read])
    return number_of(sha256(said.encode()).hexdigest())


def _course(course: Hyetograph) -> dict[str, list[float]]:
    """Rain fallen since the start of the storm."""
    return {
        "time_h": [_significant(time) for time in course.time_h.tolist()],
        "cumulative_mm": [_significant(depth) for depth in course.cumulative_mm.tolist()],
    }


def _method(used: Loss | InfiltrationFit) -> dict[str, Any]:
    """Name and values of a method."""
    return {"method": used.method} | {name: _significant(value) for name, value in vars(used).items()}


def _significant(value: float) -> float:
    return float(f"{value:.6g}")


def _breach(design: Design) -> dict[str, Any]:
    """What the failure of each swale does below in both storms, and which ones the map shows."""
    return {
        "minutes": design.site.brief.breach.minutes,
        "shown": [failure.swale for failure in design.failures_shown],
        "swales": _failures(swale.failure for swale in design.swales),
        "check_swales": _failures(swale.check_failure for swale in design.swales),
    }


def _failures(failures: Iterable[Failure | None]) -> list[dict[str, Any]]:
    return [
        {
            "swale": failure.swale,
            "overtops": list(failure.overtops),
            "spills_more": list(failure.spills_more),
            "extra_left_m3": round(failure.extra_left_m3, 1),
            "peak_left_m3s": round(failure.peak_left_m3s, 3),
            "flow_m3s": round(failure.flow_m3s, 3),
            "volume_m3": round(failure.volume_m3, 1),
            "reaches": list(failure.reaches),
            "stops": list(failure.stops),
            "raise_m": list(failure.raise_m),
            "sill_m": list(failure.sill_m),
        }
        for failure in failures
        if failure is not None
    ]


def _spacing(design: Design) -> dict[str, Any] | None:
    """Horizontal distance from level to level: asked for, got on average, and by level; None for given lines."""
    laid = design.spacing
    if laid is None:
        return None
    return {
        "asked_m": design.site.brief.levels.spacing_m,
        "got_m": None if laid.mean_m is None else round(laid.mean_m, 1),
        "levels": [
            {"level_m": round(level, 2), "to_next_m": round(spacing, 1)}
            for level, spacing in zip(laid.levels_m.tolist(), laid.spacing_m.tolist(), strict=False)
        ],
    }


def _refused(design: Design) -> dict[str, dict[str, float]]:
    """Number and length of the refused stretches by reason."""
    reasons = sorted({stretch.reason for stretch in design.refused})
    return {
        reason: {
            "stretches": sum(stretch.reason == reason for stretch in design.refused),
            "length_m": round(sum(stretch.length_m for stretch in design.refused if stretch.reason == reason), 1),
        }
        for reason in reasons
    }
