"""Tracing all levels of the yardstick tile against one pass a level of contourpy and scikit-image, in the same run.

Run by hand: ``python tests/benchmarks/bench_contours.py [--size 4096] [--levels 128]``.
"""

import argparse
import time
import tracemalloc
from collections.abc import Callable

import numpy as np
from contourpy import contour_generator
from numpy.typing import NDArray
from skimage.measure import find_contours
from yardstick import CELL_M, yardstick_heights

from swalekit.contours.trace import trace_levels
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

REPEATS = 3
SKIMAGE_SHARE = 8
"""Scikit-image traces every eighth level and its time is multiplied."""


def main() -> None:
    """Print seconds, ratios and peak memory."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", type=int, default=4096)
    parser.add_argument("--levels", type=int, default=128)
    chosen = parser.parse_args()
    heights = yardstick_heights(chosen.size)
    terrain, levels = _terrain(heights), _levels(heights, chosen.levels)
    _warm_up()
    ours = _best(lambda: trace_levels(terrain, levels), REPEATS)
    reference = contour_generator(z=heights, name="serial")
    contourpy = _best(lambda: [reference.lines(level) for level in levels], 1)
    skimage = SKIMAGE_SHARE * _best(lambda: [find_contours(heights, level) for level in levels[::SKIMAGE_SHARE]], 1)
    traces = trace_levels(terrain, levels)
    nodes = sum(len(trace.xy) for trace in traces)
    print(f"{heights.size / 1e6:.1f} million cells, {chosen.levels} levels, {len(traces)} traces, {nodes} vertices")
    print(f"trace_levels        {ours:8.3f} s")
    print(f"contourpy, serial   {contourpy:8.3f} s   {contourpy / ours:6.1f} times ours")
    print(f"scikit-image        {skimage:8.3f} s   {skimage / ours:6.1f} times ours (from 1 in {SKIMAGE_SHARE} levels)")
    print(f"peak memory         {_peak_bytes(terrain, levels) / heights.size:8.2f} bytes a cell beyond the terrain")
    _print_growth(chosen.size, chosen.levels)


def _print_growth(size: int, count: int) -> None:
    """Cost from a sixteenth of the cells upward."""
    for part in (size // 4, size // 2, size):
        heights = yardstick_heights(part)
        terrain, levels = _terrain(heights), _levels(heights, count)
        seconds = _best(lambda terrain=terrain, levels=levels: trace_levels(terrain, levels), REPEATS)
        print(f"{heights.size / 1e6:8.1f} million cells {seconds:8.3f} s {1e9 * seconds / heights.size:8.2f} ns a cell")


def _best(work: Callable[[], object], repeats: int) -> float:
    """Least time of some runs [s]."""
    seconds = []
    for _ in range(repeats):
        start = time.perf_counter()
        work()
        seconds.append(time.perf_counter() - start)
    return min(seconds)


def _terrain(heights: NDArray[np.float32]) -> Terrain:
    return Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=CELL_M))


def _levels(heights: NDArray[np.float32], count: int) -> NDArray[np.float64]:
    return np.linspace(heights.min(), heights.max(), count + 2)[1:-1]


def _warm_up() -> None:
    trace_levels(_terrain(np.eye(8, dtype=np.float32)), [0.5])


def _peak_bytes(terrain: Terrain, levels: NDArray[np.float64]) -> float:
    """Greatest memory of all arrays made while tracing, but for a few rows inside the kernels [bytes]."""
    tracemalloc.start()
    trace_levels(terrain, levels)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    return peak


if __name__ == "__main__":
    main()
