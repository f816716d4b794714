"""Flow network and accumulation against pyflwdir, growth with the number of cells, and peak memory.

Run by hand: ``python tests/benchmarks/bench_flow.py [--size 4096] [--large]``.
"""

import argparse
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np
import pyflwdir
from numpy.typing import NDArray
from yardstick import CELL_M, yardstick_heights

from swalekit.flow.accumulation import accumulate
from swalekit.flow.network import FlowNetwork, build_flow_network
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

NOISE_DEPTH_M = 0.1


def terrain_of(heights: NDArray[np.float32]) -> Terrain:
    """Terrain that shares the array."""
    return Terrain(Grid.from_corner(heights.shape, cell_m=CELL_M), heights, np.isfinite(heights))


def ours(terrain: Terrain) -> FlowNetwork:
    """Fill, receivers, order and accumulation."""
    network = build_flow_network(terrain, noise_depth_m=NOISE_DEPTH_M)
    accumulate(network)
    return network


def theirs(heights: NDArray[np.float32]) -> None:
    """Fill, receivers, order and accumulation with pyflwdir."""
    _, directions = pyflwdir.dem.fill_depressions(heights)
    network = pyflwdir.from_array(directions, ftype="d8", check_ftype=False)
    network.upstream_area()


def best_seconds(function: Callable[[], object], runs: int) -> float:
    """Shortest wall time of a few runs [s]."""
    seconds = []
    for _ in range(runs):
        start = time.perf_counter()
        function()
        seconds.append(time.perf_counter() - start)
    return min(seconds)


def resident_bytes(entry: str) -> int:
    """Entry of this process's status on Linux: ``VmRSS`` now, ``VmHWM`` at its peak."""
    lines = Path("/proc/self/status").read_text(encoding="ascii").splitlines()
    return next(int(line.split()[1]) * 1024 for line in lines if line.startswith(entry))


def print_peak_memory(path: Path) -> None:
    """Peak memory a cell of one run above what the interpreter held before it read the heights."""
    ours(terrain_of(yardstick_heights(64)))
    before = resident_bytes("VmRSS")
    heights = np.load(path)
    ours(terrain_of(heights))
    bytes_a_cell = (resident_bytes("VmHWM") - before) / heights.size
    print(f"peak memory, heights included: {bytes_a_cell:.1f} bytes a cell at {heights.size / 1e6:.1f} million cells")


def main() -> None:
    """Print all three comparisons."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--size", type=int, default=4096, help="rows and columns of the yardstick tile")
    parser.add_argument("--large", action="store_true", help="measure growth up to 64 million cells")
    parser.add_argument("--memory-of", type=Path, help=argparse.SUPPRESS)
    arguments = parser.parse_args()
    if arguments.memory_of:
        print_peak_memory(arguments.memory_of)
        return
    small = yardstick_heights(64)
    ours(terrain_of(small))
    theirs(small)

    heights = yardstick_heights(arguments.size)
    terrain = terrain_of(heights)
    hollows = ours(terrain).hollows
    print(f"{heights.size / 1e6:.1f} million cells, relief {terrain.relief_m:.0f} m, {hollows.pit.size} hollows kept")
    own, other = best_seconds(lambda: ours(terrain), 5), best_seconds(lambda: theirs(heights), 2)
    print(f"swalekit {own:.2f} s, pyflwdir {other:.2f} s, ratio {other / own:.1f}")
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "heights.npy"
        np.save(path, heights)
        subprocess.run([sys.executable, __file__, "--memory-of", str(path)], check=True)
    for size in (1024, 2048, 4096, 8192)[: 4 if arguments.large else 3]:
        tile = terrain_of(yardstick_heights(size))
        seconds = best_seconds(lambda tile=tile: ours(tile), 3)
        print(f"{size**2 / 1e6:5.1f} million cells: {seconds:6.3f} s, {1e9 * seconds / size**2:.0f} ns a cell")


if __name__ == "__main__":
    main()
