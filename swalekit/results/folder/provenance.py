"""What every summary has besides what it tells: inputs, versions, and what the columns mean."""

import importlib.metadata
import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import Any

from swalekit.design.brief.site import Site
from swalekit.design.plan.columns import Column
from swalekit.design.plan.design import Caution

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
    >>> whole = whole_summary({"site": "North"}, {"brief": {}, "inputs": []}, columns)
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


def belongs_to(site: Site) -> dict[str, Any]:
    """Which plan a result belongs to, as its summary tells it; nothing where it was planned anew.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    dict
        Number, revision and date of the plan whose folder the site was read back from.

    Examples
    --------
    >>> from dataclasses import replace
    >>> belongs_to(site)
    {}
    >>> belongs_to(replace(site, of_plan="1c402f25"))
    {'of_plan': {'number': '1c402f25', 'revision': '', 'date': ''}}
    """
    if not site.of_plan:
        return {}
    return {"of_plan": {"number": site.of_plan, "revision": site.brief.site.revision, "date": site.brief.site.date}}


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
    ('S1', 'catchment cut off')
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
