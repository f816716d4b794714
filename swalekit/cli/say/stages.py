"""Stages of long work with their times, on standard error."""

import re
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from time import perf_counter

from rich.console import Console

COMPILING = "compiling once for this machine"
_DIGITS = re.compile(r"\d+")


@contextmanager
def progress() -> Iterator[Callable[[str], None]]:
    """Show the stage of long work on a terminal, and the time of each that is done; say nothing in a pipe.

    Yields
    ------
    callable
        Told the name of each stage that begins.

    Examples
    --------
    >>> with progress() as stage:
    ...     stage("draw 1 of 200")
    """
    console = Console(stderr=True, highlight=False, markup=False)
    if not console.is_terminal:
        yield lambda _: None
        return
    from swalekit.kernels.jit import told_of_compiling

    with console.status("starting") as status:
        times = _StageTimes(console)

        def told(stage: str) -> None:
            times.begin(stage)
            status.update(stage)

        def compiling(begins: bool) -> None:
            status.update(f"{times.stage}: {COMPILING}" if begins else times.stage)

        with told_of_compiling(compiling):
            yield told
        times.end()


class _StageTimes:
    """Prints the time that a stage took when the next one begins; one that counts up is one stage."""

    def __init__(self, console: Console) -> None:
        self.console = console
        self.stage, self.since_s = "", perf_counter()

    def begin(self, stage: str) -> None:
        if _DIGITS.sub("", stage) != _DIGITS.sub("", self.stage):
            self.end()
            self.since_s = perf_counter()
        self.stage = stage

    def end(self) -> None:
        if self.stage:
            self.console.print(f"{perf_counter() - self.since_s:6.1f} s  {self.stage}", style="dim")
