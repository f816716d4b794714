"""Areas of the cross-section against clipped polygons and printed examples."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from hypothesis import assume, given, settings
from hypothesis import strategies as st
from shapely.geometry import LineString, Polygon, box

from swalekit.errors import InputError
from swalekit.section.areas import (
    berm_area_m2,
    catch_width_m,
    cut_area_m2,
    storage_area_m2,
    strip_width_m,
)
from swalekit.section.profile import profile
from swalekit.section.section import DepthRules, Section

FAR, DEEP = 500.0, 300.0
SNAP = 1e-9  # polygons are clipped on a grid this fine, so that no slivers part them

sections = st.builds(
    Section,
    bottom_width_m=st.floats(0.2, 2.0),
    uphill_side_slope=st.floats(0.5, 2.5),
    downhill_side_slope=st.floats(0.5, 2.5),
    bench_m=st.floats(0.0, 0.8),
    berm_uphill_side_slope=st.floats(0.5, 3.0),
    berm_downhill_side_slope=st.floats(0.5, 3.0),
    crest_width_m=st.floats(0.1, 1.5),
    freeboard_m=st.floats(0.01, 0.3),
)
slopes = st.floats(0.005, 0.28)
depths = st.floats(0.01, 1.2)
crests = st.floats(-0.4, 0.9)


def clipped(section: Section, depth: float, crest: float, slope: float) -> tuple[Polygon, Polygon, Polygon]:
    """Ground, ditch and berm as polygons, cut out of half planes."""
    ground = Polygon([(-FAR, -DEEP), (-FAR, slope * FAR), (FAR, -slope * FAR), (FAR, -DEEP)])
    half, tall = section.bottom_width_m / 2, DEEP
    open_ditch = Polygon(
        [
            (-half, -depth),
            (half, -depth),
            (half + section.downhill_side_slope * tall, tall - depth),
            (-half - section.uphill_side_slope * tall, tall - depth),
        ]
    )
    ditch = ground & open_ditch
    lip = ditch.bounds[2] if ditch.area > 0 else 0.0
    toe = lip + section.bench_m
    face = max(crest + slope * toe, 0.0) * section.berm_uphill_side_slope
    inner, outer = toe + face, toe + face + section.crest_width_m
    heap = Polygon(
        [
            (inner, crest),
            (outer, crest),
            (outer + section.berm_downhill_side_slope * tall, crest - tall),
            (inner - section.berm_uphill_side_slope * tall, crest - tall),
        ]
    )
    return ground, ditch, (heap & box(toe, -DEEP, FAR, DEEP)) - ground


def clipped_pond(section: Section, depth: float, crest: float, slope: float, reach: float) -> float:
    """Area below the sill and above the finished surface that hangs together with the ditch."""
    ground, ditch, berm = clipped(section, depth, crest, slope)
    sill = crest - section.freeboard_m
    half = section.bottom_width_m / 2
    wall = max(reach, -ditch.bounds[0])
    downhill_of_berm = berm.bounds[2] if berm.area > 0 else ditch.bounds[2]
    earth = shapely.union(shapely.difference(ground, ditch, grid_size=SNAP), berm, grid_size=SNAP)
    air = shapely.difference(box(-wall, -DEEP, downhill_of_berm, sill), earth, grid_size=SNAP)
    floor = LineString([(-half, -depth + 1e-6), (half, -depth + 1e-6)]).buffer(2e-6)
    parts = [part for part in shapely.get_parts(air) if part.intersects(floor)]
    inner_edge = max((x for x, y in berm.exterior.coords if y > sill), default=0.0) if berm.area > 0 else 0.0
    return sum((part & box(-wall, -DEEP, inner_edge or ditch.bounds[2], sill)).area for part in parts)


@settings(deadline=None)
@given(sections, depths, slopes)
def test_cut_area_equals_clipped_polygon(section: Section, depth: float, slope: float) -> None:
    """Cut area is that of the ground clipped by the ditch."""
    _, ditch, _ = clipped(section, depth, 0.0, slope)
    assert cut_area_m2(section, depth, slope) == pytest.approx(ditch.area, abs=1e-9)


@settings(deadline=None)
@given(sections, depths, crests, slopes)
def test_berm_area_equals_clipped_polygon(section: Section, depth: float, crest: float, slope: float) -> None:
    """Berm area is that of the heap above the ground."""
    _, ditch, berm = clipped(section, depth, crest, slope)
    assert berm_area_m2(section, crest, depth, slope) == pytest.approx(berm.area, abs=1e-9)
    if berm.area > 1e-6 and ditch.area > 0:
        strip = berm.bounds[2] - ditch.bounds[0]
        assert strip_width_m(section, depth, crest, slope) == pytest.approx(strip, abs=1e-6)


@settings(deadline=None)
@given(sections, st.floats(0.15, 1.2), st.floats(0.0, 0.9), slopes, st.floats(0.5, 80.0))
def test_storage_area_equals_clipped_polygon(
    section: Section, depth: float, crest: float, slope: float, reach: float
) -> None:
    """Storage area is that of the air below the sill that hangs together with the ditch."""
    sill, lip = crest - section.freeboard_m, profile(section, depth, crest, slope, reach_m=reach)[1][4]
    assume(abs(sill - lip) > 1e-5)  # there the hollow behind the bench joins the ditch at once
    storage = storage_area_m2(section, sill, depth, crest, slope, reach_m=reach)
    assert storage == pytest.approx(clipped_pond(section, depth, crest, slope, reach), abs=1e-6)


@settings(deadline=None)
@given(sections, depths, st.floats(0.0, 0.8), slopes)
def test_stations_at_once_equal_one_by_one(section: Section, depth: float, crest: float, slope: float) -> None:
    """An array of stations gives what each station gives alone."""
    depth_m, slope_m = np.array([depth, depth / 2, 0.3]), np.array([slope, 0.1, slope])
    together = storage_area_m2(section, crest - 0.1, depth_m, crest, slope_m, reach_m=30.0)
    alone = [
        float(storage_area_m2(section, crest - 0.1, d, crest, s, reach_m=30.0))
        for d, s in zip(depth_m, slope_m, strict=True)
    ]
    np.testing.assert_allclose(together, alone, rtol=1e-12)


@pytest.mark.parametrize(
    ("depth", "published"),
    [(0.90, 10.215), (1.25, 14.844), (2.15, 28.434), (2.50, 34.375), (1.85, 23.634), (1.35, 16.234), (0.85, 9.584)],
)
def test_basak_page_241_problem_1_areas(depth: float, published: float) -> None:
    """Ditch of 10 m bottom and 1.5:1 sides in flat ground, Basak, Surveying and Levelling, p. 241."""
    section = Section(bottom_width_m=10.0, uphill_side_slope=1.5, downhill_side_slope=1.5)
    assert cut_area_m2(section, depth, 0.0) == pytest.approx(published, abs=0.0006)


@pytest.mark.parametrize(("depth", "published"), [(0.5, 7.03125), (0.7, 9.03125)])
def test_basak_page_249_problem_9_side_hill_cut(depth: float, published: float) -> None:
    """A floor of 10 m that runs out of a 5:1 hillside, uphill side 1:1, Basak p. 249."""
    section = Section(bottom_width_m=10.0, uphill_side_slope=1.0)
    assert cut_area_m2(section, depth, 0.2) == pytest.approx(published, abs=1e-9)


def test_storage_of_a_vanishing_ditch_is_the_wedge() -> None:
    """With hardly a ditch and an upright berm the pond is the wedge h²/(2 s) that h = √(2 s Q HI) is derived from."""
    section = Section(bottom_width_m=1e-6, bench_m=0.0, berm_uphill_side_slope=1e-6, freeboard_m=0.4)
    # Contour bund of the Rajasthan design sheet (IWMP Jodhpur): excess 35 cm, vertical interval .549 m, slope 1 %.
    slope, excess, interval = 0.01, 0.35, 0.549
    height = np.sqrt(2 * slope * excess * interval / slope)
    assert height == pytest.approx(0.6199, abs=1e-4)
    wedge = storage_area_m2(section, height, 1e-6, height + 0.4, slope, reach_m=200.0)
    assert wedge == pytest.approx(excess * interval / slope, rel=1e-4)


def test_pond_on_flat_ground_ends_at_its_reach() -> None:
    """On nearly flat ground the pond grows with its reach and is never unbounded."""
    storage = storage_area_m2(Section(), 0.3, 0.5, 0.45, 1e-6, reach_m=np.array([10.0, 20.0]))
    assert storage[1] - storage[0] == pytest.approx(3.0, rel=1e-3)


def test_hollow_behind_the_bench_counts_only_when_the_ditch_overflows_into_it() -> None:
    """Water below the ditch's downhill lip stays in the ditch, whatever lies between lip and berm."""
    section, depth, slope = replace(Section(), bench_m=2.0), 0.6, 0.2
    x, y = profile(section, depth, 0.5, slope, reach_m=20.0)
    below_lip, above_lip = storage_area_m2(section, y[4] + [-1e-6, 1e-6], depth, 0.5, slope, reach_m=20.0)
    hollow = above_lip - below_lip
    drop, run = float(y[4] - y[5]), float(x[5] - x[4])
    assert hollow == pytest.approx(drop * (run + drop * section.berm_uphill_side_slope) / 2, abs=1e-4)


@pytest.mark.parametrize("curvature", [-0.1, 0.0, 0.1])
@pytest.mark.parametrize("slope", [0.02, 0.15])
def test_areas_on_a_bend_are_weighted_by_their_length(curvature: float, slope: float) -> None:
    """On a bend every strip counts with its own length, 1 + curvature · x, up to the bend's centre."""
    section, depth, crest, reach = Section(), 0.5, 0.45, 25.0
    x, y = profile(section, depth, crest, slope, reach_m=min(reach, 1 / curvature if curvature > 0 else reach))
    fine = np.linspace(x[0], x[8], 400_001)
    surface, ground, length = np.interp(fine, x, y), -slope * fine, 1.0 + curvature * fine

    def summed(height: np.ndarray) -> float:
        return float((np.maximum(height, 0.0) * length).mean() * (fine[-1] - fine[0]))

    pond = np.where(fine < x[6], 0.3 - surface, 0.0)
    assert cut_area_m2(section, depth, slope, curvature_per_m=curvature) == pytest.approx(
        summed(ground - surface), rel=1e-4
    )
    assert berm_area_m2(section, crest, depth, slope, curvature_per_m=curvature) == pytest.approx(
        summed(surface - ground), rel=1e-4
    )
    storage = storage_area_m2(section, 0.3, depth, crest, slope, reach_m=reach, curvature_per_m=curvature)
    assert storage == pytest.approx(summed(pond), rel=1e-4)


def test_catch_width_ends_on_the_middle_of_the_crest() -> None:
    """The strip that catches every drop ends on the middle of the crest, short of the berm's downhill face."""
    section = Section()
    behind = strip_width_m(section, 0.5, 0.4, 0.1) - catch_width_m(section, 0.5, 0.4, 0.1)
    height = 0.4 + 0.1 * (profile(section, 0.5, 0.4, 0.1, reach_m=0.0)[0][7])
    assert behind == pytest.approx(section.crest_width_m / 2.0 + 2.0 * height / (1 - 2.0 * 0.1))


@pytest.mark.parametrize(
    ("section", "words"),
    [
        (Section(uphill_side_slope=3.0), r"the ditch's uphill side at 3:1 never meets the ground at station 1"),
        (Section(berm_downhill_side_slope=4.0), r"berm's downhill face at 4:1 .*; make the side steeper than 2\.50:1"),
    ],
)
def test_side_too_flat_to_meet_the_ground_fails(section: Section, words: str) -> None:
    """A side flatter than the hillside never meets it; the station and the way out are named."""
    with pytest.raises(InputError, match=words):
        profile(section, 0.5, 0.4, np.array([0.1, 0.4]), reach_m=10.0)


@pytest.mark.parametrize(
    "changes", [{"bottom_width_m": 0.0}, {"uphill_side_slope": -1.0}, {"freeboard_m": -0.1}, {"crest_width_m": np.nan}]
)
def test_section_fails(changes: dict[str, float]) -> None:
    """A section with a width, side or height that can't be is refused by name."""
    with pytest.raises(InputError, match=next(iter(changes))):
        Section(**changes)


def test_depths_end_with_the_greatest() -> None:
    """Depths run from the least to the greatest, both among them."""
    assert DepthRules(0.3, 0.55, 0.1).depths_m.tolist() == [0.3, 0.4, 0.5, 0.55]
    with pytest.raises(InputError, match="least_m is 2"):
        DepthRules(2.0, 1.0)
