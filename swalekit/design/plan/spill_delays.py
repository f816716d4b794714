"""How long spilled water is under way to the store below."""

import numpy as np
from numpy.typing import NDArray

from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.flow.catchments import trace_path
from swalekit.hydrology.routing.travel_time import overland_travel_h
from swalekit.terrain.sample import sample_heights

_MINUTES_PER_HOUR = 60.0


def spill_delays_min(ground: Ground, layout: Layout, surface: str) -> NDArray[np.float64]:
    """Travel time of each store's spill to the store below or off the tile, by the velocity method.

    Parameters
    ----------
    ground, layout : Ground, Layout
        The ground and the lines on it.
    surface : str
        What the water runs over, a row of ``overland_velocity``.

    Returns
    -------
    ndarray of float64, shape (n,)
        Lines from their sill, then hollows from their spill point, each at the mean slope of its way [min].

    Notes
    -----
    A way that ends where the ground is unknown, or no lower than it began, is given the least slope.
    """
    ways = [*(path.xy for path in layout.spill_paths), *_ways_from_hollows(ground, layout)]
    length_m = np.array([np.hypot(*np.diff(way, axis=0).T).sum() for way in ways])
    ends = np.array([way[[0, -1]] for way in ways]).reshape(-1, 2)
    heights = sample_heights(ground.terrain, ends[:, 0], ends[:, 1]).reshape(-1, 2)
    fall_m = np.nan_to_num(heights[:, 0] - heights[:, 1]).clip(min=0.0)
    return _MINUTES_PER_HOUR * overland_travel_h(length_m, fall_m, surface)


def _ways_from_hollows(ground: Ground, layout: Layout) -> list[NDArray[np.float64]]:
    """Cell centres from the spill point of each hollow downhill to the next store or off the tile [m]."""
    grid, hollows, ways = ground.terrain.grid, ground.network.hollows, []
    for spill, below in zip(hollows.spill, hollows.spill_to, strict=True):
        cells, _ = trace_path(ground.network, int(below), layout.drainage.stops)
        ways.append(np.column_stack(grid.centres(*np.unravel_index([spill, *cells], grid.shape))))
    return ways
