"""Many sites planned by processes on this machine."""

import signal
import tempfile
from collections.abc import Generator, Sequence
from contextlib import suppress
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess

from swalekit.design.processes import cores, interrupts_ignored
from swalekit.kernels.jit import use_threads
from swalekit.results.batch.work import Outcome, SiteWork, plan_site

_SPAWN = get_context("spawn")  # a fork would copy locks of the compiled kernels' threads
_DIED = "the process that planned the site ended before its work was done, mostly for want of memory; coarsen the tile \
with cell_m or ask for fewer workers"


def plan_in_processes(
    works: Sequence[SiteWork], workers: int | None
) -> Generator[tuple[SiteWork, Outcome], None, None]:
    """Plan sites, and give each as it is done.

    Parameters
    ----------
    works : sequence of SiteWork
        The sites.
    workers : int or None
        Processes; as many as there are cores when not given.

    Notes
    -----
    A process that dies takes only its own site with it. When the iterator is closed, work under way is dropped at once.
    """
    count = min(workers or cores(), len(works))
    waiting, idle = list(reversed(works)), list[Connection]()
    at_work: dict[Connection, SiteWork] = {}
    with tempfile.TemporaryDirectory(prefix="swalekit-") as scratch:
        started: list[SpawnProcess] = []
        try:
            while waiting or at_work:
                while waiting and len(at_work) < count:
                    pipe = idle.pop() if idle else _start(started, scratch, threads=max(cores() // count, 1))
                    at_work[pipe] = waiting.pop()
                    with suppress(OSError):  # one that died is met below
                        pipe.send(at_work[pipe])
                ready = wait(list(at_work))
                for pipe in [each for each in at_work if each in ready]:
                    work = at_work.pop(pipe)
                    try:
                        outcome = pipe.recv()
                        idle.append(pipe)
                    except (EOFError, OSError):
                        outcome = _DIED
                    yield work, outcome
        finally:
            for process in started:
                process.kill()
                process.join()


def _start(started: list[SpawnProcess], scratch: str, *, threads: int) -> Connection:
    """Start a process, and give this end of the pipe to it."""
    ours, theirs = _SPAWN.Pipe()
    process = _SPAWN.Process(target=_serve, args=(theirs, scratch, threads), daemon=True)
    with interrupts_ignored():  # from its first moment on
        process.start()
    started.append(process)
    theirs.close()
    return ours


def _serve(pipe: Connection, scratch: str, threads: int) -> None:
    """Plan the sites that come by the pipe until it is closed; an interrupt is left to the process that asks."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    use_threads(threads)
    with suppress(EOFError, OSError):
        while True:
            pipe.send(plan_site(pipe.recv(), scratch))
