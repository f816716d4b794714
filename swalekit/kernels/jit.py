"""The one place where the compiler is called."""

from collections.abc import Callable
from typing import ParamSpec, TypeVar, cast

import numba

_P = ParamSpec("_P")
_R = TypeVar("_R")


def kernel(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """Compile a function of floats and arrays; the compiled code is cached on disk."""
    return cast(Callable[_P, _R], numba.njit(cache=True)(function))


def parallel_kernel(function: Callable[_P, _R]) -> Callable[_P, _R]:
    """Compile a function whose ``prange`` loops write each element once: one result for any number of threads."""
    return cast(Callable[_P, _R], numba.njit(cache=True, parallel=True)(function))


def use_threads(count: int) -> None:
    """Let parallel kernels of this process use so many threads at most."""
    numba.set_num_threads(min(count, numba.config.NUMBA_NUM_THREADS))
