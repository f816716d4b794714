"""The way of water over a surface: where it ends, and that it never climbs."""

import numpy as np
import pytest
from pour_twins import channel, mixed_cells, plain, rough_cells

from swalekit.errors import InputError
from swalekit.flow.pour import basin_sums, pour_onto, poured_surface
from swalekit.flow.ways import ways_down

TWO_PITS = [8, 4, 2, 5, 1, 3, 7]


def way(surface, start, full, **choices):
    """Places along a row between walls, and the leaf that the way ends in."""
    row = surface.cells.grid.shape[1]
    (found,) = ways_down(surface, starts=[row + start], full=np.array(full), **choices)
    return (found.nodes - row).tolist(), found.leaf


@pytest.mark.parametrize(
    ("full", "places", "leaf"),
    [
        ([False, False, False], [2, 3], 0),
        ([True, False, False], [2, 3, 4, 5], 1),
        ([True, True, False], [2, 3], 0),
        ([False, True, True], [2, 3], 0),
        ([True, True, True], [2, 3, 4, 5, 6, 7, 8], -1),
    ],
)
def test_a_way_passes_what_is_full_with_all_in_it(full, places, leaf):
    """Two pits that are full with room above them are one pond, in which water stays."""
    surface = channel(TWO_PITS)
    assert surface.spill_level_m.tolist() == [5.0, 5.0, 7.0]
    assert way(surface, 2, full) == (places, leaf)


def test_a_way_ends_at_a_stop():
    """It ends as soon as it comes below the spill level."""
    surface = channel([20, 9, 8, 4, 3, 5, 1, 7])
    assert way(surface, 2, [False] * len(surface), stops=surface.spill_level_m == 5.0) == ([2, 3, 4], 0)


def test_a_way_crosses_a_full_depression_to_its_spill_point():
    """In a bent pond it follows the bend; with the ground flooded it runs level and leaves over the lip."""
    heights = np.full((6, 7), 9.0)
    heights[1, 1:6], heights[1:5, 5], heights[4, 2:6] = 3.0, 3.0, 3.0
    heights[1, 1], heights[4, 1], heights[4, 0] = 6.0, 4.0, 1.0
    surface = poured_surface(plain(heights))
    (found,) = ways_down(surface, starts=[8], full=np.ones(len(surface), np.bool_))
    assert heights.ravel()[found.nodes].tolist() == [6.0, *[3.0] * 8, 4.0, 1.0]
    assert found.leaf == -1


def test_a_way_from_a_spill_point_begins_beyond_it():
    """What a depression spills goes on from the node across, or leaves the tile at the rim."""
    surface = channel([20, 9, 3, 5, 1, 7])
    first, whole = (int(np.flatnonzero(surface.spill_level_m == level)[0]) for level in (5.0, 7.0))
    ways = ways_down(surface, spilling=[first, whole], full=np.zeros(len(surface), np.bool_))
    assert [(found.nodes - surface.cells.grid.shape[1]).tolist() for found in ways] == [[4, 5], [6, 7]]
    assert [found.leaf for found in ways] == [1, -1]


def test_level_ground_is_crossed():
    """Over a flat it takes the fewest steps to where the ground falls; a closed one keeps it."""
    heights = np.full((5, 6), 9.0)
    heights[1:4, 1:5], heights[1:4, 5] = 5.0, 2.0
    surface = poured_surface(plain(heights))
    (found,) = ways_down(surface, starts=[8], full=np.zeros(len(surface), np.bool_))
    assert (found.nodes - 6).tolist() == [2, 3, 4, 5]
    assert found.leaf == -1
    bowl = np.full((5, 6), 9.0)
    bowl[1:4, 1:5], bowl[2, 1] = 3.0, 4.0
    surface = poured_surface(plain(bowl))
    (found,) = ways_down(surface, starts=[13], full=np.zeros(len(surface), np.bool_))
    assert found.leaf == 0


@pytest.mark.parametrize("depth_m", [0.0, 0.05, 0.3, 3.0])
@pytest.mark.parametrize("k", [1, 2, 3])
@pytest.mark.parametrize("seed", range(3))
def test_no_way_climbs(seed, k, depth_m):
    """Ground or water level never rise; without water a way ends in its basin's pit, with much nowhere."""
    cells, _ = rough_cells(seed, k, shape=(16, 18))
    surface = poured_surface(cells)
    pour = pour_onto(surface, basin_sums(surface, depth_m)[:, 0])
    level = np.fmax(cells.heights, pour.level_m)
    starts = np.flatnonzero(cells.node_area_m2() > 0)
    for start, found in zip(starts, ways_down(surface, starts=starts, full=pour.full), strict=True):
        assert np.diff(level[found.nodes]).max(initial=0.0) <= 1e-6
        if depth_m in {0.0, 3.0}:
            assert found.leaf == (surface.basin[start] - 1 if depth_m == 0.0 else -1)


def test_a_way_over_mixed_cells_of_a_plane_goes_down_it():
    """Whatever the cells are cut into, it comes to the plane's foot."""
    rng = np.random.default_rng(1)
    cells = mixed_cells(lambda x, y: 0.02 * x + 0.3 * y, rng.random((12, 15)) < 0.3, 3)
    surface = poured_surface(cells)
    (found,) = ways_down(surface, starts=[7], full=np.zeros(0, np.bool_))
    x, y = cells.centres(found.nodes)
    assert found.leaf == -1
    assert y[0] - y[-1] > 10.0
    assert np.ptp(x) < 3.0


def test_wrong_depressions_fail():
    """What is full and where ways end is told for every depression."""
    surface = channel(TWO_PITS)
    with pytest.raises(InputError, match="differ in shape"):
        ways_down(surface, starts=[8], full=np.zeros(2, np.bool_))
