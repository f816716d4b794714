"""The depth of a swale for its water."""

import re

import numpy as np
import pytest

from swalekit.section.section import DepthRules, Section, SizeLimits
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.sizing import NO_LIMITS, size_swale
from swalekit.section.stage_storage import stage_storage
from swalekit.section.stations import Stations

RULES = DepthRules()


def even_stations(*, slope: float = 0.1, length_m: float = 50.0) -> Stations:
    """Stations of a line on a plane."""
    count = 11
    return Stations(
        100.0,
        np.full(count, 100.0),
        np.full(count, slope),
        np.full(count, length_m / count),
        np.full(count, 20.0),
    )


def rainy_need(shape: ShapedSwale) -> float:
    """A need that grows with the strip caught."""
    return 25.0 + 0.05 * shape.catch_m2


@pytest.mark.parametrize("slope", [0.02, 0.1, 0.2])
@pytest.mark.parametrize("need_m3", [8.0, 20.0, 45.0])
def test_least_depth_that_holds_is_chosen(slope: float, need_m3: float) -> None:
    """The depth chosen is that of a plain search from the shallowest."""
    stations = even_stations(slope=slope)
    sized = size_swale(stations, lambda _: need_m3, section=Section(), depths=RULES)
    holding = [d for d in RULES.depths_m if shape_swale(stations, d, Section()).storage_m3 >= need_m3]
    assert sized.shape.depth_m == holding[0]
    assert sized.short_m3 == 0
    assert sized.cure == ""


def test_need_may_depend_on_the_shape() -> None:
    """Rain on the strip counts at the depth chosen."""
    sized = size_swale(even_stations(), rainy_need, section=Section(), depths=RULES)
    assert sized.need_m3 == rainy_need(sized.shape)
    assert sized.shape.storage_m3 >= sized.need_m3


def test_shortfall_is_told_with_its_cure() -> None:
    """A line that can't hold its water is dug to the greatest depth, and every cure offered would hold it."""
    stations, need = even_stations(), 200.0
    sized = size_swale(stations, lambda _: need, section=Section(), depths=RULES)
    assert sized.shape.depth_m == RULES.greatest_m
    assert sized.short_m3 == pytest.approx(need - sized.shape.storage_m3)
    words = re.fullmatch(
        r"at 1\.00 m depth: a bottom ([\d.]+) m wide, or ([\d.]+) times the length, "
        r"or a line above that keeps back (\d+) m3",
        sized.cure,
    )
    assert words
    wider, longer, kept_back = map(float, words.groups())
    assert shape_swale(stations, 1.0, Section(bottom_width_m=wider)).storage_m3 >= need
    assert shape_swale(stations, 1.0, Section(bottom_width_m=wider - 0.1)).storage_m3 < need
    assert shape_swale(even_stations(length_m=50.0 * longer), 1.0, Section()).storage_m3 >= need
    assert kept_back == pytest.approx(sized.short_m3, abs=0.5)


@pytest.mark.parametrize(("more_m3", "offered"), [(-0.01, True), (0.01, False)])
def test_a_floor_of_five_metres_is_the_widest_offered(more_m3: float, offered: bool) -> None:
    """What a floor of 5 m holds it is offered for, and for no more."""
    widest_m3 = shape_swale(even_stations(), RULES.greatest_m, Section(bottom_width_m=5.0)).storage_m3
    sized = size_swale(even_stations(), lambda _: widest_m3 + more_m3, section=Section(), depths=RULES)
    assert ("a bottom 5 m wide" in sized.cure) is offered
    assert ("wide" in sized.cure) is offered


def test_cure_offers_no_absurd_width() -> None:
    """Where even a floor of 5 m isn't enough, width isn't offered."""
    sized = size_swale(even_stations(), lambda _: 5000.0, section=Section(), depths=RULES)
    assert "wide" not in sized.cure
    assert "times the length" in sized.cure


@pytest.mark.parametrize("slope", [0.02, 0.1, 0.2])
@pytest.mark.parametrize("most_water_m", [0.3, 0.4, 0.5])
@pytest.mark.parametrize("need_m3", [20.0, 45.0])
def test_narrowest_floor_that_keeps_the_limits_is_chosen(slope: float, most_water_m: float, need_m3: float) -> None:
    """As a plain search over floors and depths: narrowest first, and no other that keeps the limits has less to dig."""
    stations, limits = even_stations(slope=slope), SizeLimits(widest_floor_m=4.0, most_water_m=most_water_m)
    keeping = []
    for floor_m in limits.floors_m(0.6):
        section = Section(bottom_width_m=float(floor_m))
        shapes = (shape_swale(stations, d, section) for d in RULES.depths_m)
        shallowest = next((shape for shape in shapes if shape.storage_m3 >= need_m3), None)
        if shallowest is not None and shallowest.sill_level_m - shallowest.floor_level_m <= most_water_m:
            keeping.append(shallowest)
    sized = size_swale(stations, lambda _: need_m3, section=Section(), depths=RULES, limits=limits).shape
    if keeping:
        assert (sized.section.bottom_width_m, sized.depth_m) == (keeping[0].section.bottom_width_m, keeping[0].depth_m)
        assert sized.cut_m3 <= 1.1 * min(shape.cut_m3 for shape in keeping)  # a step of depth
    elif sized.section.bottom_width_m > 0.6:  # none keeps it when full; this one does with what it must hold
        assert stage_storage(sized).volume_m3_at(sized.floor_level_m + most_water_m) >= need_m3
        assert sized.depth_m == RULES.least_m
    assert sized.storage_m3 >= need_m3


def test_a_floor_is_widened_to_hold_what_a_narrow_one_cannot() -> None:
    """Without other limits the floor stays narrow as long as that holds, and is widened when it doesn't."""
    limits = SizeLimits(widest_floor_m=3.0)
    for need_m3, widened in ((110.0, False), (200.0, True)):
        own, free = (
            size_swale(
                even_stations(), lambda _, need_m3=need_m3: need_m3, section=Section(), depths=RULES, limits=each
            )
            for each in (NO_LIMITS, limits)
        )
        assert (own.short_m3 > 0) == widened == (free.shape.section.bottom_width_m > 0.6)
        assert free.short_m3 == 0


def test_a_floor_is_not_widened_where_its_berm_gets_too_high() -> None:
    """On steep ground a wide ditch gives more soil than a narrow one that holds as much, and a higher berm."""
    stations, water_m = even_stations(slope=0.2), 0.4
    wide, low = (
        size_swale(stations, lambda _: 45.0, section=Section(), depths=RULES, limits=limits).shape
        for limits in (SizeLimits(4.0, 0.2, water_m), SizeLimits(4.0, 0.2, water_m, most_fill_m=0.6))
    )
    assert (wide.berm_height_m > 0.6, low.berm_height_m <= 0.6) == (True, True)
    assert (wide.section.bottom_width_m > 1.0, low.section.bottom_width_m) == (True, 0.6)
