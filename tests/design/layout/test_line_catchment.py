"""What reaches a line drawn by hand, by hand."""

import numpy as np
import pytest
from sites import hills, plane

from swalekit import CurveNumberLoss, Grid, Terrain, catchment_of_line
from swalekit.errors import InputError
from swalekit.flow import build_flow_network

LOSS = CurveNumberLoss(80.0)
RUNOFF_M = 0.0138
"""Runoff of 50 mm on curve number 80: (50 - 12.7)² / (50 + 50.8) mm."""


def valley(bed_m: list[float], *, sides: int = 3, rise_m: float = 5.0) -> Terrain:
    """A valley to the east whose sides fall straight to its bed."""
    across = rise_m * np.abs(np.arange(-sides, sides + 1))
    grid = Grid.from_corner((2 * sides + 1, len(bed_m)), cell_m=1.0, west_m=0.0, north_m=2.0 * sides + 1.0)
    return Terrain.from_heights(np.add.outer(across, bed_m), grid)


def test_a_plane():
    """On a plane the ground straight above the line drains to it, its own cells included."""
    terrain = plane(cell_m=2.0)
    west, _, _, north = terrain.grid.bounds
    line = [(west + 41.0, north - 81.0), (west + 119.0, north - 81.0)]
    found = catchment_of_line(terrain, line, LOSS, depth_mm=50.0)
    assert found.area_m2 == found.own_area_m2 == 40 * 41 * 4.0
    assert found.runoff_m3 == pytest.approx(found.area_m2 * RUNOFF_M, rel=1e-3)
    assert found.cells[:41, 20:60].all()
    assert found.cells.sum() == 40 * 41


def test_a_v_valley():
    """A line across the bed of a valley is reached by both sides above it."""
    found = catchment_of_line(valley([9.0, 8.0, 7.0, 6.0, 5.0, 4.0]), [(3.5, 2.5), (3.5, 4.5)], LOSS, depth_mm=50.0)
    assert found.area_m2 == 7 * 4
    assert found.cells[:, :4].all()
    assert not found.cells[:, 4:].any()


@pytest.mark.parametrize(("depth_mm", "spills"), [(50.0, False), (140.0, False), (170.0, True), (900.0, True)])
def test_a_hollow_that_fills_and_spills(depth_mm, spills):
    """Ground above a hollow counts from the storm that fills it, less what the hollow keeps."""
    ground = valley([9.0, 4.0, 6.0, 5.0, 3.0, 2.0])
    found = catchment_of_line(ground, [(4.5, 0.5), (4.5, 6.5)], LOSS, depth_mm=depth_mm, noise_depth_m=0.1)
    runoff_m = float(LOSS.runoff_mm(depth_mm)) / 1000.0
    hollow_ground_m2, hollow_m3, own_m2 = 7 * 3, 2.0, 7 * 2
    spilt_m3 = hollow_ground_m2 * runoff_m - hollow_m3
    assert found.own_area_m2 == own_m2
    assert (spilt_m3 > 0) == spills
    assert found.area_m2 == own_m2 + (hollow_ground_m2 if spills else 0)
    assert found.runoff_m3 == pytest.approx(own_m2 * runoff_m + max(spilt_m3, 0.0))


def test_every_cell_walked_down():
    """Cell by cell down the flow network, past hollows that a deluge fills, the same ground comes to the line."""
    terrain = hills()
    network = build_flow_network(terrain, noise_depth_m=0.1)
    below = int(network.hollows.spill_to[0])
    for _ in range(3):
        below = int(network.receiver[below])
    x, y = (float(each) for each in terrain.grid.centres(*np.unravel_index(below, terrain.grid.shape)))
    line = [(x - 6.0, y - 0.2), (x + 6.0, y + 0.3)]
    found = catchment_of_line(terrain, line, LOSS, depth_mm=5000.0)
    stopped = {int(cell) for cell in np.flatnonzero(_cells_on(terrain, line))}
    reached = np.zeros(terrain.grid.n_cells, bool)
    for cell in range(terrain.grid.n_cells):
        at = cell
        while at not in stopped and network.receiver[at] != at:
            at = int(network.receiver[at])
        reached[cell] = at in stopped
    assert found.cells.ravel().tolist() == reached.tolist()
    assert found.area_m2 == reached.sum() * terrain.grid.cell_area_m2
    assert found.own_area_m2 < found.area_m2
    assert catchment_of_line(terrain, line, LOSS, depth_mm=0.0).runoff_m3 == 0.0


def _cells_on(terrain: Terrain, line: list[tuple[float, float]]) -> np.ndarray:
    """Cells that a line touches, by a great many points on it."""
    share = np.linspace(0.0, 1.0, 200_001)[:, None]
    points = np.array(line[0]) * (1.0 - share) + np.array(line[1]) * share
    row, column = (np.floor(each + 0.5).astype(int) for each in terrain.grid.rows_columns(*points.T))
    cells = np.zeros(terrain.grid.shape, bool)
    cells[row, column] = True
    return cells


def test_a_line_off_the_terrain_is_told():
    """A line in another CRS ends in one line with both places."""
    with pytest.raises(
        InputError, match="begins at 5 east, 5 north and lies off the terrain, which reaches from 500000"
    ):
        catchment_of_line(plane(), [(5.0, 5.0), (9.0, 5.0)], LOSS, depth_mm=50.0)
