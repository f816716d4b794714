"""Work shared among processes of this machine."""

import os
import signal
from collections.abc import Callable, Iterable, Iterator
from concurrent.futures import ProcessPoolExecutor
from concurrent.futures.process import BrokenProcessPool
from contextlib import contextmanager
from multiprocessing import get_context
from threading import current_thread, main_thread
from typing import Any, TypeVar

from swalekit.errors import InputError

Item = TypeVar("Item")
Result = TypeVar("Result")


_ALGEBRA_THREADS = ("OPENBLAS_NUM_THREADS", "MKL_NUM_THREADS", "VECLIB_MAXIMUM_THREADS")


def cores() -> int:
    """Cores that this process may use."""
    return len(os.sched_getaffinity(0)) if hasattr(os, "sched_getaffinity") else os.cpu_count() or 1


@contextmanager
def process_pool(
    workers: int, *, initializer: Callable[..., None] | None = None, initargs: tuple[Any, ...] = ()
) -> Iterator[ProcessPoolExecutor]:
    """Start processes, and end them: work under way is waited for, work that waits is dropped.

    Parameters
    ----------
    workers : int
        How many.
    initializer, initargs : callable, tuple
        Called once in each process, and with what.
    """
    executor = ProcessPoolExecutor(
        workers,
        mp_context=get_context("spawn"),  # a fork would copy locks of the compiled kernels' threads
        initializer=initializer,
        initargs=initargs,
    )
    try:
        yield executor
    finally:
        executor.shutdown(wait=True, cancel_futures=True)


def results_in_order(
    executor: ProcessPoolExecutor, work: Callable[[Item], Result], items: Iterable[Item], *, at_once: int = 1
) -> Iterator[Result]:
    """Give what the work makes of each item, in the order of the items, as it is done.

    Parameters
    ----------
    executor : ProcessPoolExecutor
        From `process_pool`.
    work : callable
        A function of a module, and values that can be pickled.
    items : iterable
        What it is called with.
    at_once : int
        Items sent to a process together.

    Raises
    ------
    InputError
        If a process dies.

    Notes
    -----
    An interrupt is left to this process: those that start here ignore it. Their linear algebra runs on one thread each,
    or the threads of all would stand in each other's way.
    """
    try:
        with interrupts_ignored(), _one_thread_each():
            results = executor.map(work, items, chunksize=at_once)
        yield from results
    except BrokenProcessPool as error:
        message = "a worker process ended before its work was done, mostly for want of memory; ask for fewer --workers"
        raise InputError(message) from error


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
def interrupts_ignored() -> Iterator[None]:
    """Processes started meanwhile ignore interrupts, which are left to this one; nothing where signals can't be set."""
    if current_thread() is not main_thread():
        yield
        return
    before = signal.signal(signal.SIGINT, signal.SIG_IGN)
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)
