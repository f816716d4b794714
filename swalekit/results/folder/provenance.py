"""What a result is made from: brief, input files with their hashes, versions, and what its columns mean."""

import importlib.metadata
import json
from pathlib import Path
from typing import Any

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.plan.columns import Column
from swalekit.formats.inputs.input_files import input_file

LEVELLED = "levelled"
"""Key, among the inputs, of the points that a design was cut to."""


_VERSIONS_OF = ("swalekit", "numpy", "scipy", "numba", "shapely", "pyproj", "rasterio", "pyogrio")


def made_from(brief: Brief, folder: str | Path | None) -> dict[str, Any]:
    """What a design is made from, as its summary records it: brief and input files, in JSON types.

    Parameters
    ----------
    brief : Brief
        The brief.
    folder : str or Path or None
        Folder of the results, from which the paths of the inputs are given; with None they are left out.
    """
    return {"brief": _recorded(brief), "inputs": [] if folder is None else _inputs(brief, Path(folder))}


def write_json(value: dict[str, Any], path: str | Path) -> None:
    """Write a value of JSON types, UTF-8."""
    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)
    Path(path).write_text(text + "\n", encoding="utf-8")


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


def _inputs(brief: Brief, folder: Path) -> list[dict[str, str]]:
    """Name, place and SHA-256 of every file that the brief names and that is there."""
    values = brief.model_dump()
    named = {f"{part}.{key}": values[part][key] for part, key in PATH_KEYS}
    return [
        {"key": key} | input_file(file, folder)
        for key, file in named.items()
        if file is not None and Path(file).exists()
    ]
