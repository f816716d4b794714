"""What a command works on: the site of a brief or of a tile with options, or the plan in a folder."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace
from pathlib import Path
from typing import Any

import swalekit
from swalekit.errors import BriefError


def read_source(
    source: Path, options: Mapping[str, Any], *, us: bool = False, tile_only: Mapping[str, Any] | None = None
) -> "swalekit.Site":
    """Read the site that was named on the command line.

    Parameters
    ----------
    source : Path
        A brief, whose own values count, or a tile.
    options : mapping
        ``part.key`` -> value that a tile is given in place of a brief; None where the option was not given.
    us : bool
        Whether these are in feet and inches where the key ends in ``_m`` or ``_mm``.
    tile_only : mapping, optional
        More such values, in SI, which a brief doesn't need.

    Returns
    -------
    Site
        With what its brief names read in.

    Raises
    ------
    InputError
        If options that only go with a tile are given with a brief, or the brief or a file that it names can't be used.

    Examples
    --------
    >>> read_source(Path("site.toml"), {"levels.interval_m": 1.5})
    Traceback (most recent call last):
        ...
    swalekit.errors.BriefError: site.toml: a brief is given, so its own values count; set [levels] interval_m there
    instead of by an option
    """
    values = given(options, us=us)
    if source.suffix.lower() == ".toml":
        if values or us:
            named = ", ".join("[{}] {}".format(*key.split(".")) for key in given(options)) or "units"
            message = f"{source}: a brief is given, so its own values count; set {named} there instead of by an option"
            raise BriefError(message)
        return swalekit.read_site(source)
    asked: dict[str, Any] = {"terrain.file": str(source)}
    asked |= {"site.name": source.stem} | ({"site.units": "us"} if us else {})
    asked |= values | dict(tile_only or {})
    _check_whole(asked, source, us=us)
    return swalekit.site_from_values(asked)


def _check_whole(asked: Mapping[str, Any], source: Path, *, us: bool) -> None:
    """Name all that a tile is given without, as the options that say it, and what else is wrong with those given."""
    ways = {
        "storm": ("storm.depth_mm", 60.0, "a storm", "--storm 2.4" if us else "--storm 60"),
        "soil": ("soil.curve_number", 85.0, "a soil", "--curve-number 85 or --texture loam"),
        "levels": ("levels.interval_m", 1.0, "levels", "--spacing 100" if us else "--spacing 30"),
    }
    missing = [way for part, way in ways.items() if not any(key.startswith(f"{part}.") for key in _ruling(asked))]
    if not missing:
        return
    lacks = " and ".join(filter(None, [", ".join(what for _, _, what, _ in missing[:-1]), missing[-1][2]]))
    add = ", ".join(option for _, _, _, option in missing)
    need = f"a tile needs {lacks} besides: add {add}; or let 'swalekit begin {source}' write a brief to begin with"
    whole = dict(asked) | {key: value for key, value, _, _ in missing}
    others = swalekit.design.brief.brief_faults(whole, source="options")
    raise BriefError(swalekit.design.brief.all_faults([need, *others], str(source)))


def _ruling(asked: Mapping[str, Any]) -> list[str]:
    """Keys that say how a part is chosen; a start alone chooses no levels."""
    return [key for key in asked if key not in ("levels.start_m", "levels.start_ft")]


def read_brief_with(source: Path, options: Mapping[str, Any]) -> "swalekit.Site":
    """Read the site of a brief, of which options replace values.

    Parameters
    ----------
    source : Path
        The brief.
    options : mapping
        ``part.key`` -> value in the brief's units, or None where the option was not given.

    Returns
    -------
    Site
        With what its brief names read in.

    Raises
    ------
    InputError
        If a value breaks a rule, or the brief or a file that it names can't be used.
    """
    brief = swalekit.read_brief(source)
    return swalekit.site_of(swalekit.brief_with(brief, given(options, us=brief.site.units == "us"), source="options"))


def given(options: Mapping[str, Any], *, us: bool = False) -> dict[str, Any]:
    """Options that were given, by ``part.key`` of the brief.

    Parameters
    ----------
    options : mapping
        ``part.key`` -> value, or None where the option was not given.
    us : bool
        Whether lengths and depths are in feet and inches; their keys then name the unit.

    Returns
    -------
    dict of str to object
        Values by key; a path is a text.

    Examples
    --------
    >>> given({"levels.start_m": 120.0, "storm.depth_mm": None}, us=True)
    {'levels.start_ft': 120.0}
    """
    return {
        _in_us(key) if us else key: str(value) if isinstance(value, Path) else value
        for key, value in options.items()
        if value is not None
    }


def _in_us(key: str) -> str:
    for si, us in (("_mm", "_in"), ("_m", "_ft")):
        if key.endswith(si):
            return key.removesuffix(si) + us
    return key


def numbers(text: str, *, option: str) -> list[float]:
    """Comma-separated numbers of an option.

    Parameters
    ----------
    text : str
        What was given.
    option : str
        Its name on the command line, for the error.

    Returns
    -------
    list of float
        The numbers.

    Raises
    ------
    BriefError
        If one is not a number.

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


@dataclass(frozen=True)
class Laid:
    """A plan to work on, from its folder or planned anew from a brief.

    Parameters
    ----------
    design : Design
        The plan, with the options in its brief.
    lines : tuple of LevelLine, optional
        Its lines where points gave them and not the brief.
    levelled : tuple of Levelled
        Those points, in the order of the work.
    anew : str
        What is said where it was planned anew; else empty.
    """

    design: "swalekit.Design"
    lines: "tuple[swalekit.LevelLine, ...] | None" = None
    levelled: "tuple[swalekit.results.plan.Levelled, ...]" = ()
    anew: str = ""


def read_laid(
    source: Path,
    options: Mapping[str, Any],
    *,
    brief: Path | None = None,
    grows: bool = False,
    holds: bool = True,
    stage: Callable[[str], None],
) -> Laid:
    """The plan in a folder, made again on exactly its lines; or one planned anew from a brief.

    Parameters
    ----------
    source : Path
        Folder of a plan, or a brief.
    options : mapping
        ``part.key`` -> value in the brief's units that replaces the recorded one, none of which moves a line; or None.
    brief : Path, optional
        Brief that says where the inputs of a folder lie now.
    grows : bool
        Whether the files that a planting is worked out from are wanted too.
    holds : bool
        Whether a plan anew is sized for the chance to hold that its brief asks for.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Laid
        The plan.

    Raises
    ------
    InputError
        If it can't be made, or not again as it was.
    """
    if source.suffix.lower() == ".toml":
        site = read_brief_with(source, options)
        words = f"{source} is planned anew: name a plan's folder in its place to work on the lines that were signed"
        terrain = swalekit.terrain_of(site)
        site = swalekit.sized_to_hold(site, terrain, stage=stage) if holds else site
        design = swalekit.plan(site, terrain, stage=stage)
        return Laid(swalekit.as_staged(design, stage=stage), anew=words)
    recorded = swalekit.read_recorded_plan(source, brief=brief, grows=grows)
    us = recorded.site.brief.site.units == "us"
    swalekit.brief_with(recorded.site.brief, given(options, us=us), source="options")  # which tells of faults at once
    design = swalekit.plan_again(recorded, stage=stage)
    design = replace(design, site=design.site.with_values(given(options, us=us), source="options"))
    lines = tuple(swale.line for swale in design.swales) if recorded.levelled else None
    return Laid(design, lines, tuple(recorded.levelled))
