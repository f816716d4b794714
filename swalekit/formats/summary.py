"""The summary: inputs with hashes, versions, every total, every warning, for machines and for the record."""

import importlib.metadata
import json
from pathlib import Path
from typing import Any

from swalekit.design.brief import PATH_KEYS, Brief
from swalekit.design.columns import SWALE_COLUMNS, TOTAL_COLUMNS, Column
from swalekit.design.design import Design
from swalekit.design.settings import (
    course_words,
    duration_h,
    noise_depth_m,
    sill_coefficient,
    soil_of,
    storm_of,
    swell_percent,
)
from swalekit.design.storm_table import storm_course, storm_summary
from swalekit.design.table import swale_row, totals
from swalekit.formats.input_files import input_file
from swalekit.hydrology.hyetograph import Hyetograph
from swalekit.hydrology.infiltration_test import InfiltrationFit
from swalekit.hydrology.losses import Loss

LEVELLED = "levelled"
"""Key, among the inputs, of the points that a design was cut to."""

_VERSIONS_OF = ("swalekit", "numpy", "scipy", "numba", "shapely", "pyproj", "rasterio", "pyogrio")


def summary(design: Design, *, folder: str | Path = ".") -> dict[str, Any]:
    """Everything a reader needs to trust and repeat a design, in JSON types.

    Parameters
    ----------
    design : Design
        The design.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    site, ground = design.site, design.ground
    storm, soil = storm_of(site), soil_of(site)
    return {
        "site": site.brief.site.name,
        "totals": totals(design),
        "swales": [swale_row(swale) for swale in design.swales],
        "hollows": [
            {
                "hollow": each.id,
                "volume_m3": round(each.volume_m3, 1),
                "held_m3": round(each.held_m3, 1),
                "fate": each.fate,
            }
            for each in design.hollows
        ],
        "breach": _breach(design),
        "refused": _refused(design),
        "warnings": list(design.warnings),
        "cautions": [
            {"swale": each.swale, "caution": each.name, "text": each.text, "advice": each.advice}
            for each in design.cautions
        ],
        "storm": storm_summary(site) | _course(storm_course(site)),
        "terrain": {
            "crs": ground.terrain.grid.crs.to_string(),
            "rows": ground.terrain.grid.shape[0],
            "columns": ground.terrain.grid.shape[1],
            "cell_m": ground.terrain.grid.cell_m,
            "vertical_sigma_m": ground.terrain.vertical_sigma_m,
        },
        "values_used": {
            "storm_depth_mm": storm.depth_mm,
            "check_depth_mm": storm.check_depth_mm,
            "storm_duration_h": _significant(duration_h(site)),
            "storm_course": course_words(site),
            "losses": [_method(loss) for loss in soil.losses],
            "infiltration_test": None if site.infiltration is None else _method(site.infiltration),
            "intake_mm_h": None if soil.intake_mm_h is None else _significant(soil.intake_mm_h),
            "swell_percent": swell_percent(site),
            "sill_coefficient": sill_coefficient(site),
            "hollow_noise_m": noise_depth_m(site, ground.terrain),
        },
        **made_from(site.brief, folder),
        "versions": versions(),
        "columns": {"swales": meanings(SWALE_COLUMNS), "totals": meanings(TOTAL_COLUMNS)},
    }


def made_from(brief: Brief, folder: str | Path) -> dict[str, Any]:
    """What a design is made from, as its summary records it: brief and input files, in JSON types.

    Parameters
    ----------
    brief : Brief
        The brief.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    return {"brief": _recorded(brief), "inputs": _inputs(brief, Path(folder))}


def write_json(value: dict[str, Any], path: str | Path) -> None:
    """Write a value of JSON types, UTF-8."""
    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)
    Path(path).write_text(text + "\n", encoding="utf-8")


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


def versions() -> dict[str, str]:
    """Versions of swalekit and of the libraries that its figures come from."""
    return {name: importlib.metadata.version(name) for name in _VERSIONS_OF}


def meanings(columns: tuple[Column, ...]) -> dict[str, dict[str, str]]:
    """Unit and meaning of columns by name."""
    return {column.name: {"unit": column.unit, "meaning": column.meaning} for column in columns}


def _recorded(brief: Brief) -> dict[str, Any]:
    """The whole brief with its defaults; of files their names only, so that a folder's place does not matter."""
    values = brief.model_dump(mode="json")
    for part, key in PATH_KEYS:
        if values[part][key] is not None:
            values[part][key] = Path(values[part][key]).name
    return values


def _breach(design: Design) -> dict[str, Any]:
    """What the failure of each swale does below, and which one the map shows."""
    shown = design.failure_shown
    return {
        "minutes": design.site.brief.breach.minutes,
        "shown": None if shown is None else shown.swale,
        "swales": [
            {
                "swale": failure.swale,
                "overtops": list(failure.overtops),
                "spills_more": list(failure.spills_more),
                "extra_left_m3": round(failure.extra_left_m3, 1),
                "peak_left_m3s": round(failure.peak_left_m3s, 3),
            }
            for failure in (swale.failure for swale in design.swales)
            if failure is not None
        ],
    }


def _refused(design: Design) -> dict[str, dict[str, float]]:
    """Number and length of the refused stretches by reason."""
    reasons = sorted({each.reason for each in design.refused})
    return {
        reason: {
            "stretches": sum(each.reason == reason for each in design.refused),
            "length_m": round(sum(each.length_m for each in design.refused if each.reason == reason), 1),
        }
        for reason in reasons
    }


def _inputs(brief: Brief, folder: Path) -> list[dict[str, str]]:
    """Name, place and SHA-256 of every file that the brief names and that is there."""
    values = brief.model_dump()
    named = {f"{part}.{key}": values[part][key] for part, key in PATH_KEYS}
    return [
        {"key": key} | input_file(file, folder)
        for key, file in named.items()
        if file is not None and Path(file).exists()
    ]
