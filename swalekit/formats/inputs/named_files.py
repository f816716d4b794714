"""Whether the files that a brief names are there, all told at once."""

from pathlib import Path

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.brief.values import all_faults
from swalekit.errors import BriefError
from swalekit.formats.local_file import local_file

_PARTS = ("terrain", "area", "storm", "soil")
"""Parts that every site reads."""


def check_files(brief: Brief, source: str) -> None:
    """Check, before any is read, that files which a brief names are there, where more than one isn't.

    Parameters
    ----------
    brief : Brief
        The brief, with paths as they can be opened; of its files those of terrain, area, storm and soil.
    source : str
        Where the brief is, for the message.

    Raises
    ------
    BriefError
        If two or more can't be opened, naming each with its key. One alone is told by what reads it.

    Examples
    --------
    >>> from swalekit.design.brief.values import check_brief
    >>> check_files(check_brief({"terrain.file": "hill.tif", "storm.depth_mm": 50, "soil.curve_number": 80,
    ...     "levels.interval_m": 2, "area.boundary": "land.kml"}), "site.toml")
    Traceback (most recent call last):
        ...
    swalekit.errors.BriefError: site.toml has 2 faults: (1) [terrain] file 'hill.tif' does not exist; check the path \
(2) [area] boundary 'land.kml' does not exist; check the path
    """
    faults = []
    for part, key in PATH_KEYS:
        named = getattr(getattr(brief, part), key) if part in _PARTS else None
        if named is None or (key == "file" and Path(named).is_dir()):
            continue
        try:
            local_file(named, what=f"[{part}] {key}", error=BriefError)
        except BriefError as fault:
            faults.append(str(fault))
    if len(faults) > 1:
        raise BriefError(all_faults(faults, source))
