"""Ponds at and below the spill level."""

import numpy as np
import pytest
from flow_twins import make_terrain, rough_heights
from scipy import ndimage

from swalekit.errors import InputError
from swalekit.flow.hollow_ponds import drowned, pond_beds, pond_labels, pond_level_m
from swalekit.flow.network import build_flow_network


def rough_example(seed):
    """Rough terrain with hollows and its network."""
    terrain = make_terrain(rough_heights(np.random.default_rng(seed), (22, 26)), cell_m=0.5)
    network = build_flow_network(terrain, noise_depth_m=0.5)
    assert network.hollows.pit.size > 2
    return terrain, network


def volumes_m3(terrain, labels, level_m):
    """Water above the ground in each pond."""
    depth = np.where(labels > 0, np.append(0.0, level_m)[labels] - terrain.heights, 0.0)
    return 0.25 * ndimage.sum_labels(depth, labels, np.arange(1, level_m.size + 1))


@pytest.mark.parametrize("seed", range(3))
def test_full_ponds_have_the_hollows_area_and_volume(seed):
    """At the spill level each pond that drowns in no other covers and holds what its hollow says."""
    terrain, network = rough_example(seed)
    hollows = network.hollows
    labels = pond_labels(network, terrain, hollows.spill_level_m)
    full_m3 = volumes_m3(terrain, labels, hollows.spill_level_m)
    outer = hollows.drowns_in < 0
    assert not outer.all()
    assert (0.25 * np.bincount(labels.ravel(), minlength=len(hollows) + 1)[1:][outer] == hollows.area_m2[outer]).all()
    np.testing.assert_allclose(full_m3[outer], hollows.pond_m3[outer], rtol=1e-12)
    assert hollows.volume_m3.sum() == pytest.approx(hollows.pond_m3[outer].sum(), rel=1e-12)


@pytest.mark.parametrize("seed", range(3))
def test_beds_hold_what_each_hollow_takes_itself(seed):
    """Between its bed and its spill level lies a hollow's own volume, and its full pond covers the whole bed."""
    terrain, network = rough_example(seed)
    hollows, beds = network.hollows, pond_beds(network, terrain)
    held_m3 = [((level - bed) * area).sum() for (bed, area), level in zip(beds, hollows.spill_level_m, strict=True)]
    np.testing.assert_allclose(held_m3, hollows.volume_m3, rtol=1e-9)
    np.testing.assert_allclose([area.sum() for _, area in beds], hollows.area_m2, rtol=1e-12)


@pytest.mark.parametrize("share", [0.0, 0.3, 0.7])
@pytest.mark.parametrize("seed", range(3))
def test_ponds_are_the_joined_cells_below_their_level(seed, share):
    """Wet are the cells below the level that are joined to the pit, along sides or corners, and no others."""
    terrain, network = rough_example(seed)
    hollows = network.hollows
    level_m = hollows.spill_level_m - (1 - share) * hollows.depth_m
    labels = pond_labels(network, terrain, level_m)
    taken = np.zeros(terrain.grid.shape, bool)
    for h, pit in enumerate(hollows.pit):
        parts, _ = ndimage.label(terrain.heights < level_m[h], np.ones((3, 3)))
        expected = parts == parts.flat[pit] if parts.flat[pit] and not taken.flat[pit] else np.zeros(parts.shape, bool)
        assert ((labels == h + 1) == expected & ~taken).all()
        taken |= expected


@pytest.mark.parametrize("share", [0.01, 0.2, 0.6, 0.95, 1.0, 1.5])
@pytest.mark.parametrize("seed", range(3))
def test_pond_level_holds_the_volume(seed, share):
    """Just above the level found the pond holds at least the volume, just below no more; the full pond bounds both."""
    terrain, network = rough_example(seed)
    hollows = network.hollows
    taken_m3 = share * hollows.volume_m3
    level_m = pond_level_m(network, terrain, taken_m3)
    above_m = np.minimum(level_m + 1e-9, hollows.spill_level_m)
    more_m3, less_m3 = (
        volumes_m3(terrain, pond_labels(network, terrain, level), level) for level in (above_m, level_m - 1e-9)
    )
    wanted_m3, outer = taken_m3.copy(), ~drowned(hollows, taken_m3)
    for h in np.flatnonzero(~outer)[::-1]:
        wanted_m3[hollows.drowns_in[h]] += wanted_m3[h]
    assert (more_m3[outer] > np.minimum(wanted_m3, hollows.pond_m3)[outer] - 1e-6).all()
    assert (less_m3[outer] < wanted_m3[outer] + 1e-6).all()


def test_cone_pond_follows_the_cone():
    """In an inverted cone z = k r the level at volume V is (3 V k² / pi)^(1/3), up to the cells along the shore."""
    row, column = np.indices((121, 121))
    radius_m = 0.25 * np.hypot(row - 60, column - 60)
    terrain = make_terrain(0.2 * radius_m, cell_m=0.25)
    network = build_flow_network(terrain, noise_depth_m=0.1)
    expected_m = np.array([0.6, 1.2, 2.4])
    for level_m in expected_m:
        volume_m3 = np.pi * level_m**3 / (3 * 0.2**2)
        # one shore cell in radius is 0.05 m; the pond's cells average it out to a tenth
        assert pond_level_m(network, terrain, np.array([volume_m3]))[0] == pytest.approx(level_m, abs=0.005)


def test_level_goes_on_from_the_saddle_once_both_are_full():
    """The deeper pit takes its water up to the saddle; from there on the surface is that of both."""
    row = [9, 3, 5, 2, 7, 1]
    terrain = make_terrain([[9] * 6, row, [9] * 6])
    network = build_flow_network(terrain, noise_depth_m=0.5)
    assert network.hollows.pit.tolist() == [6 + 3, 6 + 1]
    assert network.hollows.volume_m3.tolist() == [9, 2]
    levels = [pond_level_m(network, terrain, np.array([volume, 2.0])).tolist() for volume in (0, 1.5, 3, 4.5, 9, 99)]
    assert levels == [[2, 5], [3.5, 5], [5, 5], [5.5, 5], [7, 5], [7, 5]]


def test_level_above_spill_fails():
    """A level that the hollow can't hold is refused with both levels."""
    terrain, network = rough_example(0)
    with pytest.raises(InputError, match=r"level of hollow 0 is .* must not lie above its spill level"):
        pond_labels(network, terrain, network.hollows.spill_level_m + 0.01)


def test_negative_volume_fails():
    """A volume below zero is refused."""
    terrain, network = rough_example(0)
    with pytest.raises(InputError, match="volume of hollow 0 is -1 m³"):
        pond_level_m(network, terrain, np.full(network.hollows.pit.size, -1.0))


@pytest.mark.parametrize("function", [pond_labels, pond_level_m])
def test_wrong_number_of_values_fails(function):
    """There is one level or volume a hollow."""
    terrain, network = rough_example(0)
    with pytest.raises(InputError, match="differ in shape"):
        function(network, terrain, np.zeros(1))


def test_ground_without_hollows_has_no_ponds():
    """A plain slope has no hollow and nothing under water."""
    terrain = make_terrain(np.add.outer(np.arange(5.0), np.arange(6.0)))
    network = build_flow_network(terrain, noise_depth_m=0.0)
    assert pond_level_m(network, terrain, np.empty(0)).size == 0
    assert (pond_labels(network, terrain, np.empty(0)) == 0).all()
