"""A section laid along a line: balance, levels, storage."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.section.areas import berm_area_m2, cut_area_m2
from swalekit.section.section import Section
from swalekit.section.shape import shape_swale
from swalekit.section.stations import Stations


def rough_stations(seed: int, *, slope: float, roughness_m: float = 0.05, count: int = 30) -> Stations:
    """Stations of a line whose ground and slope vary along it."""
    rng = np.random.default_rng(seed)
    ground = 250.0 + rng.uniform(-roughness_m, roughness_m, count)
    return Stations(
        250.0,
        ground,
        slope * rng.uniform(0.7, 1.3, count),
        np.full(count, 2.0),
        rng.uniform(5.0, 40.0, count),
        rng.uniform(-0.05, 0.05, count),
    )


@settings(deadline=None)
@given(st.integers(0, 10_000), st.floats(0.005, 0.25), st.floats(0.3, 1.0), st.floats(0.7, 1.3))
def test_berm_uses_the_spoil_of_the_whole_line(seed: int, slope: float, depth: float, fill_factor: float) -> None:
    """Berm volume is cut volume times the fill factor, at one crest level."""
    swale = shape_swale(rough_stations(seed, slope=slope), depth, Section(), fill_factor=fill_factor)
    assert swale.berm_m3 == pytest.approx(fill_factor * swale.cut_m3, rel=1e-9)


@settings(deadline=None)
@given(st.integers(0, 10_000), st.floats(0.005, 0.25), st.floats(0.3, 1.0))
def test_cut_crest_and_storage_rise_with_depth(seed: int, slope: float, depth: float) -> None:
    """A deeper ditch gives more spoil and holds more water."""
    stations = rough_stations(seed, slope=slope)
    shallow, deep = (shape_swale(stations, dug_m, Section()) for dug_m in (depth, depth + 0.02))
    assert deep.cut_m3 > shallow.cut_m3
    assert deep.storage_m3 > shallow.storage_m3
    assert deep.catch_m2 > shallow.catch_m2
    assert deep.strip_m2 > shallow.strip_m2


def test_floor_and_crest_are_level() -> None:
    """Ground that rises along the line is dug deeper and its berm is lower."""
    stations = rough_stations(1, slope=0.1)
    swale = shape_swale(stations, 0.5, Section())
    np.testing.assert_allclose(stations.ground_m - swale.station_depth_m, swale.floor_level_m)
    np.testing.assert_allclose(stations.ground_m + swale.station_crest_m, swale.crest_level_m)
    assert swale.sill_level_m == pytest.approx(swale.crest_level_m - 0.15)


def test_ground_below_the_floor_is_not_dug_at_the_stake() -> None:
    """Where the ground lies below the floor level the dig depth is zero."""
    stations = Stations(100.0, np.array([100.0, 99.5]), np.full(2, 0.1), np.ones(2), np.full(2, 10.0))
    assert shape_swale(stations, 0.3, Section()).station_depth_m.tolist() == pytest.approx([0.3, 0.0])


def test_even_ground_has_the_section_of_one_station() -> None:
    """On even ground every station of a ring has the same areas, and volumes are those times the length."""
    stations = Stations(100.0, np.full(11, 100.0), np.full(11, 0.1), np.full(11, 5.0), np.full(11, 20.0), closed=True)
    swale = shape_swale(stations, 0.5, Section())
    assert swale.cut_m3 == pytest.approx(55.0 * float(cut_area_m2(Section(), 0.5, 0.1)))
    berm = float(berm_area_m2(Section(), swale.crest_level_m - 100.0, 0.5, 0.1))
    assert berm == pytest.approx(0.9 * float(cut_area_m2(Section(), 0.5, 0.1)))
    assert swale.storage_m3 == pytest.approx(55.0 * float(swale.storage_area_m2[0]))


def test_line_with_nothing_to_dig_has_no_berm() -> None:
    """On flat ground that lies below the floor level nothing is dug, heaped up or held."""
    stations = Stations(100.0, np.full(3, 99.5), np.zeros(3), np.ones(3), np.full(3, 10.0))
    swale = shape_swale(stations, 0.3, Section())
    assert (swale.cut_m3, swale.berm_m3, swale.storage_m3) == (0.0, 0.0, 0.0)


def test_shape_does_not_depend_on_the_height_of_the_site() -> None:
    """A site 430 m below the sea has the same volumes."""
    high = rough_stations(5, slope=0.08)
    low = Stations(
        high.level_m - 680.0, high.ground_m - 680.0, high.slope, high.width_m, high.reach_m, high.curvature_per_m
    )
    above, below = (shape_swale(stations, 0.6, Section()) for stations in (high, low))
    assert below.storage_m3 == pytest.approx(above.storage_m3, rel=1e-8)
    assert below.crest_level_m == pytest.approx(above.crest_level_m - 680.0, abs=1e-8)


def test_small_bump_leaves_the_berm_continuous() -> None:
    """As ground along the line rises through the crest level, the berm there fades to nothing without a jump."""
    crest = np.linspace(-1.0, 0.5, 4001)
    area = berm_area_m2(Section(), crest, 0.5, 0.2)
    assert area[0] == 0
    assert np.all(np.diff(area) >= 0)
    assert np.diff(area).max() < 4e-3


@pytest.mark.parametrize(
    ("name", "value", "words"),
    [
        ("slope", -0.1, "slope at station 1 of the line at 100.00 m is -0.1; it must be zero or greater"),
        ("ground_m", np.nan, "ground_m at station 1 of the line at 100.00 m is nan; it must be a finite number"),
        ("reach_m", np.inf, "reach_m at station 1"),
    ],
)
def test_stations_fail(name: str, value: float, words: str) -> None:
    """A station with a value that can't be is named."""
    arrays = {
        key: np.full(2, 100.0 if key == "ground_m" else 0.1)
        for key in ("ground_m", "slope", "width_m", "reach_m", "curvature_per_m")
    }
    arrays[name][1] = value
    with pytest.raises(InputError, match=words):
        Stations(100.0, **arrays)


def test_line_on_ground_too_steep_for_its_section_fails() -> None:
    """A hillside steeper than the berm's face is refused with station and way out."""
    stations = Stations(100.0, np.full(3, 100.0), np.array([0.1, 0.6, 0.1]), np.ones(3), np.full(3, 10.0))
    with pytest.raises(InputError, match=r"never meets the ground at station 1, where it falls 0\.60 m a metre"):
        shape_swale(stations, 0.5, Section())


def test_curvature_is_the_turn_over_the_length() -> None:
    """Round a knoll it is one over the radius, in a basin minus that, and the turns of a ring sum to a circle."""
    angle = np.linspace(0.0, 2 * np.pi, 73)[:-1]
    ring = 20.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    for xy, sign in ((ring, 1.0), (ring[::-1], -1.0)):
        line = LevelLine(10.0, True, np.ascontiguousarray(xy), np.full(72, 10.0), np.full(72, 0.1))
        curvature = np.asarray(Stations.of_line(line, np.full(72, 20.0)).curvature_per_m)
        np.testing.assert_allclose(curvature, sign / 20.0, rtol=1e-3)
        assert curvature @ line.width_m == pytest.approx(sign * 2 * np.pi)


def test_ends_of_an_open_line_are_straight() -> None:
    """The ends of an open line have no turn, and neither has a straight line."""
    xy = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0], [6.0, 1.0]])
    line = LevelLine(10.0, False, xy, np.full(4, 10.0), np.full(4, 0.1))
    curvature = np.asarray(Stations.of_line(line, np.full(4, 20.0)).curvature_per_m)
    assert curvature[[0, 1, 3]].tolist() == [0.0, 0.0, 0.0]
    assert curvature[2] > 0


def test_berm_without_room_inside_a_bend_fails() -> None:
    """Where every bend is tighter than the berm is far, no berm can be built."""
    stations = Stations(
        100.0, np.full(3, 100.0), np.full(3, 0.1), np.ones(3), np.full(3, 10.0), np.full(3, -2.0), closed=True
    )
    with pytest.raises(InputError, match=r"the spoil of the line at 100\.00 m, .* follow wider bends"):
        shape_swale(stations, 0.5, Section())
