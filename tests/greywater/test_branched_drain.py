"""A branched drain and a compost toilet by hand."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.greywater.branched_drain import BasinNeed, basin_need, branched_drain
from swalekit.greywater.compost_toilet import CompostToilet, toilet_cautions


@pytest.mark.parametrize(
    ("litres", "texture", "intake", "loading", "count"),
    [
        (400.0, "sandy loam", None, 101.9, 2),  # 3.9 m² by 2.5 gal/ft² d
        (1200.0, "sandy loam", None, 101.9, 4),  # 11.8 m²: four of 2.9
        (400.0, "loam", 1.7, 40.8, 4),  # a day of intake is less than the code's loading: 9.8 m²
        (400.0, "clay", 0.15, 3.6, 16),  # 111 m²: no more than sixteen, each larger
    ],
)
def test_basins_by_flow_over_loading(litres: float, texture: str, intake: float, loading: float, count: int) -> None:
    """Area = flow / loading, in a power of two of basins that are no larger than usual, up to sixteen."""
    need = basin_need(litres / 1000.0, texture, intake)
    assert need.loading_mm_d == pytest.approx(loading)
    assert need.count == count
    assert need.area_m2 == pytest.approx(litres / loading)
    assert need.basin_m2 * need.count == pytest.approx(need.area_m2)


def test_no_more_basins_than_trees() -> None:
    """With seven trees four basins are reached, with one a single one; none is refused."""
    assert basin_need(5.0, "sandy loam", None, most=7).count == 4
    assert basin_need(5.0, "sandy loam", None, most=1).count == 1
    with pytest.raises(InputError, match="no basin can be reached"):
        basin_need(5.0, "sandy loam", None, most=0)


@pytest.mark.parametrize("count", [1, 2, 4, 8, 16])
def test_every_way_falls_by_the_grade_and_halves_the_flow(count: int) -> None:
    """From the first split each basin is come to once, over as many splits as its power of two."""
    random = np.random.default_rng(count)
    basins = np.column_stack([20.0 + 10.0 * random.random(count), 30.0 * random.random(count)])
    need = BasinNeed(0.8, 40.0, count)
    drain = branched_drain(need, (0.0, 10.0), 50.0, basins, np.full(count, 45.0), grade=0.02)
    straight_m = np.hypot(*(basins - np.array([0.0, 10.0])).T).sum()
    assert drain.length_m <= straight_m + 1e-9
    assert len(drain.legs_m) == 2 * count - 1
    starts = {tuple(leg[0].round(9)) for leg in drain.legs_m}
    ends = [tuple(leg[1].round(9)) for leg in drain.legs_m]
    assert len(set(ends)) == len(ends)
    before = {tuple(leg[1].round(9)): leg for leg in drain.legs_m}
    for basin, arrival in zip(basins, drain.arrival_m, strict=True):
        place, length, splits = tuple(basin.round(9)), 0.0, 0
        while place in before:
            leg = before[place]
            length += float(np.hypot(*(leg[1] - leg[0])))
            place, splits = tuple(leg[0].round(9)), splits + 1
        assert place == (0.0, 10.0)
        assert splits == int(np.log2(count)) + 1
        assert arrival == pytest.approx(min(50.0 - 0.02 * length, 44.9))
    assert (0.0, 10.0) in starts
    assert drain.litres_each * count == pytest.approx(800.0)


def test_places_must_be_as_many_as_basins() -> None:
    """Three places for four basins end in one line."""
    with pytest.raises(InputError, match="4 basins are needed and 3 places given"):
        branched_drain(BasinNeed(0.4, 50.0, 4), (0.0, 0.0), 9.0, np.zeros((3, 2)), np.zeros(3), grade=0.02)


def test_toilet_by_hand() -> None:
    """Five people, 150 L a year, two years: 1.5 m³ and a fifth free; half becomes compost, spread 2 cm deep."""
    toilet = CompostToilet(5.0)
    assert toilet.chamber_m3 == pytest.approx(5 * 0.150 * 2.0 * 1.2)
    assert toilet.cover_m3_yr == pytest.approx(5 * 0.240)
    assert toilet.compost_m3_yr == pytest.approx(0.375)
    assert toilet.spread_m2 == pytest.approx(18.75)
    assert CompostToilet(5.0, rest_months=12.0).chamber_m3 == pytest.approx(0.9)
    assert "24 months" in toilet_cautions(toilet)["compost toilet"]
    with pytest.raises(InputError, match="people"):
        CompostToilet(0.0)
