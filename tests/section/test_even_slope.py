"""Ditch and berm on an even slope, against polygons of their section."""

import numpy as np
import pytest
import shapely

from swalekit import DepthRules, Section, ditch_for_runoff, storage_by_depth
from swalekit.errors import InputError
from swalekit.section import ShapedSwale, profile


def pond(shape: ShapedSwale, level_m: float) -> shapely.Geometry:
    """Water across the section up to a level above the stake's ground, joined to the ditch."""
    slope = float(shape.stations.slope[0])
    x, y = (rows.ravel() for rows in profile(shape.section, shape.depth_m, shape.crest_level_m, slope, reach_m=100.0))
    surface = shapely.Polygon([*zip(x, y, strict=True), (x[-1], 50.0), (x[0], 50.0)])
    wet = surface.intersection(shapely.box(x[0], -50.0, x[-1], level_m))
    parts = shapely.get_parts(wet)
    return next(part for part in parts if part.distance(shapely.Point(0.0, -shape.depth_m)) < 1e-6)


@pytest.mark.parametrize(("runoff_m3", "slope"), [(30.0, 0.02), (40.0, 0.1), (60.0, 0.1), (30.0, 0.2)])
def test_the_shallowest_ditch_that_holds_a_runoff(runoff_m3, slope):
    """The depth found holds the runoff by the polygon of its pond, and one step less doesn't."""
    found = ditch_for_runoff(runoff_m3, length_m=50.0, slope=slope)
    shape = found.shape
    assert shape.storage_m3 == pytest.approx(50.0 * pond(shape, shape.sill_level_m).area, rel=1e-6)
    assert shape.storage_m3 >= runoff_m3
    shallower = ditch_for_runoff(
        runoff_m3, length_m=50.0, slope=slope, depths=DepthRules(0.1, shape.depth_m - 0.05, shape.depth_m - 0.15)
    )
    assert shallower.short_m3 > 0
    assert shallower.shape.depth_m == pytest.approx(shape.depth_m - 0.05)


def test_soil_and_width_by_hand():
    """On nearly flat ground cut is a trapezoid, width its top, and the berm takes nine tenths of the cut."""
    found = ditch_for_runoff(1.0, length_m=10.0, slope=1e-9, depths=DepthRules(0.5, 0.5, 0.1))
    assert found.shape.cut_m3 == pytest.approx(10.0 * (0.6 + 1.5 * 0.5) * 0.5)
    assert found.shape.top_width_m == pytest.approx(0.6 + 2 * 1.5 * 0.5)
    assert found.shape.berm_m3 == pytest.approx(0.9 * found.shape.cut_m3, rel=1e-6)


def test_too_much_runoff_says_what_is_lacking():
    """Where the deepest ditch is too small, the rest and a cure are told."""
    found = ditch_for_runoff(500.0, length_m=50.0, slope=0.1)
    assert found.short_m3 == pytest.approx(500.0 - found.shape.storage_m3)
    assert "times the length" in found.cure


@pytest.mark.parametrize("slope", [0.05, 0.15])
def test_storage_by_depth(slope):
    """At every depth the table holds what the polygon of the pond does; in the ditch alone (b + z h) h."""
    table = storage_by_depth(0.6, slope=slope, length_m=20.0)
    shape = ditch_for_runoff(0.0, length_m=20.0, slope=slope, depths=DepthRules(0.6, 0.6, 0.1)).shape
    assert table.level_m[0] == 0.0
    assert table.level_m[-1] == pytest.approx(shape.crest_level_m + 0.6)
    assert np.diff(table.level_m).max() <= 0.05 + 1e-9
    for depth_m, volume_m3 in zip(table.level_m, table.volume_m3, strict=True):
        if depth_m < 0.3:
            assert volume_m3 == pytest.approx(20.0 * (0.6 + 1.5 * depth_m) * depth_m, abs=1e-6)
        assert volume_m3 <= 20.0 * pond(shape, max(depth_m - 0.6, -0.5999)).area * (1.0 + 1e-6) + 1e-3
    assert table.volume_m3_at(shape.sill_level_m + 0.6) == pytest.approx(shape.storage_m3)


@pytest.mark.parametrize(
    ("given", "words"),
    [
        ({"length_m": 0.0, "slope": 0.1}, "length_m"),
        ({"length_m": 5.0, "slope": -0.1}, "slope"),
        ({"length_m": 5.0, "slope": 0.7}, "never meets the ground"),
    ],
)
def test_what_cant_be_dug_is_told(given, words):
    """Lengths and slopes out of range name themselves."""
    with pytest.raises(InputError, match=words):
        ditch_for_runoff(5.0, section=Section(), **given)
