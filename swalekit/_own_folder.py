"""A folder for what is kept between runs where the user has no home that takes files."""

import os
import stat
import tempfile
from pathlib import Path


def own_folder() -> Path | None:
    """Find or make a folder among the temporary ones that this user alone can write to.

    Compiled code is loaded from it, so one that somebody else made, or may write to, is not taken.

    Returns
    -------
    Path or None
        The folder; None if there is none that is safe.
    """
    user = os.getuid() if hasattr(os, "getuid") else 0
    try:
        folder = Path(tempfile.gettempdir()) / f"swalekit-{user}"
        folder.mkdir(mode=0o700, exist_ok=True)
        found = folder.lstat()
    except OSError:
        return None
    shared = os.name == "posix" and (found.st_uid != user or bool(found.st_mode & (stat.S_IWGRP | stat.S_IWOTH)))
    return folder if stat.S_ISDIR(found.st_mode) and not shared else None


def home_takes_files() -> bool:
    """Tell whether the user has a home folder that can be written to.

    Returns
    -------
    bool
        False too where the user is unknown to the machine.
    """
    home = os.path.expanduser("~")  # noqa: PTH111 - Path.home() fails for an unknown user
    return os.path.isabs(home) and os.access(home, os.W_OK | os.X_OK)  # noqa: PTH117
