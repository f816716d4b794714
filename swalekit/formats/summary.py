"""The summary: inputs with hashes, versions, every total, every warning, for machines and for the record."""

import hashlib
import importlib.metadata
import json
from pathlib import Path
from typing import Any

from swalekit.design.brief import PATH_KEYS
from swalekit.design.columns import SWALE_COLUMNS, TOTAL_COLUMNS, Column
from swalekit.design.design import Design
from swalekit.design.settings import noise_depth_m, sill_coefficient, soil_of, storm_of, swell_percent
from swalekit.design.table import swale_row, totals

_VERSIONS_OF = ("swalekit", "numpy", "scipy", "numba", "shapely", "pyproj", "rasterio", "pyogrio")


def summary(design: Design) -> dict[str, Any]:
    """Everything a reader needs to trust and repeat a design, in JSON types.

    Parameters
    ----------
    design : Design
        The design.
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
        "refused": _refused(design),
        "warnings": list(design.warnings),
        "cautions": [{"swale": each.swale, "caution": each.name, "text": each.text} for each in design.cautions],
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
            "curve_number": list(soil.curve_number),
            "initial_abstraction_ratio": site.brief.soil.initial_abstraction_ratio,
            "intake_mm_h": soil.intake_mm_h,
            "swell_percent": swell_percent(site),
            "sill_coefficient": sill_coefficient(site),
            "hollow_noise_m": noise_depth_m(site, ground.terrain),
        },
        "brief": _brief(design),
        "inputs": _inputs(design),
        "versions": {name: importlib.metadata.version(name) for name in _VERSIONS_OF},
        "columns": {"swales": _meanings(SWALE_COLUMNS), "totals": _meanings(TOTAL_COLUMNS)},
    }


def write_summary(design: Design, path: str | Path) -> None:
    """Write the summary as JSON, UTF-8."""
    write_json(summary(design), path)


def write_json(value: dict[str, Any], path: str | Path) -> None:
    """Write a value of JSON types, UTF-8."""
    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)
    Path(path).write_text(text + "\n", encoding="utf-8")


def _meanings(columns: tuple[Column, ...]) -> dict[str, dict[str, str]]:
    return {column.name: {"unit": column.unit, "meaning": column.meaning} for column in columns}


def _brief(design: Design) -> dict[str, Any]:
    """The whole brief with its defaults; of files their names only, so that a folder's place does not matter."""
    values = design.site.brief.model_dump(mode="json")
    for part, key in PATH_KEYS:
        if values[part][key] is not None:
            values[part][key] = Path(values[part][key]).name
    return values


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


def _inputs(design: Design) -> list[dict[str, str]]:
    """Name and SHA-256 of every file that the brief names and that is there."""
    values = design.site.brief.model_dump()
    named = {f"{part}.{key}": values[part][key] for part, key in PATH_KEYS}
    return [
        {"key": key, "file": Path(file).name, "sha256": _sha256(Path(file))}
        for key, file in named.items()
        if file is not None and Path(file).is_file()
    ]


def _sha256(path: Path) -> str:
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()
