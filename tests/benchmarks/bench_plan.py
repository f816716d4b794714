"""What a plan costs: stages, memory a cell, and a further option against the first.

Run by hand: ``python tests/benchmarks/bench_plan.py [--size 4096]``. The plan runs in a process of its own, so that its
peak memory is its own; the interpreter's with every library loaded is taken off.
"""

import argparse
import json
import resource
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import numpy as np
from yardstick import yardstick_heights

from swalekit.design.ground import study_ground
from swalekit.design.pipeline import lay_out, plan, size_layout
from swalekit.design.site import Site
from swalekit.formats.brief import check_brief
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

BRIEF = {
    "terrain": {"file": "yardstick.tif"},
    "storm": {"depth_mm": 60.0},
    "soil": {"curve_number": 81.0},
    "levels": {"interval_m": 4.0},
    "lines": {"greatest_slope": 0.4, "watercourse_area_m2": 20_000.0},
}


def peak_bytes() -> int:
    """Peak resident memory of this process."""
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss * 1024


def work(tile: str) -> dict[str, float]:
    """Plan a tile once, and then with another interval on the same ground."""
    site = Site(check_brief(BRIEF))
    small = Terrain.from_heights(yardstick_heights(256), Grid.from_corner((256, 256), cell_m=0.5))
    plan(site, small)  # compiled once
    before = peak_bytes()
    heights = np.load(tile)
    terrain = Terrain(Grid.from_corner(heights.shape, cell_m=0.5), heights, np.isfinite(heights))
    start = time.perf_counter()
    ground = study_ground(site, terrain)
    studied = time.perf_counter()
    design = lay_out(site, ground)
    laid = time.perf_counter()
    peak = peak_bytes()
    other = size_layout(site.with_levels(interval_m=5.0), ground)
    return {
        "study_ground_s": studied - start,
        "lay_out_s": laid - studied,
        "further_option_s": time.perf_counter() - laid,
        "swales": len(design.swales),
        "swales_further": len(other.swales),
        "bytes_a_cell": (peak - before) / heights.size,
    }


def main() -> None:
    """Print one line a size."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--size", type=int, nargs="+", default=[1024, 2048, 4096])
    parser.add_argument("--work")
    asked = parser.parse_args()
    if asked.work:
        print(json.dumps(work(asked.work)))
        return
    for size in asked.size:
        with tempfile.TemporaryDirectory() as folder:
            tile = str(Path(folder) / "tile.npy")
            np.save(tile, yardstick_heights(size))
            words = [sys.executable, __file__, "--work", tile]
            figures = json.loads(subprocess.run(words, capture_output=True, text=True, check=True).stdout)
        print(f"{size} x {size}: " + ", ".join(f"{name} {value:.3g}" for name, value in figures.items()))


if __name__ == "__main__":
    main()
