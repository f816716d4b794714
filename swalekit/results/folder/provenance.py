"""What every summary has: brief and input files with their hashes, versions, and what the columns mean."""

import hashlib
import importlib.metadata
import json
import os
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.plan.columns import Column
from swalekit.design.plan.design import Caution
from swalekit.formats.terrain.tile_files import tile_files

LEVELLED = "levelled"
"""Key, among the inputs, of the points that a design was cut to."""

Columns = Mapping[str, Sequence[Column]]
"""Name of a table in the summary -> its columns."""

_VERSIONS_OF = ("swalekit", "numpy", "scipy", "numba", "shapely", "pyproj", "rasterio", "pyogrio")


def whole_summary(told: Mapping[str, Any], made_of: Mapping[str, Any], columns: Columns) -> dict[str, Any]:
    """A summary of what is told, with what every summary has besides, in JSON types.

    Parameters
    ----------
    told : mapping
        What the result says.
    made_of : mapping
        What it was made from, as by `made_from`.
    columns : mapping
        Columns of its tables.

    Returns
    -------
    dict
        The summary, not sealed yet.

    Examples
    --------
    >>> columns = {"swales": (Column("dug_m3", "m3", "bank volume cut"),)}
    >>> whole = whole_summary({"site": "North"}, made_from(site.brief, None), columns)
    >>> list(whole)
    ['site', 'brief', 'inputs', 'versions', 'columns']
    >>> whole["columns"]
    {'swales': {'dug_m3': {'unit': 'm3', 'meaning': 'bank volume cut'}}}
    """
    return {**told, **made_of, "versions": versions(), "columns": _meanings(columns)}


def extended_summary(
    summary: Mapping[str, Any], told: Mapping[str, Any], columns: Columns, *, inputs: Sequence[Mapping[str, str]] = ()
) -> dict[str, Any]:
    """A summary of a plan with what was made of the plan besides.

    Parameters
    ----------
    summary : mapping
        That of the plan.
    told : mapping
        What else the result says.
    columns : mapping
        Columns of its further tables.
    inputs : sequence of mapping
        Its further inputs, as `input_file` gives them.

    Returns
    -------
    dict
        The summary, not sealed yet.

    Examples
    --------
    >>> plan = {"site": "North", "inputs": [], "columns": {}}
    >>> whole = extended_summary(plan, {"stakes": 26}, {"stakes": (Column("dig_m", "m", "dig depth"),)})
    >>> whole["stakes"], whole["columns"]
    (26, {'stakes': {'dig_m': {'unit': 'm', 'meaning': 'dig depth'}}})
    """
    whole = {**summary, "inputs": [*summary["inputs"], *inputs], **told}
    return whole | {"columns": summary["columns"] | _meanings(columns)}


def made_from(brief: Brief, folder: str | Path | None) -> dict[str, Any]:
    """What a design is made from, as its summary records it: brief and input files, in JSON types.

    Parameters
    ----------
    brief : Brief
        The brief; of files it names the name alone is recorded, so that a folder's place does not matter.
    folder : str or Path or None
        Folder of the results, from which the paths of the inputs are given; with None they are left out.

    Returns
    -------
    dict
        Brief and inputs.

    Examples
    --------
    >>> made = made_from(site.brief, None)
    >>> made["brief"]["terrain"]["file"], made["inputs"]
    ('tile.tif', [])
    """
    values, inputs = brief.model_dump(mode="json"), []
    for part, key in PATH_KEYS:
        if (file := values[part][key]) is not None:
            values[part][key] = Path(file).name
            if folder is not None and Path(file).exists():
                inputs.append(input_file(f"{part}.{key}", file, folder))
    return {"brief": values, "inputs": inputs}


def input_file(key: str, path: str | Path, folder: str | Path) -> dict[str, str]:
    """What an input is, the name of its file or folder of tiles, its path from the folder of the results, its hash.

    Parameters
    ----------
    key : str
        Key of the brief that names it, or another name of what it is.
    path : str or Path
        The file or folder.
    folder : str or Path
        Folder of the results.

    Returns
    -------
    dict of str to str
        As a summary lists it.

    Examples
    --------
    >>> _ = (folder / "points.csv").write_text("1,0,0,0")
    >>> found = input_file("points", folder / "points.csv", folder / "survey")
    >>> found["key"], found["file"], found["path"], found["sha256"][:8]
    ('points', 'points.csv', '../points.csv', '1c402f25')
    """
    place, base = Path(path).resolve(), Path(folder).resolve()
    try:
        way = Path(os.path.relpath(place, base)).as_posix()
    except ValueError:  # it lies on another drive
        way = place.as_posix()
    return {"key": key, "file": Path(path).name, "path": way, "sha256": sha256(path)}


def input_hashes(summary: Mapping[str, Any]) -> dict[str, str]:
    """SHA-256 of the inputs that a summary records, by what they are.

    Parameters
    ----------
    summary : mapping
        A summary.

    Returns
    -------
    dict of str to str
        Hexadecimal digits.

    Examples
    --------
    >>> input_hashes({"inputs": [{"key": "terrain.file", "file": "tile.tif", "sha256": "7f83b165"}]})
    {'terrain.file': '7f83b165'}
    """
    return {recorded["key"]: str(recorded["sha256"]) for recorded in summary.get("inputs", ())}


def sha256(path: str | Path) -> str:
    """SHA-256 of a file, in hexadecimal digits; of a folder of tiles, that of the names and hashes of its tiles.

    Parameters
    ----------
    path : str or Path
        The file or folder.

    Returns
    -------
    str
        64 digits.

    Examples
    --------
    >>> _ = (folder / "empty.txt").write_text("")
    >>> sha256(folder / "empty.txt")[:16]
    'e3b0c44298fc1c14'
    """
    path = Path(path)
    if path.is_dir():
        tiles = [f"{Path(tile).name} {sha256(tile)}\n" for tile in tile_files(path)]
        return hashlib.sha256("".join(tiles).encode()).hexdigest()
    with path.open("rb") as opened:
        return hashlib.file_digest(opened, "sha256").hexdigest()


def caution_rows(cautions: Iterable[Caution]) -> list[dict[str, str]]:
    """Cautions in JSON types.

    Parameters
    ----------
    cautions : iterable of Caution
        The cautions.

    Returns
    -------
    list of dict
        A row a caution.

    Examples
    --------
    >>> caution_rows(design.cautions)[0]["swale"], caution_rows(design.cautions)[0]["caution"]
    ('S1', 'stands long')
    """
    return [
        {"swale": caution.swale, "caution": caution.name, "text": caution.text, "advice": caution.advice}
        for caution in cautions
    ]


def versions() -> dict[str, str]:
    """Versions of swalekit and of the libraries that its figures come from.

    Returns
    -------
    dict of str to str
        Version by name of the package.

    Examples
    --------
    >>> versions()["swalekit"] == importlib.metadata.version("swalekit")
    True
    """
    return {name: importlib.metadata.version(name) for name in _VERSIONS_OF}


def _meanings(tables: Columns) -> dict[str, dict[str, dict[str, str]]]:
    """Unit and meaning of the columns of tables."""
    return {
        name: {column.name: {"unit": column.unit, "meaning": column.meaning} for column in columns}
        for name, columns in tables.items()
    }


def write_json(value: Mapping[str, Any], path: str | Path) -> None:
    """Write a value of JSON types, UTF-8.

    Parameters
    ----------
    value : mapping
        The value.
    path : str or Path
        The file.

    Raises
    ------
    ValueError
        If a number is not finite.

    Examples
    --------
    >>> write_json({"site": "Peña"}, folder / "summary.json")
    >>> print((folder / "summary.json").read_text(encoding="utf-8"))
    {
      "site": "Peña"
    }
    """
    text = json.dumps(value, indent=2, ensure_ascii=False, allow_nan=False)
    Path(path).write_text(text + "\n", encoding="utf-8")
