"""The brief as a TOML file, or as plain nested dictionaries."""

import sys
import tomllib
from collections.abc import Mapping
from difflib import get_close_matches
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from swalekit.design.brief import PATH_KEYS, Brief
from swalekit.errors import BriefError
from swalekit.formats.local_file import local_file
from swalekit.units import UNIT_SUFFIXES


def read_brief(path: str | Path) -> Brief:
    """Read and check a brief.

    Paths inside the brief are taken from the folder that holds it.

    Parameters
    ----------
    path : str or Path
        TOML file.

    Raises
    ------
    BriefError
        If the file is missing, is not TOML, or holds a value that breaks a rule.
    """
    path = Path(path)
    file = local_file(path, what="brief", error=BriefError)
    try:
        values = tomllib.loads(file.read_text(encoding="utf-8-sig"))
    except UnicodeDecodeError as error:
        message = f"{path}: the brief is not UTF-8 text (byte {error.start}); save it as UTF-8"
        raise BriefError(message) from error
    except (ValueError, RecursionError) as error:
        message = f"{path}: the brief is not valid TOML: {' '.join(str(error).split())}"
        raise BriefError(message) from error
    return check_brief(_with_paths_from(values, path.parent), source=str(path))


def check_brief(values: Mapping[str, Any], *, source: str = "brief") -> Brief:
    """Make a brief of nested dictionaries, with US units converted by the unit in the key.

    Parameters
    ----------
    values : mapping
        Part -> key -> value, as in the TOML file.
    source : str
        Named in errors.

    Raises
    ------
    BriefError
        In one line: part, key, value, rule and the nearest known key.

    Examples
    --------
    >>> brief = check_brief({
    ...     "terrain": {"file": "hill.tif"}, "storm": {"depth_in": 2.0},
    ...     "soil": {"curve_number": 81}, "levels": {"interval_ft": 5.0},
    ... })
    >>> brief.storm.depth_mm, brief.levels.interval_m
    (50.8, 1.524)
    """
    parts = {}
    for name, part in values.items():
        field = Brief.model_fields.get(name)
        model = field.annotation if field else None
        if isinstance(part, Mapping) and isinstance(model, type) and issubclass(model, BaseModel):
            parts[name] = _in_si(part, model, f"{source}: [{name}]")
        else:
            parts[name] = part
    try:
        return Brief.model_validate(parts)
    except ValidationError as error:
        message = _one_line(error, source)
        raise BriefError(message) from error


def _in_si(part: Mapping[str, Any], model: type[BaseModel], where: str) -> dict[str, Any]:
    """Keys that name a US unit (or hectares) become the SI key; the value is converted."""
    converted: dict[str, Any] = {}
    for key, value in part.items():
        si_key, factor = _si_key(key, model)
        if si_key in converted or (si_key != key and si_key in part):
            message = f"{where} {key} and {si_key} say the same thing; give one"
            raise BriefError(message)
        converted[si_key] = _scaled(value, factor)
    return converted


def _si_key(key: str, model: type[BaseModel]) -> tuple[str, float]:
    if key in model.model_fields:
        return key, 1.0
    for suffix in sorted(UNIT_SUFFIXES, key=len, reverse=True):
        si_suffix, factor = UNIT_SUFFIXES[suffix]
        si_key = key.removesuffix(suffix) + si_suffix
        if key.endswith(f"_{suffix}") and si_key in model.model_fields:
            return si_key, factor
    return key, 1.0


def _scaled(value: Any, factor: float) -> Any:
    if factor == 1.0 or isinstance(value, bool):
        return value
    if isinstance(value, int | float):
        return value * factor if abs(value) < sys.float_info.max else value
    if isinstance(value, list):
        return [_scaled(item, factor) for item in value]
    if isinstance(value, dict):
        return {key: _scaled(item, factor) for key, item in value.items()}
    return value


def _with_paths_from(values: dict[str, Any], folder: Path) -> dict[str, Any]:
    """Relative file names in the brief become paths from the brief's folder."""
    for part, key in PATH_KEYS:
        entries = values.get(part)
        if isinstance(entries, dict) and isinstance(entries.get(key), str):
            entries[key] = str(folder / entries[key]) if "://" not in entries[key] else entries[key]
    return values


def _one_line(error: ValidationError, source: str) -> str:
    """The first thing that is wrong, in one line, and how many more there are."""
    problems = sorted(error.errors(include_url=False), key=lambda each: each["type"] != "extra_forbidden")
    first = problems[0]
    where, key = _place(first["loc"])
    if first["type"] == "extra_forbidden":
        text = _unknown_key(first["loc"])
    elif first["type"] == "missing":
        text = f"{where}{key} is missing; it is required"
    elif first["type"] == "value_error":
        text = f"{where}{key} {first['msg'].removeprefix('Value error, ')}"
    elif first["type"] in ("model_type", "dict_type"):
        text = f"{where}{key} is {first['input']!r}; it must be a table of keys and values"
    else:
        rule = first["msg"][0].lower() + first["msg"][1:]
        rule = rule.replace("input should", "it must").replace("tuple", "list")
        text = f"{where}{key} is {first['input']!r}; {rule}"
    more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
    return f"{source}: {' '.join(text.split())}{more}"


def _place(location: tuple[int | str, ...]) -> tuple[str, str]:
    where = f"[{location[0]}] " if location else ""
    return where, ".".join(str(step) for step in location[1:])


def _unknown_key(location: tuple[int | str, ...]) -> str:
    where, key = _place(location)
    if len(location) == 1:
        known, what, name = list(Brief.model_fields), "the brief has no part", str(location[0])
        where = ""
    else:
        model = Brief.model_fields[str(location[0])].annotation
        known = list(model.model_fields) if isinstance(model, type) and issubclass(model, BaseModel) else []
        what, name = "has no key", key
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"did you mean '{near[0]}'?" if near else f"known are {', '.join(known)}"
    return f"{where}{what} '{name}'; {hint}"
