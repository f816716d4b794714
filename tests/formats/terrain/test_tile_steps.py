"""Steps between tiles are told, and refused where they are no error of survey."""

import numpy as np
import pytest
from tile_ground import hills, plane, write_tile

import swalekit
from swalekit.errors import TerrainError

FEET = 1.0 / 0.3048
PLACES = {"overlapping": 50.0, "edge to edge": 60.0}


def higher(by_m, noise_m=0.0):
    """What raises heights, and blurs them."""
    return lambda z: z + by_m + np.random.default_rng(1).normal(0.0, noise_m, z.shape)


def told(folder, ground=hills, second=None, **beside):
    """What the notes say of the step between a tile and one beside it."""
    write_tile(folder / "a.tif", ground)
    write_tile(folder / "b.tif", ground, change=second, **beside)
    return [note for note in swalekit.read_terrain(folder).notes if note.startswith("steps where tiles meet")]


@pytest.mark.parametrize("east_m", PLACES.values(), ids=PLACES.keys())
@pytest.mark.parametrize(("by_m", "words"), [(0.3, "0.30 m, 'b.tif' above"), (-0.3, "0.30 m, 'b.tif' below")])
def test_a_step_is_told(tmp_path, east_m, by_m, words):
    """The ground's own fall makes none; beyond twice the usual 0.1 m, lines across are unsure."""
    (note,) = told(tmp_path, second=higher(by_m), east_m=east_m)
    assert f"(1 pair): the largest is {words} 'a.tif', spread 0.00 m" in note
    assert note.endswith(
        "lines across the seam of 'a.tif' and 'b.tif' are unsure: it is more than twice the usual error of a height"
    )


@pytest.mark.parametrize("beside", [{"east_m": 60.0}, {"east_m": -60.0}, {"south_m": 60.0}, {"south_m": -60.0}])
def test_tiles_meet_at_any_edge(tmp_path, beside):
    """East, west, south and north; a step within the usual error is told without a warning."""
    (note,) = told(tmp_path, second=higher(0.15), **beside)
    assert note == "steps where tiles meet (1 pair): the largest is 0.15 m, 'b.tif' above 'a.tif', spread 0.00 m"


@pytest.mark.parametrize("east_m", PLACES.values(), ids=PLACES.keys())
def test_an_edge_that_runs_slantwise_is_met(tmp_path, east_m):
    """Tiles of two zones, whose rectangles on the frame overlap more than they do."""
    (note,) = told(tmp_path, second=higher(0.3), crs="EPSG:32631", east_m=east_m)
    assert "the largest is 0.30 m, 'b.tif' above 'a.tif', spread 0.00 m" in note


def test_the_spread_is_that_of_the_differences(tmp_path):
    """Noise of 0.1 m in one of two tiles spreads the step by as much."""
    (note,) = told(tmp_path, second=higher(0.05, 0.1), east_m=20.0, shape=(60, 60))
    spread_m = float(note.split("spread ")[1].split(" m")[0])
    assert spread_m == pytest.approx(0.1, abs=0.015)
    assert "unsure" not in note


@pytest.mark.parametrize("east_m", PLACES.values(), ids=PLACES.keys())
def test_a_systematic_step_is_refused(tmp_path, east_m):
    """The message names both tiles, the step and the ways out."""
    with pytest.raises(
        TerrainError,
        match=r"b\.tif' stands 1\.[45]\d m below '.*a\.tif' where they meet \(spread 0\.\d\d m\); bring both to one ",
    ):
        told(tmp_path, second=higher(-1.5, 0.1), east_m=east_m)


def test_a_step_within_its_spread_is_not_refused(tmp_path):
    """Rough tiles may differ by more than a metre without a datum of their own."""
    (note,) = told(tmp_path, second=higher(1.2, 4.0), east_m=0.0)
    assert "unsure" in note


def uneven(x, y):
    """Ground that rises more and more, so that differences of heights in two units spread by more than their median."""
    return 0.5 + 0.001 * np.exp(2.0 * (plane(x, y) - 100.0))


@pytest.mark.parametrize("east_m", PLACES.values(), ids=PLACES.keys())
@pytest.mark.parametrize(("factor", "ratio"), [(FEET, r"3\.2[78]"), (1.0 / FEET, r"0\.30[45]")])
@pytest.mark.parametrize("ground", [plane, uneven])
def test_feet_beside_metres_are_refused(tmp_path, ground, factor, ratio, east_m):
    """Heights 3.28 times those of the other tile, or as many times less, are told for what they are."""
    with pytest.raises(TerrainError, match=rf"{ratio} times its height, as feet beside metres; .*vertical_unit counts"):
        told(tmp_path, ground, second=lambda z: z * factor, east_m=east_m)


def test_the_largest_of_many_is_told(tmp_path):
    """Three tiles in a row make two pairs."""
    write_tile(tmp_path / "c.tif", hills, change=higher(0.65), east_m=120.0)
    (note,) = told(tmp_path, second=higher(0.3), east_m=60.0)
    assert "(2 pairs): the largest is 0.35 m, 'c.tif' above 'b.tif'" in note
    assert "the seam of 'b.tif' and 'c.tif' and 1 more are unsure" in note


@pytest.mark.parametrize(
    ("second", "beside"),
    [
        (lambda z: np.full_like(z, -9999.0), {"east_m": 30.0}),
        (higher(5.0), {"east_m": 61.0}),
        (higher(5.0), {"east_m": 60.0, "south_m": 60.0}),
        (higher(5.0), {"east_m": 59.0, "south_m": 59.0}),
    ],
    ids=["void", "a gap", "corner to corner", "one cell"],
)
def test_tiles_that_hardly_meet_have_no_step(tmp_path, second, beside):
    """Nothing is told where there is nothing, or too little, to compare."""
    assert told(tmp_path, second=second, **beside) == []
