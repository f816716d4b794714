"""A folder of results that appears whole or not at all."""

import shutil
import tempfile
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from pathlib import Path
from types import MappingProxyType

from pyogrio.errors import DataLayerError, DataSourceError

from swalekit.errors import OutputError
from swalekit.formats.exchange.lines_layer import LINES_FILES
from swalekit.formats.inputs.file_hash import sha256
from swalekit.results.folder.seal import seal, strangers

_WRITE_ERRORS = (OSError, DataSourceError, DataLayerError)
_LONGEST = 160


@contextmanager
def result_folder(
    path: str | Path, *, overwrite: bool = False, carried: Mapping[Path, str] = MappingProxyType({})
) -> Iterator[Path]:
    """Give a temporary folder to write into; it takes its final name when the block ends without an error.

    Parameters
    ----------
    path : str or Path
        Where the results go.
    overwrite : bool
        Replace an older result folder of that name.
    carried : mapping of Path to str
        Files that may be edited in that folder, since their content is carried on in the new result -> their SHA-256 as
        they were read.

    Yields
    ------
    Path
        The temporary folder.

    Raises
    ------
    OutputError
        If the folder exists and ``overwrite`` is false, if it is not a result folder or holds something else besides,
        or if it can't be made.

    Examples
    --------
    >>> with result_folder(folder / "plan") as results:
    ...     _ = (results / "note.txt").write_text("two swales")
    ...     (folder / "plan").exists()
    False
    >>> [file.name for file in (folder / "plan").iterdir()]
    ['note.txt']
    """
    path = Path(path)
    check_free(path, overwrite=overwrite, carried=carried)
    path = path.resolve() if path.is_symlink() else path  # so that what the link leads to is replaced, not the link
    made: list[Path] = []
    try:
        made = [parent for parent in path.parents if not parent.exists()]
        path.parent.mkdir(parents=True, exist_ok=True)
        working = Path(tempfile.mkdtemp(prefix=".swalekit-", dir=path.parent))
    except OSError as error:
        raise _unwritable(path, error) from error
    try:
        results = working / "new"
        results.mkdir()
        yield results
        seal(results)
        check_free(path, overwrite=overwrite, carried=carried)  # somebody may have worked there meanwhile
        _put_in_place(results, path, working)
    except OutputError:
        raise
    except _WRITE_ERRORS as error:
        message = f"{path}: writing the results failed ({_reason(error)}); nothing was changed there"
        raise OutputError(message) from error
    finally:
        shutil.rmtree(working, ignore_errors=True)
        for folder in made:
            with suppress(OSError):  # a folder with something in it stays
                folder.rmdir()


@contextmanager
def whole_file(path: str | Path) -> Iterator[Path]:
    """Give a temporary file to write; it takes its final name, in place of an older one, when the block ends well.

    Parameters
    ----------
    path : str or Path
        Where the file goes, in a folder that is there.

    Yields
    ------
    Path
        The temporary file.

    Raises
    ------
    OutputError
        If it can't be written.

    Examples
    --------
    >>> with whole_file(folder / "note.txt") as file:
    ...     _ = file.write_text("two swales")
    >>> (folder / "note.txt").read_text()
    'two swales'
    """
    path = Path(path)
    if path.is_dir():
        message = f"{path} can't be written: a folder has its name; move that away"
        raise OutputError(message)
    try:
        with tempfile.TemporaryDirectory(prefix=".swalekit-", dir=path.parent) as working:
            file = Path(working) / path.name
            yield file
            file.replace(path)
    except _WRITE_ERRORS as error:
        message = f"{path} can't be written ({_reason(error)}); check the folder and the disk"
        raise OutputError(message) from error


def check_free(path: Path, *, overwrite: bool, carried: Mapping[Path, str] = MappingProxyType({})) -> None:
    """Check, before long work, that results may go to a folder.

    Parameters
    ----------
    path : Path
        Where the results go.
    overwrite : bool
        Whether an earlier result there may be replaced.
    carried : mapping of Path to str
        Files that may be edited there, since their content is carried on in the new result -> their SHA-256 as they
        were read.

    Raises
    ------
    OutputError
        If something is there that may not be replaced.

    Examples
    --------
    >>> check_free(folder / "new", overwrite=False)
    >>> check_free(plan_folder, overwrite=True)
    >>> check_free(plan_folder, overwrite=False)  # doctest: +ELLIPSIS
    Traceback (most recent call last):
        ...
    swalekit.errors.OutputError: ...plan: an earlier result is there; name another folder with --out or replace it
    with --overwrite
    """
    if not is_taken(path):
        return
    read = {file.resolve(): digest for file, digest in carried.items()}
    foreign = strangers(path)
    if foreign is not None:
        foreign = [name for name in foreign if not _is_carried((path / name).resolve(), read)]
    if foreign is None:
        message = (
            f"{path}: the folder holds files that are not an earlier result, or its summary.json was changed; move it "
            "away or name another folder with --out"
        )
    elif foreign and (path / foreign[0]).resolve() in read:
        message = f"{path}: '{foreign[0]}' there was edited after it was read; run the command again"
    elif foreign:
        message = (
            f"{path}: '{foreign[0]}' among the results there is not as it was written with them; {_way_out(foreign[0])}"
        )
    elif not overwrite:
        message = f"{path}: an earlier result is there; name another folder with --out or replace it with --overwrite"
    else:
        return
    raise OutputError(message)


def _is_carried(file: Path, read: Mapping[Path, str]) -> bool:
    return file in read and file.is_file() and sha256(file) == read[file]


def _way_out(name: str) -> str:
    """What to do about a file among the results that isn't as it was written."""
    if name.endswith("-wal"):
        return "another program has it open with edits that it hasn't saved whole: save and close it there"
    if name in LINES_FILES:
        return "to plan by it name it as [lines] file of the brief, else move it away or name another folder with --out"
    return "move it away, or name another folder with --out"


def is_taken(path: Path) -> bool:
    """Whether a folder holds anything.

    Parameters
    ----------
    path : Path
        Folder, which need not be there.

    Returns
    -------
    bool
        False where there is none.

    Raises
    ------
    OutputError
        If it can't be read, or is a file.

    Examples
    --------
    >>> is_taken(folder), is_taken(folder / "not there"), is_taken(plan_folder)
    (False, False, True)
    """
    try:
        if path.is_dir() and not Path.cwd().is_relative_to(path.resolve()):
            return any(path.iterdir())
        if path.is_dir():
            message = f"{path}: that is the folder one works in, or holds it; name another folder with --out"
        elif path.is_symlink() and not path.exists():
            message = f"{path}: a link to what isn't there has that name; name another folder with --out"
        elif not path.exists():
            return False
        else:
            message = f"{path}: a file of that name exists; name another folder with --out"
    except OSError as error:
        raise _unwritable(path, error) from error
    raise OutputError(message)


def _reason(error: Exception) -> str:
    """What went wrong, without the pages of a database's statement."""
    words = str(getattr(error, "strerror", None) or error)
    return words if len(words) <= _LONGEST else f"{words[:_LONGEST]}…"


def _unwritable(path: Path, error: OSError) -> OutputError:
    return OutputError(f"{path}: results can't be written there ({error.strerror}); name another folder with --out")


def _put_in_place(results: Path, path: Path, working: Path) -> None:
    """Move the old result aside, the new one in; put the old one back if that fails."""
    old = working / "old"
    try:
        if path.exists():
            path.rename(old)
        results.rename(path)
    except BaseException:  # an interrupt too, at any point
        if old.exists() and not path.exists():
            old.rename(path)
        raise
    path.chmod(0o755)
