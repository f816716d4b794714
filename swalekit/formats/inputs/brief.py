"""The brief as a TOML file, or as plain nested dictionaries."""

import sys
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any

from pydantic import BaseModel, ValidationError

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.brief.faults import one_line
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
    try:
        placed = _with_paths_from(values, path.parent)
    except BriefError as error:
        message = f"{path}: {error}"
        raise BriefError(message) from error
    return check_brief(placed, source=str(path))


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
        message = one_line(error, source)
        raise BriefError(message) from error


def brief_with(brief: Brief, part: str, **given: Any) -> Brief:
    """The same brief with some keys of a part replaced, checked anew.

    Parameters
    ----------
    brief : Brief
        The brief.
    part : str
        Name of the part.
    **given
        Values by key, which may name a US unit; None leaves what there is.

    Raises
    ------
    BriefError
        If a value breaks a rule, in one line that names part and key.

    Examples
    --------
    >>> brief = check_brief({"terrain": {"file": "hill.tif"}, "storm": {"depth_mm": 60.0},
    ...     "soil": {"curve_number": 81}, "levels": {"interval_m": 2.0}})
    >>> brief_with(brief, "stakes", spacing_m=5.0, point_unit=None).stakes.spacing_m
    5.0
    """
    named = {key: value for key, value in given.items() if value is not None}
    return brief_with_parts(brief, {part: named}, source="options")


def brief_with_parts(brief: Brief, given: Mapping[str, Mapping[str, Any]], *, source: str) -> Brief:
    """The same brief with some keys of some parts replaced, checked anew as a whole.

    Parameters
    ----------
    brief : Brief
        The brief.
    given : mapping
        Part -> key -> value; a key may name a US unit.
    source : str
        Named in errors.

    Raises
    ------
    BriefError
        If a value breaks a rule, in one line that names part and key.
    """
    values = brief.model_dump()
    for part, keys in given.items():
        values[part] |= _in_si(keys, type(getattr(brief, part)), f"{source}: [{part}]")
    return check_brief(values, source=source)


def _in_si(part: Mapping[str, Any], model: type[BaseModel], where: str) -> dict[str, Any]:
    """Keys that name a US unit (or hectares) become the SI key; the value is converted."""
    converted: dict[str, Any] = {}
    for key, value in part.items():
        name, factor = si_key(key, model)
        if name in converted or (name != key and name in part):
            message = f"{where} {key} and {name} say the same thing; give one"
            raise BriefError(message)
        converted[name] = _scaled(value, factor)
    return converted


def si_key(key: str, model: type[BaseModel]) -> tuple[str, float]:
    """Key of a part in SI that a key in another unit stands for, and the factor to it; else the same key and 1.

    Examples
    --------
    >>> from swalekit.design.brief.storm_part import StormPart
    >>> si_key("depth_in", StormPart)
    ('depth_mm', 25.4)
    """
    if key in model.model_fields:
        return key, 1.0
    for suffix in sorted(UNIT_SUFFIXES, key=len, reverse=True):
        si_suffix, factor = UNIT_SUFFIXES[suffix]
        name = key.removesuffix(suffix) + si_suffix
        if key.endswith(f"_{suffix}") and name in model.model_fields:
            return name, factor
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
    """Relative file names in the brief become paths from the brief's folder.

    Raises
    ------
    BriefError
        If a name is empty, which would be taken for the folder.
    """
    for part, key in PATH_KEYS:
        entries = values.get(part)
        if isinstance(entries, dict) and isinstance(entries.get(key), str):
            if not entries[key].strip():
                message = f"[{part}] {key} is empty; name a file, or take the key out"
                raise BriefError(message)
            entries[key] = str(folder / entries[key]) if "://" not in entries[key] else entries[key]
    return values
