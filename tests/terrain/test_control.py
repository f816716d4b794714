"""A tile judged and corrected by points measured on bare ground."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import given
from hypothesis import strategies as st
from measured_ground import EAST, GRID, NORTH, SOUTH, WEST, ground, measured, points_at, tilt_and_bowl, truth_m

from swalekit.errors import InputError
from swalekit.formats.terrain.mapped_arrays import MappedArrays
from swalekit.grid import Grid
from swalekit.terrain.control import TerrainControl
from swalekit.terrain.control_fit import control_of
from swalekit.terrain.correction import judged_by_points
from swalekit.terrain.error_surface import KINDS, fit_surface
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain, cells_within


def rms(values) -> float:
    """Root mean square."""
    return float(np.sqrt(np.mean(np.square(values))))


def off_truth_m(terrain: Terrain) -> float:
    """Root mean square of a tile's heights less those of the ground [m]."""
    return rms(terrain.heights - truth_m(*GRID.centres(*np.mgrid[0:100, 0:100])))


def moved(points, place: int, by_m: float):
    """Points of which one is measured wrong."""
    height_m = points.height_m.copy()
    height_m[place] += by_m
    return replace(points, height_m=height_m)


@pytest.mark.parametrize("kind", KINDS)
def test_leave_one_out_is_the_fit_without_the_point(kind):
    """Errors and their studentised size from the hat matrix are those of n surfaces, each fitted without a point."""
    random = np.random.default_rng(3)
    x_m, y_m = 3.0e5 + random.uniform(0.0, 700.0, 15), 4.0e6 + random.uniform(0.0, 200.0, 15)
    error_m = random.normal(0.0, 0.05, 15)
    whole = fit_surface(kind, x_m, y_m, error_m)
    for place in range(15):
        others = np.delete(np.arange(15), place)
        left = fit_surface(kind, x_m[others], y_m[others], error_m[others])
        foretold_m = error_m[place] - float(left.at(x_m[place], y_m[place]))
        assert whole.leave_one_out_m[place] == pytest.approx(foretold_m, rel=1e-7, abs=1e-12)
        variance = np.sum((error_m[others] - left.at(x_m[others], y_m[others])) ** 2)
        terms = {"none": 0, "shift": 1, "plane": 3, "bowl": 6}[kind]
        own = (error_m[place] - float(whole.at(x_m[place], y_m[place]))) / foretold_m
        expected = foretold_m * np.sqrt(own / (variance / (14 - terms)))
        assert whole.studentised[place] == pytest.approx(expected, rel=1e-6)


def test_a_surface_knows_how_well_it_is_known():
    """The scatter of 400 fitted bowls, amid the points and well beyond them, is the standard error that each tells."""
    random = np.random.default_rng(5)
    x_m, y_m = random.uniform(0.0, 100.0, (2, 30))
    fitted = [fit_surface("bowl", x_m, y_m, random.normal(0.0, 0.05, 30)) for _ in range(400)]
    places = np.array([50.0, 0.0, 180.0]), np.array([50.0, 0.0, -60.0])
    scatter_m = np.std([surface.at(*places) for surface in fitted], axis=0)
    told_m = np.sqrt(np.mean([surface.sigma_at(*places) ** 2 for surface in fitted], axis=0))
    np.testing.assert_allclose(told_m, scatter_m, rtol=0.12)
    assert told_m[2] > 10.0 * told_m[0]


def test_a_lone_point_foretells_nothing():
    """A shift through one point has no leave-one-out error."""
    assert np.isnan(fit_surface("shift", np.zeros(1), np.zeros(1), np.ones(1)).leave_one_out_m).all()


@pytest.mark.parametrize(("count", "seed"), [(25, 1), (25, 2), (30, 3), (30, 4), (35, 5), (40, 6), (40, 7)])
def test_tilt_and_bowl_are_found_and_taken_out(count, seed):
    """12 cm of tilt and 20 cm of bowl, by points of 2 cm noise: the ground is right to 2 cm (RMS) afterwards."""
    before = ground(tilt_and_bowl)
    points = measured(count, seed)
    after = judged_by_points(before, points, correction="fitted")
    assert off_truth_m(before) > 0.08
    assert off_truth_m(after) < 0.02
    assert after.control.taken_out.kind == "bowl"
    planted_m = np.ptp(tilt_and_bowl(points.easting_m, points.northing_m, tilt_m=0.0))
    assert after.control.bowl_m == pytest.approx(planted_m, abs=0.04)
    assert 0.014 < after.vertical_sigma_m < 0.035
    assert rms(after.control.left_m) < 0.03


def test_a_tilt_has_size_and_direction():
    """The tile rises eastward by 12 cm in 400 m beyond the ground, so its error falls westward."""
    tile = ground(lambda x, y: tilt_and_bowl(x, y, bowl_m=0.0))
    after = judged_by_points(tile, measured(30, 2, noise_m=0.005), correction="fitted")
    slope, azimuth = after.control.tilt
    assert after.control.taken_out.kind == "plane"
    assert (slope, azimuth) == (pytest.approx(0.03, abs=0.003), pytest.approx(270.0, abs=6.0))
    assert off_truth_m(after) < 0.005


@pytest.mark.parametrize("count", [12, 25, 40])
def test_noise_makes_no_bowl(count):
    """Of 60 sites whose tile is right at most 3 get more than a shift."""
    tile = ground()
    kinds = [control_of(tile, measured(count, seed)).chosen.kind for seed in range(60)]
    assert sum(kind in ("plane", "bowl") for kind in kinds) <= 3
    assert kinds.count("none") >= 50


def test_a_tilt_of_four_times_the_noise_is_seen():
    """Of 40 sites whose tile tilts by 8 cm, with points of 2 cm noise, at least 36 get a plane."""
    tile = ground(lambda x, y: tilt_and_bowl(x, y, tilt_m=0.08, bowl_m=0.0))
    assert sum(control_of(tile, measured(30, seed)).chosen.kind == "plane" for seed in range(40)) >= 36


def test_a_shift_is_a_shift():
    """A tile 30 cm too high throughout is lowered by that."""
    after = judged_by_points(ground(lambda x, y: 0.3 + 0.0 * x), measured(20, 1), correction="fitted")
    assert after.control.taken_out.kind == "shift"
    assert off_truth_m(after) < 0.01


@pytest.mark.parametrize("by_m", [0.8, -0.8])
@pytest.mark.parametrize("seed", range(4))
def test_an_outlier_is_named_and_left_out(by_m, seed):
    """A point 0.8 m off is told by name, and changes nothing."""
    points = moved(measured(30, seed), 11, by_m)
    after = judged_by_points(ground(tilt_and_bowl), points, correction="fitted")
    assert after.control.names(after.control.outlier) == ("P12",)
    assert off_truth_m(after) < 0.02
    high_or_low = "low" if by_m > 0 else "high"
    assert any("outliers" in note and f"m too {high_or_low} at P12" in note for note in after.notes)


def test_outliers_do_not_hide_each_other():
    """Four points of 40, each 0.8 m off to one side."""
    points = measured(40, 5)
    for place in (3, 14, 22, 37):
        points = moved(points, place, 0.8)
    assert control_of(ground(tilt_and_bowl), points).names(control_of(ground(tilt_and_bowl), points).outlier) == (
        "P4", "P15", "P23", "P38",
    )  # fmt: skip


def test_good_points_are_rarely_outliers():
    """Of 100 sites of good points at most 4 name one."""
    tile = ground(tilt_and_bowl)
    assert sum(control_of(tile, measured(25, seed)).outlier.any() for seed in range(100)) <= 4


@pytest.mark.parametrize("bias_m", [0.0, 0.05, 0.5])
def test_intervals_hold_the_truth_19_times_of_20(bias_m):
    """Of 200 sites the intervals of bias and of root mean square error hold the true ones in about 190."""
    x_m, y_m = np.random.default_rng(0).uniform(0.0, 100.0, (2, 25))
    random, held = np.random.default_rng(8), np.zeros(2)
    for _ in range(200):
        error_m = bias_m + random.normal(0.0, 0.05, 25)
        none = fit_surface("none", x_m, y_m, error_m)
        control = TerrainControl(points_at(x_m, y_m, 0.0 * x_m), error_m, np.zeros(25, bool), (none,), none, (), 0.0)
        for place, (truth, (low, high)) in enumerate(
            [(bias_m, control.bias_interval_m), (np.hypot(bias_m, 0.05), control.rmse_interval_m)]
        ):
            held[place] += low <= truth <= high
    assert (np.abs(held - 190) <= 8).all(), held


@given(st.sampled_from([(-5e5, 0.0), (5e5, 5e5), (0.0, 5e5), (-4.9e5, 3.1e6)]), st.integers(0, 50))
def test_a_shift_of_the_coordinates_changes_nothing(by_m, seed):
    """Errors, surfaces and what is chosen are those of ground 500 km away."""
    x_m, y_m = np.random.default_rng(seed).uniform(0.0, 390.0, (2, 25))
    error_m = np.random.default_rng(seed + 1).normal(0.0, 0.02, 25) + 0.3 * (x_m / 400.0) ** 2
    for kind in KINDS:
        here = fit_surface(kind, WEST + x_m, SOUTH + y_m, error_m)
        there = fit_surface(kind, WEST + by_m[0] + x_m, SOUTH + by_m[1] + y_m, error_m)
        np.testing.assert_allclose(there.leave_one_out_m, here.leave_one_out_m, rtol=1e-6, atol=1e-9)
        np.testing.assert_allclose(there.coefficients_m, here.coefficients_m, rtol=1e-6, atol=1e-9)


def test_a_whole_site_moved_is_judged_alike():
    """A tile and its points 512 km further east: the same heights to a hundredth of a millimetre."""
    points, tile = measured(30, 3), ground(tilt_and_bowl)
    away = Grid.from_corner((100, 100), cell_m=4.0, west_m=WEST + 512_000.0, north_m=NORTH)
    here = judged_by_points(tile, points, correction="fitted")
    there = judged_by_points(
        replace(tile, grid=away), replace(points, easting_m=points.easting_m + 512_000.0), correction="fitted"
    )
    np.testing.assert_allclose(there.heights, here.heights, atol=1e-5)
    assert there.control.taken_out.kind == here.control.taken_out.kind


def test_two_points_are_told_and_nothing_else():
    """Neither a correction nor a standard error comes of them."""
    tile, points = ground(lambda x, y: 0.3 + 0.0 * x), measured(2, 1, noise_m=0.0)
    after = judged_by_points(tile, points, correction="shift")
    assert after.vertical_sigma_m == tile.vertical_sigma_m
    np.testing.assert_array_equal(after.heights, tile.heights)
    assert after.notes == (
        "2 measured points on the tile, where 3 are needed to judge it: it lies 0.300 m too high at P1, 0.300 m too "
        "high at P2",
        'correction = "shift" was not made, it takes 3 points: nothing was taken out of the heights',
    )


@pytest.mark.parametrize(("count", "kind"), [(5, "shift"), (6, "plane"), (11, "plane"), (12, "bowl")])
def test_more_complex_surfaces_take_more_points(count, kind):
    """A bowl asked for of too few points becomes a plane, or a shift, and that is said."""
    after = judged_by_points(ground(tilt_and_bowl), measured(count, 3), correction="bowl")
    assert after.control.taken_out.kind == kind
    assert any(f'"bowl" was not made, it takes 12 points: a {kind} was taken' in note for note in after.notes) == (
        kind != "bowl"
    )


def test_points_beyond_the_tile_and_beside_voids_are_told():
    """By name; they have no say."""
    tile = ground()
    heights = tile.heights.copy()
    heights[54, 55] = np.nan
    tile, points = Terrain.from_heights(heights, GRID), measured(20, 2)
    x_m, y_m = points.easting_m.copy(), points.northing_m.copy()
    x_m[0], y_m[0] = WEST - 30.0, NORTH
    (x_m[1],), (y_m[1],) = GRID.centres([54], [55])
    after = judged_by_points(tile, replace(points, easting_m=x_m, northing_m=y_m))
    assert "measured points beyond the tile, beside a void or on ground drawn across: P1, P2" in after.notes
    assert after.control.used == 18


def test_ground_drawn_across_is_not_judged():
    """A point beneath a canopy says nothing of what the survey saw."""
    points, drawn = measured(20, 2), np.zeros(GRID.shape, np.float32)
    row, column = (round(float(place[6])) for place in GRID.rows_columns(points.easting_m, points.northing_m))
    drawn[row, column] = 0.2
    after = judged_by_points(replace(ground(), drawn_sigma=drawn), moved(points, 6, 0.8))
    assert after.control.names(~after.control.judged) == ("P7",)
    assert not after.control.outlier.any()
    assert after.drawn_sigma is drawn


def test_points_that_all_lie_elsewhere_are_refused():
    """With both places, and the way out."""
    points = measured(5, 1)
    with pytest.raises(
        InputError, match=r"no point lies on ground that the tile shows.*500000 to 500400 east.*name the CRS"
    ):
        control_of(ground(), replace(points, easting_m=points.easting_m + 1e4))


def test_points_on_a_line_bear_no_plane():
    """Along a track the tilt across it is open."""
    x_m = np.linspace(WEST + 5.0, EAST - 5.0, 30)
    points = points_at(x_m, SOUTH + 200.0 + 0.2 * np.sin(x_m), truth_m(x_m, SOUTH + 200.0 + 0.2 * np.sin(x_m)))
    after = judged_by_points(ground(tilt_and_bowl), points, correction="plane")
    assert after.control.taken_out.kind == "shift"
    assert any("the points lie along a line" in n and "a shift was taken out" in n for n in after.notes)


def test_a_plane_that_one_point_alone_holds_is_none():
    """Five points along a track and one beside it: what that one says can't be checked."""
    x_m = WEST + np.array([20.0, 100.0, 180.0, 260.0, 340.0, 200.0])
    y_m = SOUTH + np.array([200.0, 200.0, 200.0, 200.0, 200.0, 390.0])
    control = control_of(ground(tilt_and_bowl), points_at(x_m, y_m, truth_m(x_m, y_m)))
    assert [surface.kind for surface in control.surfaces] == ["none", "shift"]


def test_a_bowl_is_not_carried_far_beyond_the_points():
    """With points on the middle third of the ground a plane is taken for the bowl, and the share beyond is told."""
    after = judged_by_points(ground(tilt_and_bowl), measured(30, 4, side=0.35, noise_m=0.002), correction="bowl")
    share = after.control.outside_share
    assert 0.88 < share < 0.93
    assert after.control.taken_out.kind == "plane"
    assert any(f"{100 * share:.0f} % of the ground lies beyond the points: a plane was taken" in n for n in after.notes)
    assert any("too far to be trusted" in note for note in after.notes)


def test_the_share_beyond_the_points_is_that_of_the_cells():
    """Counted by rows it is what a look at each centre gives, voids left out."""
    heights = ground().heights.copy()
    heights[:40, :30] = np.nan
    x_m, y_m = WEST + np.array([100.7, 300.3, 299.1, 130.9]), SOUTH + np.array([90.3, 60.7, 310.9, 390.1])
    corners = points_at(x_m, y_m, truth_m(x_m, y_m))
    tile = Terrain.from_heights(heights, GRID)
    hull = shapely.MultiPoint(np.column_stack([x_m, y_m])).convex_hull
    expected = 1.0 - np.count_nonzero(cells_within(GRID, hull) & tile.valid) / np.count_nonzero(tile.valid)
    assert control_of(tile, corners).outside_share == pytest.approx(expected, abs=1e-12)


def test_another_datum_is_told_and_left_unless_asked_for():
    """46.3 m is no error of a terrain model: only an explicit shift takes it out, other surfaces keep the height."""
    tile = ground(lambda x, y: 46.3 + tilt_and_bowl(x, y))
    told = "of another vertical datum, heights above the ellipsoid beside heights above the geoid"
    for correction, left_m in (("none", 46.36), ("fitted", 46.36), ("bowl", 46.36), ("shift", 0.0)):
        after = judged_by_points(tile, measured(30, 3), correction=correction)
        assert any(told in note for note in after.notes)
        assert float(np.nanmean(after.control.left_m)) == pytest.approx(left_m, abs=0.03)
    assert rms(judged_by_points(tile, measured(30, 3), correction="fitted").control.left_m - 46.36) < 0.04
    level = ground(lambda x, y: 46.3 + 0.0 * x)
    np.testing.assert_array_equal(judged_by_points(level, measured(30, 3), correction="fitted").heights, level.heights)


@pytest.mark.parametrize(
    ("tile_unit", "point_unit", "key"), [(1.0, 0.3048, "points_unit"), (0.3048, 1.0, "vertical_unit")]
)
@pytest.mark.parametrize("correction", ["none", "shift", "fitted"])
def test_heights_in_feet_are_told_and_never_corrected(tile_unit, point_unit, key, correction):
    """Whichever of the two it is."""
    tile, points = ground(tilt_and_bowl), measured(30, 3)
    tile = Terrain.from_heights(tile.heights / tile_unit, GRID)
    after = judged_by_points(tile, replace(points, height_m=points.height_m / point_unit), correction=correction)
    np.testing.assert_array_equal(after.heights, tile.heights)
    assert (len(after.notes), after.vertical_sigma_m) == (1, tile.vertical_sigma_m)
    assert f'set {key} = "ft"' in after.notes[0]


def test_a_tile_that_is_left_says_what_would_help():
    """A tilt, a bowl or a shift that the points show, and the word that takes it out."""
    tilted = judged_by_points(ground(lambda x, y: tilt_and_bowl(x, y, bowl_m=0.0)), measured(30, 3))
    assert any(
        "a tilt of 0.1" in n and "down to the west" in n and 'correction = "plane" would' in n for n in tilted.notes
    )
    bent = judged_by_points(ground(tilt_and_bowl), measured(30, 3), correction="plane")
    assert any("the points show a bowl of 0." in note and 'correction = "bowl"' in note for note in bent.notes)
    domed = judged_by_points(ground(lambda x, y: -tilt_and_bowl(x, y)), measured(30, 3))
    assert any("the points show a dome of 0." in note for note in domed.notes)
    assert not any("would take it out" in note for note in judged_by_points(ground(), measured(30, 3)).notes)


def test_a_surface_that_points_do_not_bear_out_is_taken_but_told():
    """A bowl asked for of ground that shows none."""
    after = judged_by_points(ground(), measured(30, 3), correction="bowl")
    assert after.control.taken_out.kind == "bowl"
    assert any("the points don't bear a bowl out" in note for note in after.notes)


def test_the_standard_error_is_that_by_the_points_unless_given():
    """Both are told."""
    tile = replace(ground(), vertical_sigma_m=0.07)
    by_points, kept = (judged_by_points(tile, measured(40, 2), keep_sigma=keep) for keep in (False, True))
    assert by_points.vertical_sigma_m == pytest.approx(0.02, abs=0.006)
    assert kept.vertical_sigma_m == 0.07
    assert kept.notes[-1].startswith("vertical_sigma_m = 0.07 of the brief goes before the 0.0")
    assert by_points.notes[-1] == (
        f"vertical error by the measured points: {by_points.vertical_sigma_m:g} m, in place of 0.07 m"
    )
    x_m, y_m = GRID.centres([5, 60, 90, 20, 50, 80], [10, 80, 30, 90, 50, 60])
    assert judged_by_points(tile, points_at(x_m, y_m, truth_m(x_m, y_m))).vertical_sigma_m == 0.01


def test_few_points_raise_the_standard_error_and_do_not_lower_it():
    """Five that agree by chance leave it as it is; five that don't are believed."""
    x_m, y_m = GRID.centres([5, 60, 90, 20, 50], [10, 80, 30, 90, 50])
    tile, off_m = ground(), np.array([0.2, -0.2, 0.3, -0.3, 0.0])
    agreeing, scattered = (
        judged_by_points(tile, points_at(x_m, y_m, truth_m(x_m, y_m) + by_m * off_m)) for by_m in (0.0, 1.0)
    )
    assert agreeing.vertical_sigma_m == tile.vertical_sigma_m
    assert agreeing.notes[-1].endswith("m and are too few to lower that of 0.1 m")
    assert scattered.vertical_sigma_m == pytest.approx(0.29, abs=0.01)


def test_a_terrain_on_disk_is_corrected_there(tmp_path):
    """To the same heights, in arrays that its own grid makes."""
    tile, points = ground(tilt_and_bowl), measured(30, 1)
    on_disk = replace(tile, grid=replace(GRID, allocate=MappedArrays(str(tmp_path))))
    after = judged_by_points(on_disk, points, correction="fitted")
    assert isinstance(after.heights.base, np.memmap)
    np.testing.assert_array_equal(after.heights, judged_by_points(tile, points, correction="fitted").heights)


def test_strips_make_no_seam(monkeypatch):
    """Heights are those of one sweep over the whole tile."""
    tile, points = ground(tilt_and_bowl), measured(30, 1)
    whole = judged_by_points(tile, points, correction="bowl")
    monkeypatch.setattr("swalekit.terrain.correction._STRIP_CELLS", 700)
    np.testing.assert_array_equal(judged_by_points(tile, points, correction="bowl").heights, whole.heights)
    lowered_m = tile.heights - whole.heights
    x_m, y_m = GRID.centres([3, 97], [3, 50])
    np.testing.assert_allclose(lowered_m[[3, 97], [3, 50]], whole.control.taken_out.at(x_m, y_m), atol=1e-5)
    np.testing.assert_allclose(
        sample_heights(whole, points.easting_m, points.northing_m) - points.height_m, whole.control.left_m, atol=1e-3
    )
