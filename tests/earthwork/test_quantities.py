"""Volumes, quantities and cost against printed examples."""

import numpy as np
import pytest

from swalekit.contours.line import LevelLine
from swalekit.earthwork.cost import Rates, job_cost, machine_hours, swale_cost
from swalekit.earthwork.quantities import end_area_volume_m3, measure_quantities
from swalekit.errors import InputError
from swalekit.section.areas import cut_area_m2
from swalekit.section.section import Section
from swalekit.section.shape import shape_swale
from swalekit.section.stations import Stations


def test_basak_page_241_problem_1() -> None:
    """Cutting of 10 m bottom and 1.5:1 sides: 5096.8 m³."""
    depth = np.array([0.90, 1.25, 2.15, 2.50, 1.85, 1.35, 0.85])
    area = cut_area_m2(Section(bottom_width_m=10.0), depth, 0.0)
    assert end_area_volume_m3(area, 40.0 * np.arange(7)) == pytest.approx(5096.8, abs=0.1)


def test_basak_page_245_problem_4() -> None:
    """Areas within contours 5 m apart: 330 375 m³."""
    area = [2050.0, 8400.0, 16300.0, 24600.0, 31500.0]
    assert end_area_volume_m3(area, 5.0 * np.arange(5)) == pytest.approx(330_375, abs=1)


def test_basak_page_248_problem_8() -> None:
    """Two-level sections 50 m apart: 830.625 m³."""
    assert end_area_volume_m3([14.25, 18.975], [0.0, 50.0]) == pytest.approx(830.625, abs=0.001)


def test_basak_page_249_problem_9_cut() -> None:
    """Side-hill cut 50 m long, 10 m floor, ground 5:1, side 1:1: 401.56 m³."""
    section = Section(bottom_width_m=10.0, uphill_side_slope=1.0)
    first, last = cut_area_m2(section, [0.5, 0.7], 0.2)
    assert end_area_volume_m3([first, last], [0.0, 50.0]) == pytest.approx(401.56, abs=0.01)


def test_basak_page_249_problem_9_fill() -> None:
    """Fill of the same section, 1.04167 and 0.375 m²: 35.42 m³."""
    first, last = ((5.0 - 5.0 * h) ** 2 / (2.0 * (5.0 - 2.0)) for h in (0.5, 0.7))
    assert (first, last) == pytest.approx((1.04167, 0.375), abs=1e-5)
    assert end_area_volume_m3([first, last], [0.0, 50.0]) == pytest.approx(35.42, abs=0.01)


def test_areas_that_grow_as_a_square_are_overstated() -> None:
    """Areas of a frustum, 4 to 9 over 10 m, hold 63.3 m³: end areas give 2.6 % too much, far less between stations."""
    exact = (4.0 + 6.0 + 9.0) / 3.0 * 10.0
    assert end_area_volume_m3([4.0, 9.0], [0.0, 10.0]) == pytest.approx(1.026 * exact, rel=1e-3)
    at = np.linspace(0.0, 10.0, 101)
    assert end_area_volume_m3((2.0 + 0.1 * at) ** 2, at) == pytest.approx(exact, rel=1e-5)


def test_closed_line_is_joined_to_its_start() -> None:
    """A ring has no ends: where it is cut open doesn't matter."""
    rng = np.random.default_rng(4)
    area, chainage = rng.uniform(0.5, 2.0, 12), 3.0 * np.arange(12)
    whole = end_area_volume_m3(area, chainage, closed_length_m=36.0)
    assert whole == pytest.approx(3.0 * area.sum())
    assert end_area_volume_m3(np.roll(area, 5), chainage, closed_length_m=36.0) == pytest.approx(whole)


@pytest.mark.parametrize("chainage", [[0.0, 5.0, 5.0], [0.0, 5.0, 4.0]])
def test_chainage_that_does_not_rise_fails(chainage: list[float]) -> None:
    """Stations must follow each other along the line."""
    with pytest.raises(InputError, match="chainage_m goes from 5 to"):
        end_area_volume_m3([1.0, 1.0, 1.0], chainage)


@pytest.mark.parametrize("closed", [False, True])
def test_quantities_agree_with_sizing(closed: bool) -> None:
    """End areas over the line's chainage give the volumes that sizing balanced, swollen and stripped as asked."""
    angle = np.linspace(0, 2 * np.pi if closed else 2.0, 91)[:90]
    xy = 60.0 * np.column_stack([np.cos(angle), -np.sin(angle)])
    ground = 80.0 + 0.05 * np.sin(3 * angle)
    line = LevelLine(80.0, closed, xy, ground, np.full(90, 0.12))
    stations = Stations.of_line(line, np.full(90, 20.0))
    shape = shape_swale(stations, 0.5, Section())
    measured = measure_quantities(line, shape, swell_percent=25.0, topsoil_depth_m=0.2)
    assert measured.dug_m3 == pytest.approx(shape.cut_m3, rel=1e-9)
    assert measured.berm_m3 == pytest.approx(shape.berm_m3, rel=1e-9)
    assert measured.loose_m3 == pytest.approx(1.25 * shape.cut_m3)
    assert measured.balance_m3 == pytest.approx(0.0, abs=1e-5)
    assert measured.topsoil_m3 == pytest.approx(0.2 * measured.strip_m2)


def test_cost_sums_the_prices_that_are_known() -> None:
    """Hours, earth and metres are each priced if their price is known; mobilisation counts once a job."""
    rates = Rates(machine_m3_per_h=20.0, machine_per_h=80.0, dig_per_m3=1.5, swale_per_m=2.0, mobilisation=350.0)
    assert machine_hours(100.0, rates) == 5.0
    assert swale_cost(100.0, 60.0, rates) == 5 * 80 + 150 + 120
    assert job_cost([670.0, None, 30.0], rates) == 1050.0


def test_no_price_makes_no_cost() -> None:
    """Without a price there is no cost, rather than a cost of nothing."""
    assert swale_cost(100.0, 60.0, Rates(mobilisation=350.0)) is None
    assert job_cost([None, None], Rates(mobilisation=350.0)) is None


@pytest.mark.parametrize("rates", [{"machine_m3_per_h": 0.0}, {"swale_per_m": -1.0}, {"mobilisation": np.nan}])
def test_rates_fail(rates: dict[str, float]) -> None:
    """A rate that can't be is named."""
    with pytest.raises(InputError, match=next(iter(rates))):
        Rates(**rates)
