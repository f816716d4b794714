"""The one place where the compiler is called."""

import os
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import Any, ParamSpec, TypeVar, cast

import numba
import numpy as np
from numba.core import event

from swalekit._own_folder import own_folder

_P = ParamSpec("_P")
_R = TypeVar("_R")

int64 = cast(type[int], np.int64)
"""Whole number of one width: an index is one type wherever it comes from, and what it goes into is compiled once."""

_PLAIN = {"error_model": "numpy", "no_cfunc_wrapper": True}
"""No test before a division and no way in from C: neither is needed, and both must be compiled."""


def kernel(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """Compile a function of floats and arrays; the compiled code is cached on disk.

    Parameters
    ----------
    function : callable
        Function of a module here, called from Python.

    Returns
    -------
    callable
        What compiles it when it is first called.
    """
    return _kept(function)


def part_of_kernel(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """Compile a function that kernels alone call, as a part of them: without a file and a way in of its own.

    Parameters
    ----------
    function : callable
        Function of a module here, called from kernels only.

    Returns
    -------
    callable
        What compiles it along with the kernel that calls it.
    """
    return cast(Callable[_P, _R], numba.njit(no_cpython_wrapper=True, **_PLAIN)(function))


def parallel_kernel(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """Compile a function whose ``prange`` loops write each element once: one result for any number of threads.

    A parallel loop takes long to compile: its body is best a `part_of_kernel`.

    Parameters
    ----------
    function : callable
        Function of a module here, called from Python.

    Returns
    -------
    callable
        What compiles it when it is first called.
    """
    return _kept(function, parallel=True)


def _kept(function: Callable[_P, _R], **options: bool) -> Callable[_P, _R]:
    """Compile a function and keep it: beside the package, in the user's home, else in a temporary folder or nowhere."""
    try:
        return cast(Callable[_P, _R], numba.njit(cache=True, **_PLAIN, **options)(function))
    except RuntimeError:  # no folder takes files
        _keep_elsewhere()
    try:
        return cast(Callable[_P, _R], numba.njit(cache=True, **_PLAIN, **options)(function))
    except RuntimeError:
        return cast(Callable[_P, _R], numba.njit(**_PLAIN, **options)(function))


def _keep_elsewhere() -> None:
    folder = own_folder()
    if folder is not None:
        numba.config.CACHE_DIR = str(folder / "numba")


if not numba.config.CACHE_DIR and not os.path.isabs(os.path.expanduser("~")):  # noqa: PTH111, PTH117
    _keep_elsewhere()  # else a folder "~" would be made where one is


class _Compiling(event.Listener):  # type: ignore[misc]
    """Tells when compiling begins and ends; one function compiled for the sake of another is the same work."""

    def __init__(self, told: Callable[[bool], None]) -> None:
        self.told, self.depth = told, 0

    def on_start(self, _: Any) -> None:
        self.depth += 1
        if self.depth == 1:
            self.told(True)

    def on_end(self, _: Any) -> None:
        self.depth -= 1
        if self.depth == 0:
            self.told(False)


@contextmanager
def told_of_compiling(told: Callable[[bool], None]) -> Iterator[None]:
    """Say while something is compiled that is not on disk yet.

    Parameters
    ----------
    told : callable
        Called with True when compiling begins, with False when it ends.

    Returns
    -------
    iterator
        A context; what is compiled within it is told of.
    """
    listener = _Compiling(told)
    event.register("numba:compile", listener)
    try:
        yield
    finally:
        event.unregister("numba:compile", listener)


def use_threads(count: int) -> None:
    """Let parallel kernels of this process use so many threads at most.

    Parameters
    ----------
    count : int
        Threads.
    """
    numba.set_num_threads(min(count, numba.config.NUMBA_NUM_THREADS))
