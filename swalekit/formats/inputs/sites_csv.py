"""The table of sites as CSV: a name and a brief a row, and keys of the brief that the row replaces."""

import re
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from difflib import get_close_matches
from pathlib import Path
from typing import Any, NoReturn

from swalekit.design.brief.brief import PATH_KEYS
from swalekit.design.brief.values import PARTS, si_key
from swalekit.formats.table import TextRow, read_rows

_SITE, _BRIEF = "site", "brief"
_NAME = re.compile(r"\w(?:[\w .()-]{0,78}[\w)-])?")
"""Names that every file system takes for a folder."""


@dataclass(frozen=True)
class SiteRow:
    """One site of the table.

    Parameters
    ----------
    site : str
        Its name, fit for a folder.
    brief : Path
        Absolute path of its brief.
    given : mapping
        ``part.key`` -> value, which replace those of the brief; a key may name a US unit.
    """

    site: str
    brief: Path
    given: Mapping[str, Any]


def read_sites(path: str | Path) -> tuple[SiteRow, ...]:
    r"""Read a table of sites.

    Parameters
    ----------
    path : str or Path
        CSV with a header. Column ``site`` names the site and ``brief`` its brief; any other column is ``part.key`` of
        the brief, its cells as a TOML file would have them, with text and file names bare. Paths are taken from the
        folder of the table. An empty cell leaves what the brief says.

    Returns
    -------
    tuple of SiteRow
        In the order of the table.

    Raises
    ------
    InputError
        If the table can't be read, or a column or the name of a site can't be used.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "sites.csv"
    ...     _ = path.write_text("site,brief,storm.depth_mm\nNorth,site.toml,60\n")
    ...     read_sites(path)[0].given
    {'storm.depth_mm': 60}
    """
    header, *rows = read_rows(path, what="sites table")
    columns = _columns(header)
    if not rows:
        header.refuse("it is the only one; add a row a site")
    folder, lines, sites = Path(path).resolve().parent, dict[str, int](), []
    for row in rows:
        site = _site(row, columns, folder)
        first = lines.setdefault(site.site.casefold(), row.line)
        if first != row.line:
            row.refuse(f"site '{site.site}' is in line {first} already; give each site a name of its own")
        sites.append(site)
    return tuple(sites)


def _columns(header: TextRow) -> dict[str, int]:
    """Place of each column by its name."""
    columns: dict[str, int] = {}
    for place, name in enumerate(header.cells):
        if name in columns:
            header.refuse(f"column '{name}' is there twice; keep one")
        if name not in (_SITE, _BRIEF) and not _is_key(name):
            _refuse_column(header, name)
        columns[name] = place
    for name in (_SITE, _BRIEF):
        if name not in columns:
            header.refuse(f"there is no column '{name}'; the first line names the columns: {_SITE}, {_BRIEF}, …")
    return columns


def _is_key(name: str) -> bool:
    part, _, key = name.partition(".")
    model = PARTS.get(part)
    return model is not None and si_key(key, model)[0] in model.model_fields


def _refuse_column(header: TextRow, name: str) -> NoReturn:
    known = [_SITE, _BRIEF, *(f"{part}.{key}" for part, model in PARTS.items() for key in model.model_fields)]
    near = get_close_matches(name, known, n=1, cutoff=0.7)
    hint = f"did you mean '{near[0]}'?" if near else "name it as the brief does, like storm.depth_mm"
    header.refuse(f"column '{name}' is neither {_SITE}, {_BRIEF} nor a key of the brief; {hint}")


def _site(row: TextRow, columns: Mapping[str, int], folder: Path) -> SiteRow:
    if len(row.cells) > len(columns):
        row.refuse(f"it has {len(row.cells)} cells for {len(columns)} columns; put a text with commas in quotes")
    cells = {name: row.cells[place] for name, place in columns.items() if place < len(row.cells) and row.cells[place]}
    name = cells.pop(_SITE, "")
    if not _NAME.fullmatch(name):
        row.refuse(
            f"site '{name}' does not name a folder; take up to 80 letters, digits, blanks, brackets, dots, hyphens or "
            "underscores"
        )
    if _BRIEF not in cells:
        row.refuse(f"site '{name}' has no brief; name its TOML file")
    brief, paths = folder / cells.pop(_BRIEF), {f"{part}.{key}" for part, key in PATH_KEYS}
    given = {
        column: str(folder / cell) if column in paths else _value(row, columns[column])
        for column, cell in cells.items()
    }
    return SiteRow(name, brief, given)


def _value(row: TextRow, place: int) -> Any:
    """A cell as TOML reads it, else a number with a decimal comma, else text."""
    cell = row.cells[place]
    try:
        return tomllib.loads(f"value = {cell}")["value"]
    except (ValueError, RecursionError):  # a number of thousands of digits, brackets without end
        pass
    try:
        return float(row.pointed(place))
    except ValueError:
        return cell
