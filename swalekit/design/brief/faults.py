"""What is wrong with a brief, in words."""

from difflib import get_close_matches
from typing import Any

from pydantic import BaseModel, ValidationError

from swalekit.design.brief.brief import Brief

_LONGEST_SHOWN = 60
"""Characters of a faulty value that a message repeats."""


def one_line(error: ValidationError, source: str) -> str:
    """The first thing that is wrong, in one line, and how many more there are.

    Parameters
    ----------
    error : ValidationError
        Of a `Brief`.
    source : str
        Where its values come from.

    Examples
    --------
    >>> try:
    ...     Brief.model_validate({"storm": {"depth_mm": 60}, "soil": {"curve_number": 81}, "levels": {"interval_m": 2}})
    ... except ValidationError as error:
    ...     one_line(error, "site.toml")
    'site.toml: [terrain] is missing; it is required'
    """
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
        text = f"{where}{key} is {_shown(first['input'])}; it must be a table of keys and values"
    else:
        rule = first["msg"][0].lower() + first["msg"][1:]
        rule = rule.replace("input should", "it must").replace("tuple", "list")
        text = f"{where}{key} is {_shown(first['input'])}; {rule}"
    more = f" (and {len(problems) - 1} more)" if len(problems) > 1 else ""
    return f"{source}: {' '.join(text.split())}{more}"


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
        model = Brief.model_fields[str(location[0])].annotation
        known = list(model.model_fields) if isinstance(model, type) and issubclass(model, BaseModel) else []
        what, name = "has no key", key
    near = get_close_matches(name, known, n=1, cutoff=0.5)
    hint = f"did you mean '{near[0]}'?" if near else f"known are {', '.join(known)}"
    return f"{where}{what} '{name}'; {hint}"
