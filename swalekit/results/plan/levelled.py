"""Points that lines were cut to: as they were read, and as a summary records them."""

import shutil
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from swalekit._one_line import one_line
from swalekit.design.brief.brief import StakesPart
from swalekit.errors import InputError
from swalekit.formats.exchange.points_csv import read_points
from swalekit.formats.inputs.file_hash import sha256
from swalekit.formats.local_file import local_file
from swalekit.results.folder.inputs import KEPT, input_file
from swalekit.terrain.survey_points import SurveyPoints

_KEY = "levelled"
_RULES = ("spacing_m", "point_order", "point_unit")
"""Settings of the stakes that number them and that their points are read by; options may change them."""


@one_line("path.name", "points")
@dataclass(frozen=True, eq=False)
class Levelled:
    """Points that the crew levelled, as they were read.

    Parameters
    ----------
    path : Path
        Their file.
    sha256 : str
        Its hash.
    stakes : StakesPart
        How the stakes were set that the points are numbered by, and how the file is to be read.
    points : SurveyPoints
        What it says.
    """

    path: Path
    sha256: str
    stakes: StakesPart
    points: SurveyPoints

    @property
    def by_brief_key(self) -> dict[str, Any]:
        """Settings of the stakes that number them, and how the file is read, by ``part.key`` of the brief."""
        return {f"stakes.{name}": getattr(self.stakes, name) for name in _RULES}


def read_levelled(path: str | Path, stakes: StakesPart) -> Levelled:
    """Read points that the crew levelled.

    Parameters
    ----------
    path : str or Path
        Point file.
    stakes : StakesPart
        How the stakes were set, with order and unit of the file.

    Returns
    -------
    Levelled
        Points, with the hash of their file.

    Raises
    ------
    InputError
        If the file can't be read.

    Examples
    --------
    >>> _ = (folder / "levelled.csv").write_text("1001,4000000,500000,107.9")
    >>> read_levelled(folder / "levelled.csv", site.brief.stakes).points.number.tolist()
    [1001]
    """
    found = sha256(local_file(path, what="survey points", error=InputError))
    points = read_points(path, order=stakes.point_order, unit=stakes.point_unit)
    return Levelled(Path(path), found, stakes, points)


def keep_levelled(levelled: Sequence[Levelled], results: Path, *, folder: str | Path) -> list[dict[str, Any]]:
    """Copy points that lines were cut to into a folder of results, and list them as a summary does among the inputs.

    Parameters
    ----------
    levelled : sequence of Levelled
        The points, in the order of the work.
    results : Path
        The folder.
    folder : str or Path
        Where it will lie.

    Returns
    -------
    list of dict
        A row a file.

    Raises
    ------
    InputError
        If a file is no longer what was read.

    Examples
    --------
    >>> _ = (folder / "north.csv").write_text("1001,4000000,500000,107.9")
    >>> levelled = read_levelled(folder / "north.csv", site.brief.stakes)
    >>> [row["path"] for row in keep_levelled([levelled], folder, folder=folder)]
    ['inputs/levelled.1.csv']
    """
    rows = []
    for number, points in enumerate(levelled, start=1):
        key = f"{_KEY}.{number}"
        copy = results / KEPT / f"{key}{points.path.suffix}"
        copy.parent.mkdir(exist_ok=True)
        row = input_file(key, points.path, folder, as_read=points.sha256)
        shutil.copyfile(points.path, copy)
        rules = {name: getattr(points.stakes, name) for name in _RULES}
        rows.append(row | {"path": copy.relative_to(results).as_posix()} | rules)
    return rows


def is_levelled(row: Mapping[str, Any]) -> bool:
    """Whether an input of a summary is points that lines were cut to.

    Parameters
    ----------
    row : mapping
        The input.

    Returns
    -------
    bool
        By its key.

    Examples
    --------
    >>> is_levelled({"key": "levelled.1"}), is_levelled({"key": "terrain.file"})
    (True, False)
    """
    return str(row["key"]).partition(".")[0] == _KEY


def rules_of(row: Mapping[str, Any]) -> dict[str, Any]:
    """Settings of the stakes that points were read by.

    Parameters
    ----------
    row : mapping
        The input.

    Returns
    -------
    dict
        By ``part.key`` of the brief.

    Examples
    --------
    >>> rules_of({"spacing_m": 10.0, "point_order": "PNEZD", "point_unit": "m"})["stakes.spacing_m"]
    10.0
    """
    return {f"stakes.{name}": row[name] for name in _RULES}
