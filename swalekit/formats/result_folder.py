"""A folder of results that appears whole or not at all."""

import shutil
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from swalekit.errors import OutputError

SIGNATURE = "summary.json"
"""Every result folder holds this file; a folder without it is somebody else's and is never replaced."""


@contextmanager
def result_folder(path: str | Path, *, overwrite: bool = False) -> Iterator[Path]:
    """Give a temporary folder to write into; it takes its final name when the block ends without an error.

    Parameters
    ----------
    path : str or Path
        Where the results go.
    overwrite : bool
        Replace an older result folder of that name.

    Raises
    ------
    OutputError
        If the folder exists and ``overwrite`` is false, if it is not a result folder, or if it can't be made.
    """
    path = Path(path)
    check_free(path, overwrite=overwrite)
    try:
        path.parent.mkdir(parents=True, exist_ok=True)
        working = Path(tempfile.mkdtemp(prefix=f".{path.name}-", dir=path.parent))
    except OSError as error:
        message = f"{path}: results can't be written there ({error.strerror}); name another folder with --out"
        raise OutputError(message) from error
    try:
        results = working / "new"
        results.mkdir()
        yield results
        _put_in_place(results, path, working)
    except OSError as error:
        if isinstance(error, OutputError):
            raise
        message = f"{path}: writing the results failed ({error.strerror or error}); nothing was changed there"
        raise OutputError(message) from error
    finally:
        shutil.rmtree(working, ignore_errors=True)


def check_free(path: Path, *, overwrite: bool) -> None:
    """Raise `OutputError` if results may not go to ``path``: call it before long work."""
    if not path.exists() or (path.is_dir() and not any(path.iterdir())):
        return
    if not path.is_dir():
        message = f"{path}: a file of that name exists; name another folder with --out"
        raise OutputError(message)
    if not (path / SIGNATURE).is_file():
        message = f"{path}: the folder holds files that are not an earlier result; name another folder with --out"
        raise OutputError(message)
    if not overwrite:
        message = f"{path}: an earlier result is there; name another folder with --out or replace it with --overwrite"
        raise OutputError(message)


def _put_in_place(results: Path, path: Path, working: Path) -> None:
    """Move the old result aside, the new one in; put the old one back if that fails."""
    old = working / "old"
    if path.exists():
        path.rename(old)
    try:
        results.rename(path)
    except OSError:
        if old.exists():
            old.rename(path)
        raise
    path.chmod(0o755)
