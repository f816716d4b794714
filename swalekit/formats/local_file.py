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
        if not file.is_file():
            found = "is not a regular file" if file.exists() else "does not exist"
            message = f"{what} '{path}' {found}; check the path"
            raise error(message)
        size = file.stat().st_size
    except OSError as fault:
        message = f"{what} '{path}' can't be read: {fault.strerror}"
        raise error(message) from fault
    if size == 0:
        message = f"{what} '{path}' is empty (0 bytes); save it again"
        raise error(message)
    return file
