"""What a plan costs: stages, memory a cell, and a further option against the first.

Run by hand: ``python tests/benchmarks/bench_plan.py [--size 4096] [--interval 4]``. The plan runs in a process of its
own, from reading the tile to writing the last result. Its peak memory is counted above that of a plan of a small tile
made before in the same process: interpreter, libraries, compiled kernels and the sheet's drawing are taken off.
"""

import argparse
import itertools
import json
import subprocess
import sys
import tempfile
import time
from pathlib import Path

from yardstick import yardstick_heights

from swalekit.design.layout.ground import study_ground
from swalekit.design.plan.pipeline import lay_out, plan, size_layout
from swalekit.formats.inputs.site import site_from_values, terrain_of
from swalekit.formats.terrain.cog import write_terrain
from swalekit.grid import Grid
from swalekit.results.plan.write import write_plan

BRIEF = {
    "storm": {"depth_mm": 60.0},
    "soil": {"curve_number": 81.0},
    "lines": {"greatest_slope": 0.4, "watercourse_area_m2": 20_000.0},
}


def peak_bytes() -> int:
    """Peak resident memory of this process since `forget_peak`."""
    status = Path("/proc/self/status").read_text(encoding="ascii")
    return 1024 * int(status.split("VmHWM:")[1].split()[0])


def forget_peak() -> None:
    """Let the peak begin anew from what is held now (Linux)."""
    Path("/proc/self/clear_refs").write_text("5", encoding="ascii")


def write_yardstick(size: int, path: Path) -> None:
    """Write a yardstick tile of a side's cells of half a metre."""
    heights = yardstick_heights(size)
    write_terrain(path, heights, Grid.from_corner(heights.shape, cell_m=0.5))


def work(folder: Path, interval_m: float) -> dict[str, float]:
    """Plan a tile, write the results, and size a layout with another interval on the same ground."""

    def site_on(tile: str, interval_m: float) -> object:
        return site_from_values(BRIEF | {"terrain": {"file": str(folder / tile)}, "levels": {"interval_m": interval_m}})

    small = site_on("small.tif", 4.0)
    write_plan(plan(small, terrain_of(small)), folder / "small")
    before = peak_bytes()
    forget_peak()
    clock = [time.perf_counter()]
    site = site_on("tile.tif", interval_m)
    terrain = terrain_of(site)
    ground = study_ground(site, terrain)
    clock.append(time.perf_counter())
    design = lay_out(site, ground)
    clock.append(time.perf_counter())
    planned = peak_bytes()
    write_plan(design, folder / "plan")
    clock.append(time.perf_counter())
    written = peak_bytes()
    n_swales = len(design.swales)
    del design
    clock.append(time.perf_counter())
    other = size_layout(site.with_values({"levels": {"interval_m": 1.25 * interval_m}}), ground)
    clock.append(time.perf_counter())
    read, laid, out, _, further = (after - since for since, after in itertools.pairwise(clock))
    return {
        "read_and_study_s": read,
        "lay_out_s": laid,
        "write_s": out,
        "further_option_s": further,
        "further_of_first": further / (read + laid + out),
        "swales": n_swales,
        "swales_further": len(other.swales),
        "plan_bytes_a_cell": (planned - before) / terrain.grid.n_cells,
        "command_bytes_a_cell": (written - before) / terrain.grid.n_cells,
    }


def main() -> None:
    """Print one line a size."""
    parser = argparse.ArgumentParser()
    parser.add_argument("--size", type=int, nargs="+", default=[1024, 2048, 4096])
    parser.add_argument("--interval", type=float, default=4.0)
    parser.add_argument("--work", type=Path)
    asked = parser.parse_args()
    if asked.work:
        print(json.dumps(work(asked.work, asked.interval)))
        return
    for size in asked.size:
        with tempfile.TemporaryDirectory() as folder:
            write_yardstick(size, Path(folder) / "tile.tif")
            write_yardstick(256, Path(folder) / "small.tif")
            words = [sys.executable, __file__, "--work", folder, "--interval", str(asked.interval)]
            figures = json.loads(subprocess.run(words, capture_output=True, text=True, check=True).stdout)
        print(f"{size} x {size}: " + ", ".join(f"{name} {value:.3g}" for name, value in figures.items()))


if __name__ == "__main__":
    main()
