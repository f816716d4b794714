"""Flow parted between two neighbours, against closed answers."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.flow.accumulation import accumulate
from swalekit.flow.catchments import first_met, label_cells
from swalekit.flow.dispersed import contributing_areas_m2, disperse_flow, dispersed_areas_m2
from swalekit.flow.network import build_flow_network
from swalekit.grid import Grid
from swalekit.terrain.terrain import Terrain

HALF = 60
Y, X = np.mgrid[HALF : -HALF - 1 : -1, -HALF : HALF + 1].astype(float)
R = np.hypot(X, Y)
ACROSS = np.where(R > 0, np.maximum(abs(X), abs(Y)) / np.maximum(R, 1.0), 1.0)
"""On a cone the width of contour that a cell of 1 m carries: the greater of sine and cosine of its direction."""


def areas(heights: np.ndarray) -> tuple[np.ndarray, np.ndarray]:
    """Contributing areas by parted flow and by one direction, on cells of 1 m."""
    terrain = Terrain.from_heights(heights, Grid.from_corner(heights.shape, cell_m=1.0))
    network = build_flow_network(terrain, noise_depth_m=0.0)
    return contributing_areas_m2(disperse_flow(terrain, network), network), accumulate(network)


# --- closed answers --------------------------------------------------------------------------------------------------


@pytest.mark.compiled
@pytest.mark.parametrize("degrees", [0.0, 10.0, 22.5, 30.0, 45.0, 63.0, 90.0, 157.5, 200.0, 300.0])
def test_on_a_plane_area_per_contour_width_is_the_way_uphill(degrees):
    """Whichever way it falls: the area over a cell's width across the slope is the distance up to the tile's edge."""
    down = np.array([np.cos(np.radians(degrees)), np.sin(np.radians(degrees))])
    parted, _ = areas(100.0 - 0.1 * (down[0] * X + down[1] * Y))
    for x, y in ((0, 0), (12, -7), (-20, 15)):
        to_edge = [(HALF + 0.5 + np.sign(d) * at) / abs(d) for d, at in zip(down, (x, y), strict=True) if abs(d) > 1e-9]
        if len(to_edge) > 1 and max(to_edge) < 1.25 * min(to_edge):
            continue  # water from beyond the corner of the tile may drift in
        width = np.abs(down).max()
        assert parted[HALF - y, HALF + x] / width == pytest.approx(min(to_edge), rel=0.015)


@pytest.mark.compiled
def test_on_an_outward_cone_area_per_contour_width_is_half_the_radius():
    """π r² over 2 π r on average, give or take an eighth; one direction a cell scatters four times as much."""
    parted, single = areas(100.0 - 0.1 * R)
    ring = abs(R - 45.0) < 5.0
    ratio, crude = (each[ring] / ACROSS[ring] / (R / 2.0)[ring] for each in (parted, single))
    assert ratio.mean() == pytest.approx(1.0, abs=0.02)
    assert ratio.std() < 0.125
    assert crude.std() > 4 * ratio.std()


@pytest.mark.compiled
def test_on_an_inward_cone_area_per_contour_width_is_that_of_the_ring():
    """From a rim at R: π (R² − r²) over 2 π r; the noise of one direction is greater here too."""
    outside = R > 58.0
    heights = np.where(outside, 100.0 - (R - 58.0) * 0.1, 94.2 + 0.1 * R)
    parted, single = areas(heights)
    ring = abs(R - 25.0) < 5.0
    exact = (ACROSS * (58.0**2 - R**2) / (2.0 * np.maximum(R, 1.0)))[ring]
    assert (parted[ring] / exact).mean() == pytest.approx(1.0, abs=0.03)
    assert (parted[ring] / exact).std() < 0.5 * (single[ring] / exact).std()


def test_a_worked_facet():
    """Tarboton (1997), eq. 1-5, from memory: falls of 1 aside and 0.5 more to the corner send atan(0.5) / 45° there."""
    heights = np.add.outer(0.5 * np.arange(3.0), np.arange(3.0)[::-1])
    terrain = Terrain.from_heights(heights, Grid.from_corner((3, 3), cell_m=1.0))
    flow = disperse_flow(terrain, build_flow_network(terrain, noise_depth_m=0.0))
    assert (flow.receiver[4], flow.second[4]) == (5, 2)
    assert flow.share[4] == pytest.approx(np.arctan(0.5) / (np.pi / 4.0), rel=1e-6)


# --- what always holds -----------------------------------------------------------------------------------------------


def rough(seed: int, shape=(40, 50), noise_m=0.6, *, voids=True) -> Terrain:
    """A slope full of hollows, with flats and a void."""
    random = np.random.default_rng(seed)
    heights = 0.1 * np.arange(shape[0])[::-1, np.newaxis] + random.normal(0.0, noise_m, shape)
    heights[5:9, 5:12] = heights[5, 5]
    heights = np.round(heights, 1)
    if voids:
        heights[20:23, 30:33] = np.nan
    return Terrain.from_heights(heights, Grid.from_corner(shape, cell_m=2.0))


@pytest.mark.parametrize("seed", range(12))
@pytest.mark.parametrize("noise_depth_m", [0.0, 0.5, 5.0])
def test_no_water_is_lost_on_rough_ground(seed, noise_depth_m):
    """Whatever hollows are kept or routed through, what comes to stops and hollows and what leaves is all there is."""
    terrain = rough(seed)
    network = build_flow_network(terrain, noise_depth_m=noise_depth_m)
    stops = np.zeros(terrain.grid.shape, np.int32)
    stops[12, 3:40], stops[30, 10:50] = 1, 2
    flow = disperse_flow(terrain, network)
    received = dispersed_areas_m2(flow, network, stops, n_stops=2)
    rim = np.zeros_like(stops)
    rim.ravel()[network.receiver == np.arange(rim.size)] = 3
    rim[~terrain.valid] = 0
    ended = dispersed_areas_m2(flow, network, np.where(stops > 0, stops, rim), n_stops=3)
    assert ended.sum() == pytest.approx(4.0 * terrain.valid.sum())
    np.testing.assert_allclose(ended[:2], received[:2])


def test_voids_beside_ground_hold_nothing():
    """A void has no area, and water ends beside it."""
    parted, _ = areas(rough(1).heights.astype(float))
    assert parted[21, 31] == 0.0
    assert parted.max() <= 40 * 50


@pytest.mark.parametrize("turns", [1, 2, 3])
def test_a_turned_tile_parts_the_same(turns):
    """Areas turn with the ground where no two facets are equally steep."""
    heights = np.random.default_rng(4).normal(0.0, 0.02, (20, 20)) + 0.1 * np.add.outer(np.arange(20), np.arange(20))
    one, turned = areas(heights)[0], areas(np.rot90(heights, turns))[0]
    np.testing.assert_allclose(np.rot90(one, turns), turned, rtol=1e-5)


def test_along_a_grid_direction_both_rules_agree():
    """A plane that falls along the rows: the same area for a stop, to the last cell."""
    terrain = Terrain.from_heights(np.tile(np.arange(20.0)[::-1], (10, 1)), Grid.from_corner((10, 20), cell_m=1.0))
    network = build_flow_network(terrain, noise_depth_m=0.0)
    stops = np.zeros((10, 20), np.int32)
    stops[3:6, 12] = 1
    single = label_cells(first_met(network, stops, n_stops=1), n_labels=2)[1, 0]
    assert dispersed_areas_m2(disperse_flow(terrain, network), network, stops, n_stops=1) == pytest.approx([single])


def test_bad_stops_fail():
    """Stops of another shape or with a label too great are an error."""
    terrain = rough(1)
    network = build_flow_network(terrain, noise_depth_m=0.1)
    flow = disperse_flow(terrain, network)
    with pytest.raises(InputError):
        dispersed_areas_m2(flow, network, np.zeros((3, 3), np.int32), n_stops=1)
    with pytest.raises(InputError):
        dispersed_areas_m2(flow, network, np.full(terrain.grid.shape, 2, np.int32), n_stops=1)
