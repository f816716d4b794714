"""The way of a swale's overflow over the ground as built, and the store that it meets."""

import numpy as np
import pytest
from dug_ground import dug_channel

from swalekit.flow.pour import basin_sums, pour_onto
from swalekit.verification.overflow_ways import overflow_ways
from swalekit.verification.swale_ponds import HOLLOW, swale_ponds

ROW = (20, 12, 14, 13, 6, 8, 3, 5)  # a ditch, a hollow, another


def ways(ditches, *, depth_m=0.0, hollows=(), row=ROW, noise_depth_m=0.0):
    """Places along the row and what is met, for swales whose crests lie at 14.5 m."""
    built = dug_channel(row, ditches)
    ponds = swale_ponds(built, np.full(2, 14.5), noise_depth_m=noise_depth_m)
    pour = pour_onto(ponds.surface, basin_sums(ponds.surface, depth_m)[:, 0])
    x, y = built.grid.centres(1, 1 + np.array(hollows, np.int64))
    told = overflow_ways(ponds, pour, count=2, hollow_xy=np.column_stack([x, np.broadcast_to(y, x.shape)]))
    return [way and ((way.xy[:, 0] - 500_001.5).tolist(), way.meets) for way in told]


@pytest.mark.parametrize(
    ("depth_m", "hollows", "ends", "meets"),
    [
        (0.0, (), 4, HOLLOW),
        (0.1, (), 4, HOLLOW),
        (9.0, (), 8, 0),
        (0.0, (4,), 4, 3),
        (9.0, (4,), 4, 3),
        (9.0, (6,), 6, 3),
        (9.0, (6, 4), 4, 4),
    ],
)
def test_overflow_ends_in_named_hollows_and_passes_full_ones(depth_m, hollows, ends, meets):
    """A hollow of the ground with a name takes it, full or not; another one only while it has room."""
    (way, met), none = ways({1: 1}, depth_m=depth_m, hollows=hollows)
    assert (way, met) == ([float(place) for place in range(2, ends + 1)], meets)
    assert none is None


def test_overflow_ends_where_it_comes_into_the_next_pond():
    """Below the sill of a swale it is followed no farther, hollows with names or not."""
    (way, met), (below, off) = ways({1: 1, 6: 2}, depth_m=9.0)
    assert (way, met) == ([2.0, 3.0, 4.0, 5.0, 6.0], 2)
    assert (below, off) == ([7.0, 8.0], 0)


def test_overflow_passes_noise():
    """A hollow that is noise is no end, whether water stands in it or not."""
    row = (20, 12, 14, 13, 6, 6.25, 3, 5)
    assert ways({1: 1}, row=row)[0][1] == HOLLOW
    assert ways({1: 1, 6: 2}, row=row, noise_depth_m=0.5)[0] == ([2.0, 3.0, 4.0, 5.0, 6.0], 2)
