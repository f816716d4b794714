"""Work shared among processes of this machine."""

import os
import signal
import traceback
from collections.abc import Callable, Generator, Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from itertools import islice
from multiprocessing import get_context
from multiprocessing.connection import Connection, wait
from multiprocessing.context import SpawnProcess
from threading import current_thread, main_thread
from typing import Any, Generic, Self, TypeVar

from swalekit.errors import InputError
from swalekit.kernels.jit import use_threads

Item = TypeVar("Item")
Result = TypeVar("Result")

_SPAWN = get_context("spawn")  # a fork would copy locks of the compiled kernels' threads
_ALGEBRA_THREADS = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")
_DIED = (
    "a worker process ended before its work was done, mostly for want of memory; ask for fewer --workers, or coarsen "
    "the tile with cell_m"
)


def cores() -> int:
    """Cores that this process may use.

    Returns
    -------
    int
        How many, at least one.

    Examples
    --------
    >>> cores() >= 1
    True
    """
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


class ProcessPool(Generic[Item, Result]):
    """Processes that do the same work on one item after another, each at the other end of a pipe of its own.

    A process that dies takes only its own item with it, and another one takes its place. When the block ends, or a run
    of items is given up, work under way is dropped at once.

    Parameters
    ----------
    work : callable
        A function of a module, or what else can be pickled; it goes to each process once.
    workers : int
        Processes at most; they are started when there is work for them.

    Notes
    -----
    An interrupt is left to this process: those that start here ignore it. They share the cores: compiled kernels run on
    a part of them each, linear algebra on one thread, or the threads of all would stand in each other's way.
    """

    def __init__(self, work: Callable[[Item], Result], workers: int) -> None:
        self._work, self._workers = work, workers
        self._processes: dict[Connection, SpawnProcess] = {}
        self._idle: list[Connection] = []

    def __enter__(self) -> Self:
        return self

    def __exit__(self, *_: object) -> None:
        self._end(list(self._processes))

    def in_order(self, items: Iterable[Item]) -> Iterator[Result]:
        """Give what the work makes of each item, in the order of the items, as it is done.

        Parameters
        ----------
        items : iterable
            What is worked on.

        Yields
        ------
        object
            What the work made of an item.

        Raises
        ------
        InputError
            If a process dies. What the work itself raises is raised here.

        Examples
        --------
        >>> with ProcessPool(abs, 1) as pool:
        ...     list(pool.in_order([-1, 2, -3]))
        [1, 2, 3]
        """
        done: dict[int, Result] = {}
        given = 0
        with closing(self.outcomes(items)) as outcomes:
            for number, outcome in outcomes:
                if isinstance(outcome, Exception):
                    raise outcome
                done[number] = outcome
                while given in done:
                    yield done.pop(given)
                    given += 1

    def outcomes(self, items: Iterable[Item]) -> Generator[tuple[int, Result | Exception], None, None]:
        """Give the number of an item, from 0, and what became of it, as it is done.

        Parameters
        ----------
        items : iterable
            What is worked on.

        Yields
        ------
        int
            Number.
        object or Exception
            What the work made of it, or raised; an `InputError` where the process died.

        Examples
        --------
        >>> with ProcessPool(abs, 1) as pool:
        ...     list(pool.outcomes([-1, 2]))
        [(0, 1), (1, 2)]
        """
        waiting, at_work = enumerate(items), dict[Connection, int]()
        try:
            while True:
                given_out = list(islice(waiting, self._workers - len(at_work)))
                self._wake(len(given_out))
                for number, item in given_out:
                    pipe = self._idle.pop()
                    at_work[pipe] = number
                    with suppress(OSError):  # one that died is met below
                        pipe.send(item)
                if not at_work:
                    return
                ready = wait(list(at_work))
                for pipe in [pipe for pipe in at_work if pipe in ready]:
                    yield at_work.pop(pipe), self._received(pipe)
        finally:
            self._end(at_work)

    def _received(self, pipe: Connection) -> Result | Exception:
        try:
            outcome: Result | Exception = pipe.recv()
        except (EOFError, OSError):
            self._end([pipe])
            return InputError(_DIED)
        self._idle.append(pipe)
        return outcome

    def _wake(self, count: int) -> None:
        """Start processes until so many are idle; then send their work, which waits until they have begun."""
        started = [self._start() for _ in range(count - len(self._idle))]
        for pipe in started:
            with suppress(OSError):
                pipe.send(self._work)  # not with the start, which is deaf to interrupts
        self._idle += started

    def _start(self) -> Connection:
        """Start a process, and give this end of the pipe to it."""
        ours, theirs = _SPAWN.Pipe()
        threads = max(cores() // self._workers, 1)
        process = _SPAWN.Process(target=_serve, args=(theirs, threads), daemon=True)
        with _interrupts_ignored(), _one_thread_each():  # from its first moment on
            process.start()
        theirs.close()
        self._processes[ours] = process
        return ours

    def _end(self, pipes: Iterable[Connection]) -> None:
        for pipe in pipes:
            if (process := self._processes.pop(pipe, None)) is not None:
                process.kill()
                process.join()
                pipe.close()


def _serve(pipe: Connection, threads: int) -> None:
    """Take the work, then items to work on, until the pipe is closed; an interrupt is left to the process that asks."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    use_threads(threads)
    with suppress(EOFError, OSError):
        work: Callable[[Any], Any] = pipe.recv()
        while True:
            item = pipe.recv()
            try:
                outcome = work(item)
            except Exception as error:  # raised again where the item came from
                error.add_note(traceback.format_exc())
                outcome = error
            pipe.send(outcome)


@contextmanager
def _one_thread_each() -> Iterator[None]:
    """Processes started meanwhile find in their environment that linear algebra gets one thread."""
    before = {name: os.environ.get(name) for name in _ALGEBRA_THREADS}
    os.environ.update(dict.fromkeys(_ALGEBRA_THREADS, "1"))
    try:
        yield
    finally:
        for name, value in before.items():
            if value is None:
                del os.environ[name]
            else:
                os.environ[name] = value


@contextmanager
def _interrupts_ignored() -> Iterator[None]:
    """Processes started meanwhile ignore interrupts, which are left to this one; nothing where signals can't be set."""
    if current_thread() is not main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
