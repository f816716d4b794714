"""The brief behind a command: a brief file, or a tile with options."""

from pathlib import Path
from typing import Any

from swalekit.errors import BriefError


def brief_values(source: Path, options: dict[tuple[str, str], Any], *, us: bool) -> dict[str, dict[str, Any]] | None:
    """Nested brief values for a tile, or None where the source is a brief file.

    Parameters
    ----------
    source : Path
        What was named on the command line.
    options : dict
        (part, key) -> value or None. A key ending in ``_m`` or ``_mm`` is read as feet or inches when ``us``.
    us : bool
        Whether options are in US units.

    Raises
    ------
    BriefError
        If options that only go with a tile are given with a brief.
    """
    given = {place: value for place, value in options.items() if value is not None}
    if source.suffix.lower() == ".toml":
        if given or us:
            named = ", ".join(f"[{part}] {key}" for part, key in given) or "units"
            message = f"{source}: a brief is given, so its own values count; set {named} there instead of by an option"
            raise BriefError(message)
        return None
    values: dict[str, dict[str, Any]] = {"terrain": {"file": str(source)}, "site": {"name": source.stem}}
    values |= {"storm": {}, "soil": {}, "levels": {}}  # what is missing is then told by its key
    if us:
        values["site"]["units"] = "us"
    for (part, key), value in given.items():
        values.setdefault(part, {})[_in_us(key) if us else key] = str(value) if isinstance(value, Path) else value
    return values


def _in_us(key: str) -> str:
    for si, us in (("_mm", "_in"), ("_m", "_ft")):
        if key.endswith(si):
            return key.removesuffix(si) + us
    return key


def numbers(text: str, *, option: str) -> list[float]:
    """Comma-separated numbers of an option.

    Examples
    --------
    >>> numbers("1, 1.5,2", option="--interval")
    [1.0, 1.5, 2.0]
    """
    try:
        return [float(item) for item in text.split(",")]
    except ValueError as error:
        message = f"{option} is '{text}'; give numbers separated by commas, as 1,1.5,2"
        raise BriefError(message) from error
