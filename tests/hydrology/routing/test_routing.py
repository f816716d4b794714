"""Stores routed through time against exact solutions and balances."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.optimize import brentq

from swalekit.errors import InputError
from swalekit.hydrology.routing.breach import Breach, breach_effect, breach_hydrograph, route_breach
from swalekit.hydrology.routing.pond import Pond, Weir, route_pond
from swalekit.hydrology.routing.routing import Routed, pass_downward, route_stores, standing_m3
from swalekit.hydrology.routing.sill_sizing import size_sill, size_sills
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.hydrology.routing.stores import Stores
from swalekit.kernels.routing import PARTS

AREA_M2 = 80.0


def box(
    *, depth_m: float = 1.0, sill_m: float = 0.5, length_m: float = 2.0, berm_m: float | None = None, **other: float
) -> Pond:
    """A store with upright walls on a floor at 100 m."""
    volume = AREA_M2 * depth_m
    stage = StageStorage(np.array([100.0, 100.0 + depth_m]), np.array([0.0, volume]), np.array([AREA_M2, AREA_M2]))
    berm = None if berm_m is None else Weir(100.0 + berm_m, 40.0, 1.5)
    return Pond(stage, Weir(100.0 + sill_m, length_m, 1.5), berm=berm, **other)


def trough(scale: float = 1.0, **other: float) -> Pond:
    """A store with sloping walls, sill at 0.6 m and berm at 0.8 m."""
    depth = np.linspace(0.0, 0.8, 41)
    stage = StageStorage(50.0 + depth, 100.0 * scale * (0.6 + 2.0 * depth) * depth, 100.0 * scale * (0.6 + 4.0 * depth))
    return Pond(stage, Weir(50.6, 1.5, 1.5), berm=Weir(50.8, 100.0 * scale, 1.5), **other)


def chain(count: int) -> Stores:
    """Stores one below the other."""
    downstream = np.append(np.arange(1, count), -1).astype(np.int32)
    return Stores(np.ones((count, 1)), np.zeros(count), downstream)


def burst(count: int, *, peak_m3s: float = 0.1, steps: int = 180) -> np.ndarray:
    """A smooth inflow of each of some stores, at steps of a minute."""
    shape = np.sin(np.linspace(0.0, np.pi, steps)) ** 2
    return peak_m3s * np.tile(shape, (count, 1))


def failed(sound: Routed, breach: Breach) -> Routed:
    """The whole site once a store fails."""
    passages = route_breach(sound, breach)
    return replace(sound, passages=tuple(passages.get(k, passage) for k, passage in enumerate(sound.passages)))


def rows(routed: Routed, name: str) -> np.ndarray:
    """A series of every store, one a row."""
    return np.stack([getattr(passage, name) for passage in routed.passages])


def assert_balance(routed: Routed) -> None:
    """No drop is made or lost, in any store at its end and over the site at any time."""
    inflow, stored, soaked, spilled = (rows(routed, f"{name}_m3") for name in ("inflow", "stored", "soaked", "spilled"))
    before = np.array([pond.stored_m3 for pond in routed.ponds])
    leaves = soaked.sum(axis=1) + spilled.sum(axis=1) + stored[:, -1]
    np.testing.assert_allclose(leaves, before + inflow.sum(axis=1), rtol=1e-9, atol=1e-9)
    site = routed.outcome
    accounted = site.held_m3 + site.soaked_total_m3 + site.left_m3 + site.under_way_m3
    np.testing.assert_allclose(accounted, before.sum() + site.brought_m3, rtol=1e-9, atol=1e-9)
    assert all((series >= 0).all() for series in (inflow, stored, soaked, spilled))
    assert (site.under_way_m3 > -1e-9).all()


def test_steady_inflow_settles_at_the_head_of_the_weir() -> None:
    """After a long steady inflow Q = C L H^1.5, from memory of Chow (1959): broad-crested weir."""
    passage = route_pond(box(), np.full(600, 0.05 * 60), np.full(600, 60.0))
    assert passage.spilled_m3[-1] / 60 == pytest.approx(0.05, rel=1e-9)
    assert passage.level_m[-1] == pytest.approx(100.5 + (0.05 / (1.5 * 2.0)) ** (2 / 3), abs=1e-9)
    assert (np.diff(passage.level_m) > -1e-9).all()


def test_constant_soaking_empties_in_a_straight_line() -> None:
    """Upright walls under 20 mm/h lose 20 mm of depth an hour until dry."""
    routed = route_stores(chain(1), [box(intake_mm_h=20.0)], np.full((1, 1), 0.4 * AREA_M2 / 60), step_min=1.0)
    depth = routed.passages[0].level_m - 100.0
    np.testing.assert_allclose(depth, np.maximum(0.4 - 0.02 * routed.outcome.time_h, 0.0), atol=1e-9)
    assert routed.outcome.empty_after_h[0] == pytest.approx(20.0, rel=1e-9)


@pytest.mark.parametrize("step_s", [1.0, 60.0, 3600.0])
def test_recession_over_a_weir_never_swings(step_s: float) -> None:
    """A pond above its sill falls steadily toward it and not below, at any step."""
    inflow = np.append(AREA_M2 * 0.9, np.zeros(200))
    level = route_pond(box(length_m=50.0), inflow, np.full(201, step_s)).level_m
    assert (np.diff(level[1:]) <= 1e-12).all()
    assert (level >= 100.5 - 1e-12).all()


def test_first_order_toward_the_exact_recession() -> None:
    """Head over the sill follows H = (H0^-0.5 + C L t / 2 A)^-2, and the error halves with the step."""
    rate = 1.5 * 2.0 / AREA_M2
    exact = (0.4**-0.5 + rate * 120 / 2) ** -2
    errors = []
    for step_s in (4.0, 2.0, 1.0):
        steps = round(120 / step_s)
        inflow = np.append(AREA_M2 * 0.9, np.zeros(steps))
        level = route_pond(box(), inflow, np.append(1e-9, np.full(steps, step_s))).level_m
        errors.append(abs(level[-1] - 100.5 - exact))
    assert errors[2] < 0.005 * exact
    assert errors[0] / errors[1] == pytest.approx(2.0, rel=0.1)
    assert errors[1] / errors[2] == pytest.approx(2.0, rel=0.1)


@pytest.mark.compiled
def test_sloping_walls_agree_with_an_integrator() -> None:
    """A trough with soaking and weir follows what a high-order integrator makes of the same equation."""
    pond, flow = trough(intake_mm_h=60.0), burst(1)[0]
    stage = pond.stage

    def change(time_s: float, volume: np.ndarray) -> float:
        level = stage.level_m_at(volume[0])
        area = np.interp(level, stage.level_m, stage.area_m2)
        head = max(float(level) - 50.6, 0.0)
        inflow = flow[min(int(time_s / 60), flow.size - 1)]
        return float(inflow - 60.0 / 3.6e6 * area * (volume[0] > 0) - 1.5 * 1.5 * head**1.5)

    exact = solve_ivp(change, (0, 180 * 60), [0.0], max_step=20.0, rtol=1e-8, t_eval=60.0 * np.arange(1, 181)).y[0]
    passage = route_pond(pond, flow * 60, np.full(180, 60.0))
    assert passage.spilled_m3.max() > 0
    np.testing.assert_allclose(passage.stored_m3, exact, atol=0.02 * exact.max())


def test_each_step_solves_its_equation() -> None:
    """The level after each part of a step is the root of V + soaking + spill = V before + inflow, by bracketing."""
    rng = np.random.default_rng(3)
    pond, inflow = trough(intake_mm_h=200.0), rng.uniform(0.0, 60.0, 60)
    passage, before, stage = route_pond(pond, inflow, np.full(60, 60.0)), 0.0, pond.stage
    weirs = (pond.sill, Weir(50.8, 100.0, 1.5))

    def leaving(level: float) -> float:
        area = np.interp(level, stage.level_m, stage.area_m2)
        over = sum(weir.coefficient * weir.length_m * max(level - weir.level_m, 0.0) ** 1.5 for weir in weirs)
        return float(60.0 / PARTS * (200.0 / 3.6e6 * area + over))

    def surplus(level: float, available: float) -> float:
        return float(stage.volume_m3_at(level)) + leaving(level) - available

    for step in range(60):
        for _ in range(PARTS):
            available = before + inflow[step] / PARTS
            dry = surplus(50.0, available) >= 0
            level = 50.0 if dry else brentq(surplus, 50.0, 60.0, args=(available,), xtol=1e-13)
            before = float(stage.volume_m3_at(level))
        assert passage.level_m[step] == pytest.approx(level, abs=1e-9)
        assert passage.stored_m3[step] == pytest.approx(before, abs=1e-6)
    assert passage.level_m.max() > 50.8


@pytest.mark.parametrize(("intake", "empty_h"), [(0.0, np.inf), (1e9, 0.0)])
def test_soaking_none_and_all(intake: float, empty_h: float) -> None:
    """Without soaking the pond stands at its sill for ever; under a huge one it never holds a drop."""
    routed = route_stores(chain(1), [trough(intake_mm_h=intake)], burst(1, steps=60), step_min=1.0)
    assert_balance(routed)
    assert routed.outcome.empty_after_h[0] == empty_h
    assert (routed.passages[0].soaked_m3.sum() == 0) == (intake == 0)
    if intake == 0:
        assert routed.passages[0].level_m[-1] == pytest.approx(50.6, abs=1e-3)


@pytest.mark.compiled
@settings(deadline=None)
@given(st.integers(0, 10_000), st.integers(1, 8), st.floats(0.0, 200.0))
def test_random_storms_are_conserved(seed: int, count: int, intake: float) -> None:
    """No drop is made or lost in random trees under random storms, delays and breaches."""
    rng = np.random.default_rng(seed)
    below = np.array([rng.choice([-1, *range(k + 1, count)]) for k in range(count)], np.int32)
    stores = Stores(np.ones((count, 1)), np.zeros(count), below)
    ponds = [
        replace(
            trough(float(rng.uniform(0.1, 2.0)), intake_mm_h=intake, delay_min=float(rng.uniform(0.0, 30.0))),
            stored_m3=float(rng.choice([0.0, 3.0, 20.0])),
        )
        for _ in range(count)
    ]
    inflow = rng.uniform(0.0, 0.3, (count, 90)) * (rng.random((count, 90)) < 0.4)
    sound = route_stores(stores, ponds, inflow, step_min=1.0, longest_h=12.0)
    assert_balance(sound)
    assert_balance(failed(sound, Breach(int(rng.integers(count)), 7.0)))


def test_chain_that_stores_nothing_is_the_sum_of_its_parts() -> None:
    """Where sills lie on the floor and are long, the outflow is the inflow of all stores, each with its delays."""
    ponds = [box(sill_m=0.0, length_m=1e6, delay_min=5.0)] * 3
    inflow = burst(3) * np.array([[1.0], [0.5], [2.0]])
    routed = route_stores(chain(3), ponds, inflow, step_min=1.0)
    expected = np.zeros(routed.edge_s.size - 1)
    for delay, flow in zip((10, 5, 0), inflow, strict=True):
        expected[delay : delay + 170] += 60 * flow[:170]
    np.testing.assert_allclose(routed.passages[2].spilled_m3[10:170], expected[10:170], atol=0.02 * expected.max())
    assert routed.outcome.left_m3[-1] == pytest.approx(60 * inflow.sum(), rel=1e-4)


@pytest.mark.parametrize("delay_min", [0.0, 3.0, 2.5])
def test_spill_arrives_after_its_delay(delay_min: float) -> None:
    """What is under way is what left within the delay."""
    ponds = [box(sill_m=0.0, delay_min=delay_min), box()]
    inflow = np.vstack([burst(1), np.zeros(180)])
    routed = route_stores(chain(2), ponds, inflow, step_min=1.0)
    left = np.append(0.0, routed.passages[0].spilled_m3.cumsum())
    at = routed.edge_s[1:]
    expected = np.interp(at, routed.edge_s, left) - np.interp(at - 60 * delay_min, routed.edge_s, left)
    np.testing.assert_allclose(routed.outcome.under_way_m3, expected, atol=1e-9)
    assert_balance(routed)


@pytest.mark.compiled
def test_halving_the_step_hardly_moves_the_peaks() -> None:
    """Peaks of level, inflow and spill at 1 min and at half a minute differ by less than 1 %."""
    ponds = [trough(intake_mm_h=30.0, delay_min=4.0)] * 4
    coarse = route_stores(chain(4), ponds, burst(4), step_min=1.0)
    fine = route_stores(chain(4), ponds, np.repeat(burst(4), 2, axis=1), step_min=0.5)
    peaks = [(rows(routed, "inflow_m3") / np.diff(routed.edge_s)).max(axis=1) for routed in (coarse, fine)]
    np.testing.assert_allclose(*peaks, rtol=0.01)
    coarse, fine = coarse.outcome, fine.outcome
    np.testing.assert_allclose(coarse.peak_spill_m3s, fine.peak_spill_m3s, rtol=0.01)
    np.testing.assert_allclose(coarse.peak_level_m - 50.0, fine.peak_level_m - 50.0, rtol=0.01)
    np.testing.assert_allclose(coarse.empty_after_h, fine.empty_after_h, rtol=0.01)


def test_water_over_the_berm_is_reported_and_counted() -> None:
    """A sill too short lets the level pass the crest; the flow over both edges is the inflow at last."""
    routed = route_stores(chain(1), [box(berm_m=0.6)], np.full((1, 400), 0.8), step_min=1.0, longest_h=1.0)
    head = routed.outcome.peak_level_m[0] - np.array([100.5, 100.6])
    assert routed.outcome.overtopped.tolist() == [True]
    assert routed.outcome.freeboard_m[0] == pytest.approx(-head[1])
    assert 1.5 * (2.0 * head[0] ** 1.5 + 40.0 * head[1] ** 1.5) == pytest.approx(0.8, rel=1e-6)
    assert routed.outcome.peak_spill_m3s[0] == pytest.approx(0.8, rel=1e-6)


def test_hollow_has_no_berm_to_overtop() -> None:
    """A store without a berm has endless freeboard."""
    routed = route_stores(chain(1), [box()], np.full((1, 30), 2.0), step_min=1.0)
    assert routed.outcome.freeboard_m[0] == np.inf
    assert not routed.outcome.overtopped[0]


def test_after_the_inflow_stores_are_watched_to_the_end() -> None:
    """Steps grow after the inflow and reach the longest time."""
    routed = route_stores(chain(1), [box(intake_mm_h=1.0)], burst(1, steps=30), step_min=1.0, longest_h=100.0)
    steps = np.diff(routed.edge_s)
    assert (steps[:30] == 60).all()
    assert (np.diff(steps[30:]) >= -1e-9).all()
    assert steps.max() <= 1800
    assert 100.0 <= routed.outcome.time_h[-1] <= 100.5


def test_a_storm_in_two_parts_is_the_whole() -> None:
    """What stands when the first part ends is what the second finds."""
    ponds, storm = [trough(intake_mm_h=30.0), box(intake_mm_h=30.0)], burst(2)
    whole = route_stores(chain(2), ponds, storm, step_min=1.0)
    half = storm.shape[1] // 2
    found = standing_m3(chain(2), ponds, storm[:, :half], step_min=1.0, at_h=half / 60.0)
    np.testing.assert_allclose(found, [passage.stored_m3[half - 1] for passage in whole.passages], rtol=1e-9)
    later = [replace(pond, stored_m3=float(water)) for pond, water in zip(ponds, found, strict=True)]
    second = route_stores(chain(2), later, storm[:, half:], step_min=1.0)
    rest = storm.shape[1] - half
    for first, again in zip(whole.passages, second.passages, strict=True):
        np.testing.assert_allclose(again.stored_m3[:rest], first.stored_m3[half : half + rest], rtol=1e-9, atol=1e-9)


def test_a_sill_of_a_full_store_is_longer() -> None:
    """Full to the sill, nothing is kept back below it."""
    inflow, step = burst(1)[0] * 60, np.full(180, 60.0)
    full = replace(trough(3.0), stored_m3=float(trough(3.0).stage.volume_m3_at(50.6)))
    assert size_sill(full, inflow, step, head_m=0.1) > size_sill(trough(3.0), inflow, step, head_m=0.1)


def test_shortest_sill_for_a_head() -> None:
    """The sill found keeps the head, one half a metre shorter doesn't, and it is shorter than for the inflow's peak."""
    pond, inflow, step = trough(3.0), burst(1)[0] * 60, np.full(180, 60.0)
    length = size_sill(pond, inflow, step, head_m=0.05)

    def head(length_m: float) -> float:
        level = route_pond(replace(pond, sill=replace(pond.sill, length_m=length_m)), inflow, step).level_m
        return float(level.max()) - 50.6

    assert length % 0.5 == 0
    assert head(length) <= 0.05 < head(length - 0.5)
    assert length < 0.1 / (1.5 * 0.05**1.5) - 0.5


@pytest.mark.parametrize(("least", "length"), [(0.5, 0.5), (1.2, 1.2)])
def test_sill_that_is_never_reached_gets_its_least_length(least: float, length: float) -> None:
    """A store that holds all its water needs no longer sill than the least."""
    assert size_sill(box(), np.full(10, 0.5), np.full(10, 60.0), head_m=0.1, least_length_m=least) == length


def test_sills_are_sized_from_the_top_down() -> None:
    """Every swale keeps its head once all are sized, a hollow keeps its edge, and lower sills are longer."""
    ponds = [trough(), box(length_m=3.0), trough()]
    ponds[0] = replace(ponds[0], sill=replace(ponds[0].sill, length_m=0.1))
    sized = size_sills(chain(3), ponds, burst(3), step_min=1.0, head_m=0.1)
    routed = route_stores(chain(3), sized, burst(3), step_min=1.0)
    heads = routed.outcome.peak_level_m - [pond.sill.level_m for pond in sized]
    assert sized[1] is ponds[1]
    assert (heads[[0, 2]] <= 0.1).all()
    assert sized[2].sill.length_m > sized[0].sill.length_m
    assert sized[2].sill.length_m == size_sill(
        ponds[2], routed.passages[2].inflow_m3, np.diff(routed.edge_s), head_m=0.1
    )


def test_breach_hydrograph_is_a_triangle() -> None:
    """It carries its volume in its time, peaks at 2 V / T in the middle, and is the same at any steps."""
    edges = np.arange(-120.0, 721.0) / 60
    flow = breach_hydrograph(50.0, 10.0, edges)
    assert flow.sum() == pytest.approx(50.0, rel=1e-12)
    assert flow.max() == pytest.approx(2 * 50.0 / 600, rel=0.01)
    assert not flow[edges[1:] <= 0].any()
    assert not flow[edges[:-1] >= 10].any()
    coarse = breach_hydrograph(50.0, 10.0, edges[::120])
    np.testing.assert_allclose(coarse, flow.reshape(-1, 120).mean(axis=1), rtol=1e-9, atol=1e-12)


def test_breach_empties_the_store_into_the_one_below() -> None:
    """The failed store ends empty and passes on all that still comes; the store below overtops, which it did not."""
    ponds = [trough(2.0), trough(0.7), trough(0.7)]
    inflow = burst(3, peak_m3s=0.05) * np.array([[1.0], [0.3], [0.3]])
    sound = route_stores(chain(3), ponds, inflow, step_min=1.0)
    after = failed(sound, Breach(0, 5.0))
    assert_balance(after)
    before, top = sound.passages[0], after.passages[0]
    fullest = int(np.argmax(before.stored_m3))
    assert top.stored_m3[fullest] == before.stored_m3[fullest]
    assert (top.stored_m3[fullest + 5 :] < 1e-9).all()
    released = top.spilled_m3[fullest + 1 : fullest + 6].sum() - inflow[0, fullest + 1 : fullest + 6].sum() * 60
    assert released == pytest.approx(before.stored_m3[fullest], rel=1e-9)
    assert not sound.outcome.overtopped.any()
    assert after.outcome.overtopped.tolist() == [False, True, True]
    assert breach_effect(sound, Breach(0, 5.0)).failed == (1, 2)


@pytest.mark.parametrize("store", range(6))
def test_only_what_lies_below_a_breach_is_passed_again(store: int) -> None:
    """Without berms the site is the same as if the failed store's spill were given to all others anew."""
    stores = Stores(np.ones((6, 1)), np.zeros(6), np.array([2, 2, 3, -1, 3, -1], np.int32))
    ponds = [replace(trough(scale, delay_min=scale), berm=None) for scale in (0.5, 1.0, 1.5, 1.0, 0.3, 1.0)]
    sound = route_stores(stores, ponds, burst(6), step_min=1.0, longest_h=12.0)
    after = failed(sound, Breach(store, 10.0))
    step_s = np.diff(sound.edge_s)
    anew = pass_downward(
        stores,
        ponds,
        sound.own_m3,
        sound.edge_s,
        lambda k, inflow: after.passages[k] if k == store else route_pond(ponds[k], inflow, step_s),
    )
    for number, passage in anew:
        np.testing.assert_allclose(after.passages[number].spilled_m3, passage.spilled_m3, atol=1e-9)
        np.testing.assert_allclose(after.passages[number].inflow_m3, passage.inflow_m3, atol=1e-9)
    effect = breach_effect(sound, Breach(store, 10.0))
    assert effect.extra_left_m3 == pytest.approx((after.outcome.left_m3 - sound.outcome.left_m3)[-1], abs=1e-9)
    assert effect.peak_left_m3s == pytest.approx((after.left_m3 / step_s).max(), rel=1e-9)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: Weir(1.0, 0.0, 1.5), "length_m is 0"),
        (lambda: box(sill_m=-0.1), "lowest_bed_m must not exceed sill_level_m"),
        (lambda: box(berm_m=0.4), "sill_level_m must not exceed crest_level_m"),
        (lambda: box(intake_mm_h=-1.0), "intake_mm_h is -1"),
        (lambda: Breach(0, 0.0), "minutes is 0"),
        (
            lambda: route_breach(route_stores(chain(1), [box()], burst(1), step_min=1.0), Breach(1, 5.0)),
            "store 1 is to fail",
        ),
        (lambda: route_stores(chain(2), [box()], burst(2), step_min=1.0), "1 ponds and inflow of shape"),
        (lambda: route_stores(chain(1), [box()], burst(2), step_min=1.0), "for 1 stores; there must be one for each"),
        (lambda: route_stores(chain(1), [box()], -burst(1), step_min=1.0), "least_inflow_m3s is -"),
        (lambda: route_stores(chain(1), [box()], burst(1), step_min=0.0), "step_min is 0"),
        (lambda: size_sill(box(berm_m=0.6), np.ones(2), np.ones(2), head_m=0.2), "head_m must not exceed freeboard_m"),
    ],
)
def test_routing_fails(call, words: str) -> None:
    """Values that can't be are refused by name."""
    with pytest.raises(InputError, match=words):
        call()
