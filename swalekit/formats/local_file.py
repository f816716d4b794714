"""Which paths may be opened: regular files on this machine and nothing else."""

import re
from pathlib import Path

from swalekit.errors import InputError

_ELSEWHERE = re.compile(r"^(/vsi|\\\\|[A-Za-z][A-Za-z0-9+_.-]+:)", re.IGNORECASE)
"""Virtual file systems, network shares, and names that open with a scheme or driver of two letters or more."""


def local_file(path: str | Path, *, what: str, error: type[InputError]) -> Path:
    """Check that a path names a regular file on this machine.

    Parameters
    ----------
    path : str or Path
        What the user gave.
    what : str
        What the file should hold, for the message.
    error : type of InputError
        Raised if the path may not be opened.

    Returns
    -------
    Path
        Absolute path of a file that is not empty.

    Raises
    ------
    InputError
        As ``error``: if the path is none of this machine, is no regular file, is empty or can't be read.

    Examples
    --------
    >>> from swalekit.errors import TerrainError
    >>> local_file("https://example.org/tile.tif", what="terrain", error=TerrainError)
    Traceback (most recent call last):
        ...
    swalekit.errors.TerrainError: terrain 'https://example.org/tile.tif' is not a plain file path: network, archive \
and virtual paths can pull in other files; save a copy on this machine and name that
    """
    if _ELSEWHERE.match(str(path)) or "://" in str(path):
        message = (
            f"{what} '{path}' is not a plain file path: network, archive and virtual paths can pull in other files; "
            "save a copy on this machine and name that"
        )
        raise error(message)
    try:
        file = Path(path).resolve()
        fault = _fault(file)
    except (OSError, RuntimeError) as caught:  # a loop of links is a RuntimeError before Python 3.13
        fault = f"can't be read ({getattr(caught, 'strerror', None) or 'its links go round'}); check the path"
    except ValueError:
        fault = "has a name that is not UTF-8 text; rename it"
    if fault:
        message = f"{what} '{path}' {fault}"
        raise error(message)
    return file


def _fault(file: Path) -> str:
    """Why a file can't be read, empty if it can."""
    if not file.is_file():
        return f"{'is not a regular file' if file.exists() else 'does not exist'}; check the path"
    str(file).encode()
    with file.open("rb") as opened:
        return "" if opened.read(1) else "is empty (0 bytes); save it again"
