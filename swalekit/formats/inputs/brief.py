"""The brief as a TOML file."""

import tomllib
from pathlib import Path
from typing import Any

from swalekit.design.brief.brief import PATH_KEYS, Brief
from swalekit.design.brief.values import check_brief
from swalekit.errors import BriefError
from swalekit.formats.local_file import local_file


def read_brief(path: str | Path) -> Brief:
    r"""Read and check a brief.

    Paths inside the brief are taken from the folder that holds it.

    Parameters
    ----------
    path : str or Path
        TOML file.

    Returns
    -------
    Brief
        Every setting, with paths from the folder of the brief.

    Raises
    ------
    BriefError
        If the file is missing, is not TOML, or holds a value that breaks a rule.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "site.toml"
    ...     _ = path.write_text(
    ...         'terrain.file = "t.tif"\nstorm.depth_mm = 50\nsoil.curve_number = 80\nlevels.interval_ft = 5'
    ...     )
    ...     read_brief(path).levels.interval_m
    1.524
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
