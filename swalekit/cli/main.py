"""The command line: commands are registered here, errors become one line here and nowhere else."""

import io
import os
import signal
import sys
from collections.abc import Sequence
from itertools import pairwise
from pathlib import Path
from typing import Any, NoReturn

import typer

from swalekit._own_folder import home_takes_files, own_folder
from swalekit.cli.batch import batch
from swalekit.cli.begin import begin
from swalekit.cli.budget import budget
from swalekit.cli.bund import bund
from swalekit.cli.compare import compare
from swalekit.cli.gauge import gauge
from swalekit.cli.grow import grow
from swalekit.cli.mend import mend
from swalekit.cli.options import with_option_groups
from swalekit.cli.plan import plan
from swalekit.cli.relevel import relevel
from swalekit.cli.reliability import reliability
from swalekit.cli.report import report
from swalekit.cli.stake import stake
from swalekit.cli.storm import storm
from swalekit.cli.survey import survey
from swalekit.errors import InputError, SwalekitError

_USAGE_ERROR: Any = typer.BadParameter.__base__
"""What the parser raises for an option or argument that it can't take."""

_LONGEST = 1000
"""Letters of an error that are shown; names may be longer."""

app = typer.Typer(
    name="swalekit",
    help="Level ditches on contour: from a terrain tile to sized, costed lines on a map.",
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)
_COMMANDS = (
    *(begin, plan, mend, compare, storm, stake, relevel, survey, gauge, report, grow, bund, reliability, budget),
    batch,
)
for command in _COMMANDS:
    app.command()(with_option_groups(command))


def run() -> None:
    """Run a command; bad input ends in one line on standard error and exit code 2.

    A command told to terminate takes away what it had half written and ends with code 143. One whose output is no
    longer read ends without a word, its results written; so does one without standard output.

    Raises
    ------
    SystemExit
        With the exit code, always.
    """
    _end_in_order()
    _draw_without_home()
    words = sys.argv[1:] or ["--help"]
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(errors="replace")  # a terminal that lacks a character shows a question mark
    try:
        _check_text(words)
        sys.exit(app(words, standalone_mode=False) or 0)
    except SwalekitError as error:
        _stop(str(error))
    except _USAGE_ERROR as error:
        _stop(_usage_words(error))
    except MemoryError:
        _stop("not enough memory; coarsen the tile with --cell or cut it to the site")
    except OSError as error:
        _stop(f"reading or writing failed: {error}; check the disk and standard output")


def _end_in_order() -> None:
    signal.signal(signal.SIGTERM, lambda number, _: sys.exit(128 + number))  # as if the signal had ended it
    for closed in (name for name in ("stdout", "stderr") if getattr(sys, name) is None):
        setattr(sys, closed, Path(os.devnull).open("w", encoding="utf-8"))  # noqa: SIM115


def _draw_without_home() -> None:
    """Keep what drawing keeps between runs in a temporary folder where the user's home takes no files."""
    folder = None if home_takes_files() else own_folder()
    if folder is not None and "XDG_CONFIG_HOME" not in os.environ:
        os.environ.setdefault("MPLCONFIGDIR", str(folder / "matplotlib"))


def _usage_words(error: Any) -> str:
    """What is wrong with an option or argument, and where the help is."""
    command = "swalekit" if error.ctx is None else error.ctx.command_path
    said = str(error.format_message()).replace("Input should be", _found(error)).rstrip(".")
    return f"{said[:1].lower()}{said[1:]}; see {command} --help"


def _found(error: Any) -> str:
    """What was given for the option or argument that can't be taken, and the word that leads on to the rule."""
    names = tuple(getattr(getattr(error, "param", None), "opts", ()))
    for word, following in pairwise([*sys.argv[1:], ""]):
        if word in names:
            return f"'{following[:40]}'; it must be"
        if word.startswith(tuple(f"{name}=" for name in names)):
            return f"'{word.partition('=')[2][:40]}'; it must be"
    return "it must be"


def _check_text(words: Sequence[str]) -> None:
    """No path is empty, which would stand for the folder one is in, nor of letters that fit into no file's name."""
    for before, word in pairwise(("", *words)):
        if not word and (before == "--out" or not before.startswith("-")):
            message = "an argument is empty; name a file, a folder or a value there"
            raise InputError(message)
        try:
            word.encode()
        except UnicodeEncodeError as error:
            message = f"the argument {word!a} is not UTF-8 text; rename the file or folder"
            raise InputError(message) from error


def _stop(message: str) -> NoReturn:
    shown = "".join(letter if letter.isprintable() else ascii(letter)[1:-1] for letter in " ".join(message.split()))
    if len(shown) > _LONGEST:
        shown = f"{shown[: _LONGEST // 2]} … {shown[-_LONGEST // 2 :]}"
    sys.stderr.write(f"swalekit: {shown}\n")
    sys.exit(2)
