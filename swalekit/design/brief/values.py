"""Values of a brief by part and key: checked, converted to SI, and put in place of those that a brief has.

Every change of a brief goes through `brief_with`, whoever asks for it: an option of a command, a row of a sites table,
what options of a comparison vary, limits, a caller in Python.
"""

import sys
from collections.abc import Mapping, Sequence
from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from swalekit.design.brief.brief import LEVEL_CHOICES, Brief
from swalekit.errors import BriefError
from swalekit.units import UNIT_SUFFIXES

PARTS: dict[str, type[BaseModel]] = {
    name: field.annotation
    for name, field in Brief.model_fields.items()
    if isinstance(field.annotation, type) and issubclass(field.annotation, BaseModel)
}
"""Part of the brief by its name."""

_REQUIRED: dict[str, Any] = {name: {} for name, field in Brief.model_fields.items() if field.is_required()}
"""Parts that a brief can't be without; what an empty one lacks is told by key."""

_LONGEST_SHOWN = 60
"""Characters of a faulty value that a message repeats."""


def check_brief(values: Mapping[str, Any], *, source: str = "brief") -> Brief:
    """Make a brief of values by part and key, with US units converted by the unit in the key.

    Parameters
    ----------
    values : mapping
        Part -> key -> value, as in the TOML file; or ``part.key`` -> value.
    source : str
        Named in errors.

    Returns
    -------
    Brief
        Every setting, in SI.

    Raises
    ------
    BriefError
        In one line: part, key, value, rule and the nearest known key.

    Examples
    --------
    >>> brief = check_brief({
    ...     "terrain": {"file": "hill.tif"}, "storm": {"depth_in": 2.0},
    ...     "soil": {"curve_number": 81}, "levels.interval_ft": 5.0,
    ... })
    >>> brief.storm.depth_mm, brief.levels.interval_m
    (50.8, 1.524)
    """
    return _validated(_in_parts(values, source), source)


def brief_with(brief: Brief, values: Mapping[str, Any], *, source: str = "values given") -> Brief:
    """Put values in place of those of a brief, and check the whole anew.

    Parameters
    ----------
    brief : Brief
        The brief.
    values : mapping
        Part -> key -> value, or ``part.key`` -> value; a key may name a US unit, and None takes an optional value out.
        Another way to choose the levels replaces the one there is; their start stays.
    source : str
        Named in errors.

    Returns
    -------
    Brief
        A new one.

    Raises
    ------
    BriefError
        If there is no such key, or a value breaks a rule or doesn't go with the others: in one line that names part
        and key.

    Examples
    --------
    >>> brief = check_brief({"terrain": {"file": "hill.tif"}, "storm": {"depth_mm": 60.0},
    ...     "soil": {"curve_number": 81}, "levels": {"interval_m": 2.0, "start_m": 50.0}})
    >>> other = brief_with(brief, {"levels.spacing_ft": 50.0, "section": {"bottom_width_m": 0.8}})
    >>> other.levels.interval_m, other.levels.spacing_m, other.levels.start_m, other.section.bottom_width_m
    (None, 15.24, 50.0, 0.8)
    """
    parts, given = brief.model_dump(), _in_parts(values, source)
    levels = given.get("levels")
    if isinstance(levels, Mapping) and not levels.keys().isdisjoint(LEVEL_CHOICES):
        kept = ("start_m", "matched_depth_m") if levels.get("matched") else ("start_m",)
        parts["levels"] = {key: parts["levels"][key] for key in kept}
    for name, part in given.items():
        parts[name] = parts[name] | part if name in PARTS and isinstance(part, Mapping) else part
    return _validated(parts, source)


def si_key(key: str, model: type[BaseModel]) -> tuple[str, float]:
    """Find the key in SI that a key in another unit stands for, and the factor to it; else give the key and 1.

    Parameters
    ----------
    key : str
        Key as it is given.
    model : type of BaseModel
        The part of the brief.

    Returns
    -------
    str
        Key in SI.
    float
        What a value is multiplied by.

    Examples
    --------
    >>> si_key("depth_in", PARTS["storm"])
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


def brief_faults(values: Mapping[str, Any], *, source: str = "brief") -> tuple[str, ...]:
    """All that is wrong with the values of a brief.

    Parameters
    ----------
    values : mapping
        Part -> key -> value, as in the TOML file; or ``part.key`` -> value.
    source : str
        Where they come from, named where a value is given twice.

    Returns
    -------
    tuple of str
        What isn't known first, then the rest in the order of the brief; none where it is a brief.

    Examples
    --------
    >>> brief_faults({"terrain.file": "t.tif", "storm.dept_mm": 6, "soil.curve_number": 81})
    ("[storm] has no key 'dept_mm'; did you mean 'depth_mm'?", '[levels] give exactly one of interval_m, spacing_m,
    levels_m, rule, matched; found none')
    """
    try:
        Brief.model_validate({**_REQUIRED, **_in_parts(values, source)})
    except ValidationError as error:
        return _faults(error)
    except BriefError as error:
        return (str(error),)
    return ()


def _validated(parts: Mapping[str, Any], source: str) -> Brief:
    try:
        return Brief.model_validate({**_REQUIRED, **parts})
    except ValidationError as error:
        message = all_faults(_faults(error), source)
        raise BriefError(message) from error


def _in_parts(values: Mapping[str, Any], source: str) -> dict[str, Any]:
    """Values by part and key in SI; what is no part or no table stays, for the check to tell."""
    parts: dict[str, Any] = {}
    for name, value in values.items():
        part, dot, key = str(name).partition(".")
        keys, there = {key: value} if dot else value, parts.get(part, {})
        if isinstance(keys, Mapping) and isinstance(there, Mapping):
            twice = next((key for key in keys if key in there), None)
            if twice is not None:
                message = f"{source}: [{part}] {twice} is given twice; give one"
                raise BriefError(message)
            keys = {**there, **keys}
        parts[part] = keys
    return {
        name: _in_si(part, PARTS[name], f"{source}: [{name}]") if name in PARTS and isinstance(part, Mapping) else part
        for name, part in parts.items()
    }


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


def _scaled(value: Any, factor: float) -> Any:
    if factor == 1.0 or isinstance(value, bool):
        return value
    if isinstance(value, int | float):
        return value * factor if abs(value) < sys.float_info.max else value
    if isinstance(value, list | tuple):
        return [_scaled(item, factor) for item in value]
    if isinstance(value, Mapping):
        return {key: _scaled(item, factor) for key, item in value.items()}
    return value


def _faults(error: ValidationError) -> tuple[str, ...]:
    """What is wrong with a brief, one line each."""
    problems = sorted(error.errors(include_url=False), key=lambda problem: problem["type"] != "extra_forbidden")
    return tuple(" ".join(_fault(problem).split()) for problem in problems)


def all_faults(faults: Sequence[str], source: str) -> str:
    """Faults of one source in a line.

    Parameters
    ----------
    faults : sequence of str
        One or more.
    source : str
        Where they are.

    Returns
    -------
    str
        One as it is, several by number.

    Examples
    --------
    >>> all_faults(["[storm] depth_mm is 0; it must be greater than 0"], "site.toml")
    'site.toml: [storm] depth_mm is 0; it must be greater than 0'
    >>> all_faults(["no storm", "no soil"], "site.toml")
    'site.toml has 2 faults: (1) no storm (2) no soil'
    """
    if len(faults) == 1:
        return f"{source}: {faults[0]}"
    listed = " ".join(f"({place}) {text}" for place, text in enumerate(faults, start=1))
    return f"{source} has {len(faults)} faults: {listed}"


def _fault(problem: Any) -> str:
    """One thing that is wrong: part, key, value, rule and the nearest known key."""
    where, key = _place(problem["loc"])
    if problem["type"] == "extra_forbidden":
        return _unknown_key(problem["loc"])
    if problem["type"] == "missing":
        return f"{where}{key} is missing; it is required"
    if problem["type"] == "value_error":
        return f"{where}{key} {problem['msg'].removeprefix('Value error, ')}"
    if problem["type"] in ("model_type", "dict_type"):
        return f"{where}{key} is {_shown(problem['input'])}; it must be a table of keys and values"
    rule = problem["msg"][0].lower() + problem["msg"][1:]
    rule = rule.replace("input should", "it must").replace("tuple", "list")
    return f"{where}{key} is {_shown(problem['input'])}; {rule}"


def _shown(value: Any) -> str:
    text = repr(value)
    return text if len(text) <= _LONGEST_SHOWN else f"{text[:_LONGEST_SHOWN]}…"


def _place(location: tuple[int | str, ...]) -> tuple[str, str]:
    where = f"[{location[0]}] " if location else ""
    return where, ".".join(str(step) for step in location[1:])


def _unknown_key(location: tuple[int | str, ...]) -> str:
    where, key = _place(location)
    if len(location) == 1:
        known, what, name = list(Brief.model_fields), "the brief has no part", str(location[0])
        where = ""
    else:
        known = list(PARTS[str(location[0])].model_fields)
        what, name = "has no key", key
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"did you mean '{near[0]}'?" if near else f"known are {', '.join(known)}"
    return f"{where}{what} '{name}'; {hint}"
