"""Soils that vary over the site: polygons that carry a loss."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._checks import check_between
from swalekit.grid import Grid
from swalekit.hydrology.losses.losses import Loss
from swalekit.terrain.within import cells_within


@dataclass(frozen=True, eq=False)
class SoilZone:
    """Ground with a loss of its own.

    Parameters
    ----------
    loss : Loss
        What the ground keeps of a storm, by any method.
    geometry : shapely polygon or multipolygon
        Where it holds.
    """

    loss: Loss
    geometry: BaseGeometry


def zone_index(grid: Grid, zones: Sequence[SoilZone]) -> NDArray[np.uint8]:
    """Which zone each cell lies in: 0 for none, 1 + k for zone k; the later of two that overlap counts.

    Parameters
    ----------
    grid : Grid
        The cells.
    zones : sequence of SoilZone
        At most 255, in the CRS of the grid.

    Returns
    -------
    ndarray of uint8, shape (rows, columns)
    """
    check_between(0, 255, number_of_zones=len(zones))
    index: NDArray[np.uint8] = grid.zeros(np.uint8)
    for number, zone in enumerate(zones, start=1):
        index[cells_within(grid, zone.geometry)] = number
    return index
