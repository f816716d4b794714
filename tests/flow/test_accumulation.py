"""Accumulated areas and sums against surfaces with known catchments and a slow twin."""

import numpy as np
import pytest
from flow_twins import make_terrain, rim_cells, rough_heights, walk

from swalekit.errors import InputError
from swalekit.flow.accumulation import accumulate
from swalekit.flow.network import build_flow_network


def network_of(heights, *, cell_m=1.0, noise_depth_m=0.0):
    """Flow network of plain heights."""
    return build_flow_network(make_terrain(heights, cell_m=cell_m), noise_depth_m=noise_depth_m)


@pytest.mark.parametrize(
    ("east", "south", "expected"),
    [
        (-1.0, 0.0, lambda row, column: column + 1),
        (0.0, -1.0, lambda row, column: row + 1),
        (-1.0, -1.0, lambda row, column: np.minimum(row, column) + 1),
    ],
)
def test_plane_drains_strips(east, south, expected):
    """On a plane that falls along a grid direction each cell drains the strip above it, without any error."""
    row, column = np.indices((12, 15))
    accumulated = accumulate(network_of(0.1 * (east * column + south * row), cell_m=2.0))
    inner = np.s_[: -1 if south else None, : -1 if east else None]  # the lowest edges gather along themselves
    assert (accumulated[inner] == 4.0 * expected(row, column)[inner]).all()


def test_v_valley_gathers_both_sides():
    """Where the sides are steep enough for flow straight across, the bottom drains the full width above it."""
    row, column = np.indices((20, 21))
    accumulated = accumulate(network_of(-0.1 * row + 0.5 * abs(column - 10)))
    assert (accumulated[:, 10] == 21 * (np.arange(20) + 1)).all()


def test_cone_drains_outward_the_area_inside_a_circle():
    """What crosses a circle round the top of a cone is the area inside, to within the cells on the circle."""
    row, column = np.indices((101, 101))
    radius = np.hypot(row - 50, column - 50)
    network = network_of(100 - 0.3 * radius)
    inside = (radius < 30).ravel()
    crossing = inside & ~inside[network.receiver]
    assert accumulate(network).ravel()[crossing].sum() == inside.sum()
    assert inside.sum() == pytest.approx(np.pi * 30**2, rel=0.01)


def test_inverted_cone_drains_inward():
    """What crosses a circle into an inverted cone is the ring outside it, pi (R² - r²)."""
    row, column = np.indices((121, 121))
    radius = np.hypot(row - 60, column - 60)
    network = network_of(np.where(radius < 58, 0.2 * radius, np.nan), noise_depth_m=0.0)
    inside = (radius < 20).ravel()
    entering = ~inside & inside[network.receiver] & (np.nan_to_num(radius, nan=99.0).ravel() < 58)
    assert accumulate(network).ravel()[entering].sum() == pytest.approx(np.pi * (58**2 - 20**2), rel=0.01)


@pytest.mark.parametrize("noise_depth_m", [0.0, 0.4, 1e9])
@pytest.mark.parametrize("seed", range(3))
def test_all_water_leaves(seed, noise_depth_m):
    """The outlets together drain the whole valid area, whatever is taken for noise."""
    rng = np.random.default_rng(seed)
    heights = rough_heights(rng, (20, 24))
    heights[rng.random(heights.shape) < 0.03] = np.nan
    network = network_of(heights, cell_m=0.5, noise_depth_m=noise_depth_m)
    outlets = rim_cells(np.isfinite(heights)) & (network.receiver == np.arange(480)).reshape(20, 24)
    accumulated = accumulate(network)
    assert accumulated[outlets].sum() == 0.25 * np.isfinite(heights).sum()
    assert (accumulated[np.isnan(heights)] == 0).all()


@pytest.mark.parametrize("seed", range(3))
def test_weights_and_closed_hollows_agree_with_walks(seed):
    """Sums are what single walks bring, with paths that end at the pits of closed hollows."""
    rng = np.random.default_rng(seed)
    network = network_of(rough_heights(rng, (20, 22)), noise_depth_m=0.05)
    pits = network.hollows.pit
    closed = np.arange(pits.size) % 2 == 0
    weight = rng.integers(0, 9, (20, 22)).astype(np.float64)
    expected = np.zeros(weight.size)
    for i in range(weight.size):
        expected[walk(network, i, ends=pits[closed])] += weight.flat[i]
    assert closed.sum() >= 2
    assert (accumulate(network, weight, closed=closed).ravel() == expected).all()


def test_weight_at_voids_counts_nowhere():
    """A void passes nothing on, even if its weight is not a number."""
    network = network_of([[3, np.nan, 1], [3, 2, 1]])
    weight = np.array([[1, np.nan, 1], [1, 1, 1.0]])
    assert accumulate(network, weight)[0, 1] == 0
    assert accumulate(network, weight).max() <= 5


@pytest.mark.parametrize(("name", "value"), [("weight", np.ones((2, 2))), ("closed", np.ones(3, bool))])
def test_wrong_shape_fails(name, value):
    """A weight or a list of closed hollows of another shape is refused."""
    with pytest.raises(InputError, match=f"differ in shape: {name}"):
        accumulate(network_of(np.eye(3)), **{name: value})
