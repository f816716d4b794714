"""Volume by level of swales and hollows."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.flow.hollow_ponds import pond_labels, pond_level_m
from swalekit.flow.network import build_flow_network
from swalekit.grid import Grid
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.section.areas import storage_area_m2
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale, shape_swale
from swalekit.section.stage_storage import stage_storage
from swalekit.section.stations import Stations
from swalekit.terrain.terrain import Terrain


def rough_swale(seed: int, *, freeboard_m: float = 0.15) -> ShapedSwale:
    """A swale on a line whose ground, slope, reach and bend vary along it."""
    rng = np.random.default_rng(seed)
    stations = Stations(
        250.0,
        250.0 + rng.uniform(-0.1, 0.1, 12),
        rng.uniform(0.02, 0.2, 12),
        np.full(12, 2.0),
        rng.uniform(0.0, 15.0, 12),
        rng.uniform(-0.05, 0.05, 12),
    )
    return shape_swale(stations, 0.5, Section(freeboard_m=freeboard_m))


def flat_swale() -> ShapedSwale:
    """A straight swale on level ground, whose pond ends at the ditch's lip."""
    return shape_swale(
        Stations(10.0, np.full(5, 10.0), np.zeros(5), np.full(5, 4.0), np.zeros(5)), 0.5, Section(bench_m=0.0)
    )


@pytest.mark.parametrize("seed", range(4))
def test_sill_level_holds_the_storage(seed: int) -> None:
    """At the sill's level the table holds what the swale is said to store."""
    swale = rough_swale(seed)
    table = stage_storage(swale)
    assert table.volume_m3_at(swale.sill_level_m) == pytest.approx(swale.storage_m3, rel=1e-9)
    assert table.level_m[[0, -1]].tolist() == [swale.floor_level_m, swale.crest_level_m]
    assert np.diff(table.level_m).max() <= 0.01 + 1e-9


def test_every_level_holds_the_area_of_the_section() -> None:
    """The volume at each level is the section's own pond at that level over the stations."""
    swale = rough_swale(7)
    stations, table = swale.stations, stage_storage(swale, step_m=0.1)
    for level, volume in zip(table.level_m, table.volume_m3, strict=True):
        pond = storage_area_m2(
            swale.section,
            level - stations.ground_m,
            swale.station_depth_m,
            swale.station_crest_m,
            stations.slope,
            reach_m=stations.reach_m,
            curvature_per_m=stations.curvature_per_m,
        )
        assert volume == pytest.approx(float(pond @ stations.width_m), rel=1e-9, abs=1e-9)


def test_trapezoid_by_hand() -> None:
    """Below the lip volume is (b + z h) h and plan area b + 2 z h, times the length."""
    table = stage_storage(flat_swale())
    height = table.level_m - 9.5
    ditch = height < 0.499
    np.testing.assert_allclose(
        table.volume_m3[ditch], 20 * ((0.6 + 1.5 * height) * height)[ditch], rtol=1e-9, atol=1e-9
    )
    np.testing.assert_allclose(table.area_m2[ditch], 20 * (0.6 + 3.0 * height)[ditch], rtol=1e-4)


def knoll_swale() -> ShapedSwale:
    """A ring round a knoll so gentle that its pond reaches the top."""
    ring = (np.full(8, 10.0), np.full(8, 0.01), np.full(8, 3.0), np.full(8, 30.0), np.full(8, 0.25))
    return shape_swale(Stations(10.0, *ring, closed=True), 0.5, Section())


@pytest.mark.parametrize("swale", [rough_swale(3), knoll_swale()])
def test_plan_area_is_the_slope_of_the_volume(swale: ShapedSwale) -> None:
    """Between the levels at which hollows before the berm fill, dV/dh is the mean plan area, on bends too."""
    table = stage_storage(swale, step_m=0.002)
    rise = np.diff(table.volume_m3) / np.diff(table.level_m)
    area = (table.area_m2[1:] + table.area_m2[:-1]) / 2
    assert np.mean(np.isclose(rise, area, rtol=1e-3)) > 0.9
    assert (rise > 0.95 * area).all()


def test_swale_without_freeboard_ends_at_its_sill() -> None:
    """Sill and crest at one level make one row."""
    swale = rough_swale(1, freeboard_m=0.0)
    table = stage_storage(swale)
    assert table.level_m[-1] == swale.sill_level_m
    assert table.volume_m3[-1] == pytest.approx(swale.storage_m3, rel=1e-9)


def test_sill_below_the_bed_fails() -> None:
    """A freeboard greater than ditch and berm leaves nothing to store."""
    with pytest.raises(InputError, match="bed_level_m must not exceed sill_level_m"):
        stage_storage(rough_swale(1, freeboard_m=2.0))


def test_ground_below_the_floor_starts_the_table() -> None:
    """Where the ground lies below the ditch's floor, the pond begins there."""
    ground = np.array([100.0, 100.0, 99.3, 100.0])
    swale = shape_swale(Stations(100.0, ground, np.full(4, 0.1), np.full(4, 5.0), np.full(4, 9.0)), 0.5, Section())
    table = stage_storage(swale)
    assert table.level_m[0] == 99.3
    assert table.volume_m3_at(swale.sill_level_m) == pytest.approx(swale.storage_m3, rel=1e-9)


def test_level_and_volume_are_inverse() -> None:
    """The level at a volume is where the table holds it, above the top too."""
    table = stage_storage(rough_swale(5))
    volumes = np.linspace(0.0, 1.5 * table.volume_m3[-1], 50)
    np.testing.assert_allclose(table.volume_m3_at(table.level_m_at(volumes)), volumes, rtol=1e-9, atol=1e-9)


def test_hollow_of_cells() -> None:
    """The table of a hollow's cells agrees with its volume, area and water levels from the flow network."""
    row, column = np.indices((31, 31))
    bowl = 0.02 * ((row - 15.0) ** 2 + (column - 14.0) ** 2)
    terrain = Terrain.from_heights(np.minimum(bowl, 3.0 - 0.01 * column), Grid.from_corner((31, 31), cell_m=2.0))
    network = build_flow_network(terrain, noise_depth_m=0.1)
    hollows = network.hollows
    wet = pond_labels(network, terrain, hollows.spill_level_m) == 1
    table = StageStorage.of_bed(terrain.heights[wet], 4.0, float(hollows.spill_level_m[0]))
    assert table.volume_m3[-1] == pytest.approx(hollows.volume_m3[0], rel=1e-9)
    assert table.area_m2[-1] == pytest.approx(hollows.area_m2[0], rel=0.05)
    half = hollows.volume_m3 / 2
    assert table.level_m_at(half)[0] == pytest.approx(pond_level_m(network, terrain, half)[0], abs=0.005)


@pytest.mark.parametrize(
    ("level", "volume", "area", "words"),
    [
        ([0.0], [0.0], [1.0], "at least two levels"),
        ([0.0, 1.0], [0.0, 1.0], [1.0], "differ in shape"),
        ([0.0, 1.0], [0.5, 1.0], [1.0, 1.0], "holds 0.5 m3 at its lowest level"),
        ([0.0, 1.0], [0.0, 1.0], [0.0, 1.0], "least_area_m2 is 0"),
        ([1.0, 1.0], [0.0, 1.0], [1.0, 1.0], "level_m of a store is 1 after 1"),
        ([0.0, 1.0], [0.0, 0.0], [1.0, 1.0], "volume_m3 of a store is 0 after 0"),
        ([0.0, 1.0], [0.0, np.inf], [1.0, 1.0], "volume_m3 of a store is inf"),
        ([0.0, 1.0], [0.0, np.nan], [1.0, 1.0], "volume_m3 of a store is nan"),
        ([0.0, 1.0], [0.0, 1.0], [2.0, 1.0], "area_m2 of a store is 1 after 2"),
    ],
)
def test_stage_storage_fails(level: list[float], volume: list[float], area: list[float], words: str) -> None:
    """A table that doesn't rise from empty is refused."""
    with pytest.raises(InputError, match=words):
        StageStorage(np.array(level), np.array(volume), np.array(area))


@pytest.mark.parametrize("bed", [np.array([]), np.array([3.0])])
def test_bed_above_the_top_fails(bed: np.ndarray) -> None:
    """A hollow needs a cell below its spill level."""
    with pytest.raises(InputError, match=r"no cell of the bed lies below the level of 2\.00 m"):
        StageStorage.of_bed(bed, 1.0, 2.0)
