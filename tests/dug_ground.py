"""Ground of one row with the ditches of swales in it, worked by hand."""

from dataclasses import replace

import numpy as np
from flow_twins import make_terrain

from swalekit.earthwork.built_ground import build_ground
from swalekit.kernels.earthwork_surface import DITCH


def dug_channel(row, ditches):
    """Ground of one row between walls, the sea at both ends, with a swale's ditch at given places of the row."""
    row = np.array([-9.0, *row, -9.0])
    built = build_ground(make_terrain([np.full(row.size, 99.0), row, np.full(row.size, 99.0)]), [], [])
    part, swale = np.zeros(built.heights.size, np.uint8), np.zeros(built.heights.size, np.int32)
    for place, number in ditches.items():
        part[row.size + 1 + place], swale[row.size + 1 + place] = DITCH, number
    return replace(built, part=part, swale=swale)
