"""The one place where the compiler is called."""

from collections.abc import Callable
from typing import ParamSpec, TypeVar, cast

import numba

_P = ParamSpec("_P")
_R = TypeVar("_R")

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
    return cast(Callable[_P, _R], numba.njit(cache=True, **_PLAIN)(function))


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
    return cast(Callable[_P, _R], numba.njit(cache=True, parallel=True, **_PLAIN)(function))


def use_threads(count: int) -> None:
    """Let parallel kernels of this process use so many threads at most.

    Parameters
    ----------
    count : int
        Threads.
    """
    numba.set_num_threads(min(count, numba.config.NUMBA_NUM_THREADS))
