"""The ground and the runoff that reach a line drawn anywhere on a terrain."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.contours.barrier import cells_on_path, inside_grid
from swalekit.contours.polyline import Polyline, checked_path
from swalekit.design.layout.ground import pour_past
from swalekit.errors import InputError
from swalekit.flow.catchments import relabelled
from swalekit.flow.network import build_flow_network
from swalekit.frozen import Frozen
from swalekit.grid import Grid
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import caught_by
from swalekit.terrain.terrain import Terrain


@one_line("area_m2", "own_area_m2", "runoff_m3")
@dataclass(frozen=True, eq=False)
class LineCatchment(Frozen):
    """What reaches a line in a storm.

    Parameters
    ----------
    cells : ndarray of bool, shape (rows, columns)
        Ground whose water reaches the line, by way of hollows that the storm fills too; the line's own cells included.
    area_m2 : float
        Area of it [m²].
    own_area_m2 : float
        Part of it whose water meets no hollow on the way [m²].
    runoff_m3 : float
        Water that reaches the line [m³]: what full hollows keep is taken off.
    """

    cells: NDArray[np.bool_]
    area_m2: float
    own_area_m2: float
    runoff_m3: float


def catchment_of_line(
    terrain: Terrain, line_xy: ArrayLike, loss: Loss, *, depth_mm: float, noise_depth_m: float | None = None
) -> LineCatchment:
    """Find the ground that drains to a line drawn by hand, and the runoff that a storm sends to it.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    line_xy : array_like, shape (n, 2)
        Easting and northing of the line's vertices, in the terrain's CRS [m]; it need not be level.
    loss : Loss
        What the ground keeps of a storm, such as `CurveNumberLoss`.
    depth_mm : float
        Depth of the storm [mm].
    noise_depth_m : float, optional
        Hollows shallower than this are taken for noise [m]; twice the standard error of the terrain's heights if not
        given.

    Returns
    -------
    LineCatchment
        Cells, areas [m²] and runoff [m³].

    Raises
    ------
    InputError
        If the line has fewer than two vertices or lies off the terrain, or a depth is negative.

    Notes
    -----
    The line stops all water that comes to it, from both sides. Runoff of the ground is what the loss leaves of the
    rain; what meets a hollow first stays there until the hollow is full, and the rest goes on over its spill point.
    Water that other swales would keep is not taken off, nor is all of the rain on a ditch added.

    Examples
    --------
    A line 20 m long, 30 m below the top of a plane that falls southward:

    >>> heights = np.repeat(np.arange(40.0, 0.0, -1.0)[:, np.newaxis] / 10.0, 50, axis=1)
    >>> grid = Grid.from_corner((40, 50), cell_m=1.0, west_m=0.0, north_m=40.0)
    >>> terrain = Terrain.from_heights(heights, grid)
    >>> from swalekit.hydrology import CurveNumberLoss
    >>> catchment_of_line(terrain, [(10.5, 10.5), (29.5, 10.5)], CurveNumberLoss(80.0), depth_mm=50.0)
    LineCatchment(area 600 m², own area 600 m², runoff 8.28 m³)
    """
    sigma_m = terrain.vertical_sigma_m
    network = build_flow_network(terrain, noise_depth_m=2.0 * sigma_m if noise_depth_m is None else noise_depth_m)
    stops = _cells_of_line(terrain.grid, checked_path(line_xy))
    labels, stores, cascade = pour_past(network, stops, (0,), depth_mm=depth_mm, soil=Soil((loss,)))
    catching = caught_by(stores, cascade, 1)
    area_m2 = stores.area_m2[:, 0]
    return LineCatchment(
        cells=relabelled(terrain.grid, labels, catching) == 1,
        area_m2=float(area_m2 @ catching),
        own_area_m2=float(area_m2[0]),
        runoff_m3=float(cascade.received_m3[0]),
    )


def _cells_of_line(grid: Grid, path: Polyline) -> NDArray[np.int32]:
    """1 at the cells that a line passes through, joined by their sides; 0 elsewhere."""
    row, column, _ = cells_on_path(grid, path)
    inside = inside_grid(grid, row, column)
    if not inside.any():
        west, south, east, north = grid.bounds
        message = (
            f"the line begins at {path[0, 0]:.0f} east, {path[0, 1]:.0f} north and lies off the terrain, which "
            f"reaches from {west:.0f} to {east:.0f} east and {south:.0f} to {north:.0f} north; check its CRS"
        )
        raise InputError(message)
    stops: NDArray[np.int32] = grid.zeros(np.int32)
    stops[row[inside], column[inside]] = 1
    return stops
