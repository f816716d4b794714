"""The command line: commands are registered here, errors become one line here and nowhere else."""

import sys

import typer

from swalekit.cli.compare import compare
from swalekit.cli.plan import plan
from swalekit.errors import SwalekitError

app = typer.Typer(
    name="swalekit",
    help="Level ditches on contour: from a terrain tile to sized, costed lines on a map.",
    no_args_is_help=True,
    add_completion=False,
    pretty_exceptions_enable=False,
    rich_markup_mode=None,
    context_settings={"help_option_names": ["-h", "--help"]},
)
app.command()(plan)
app.command()(compare)


def run() -> None:
    """Run a command; bad input ends in one line on standard error and exit code 2."""
    try:
        app()
    except SwalekitError as error:
        sys.stderr.write(f"swalekit: {' '.join(str(error).split())}\n")
        sys.exit(2)
    except MemoryError:
        sys.stderr.write("swalekit: not enough memory; coarsen the tile with --cell or cut it to the site\n")
        sys.exit(2)
