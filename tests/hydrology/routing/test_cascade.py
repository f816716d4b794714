"""Water passed from store to store."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from swalekit.errors import InputError
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, runoff_mm
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import GREATEST_STORM_MM, held_storm_mm, local_runoff_m3, pass_down
from swalekit.hydrology.routing.stores import Stores

SOIL = Soil((CurveNumberLoss(80.0), CurveNumberLoss(90.0)))


def random_stores(seed: int, count: int) -> tuple[Stores, np.ndarray]:
    """A random tree of stores, numbered in random order, and what they hold."""
    rng = np.random.default_rng(seed)
    rank = rng.permutation(count)
    downstream = np.full(count, -1, dtype=np.int32)
    for place in range(count - 1):
        downstream[rank[place]] = rng.choice([-1, rank[rng.integers(place + 1, count)]])
    area = rng.uniform(0, 3000, (count, 2))
    return Stores(area, 0.05 * area.sum(axis=1), downstream), rng.uniform(0, 60, count)


def make_chain(*areas_m2: float) -> Stores:
    """Stores one below the other, without strips, on the first soil class."""
    area = np.column_stack([areas_m2, np.zeros(len(areas_m2))])
    downstream = np.append(np.arange(1, len(areas_m2)), -1).astype(np.int32)
    return Stores(area, np.zeros(len(areas_m2)), downstream)


@given(st.integers(0, 10_000), st.integers(1, 30), st.floats(0, 200))
def test_no_drop_is_made_or_lost(seed: int, count: int, storm_mm: float) -> None:
    """What comes in is held or leaves, at every store and over the site."""
    stores, capacity = random_stores(seed, count)
    inflow = local_runoff_m3(stores, storm_mm, SOIL)
    result = pass_down(stores, inflow, capacity)
    np.testing.assert_allclose(result.held_m3 + result.spilled_m3, result.received_m3, rtol=1e-12)
    np.testing.assert_allclose(result.held_m3.sum() + result.left_m3, inflow.sum(), rtol=1e-12, atol=1e-12)
    assert np.all(result.held_m3 <= capacity)
    assert np.all((result.spilled_m3 == 0) | (result.received_m3 > capacity))


def test_surplus_runs_down_a_chain() -> None:
    """Each store hands on what it can't hold and nothing else."""
    result = pass_down(make_chain(1, 1, 1), np.array([10.0, 4.0, 1.0]), np.array([6.0, 9.0, 0.5]))
    assert result.received_m3.tolist() == [10.0, 8.0, 1.0]
    assert result.spilled_m3.tolist() == [4.0, 0.0, 0.5]
    assert result.left_m3 == 0.5


def test_several_storms_at_once_equal_one_after_the_other() -> None:
    """A stack of storms gives what each storm gives alone."""
    stores, capacity = random_stores(3, 12)
    storms = np.array([5.0, 40.0, 120.0])
    together = pass_down(stores, local_runoff_m3(stores, storms, SOIL), capacity)
    for index, storm in enumerate(storms):
        alone = pass_down(stores, local_runoff_m3(stores, storm, SOIL), capacity)
        np.testing.assert_allclose(together.spilled_m3[index], alone.spilled_m3)
        assert together.left_m3[index] == pytest.approx(float(alone.left_m3))


def test_all_rain_on_the_strip_counts() -> None:
    """On the ditch and its pond no rain is lost: 900 m² of runoff and 100 m² of rain."""
    stores = Stores(np.array([[1000.0, 0.0]]), np.array([100.0]), np.array([-1], dtype=np.int32))
    by_hand = (900.0 * float(runoff_mm(50.0, 80.0)) + 100.0 * 50.0) / 1000.0
    assert local_runoff_m3(stores, 50.0, SOIL)[0] == pytest.approx(by_hand)


def test_soil_classes_are_summed_by_area() -> None:
    """Each class of a store's ground has its own runoff."""
    stores = Stores(np.array([[300.0, 700.0]]), np.zeros(1), np.array([-1], dtype=np.int32))
    by_hand = (300.0 * float(runoff_mm(50.0, 80.0)) + 700.0 * float(runoff_mm(50.0, 90.0))) / 1000.0
    assert local_runoff_m3(stores, 50.0, SOIL)[0] == pytest.approx(by_hand)


@pytest.mark.parametrize("storm_mm", [20.0, 63.7, 140.0])
def test_held_storm_inverts_runoff(storm_mm: float) -> None:
    """A store as large as a storm's runoff holds just that storm."""
    stores = make_chain(1000.0)
    capacity = local_runoff_m3(stores, storm_mm, SOIL)
    assert held_storm_mm(stores, capacity, SOIL)[0] == pytest.approx(storm_mm, abs=0.01)


@given(st.integers(0, 10_000), st.integers(1, 15))
def test_held_storm_does_not_spill_and_a_deeper_one_does(seed: int, count: int) -> None:
    """At a store's held storm the store keeps all, 0.02 mm deeper it spills."""
    stores, capacity = random_stores(seed, count)
    held = held_storm_mm(stores, capacity, SOIL)
    for store in np.flatnonzero(held < GREATEST_STORM_MM):
        at, beyond = pass_down(
            stores, local_runoff_m3(stores, held[store] + np.array([0.0, 0.02]), SOIL), capacity
        ).spilled_m3[:, store]
        assert at == 0
        assert beyond > 0


def test_store_below_a_small_one_holds_less() -> None:
    """The surplus of the store above lowers the held storm of the one below."""
    alone = held_storm_mm(make_chain(1000.0), np.array([30.0]), SOIL)
    below = held_storm_mm(make_chain(1000.0, 1000.0), np.array([10.0, 30.0]), SOIL)
    assert below[1] < alone[0] - 1.0


def test_store_without_ground_holds_the_greatest_storm() -> None:
    """A store that nothing reaches is said to hold the greatest storm looked at."""
    assert held_storm_mm(make_chain(0.0), np.array([1.0]), SOIL)[0] == GREATEST_STORM_MM


def test_stores_in_a_circle_fail() -> None:
    """Surplus must leave in the end."""
    with pytest.raises(InputError, match="stores 1, 2 pass water in a circle"):
        Stores(np.ones((3, 1)), np.zeros(3), np.array([1, 2, 1], dtype=np.int32))


@pytest.mark.parametrize(
    ("area", "strip", "downstream", "words"),
    [
        (np.ones((2, 1)), np.zeros(1), [-1], "must be \\(1, classes\\)"),
        (-np.ones((1, 1)), np.zeros(1), [-1], "negative"),
        (np.ones((1, 1)), np.zeros(1), [1], "downstream runs from 1 to 1"),
    ],
)
def test_stores_fail(area: np.ndarray, strip: np.ndarray, downstream: list[int], words: str) -> None:
    """Stores with shapes, areas or links that can't be are refused."""
    with pytest.raises(InputError, match=words):
        Stores(area, strip, np.array(downstream, dtype=np.int32))


def test_order_is_upstream_first() -> None:
    """In the order, every store comes before the one it passes to."""
    stores, _ = random_stores(7, 40)
    place = np.argsort(stores.order)
    passing = stores.downstream >= 0
    assert np.all(place[passing] < place[stores.downstream[passing]])
