"""Water, soil and size of a unit by itself."""

import numpy as np
import pytest
from skimage.morphology import reconstruction

from swalekit.errors import InputError
from swalekit.microcatchments.negarim import bund_height_m, corner_water_m3, wall_m3
from swalekit.microcatchments.semicircle import (
    half_disc_water_m3,
    published_height_m,
    row_pitch_m,
    semi_circular_height_m,
    semi_circular_m3,
    tip_pitch_m,
)
from swalekit.microcatchments.sizing import negarim_size, semi_circular_choices, trees_of_bund
from swalekit.planting.water.harvest_ratio import probable_rain_mm, tree_microcatchment_m2
from swalekit.tables.microcatchments import negarim_sizes, semi_circular_sizes

OWN_SERIES = [260, 230, 210, 180, 170, 150, 140, 120, 95, 80]


def filled_m3(ground, cell_m):
    """Water that stands in hollows of a raster: the least surface that drains, less the ground."""
    start = np.full_like(ground, ground.max())
    start[[0, -1]], start[:, [0, -1]] = ground[[0, -1]], ground[:, [0, -1]]
    return float((reconstruction(start, ground, method="erosion") - ground).sum()) * cell_m**2


@pytest.mark.parametrize(
    ("side_m", "slope", "depth_m"), [(5, 0.02, 0.05), (5, 0.05, 0.15), (8, 0.04, 0.3), (6, 0.01, 0.2)]
)
def test_water_of_a_negarim_against_a_filled_raster(side_m, slope, depth_m):
    """Walls so high that only a notch at the lowest corner's level lets water out: the fill of a fine raster."""
    cell_m, half = 0.02, side_m / np.sqrt(2.0)
    at = np.arange(-half - 0.3, half + 0.3, cell_m)
    across, down = np.meshgrid(at, at)
    ground = -slope * down
    inside = np.abs(across) + np.abs(down) < half
    crest = -slope * half + depth_m
    filled = filled_m3(
        np.where(inside, ground, np.where(np.abs(across) + np.abs(down) < half + 0.15, crest, -9.0)), cell_m
    )
    assert filled == pytest.approx(float(corner_water_m3(depth_m, side_m, slope)), rel=0.02)


def test_water_behind_a_corner():
    """Geometry: h³ / (3 s²) for h 0.05 m on 2 %: 0.1042 m³; its arms are h √2 / s = 3.54 m long, within 5 m."""
    assert float(corner_water_m3(0.05, 5.0, 0.02)) == pytest.approx(0.1042, abs=5e-5)


def test_water_of_a_negarim_against_slices():
    """Widths of the square times depths, slice by slice, for three hundred units."""
    cases = np.random.default_rng(3).uniform([0.0, 3.0, 0.0], [1.0, 15.0, 0.15], (300, 3))
    for depth_m, side_m, slope in cases:
        diagonal = side_m * np.sqrt(2.0)
        up = (np.arange(4000) + 0.5) / 4000 * diagonal
        width = np.minimum(up, diagonal - up) * 2.0
        slices = float((width * np.maximum(depth_m - slope * up, 0.0)).mean() * diagonal)
        assert float(corner_water_m3(depth_m, side_m, slope)) == pytest.approx(slices, rel=1e-3, abs=1e-6)


@pytest.mark.parametrize(("radius_m", "slope", "published"), [(6, 0.01, 1.44), (20, 0.02, 106.667), (10, 0.04, 26.667)])
def test_water_of_a_half_moon_against_a_filled_raster(radius_m, slope, published):
    """Geometry: (2/3) r³ s, and the fill of a fine raster whose bund stops at the tips."""
    assert float(half_disc_water_m3(radius_m, slope)) == pytest.approx(published, rel=1e-4)
    cell_m = radius_m / 150.0
    at = np.arange(-1.4 * radius_m, 1.4 * radius_m, cell_m)
    across, down = np.meshgrid(at, at)
    away = np.hypot(across, down)
    bund = (down > 0.0) & (away > radius_m) & (away < 1.05 * radius_m)
    filled = filled_m3(np.where(bund, 9.0, -slope * down), cell_m)
    assert filled == pytest.approx(published, rel=0.03)


def test_wall_of_25_cm_is_the_published_one():
    """Two walls of 5 m and 25 cm are the table's 1.25 m³; a bund on a steeper slope takes more."""
    flat = wall_m3(5.0, 0.25, 0.0, 0.0)
    steep = wall_m3(5.0, bund_height_m(5.0, 0.05), 0.0, 0.05 * 5.0 / np.sqrt(2.0))
    assert 2.0 * float(flat) == pytest.approx(1.25)
    assert steep > flat


def test_wall_against_its_section_by_hand():
    """Crest level from 0.40 m to 0.30 m above rising ground: the mean of h (0.25 + h) by Simpson is exact."""
    by_hand = 6.0 / 6.0 * sum(weight * h * (0.25 + h) for weight, h in ((1, 0.40), (4, 0.35), (1, 0.30)))
    assert float(wall_m3(6.0, 0.40, 0.0, 0.10)) == pytest.approx(by_hand, rel=1e-3)


@pytest.mark.parametrize("row", semi_circular_sizes(), ids=lambda row: f"{row.radius_m:g} m")
def test_half_moon_has_the_published_soil_and_catchment(row):
    """Its volume is the table's, and its rows and tips give the table's bunds a hectare."""
    height_m = float(semi_circular_height_m(row, row.greatest_slope_percent / 100.0))
    assert height_m == pytest.approx(published_height_m(row), abs=0.005)
    assert float(semi_circular_m3(row.radius_m, height_m)) == pytest.approx(row.earthwork_m3, rel=0.02)
    assert 10_000.0 / (row_pitch_m(row) * tip_pitch_m(row)) == pytest.approx(row.bunds_per_ha, rel=0.02)


def test_citrus_of_critchley_and_siegert_needs_ten_metres():
    """Ch. 4.4: citrus, MC 74 m²; whether that is the total or the catchment alone (84.3 m² in all), 10 m by 10 m."""
    catchment_m2 = tree_microcatchment_m2(10.0, 1000.0, 350.0, runoff_coefficient=0.5, efficiency=0.5)
    assert catchment_m2 == pytest.approx(74.29, abs=0.01)
    assert negarim_size(catchment_m2, 10.0).side_m == negarim_size(catchment_m2 - 10.0, 10.0).side_m == 10.0


@pytest.mark.parametrize(
    ("rooted", "needed", "rain", "coefficient", "efficiency", "catchment"),
    [
        (10, 400, 150, 0.4, 0.5, 83.33),
        (8, 300, 200, 0.3, 0.6, 22.22),
        (12, 500, 250, 0.25, 0.5, 96.0),
        (10, 265, 300, 0.4, 0.5, 0.0),
    ],
)
def test_catchment_of_a_tree(rooted, needed, rain, coefficient, efficiency, catchment):
    """MC = RA (WR − DR) / (DR K EFF), and none where rain alone is enough: then the smallest unit holds the roots."""
    found = tree_microcatchment_m2(rooted, needed, rain, runoff_coefficient=coefficient, efficiency=efficiency)
    assert found == pytest.approx(catchment, abs=0.01)
    size = negarim_size(found, rooted)
    smaller = [row for row in negarim_sizes() if row.side_m < size.side_m]
    assert size.side_m**2 >= found + rooted
    assert all(row.side_m**2 < found + rooted for row in smaller)


def test_sizing_on_the_mean_year_is_too_small():
    """Two years in three have 135 mm, the mean is 163.5 mm: a tree sized on the mean gets 26 % less ground."""
    probable = probable_rain_mm(OWN_SERIES, 67.0)
    assert probable == pytest.approx(135.15, abs=0.01)
    sizes = [
        tree_microcatchment_m2(10.0, 400.0, rain, runoff_coefficient=0.4, efficiency=0.5)
        for rain in (probable, float(np.mean(OWN_SERIES)))
    ]
    assert sizes == pytest.approx([97.98, 72.32], abs=0.05)


def test_half_moons_for_a_tree():
    """The smallest whose catchment waters a tree, and the variant for steeper ground; more trees in a larger one."""
    assert [row.radius_m for row in semi_circular_choices(74.3)] == [6.0, 10.0]
    assert [row.radius_m for row in semi_circular_choices(90.0)] == [10.0]
    assert [row.radius_m for row in semi_circular_choices(600.0)] == [20.0]
    assert [trees_of_bund(row, 74.3) for row in semi_circular_sizes()] == [1, 6, 25]
    assert [trees_of_bund(row, 0.0) for row in semi_circular_sizes()] == [5, 16, 63]


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: negarim_size(300.0, 10.0), "310 m² asks for a negarim of 17.6 m, and none is published above 15 m"),
        (lambda: semi_circular_choices(2500.0), "a catchment of 2500 m² has no published semi-circular bund"),
        (lambda: negarim_size(-1.0, 10.0), "catchment_m2 is -1; it must be zero or greater"),
    ],
)
def test_a_tree_beyond_the_tables_fails(call, words):
    """The way out is said."""
    with pytest.raises(InputError, match=words):
        call()
