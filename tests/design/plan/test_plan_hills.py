"""Promises of a plan on generic ground with hollows, knolls and watercourses."""

import numpy as np
import pytest
import shapely
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from sites import NORTH, WEST, hills, make_site

from swalekit.contours.barrier import barrier_labels
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.grid import Grid
from swalekit.hydrology.losses.curve_number import runoff_mm
from swalekit.terrain.terrain import Terrain

LINES = {"least_length_m": 6.0, "least_ring_m": 20.0, "watercourse_area_m2": 1500.0, "bend_radius_m": 2.0}


def make_plan(terrain: Terrain, **parts) -> Design:
    """A plan of the whole tile with many short lines."""
    return plan(make_site(**({"lines": LINES, "levels": {"interval_m": 1.5}} | parts)), terrain)


def assert_design(design: Design) -> None:
    """Everything that holds for any design of a whole tile on ground of one curve number."""
    terrain, swales, brief = design.ground.terrain, design.swales, design.site.brief
    cell_m2, depth_mm = terrain.grid.cell_area_m2, brief.storm.depth_mm
    for number, swale in enumerate(swales, start=1):
        assert swale.id == f"S{number}"
        reaching_m2 = float((design.catchments == number).sum() * cell_m2)
        own_m2, uphill_m2 = swale.catchment_m2, swale.kept_uphill_m2
        edge_m2 = 12.0 * cell_m2 + 0.05 * own_m2  # of a cell that is cut up the middle counts
        assert own_m2 - edge_m2 <= reaching_m2 <= own_m2 + uphill_m2 + edge_m2
        by_hand_m3 = runoff_mm(depth_mm, 80.0) / 1000.0 * swale.catchment_m2 + swale.strip_rain_m3
        assert swale.runoff_m3 == pytest.approx(by_hand_m3, rel=1e-9)
        assert swale.storage_m3 > 0
        reached_m3 = swale.runoff_m3 + swale.spill_in_m3
        assert swale.held_m3 == pytest.approx(min(reached_m3, swale.storage_m3), abs=1e-6)
        assert swale.sill.level_m == pytest.approx(swale.sized.shape.crest_level_m - brief.section.freeboard_m)
        assert (swale.sized_storm_mm >= depth_mm) == (swale.spill_m3 == 0)
    levels = [swale.line.level_m for swale in swales]
    assert levels == sorted(levels, reverse=True)
    assert ((design.catchments == -1) == ~terrain.valid).all()
    shed_mm = float(runoff_mm(depth_mm, 80.0))
    brought_m3 = shed_mm * terrain.valid.sum() * cell_m2 / 1000.0 + sum(swale.strip_rain_m3 for swale in swales)
    assert design.site_runoff_m3 == pytest.approx(brought_m3)
    held_m3 = sum(swale.held_m3 for swale in swales) + sum(hollow.held_m3 for hollow in design.hollows)
    assert design.kept_m3 == pytest.approx(held_m3, abs=1e-6)
    assert held_m3 <= brought_m3 * (1 + 1e-9)


@pytest.mark.parametrize("seed", [7, 8, 9])
def test_a_design_keeps_its_promises(seed):
    """Ids, areas, storage and water agree on any ground."""
    design = make_plan(hills(seed, side=128))
    assert len(design.swales) >= 5
    assert_design(design)


@pytest.mark.compiled
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.too_slow])
@given(seed=st.integers(0, 10_000), interval=st.floats(0.8, 4.0), depth_mm=st.floats(5.0, 150.0))
def test_any_design_keeps_its_promises(seed, interval, depth_mm):
    """Ids, areas, storage and water agree whatever the ground, the interval and the storm."""
    assert_design(make_plan(hills(seed, side=64), levels={"interval_m": interval}, storm={"depth_mm": depth_mm}))


@pytest.mark.parametrize("seed", [7, 8])
def test_no_flow_path_crosses_a_line_uncaught(seed):
    """Every step of every path that crosses a line starts or ends on that line's own cells."""
    design = make_plan(hills(seed))
    grid, receiver = design.ground.terrain.grid, design.ground.network.receiver
    stops = barrier_labels(grid, [swale.line for swale in design.swales]).ravel()
    cells = np.flatnonzero(receiver != np.arange(receiver.size))
    hollow_jump = np.isin(cells, design.ground.network.hollows.pit)
    cells = cells[~hollow_jump]
    start = np.column_stack(grid.centres(cells // grid.shape[1], cells % grid.shape[1]))
    end = np.column_stack(grid.centres(receiver[cells] // grid.shape[1], receiver[cells] % grid.shape[1]))
    steps = shapely.linestrings(np.stack([start, end], axis=1))
    tree = shapely.STRtree(steps)
    lines = [
        shapely.LineString(np.vstack([s.line.xy, s.line.xy[:1]]) if s.line.closed else s.line.xy) for s in design.swales
    ]
    for number, line in enumerate(lines, start=1):
        crossing = cells[tree.query(line, predicate="crosses")]
        assert ((stops[crossing] > 0) | (stops[receiver[crossing]] > 0)).all(), number


def _turned(terrain: Terrain, turn) -> Terrain:
    heights = turn(terrain.heights).astype(np.float64)
    return Terrain.from_heights(
        heights, Grid.from_corner(heights.shape, cell_m=1.0, west_m=WEST, north_m=NORTH), vertical_sigma_m=0.05
    )


def _by_level(design: Design) -> np.ndarray:
    """Length, storage and dug volume of the lines of each level.

    Where a stretch is cut may move by a vertex (0.5 m), and with it a short line's depth by a step (5 cm).
    """
    levels = sorted({swale.line.level_m for swale in design.swales})
    of_level = [[swale for swale in design.swales if swale.line.level_m == level] for level in levels]
    return np.array(
        [
            [sum(f) for f in zip(*((s.line.length_m, s.storage_m3, s.quantities.dug_m3) for s in swales), strict=True)]
            for swales in of_level
        ]
    )


@pytest.mark.compiled
@pytest.mark.parametrize(
    "turn",
    [np.fliplr, np.flipud, np.rot90, lambda z: z - np.float32(430.0)],
    ids=["mirrored east-west", "mirrored north-south", "a quarter turn", "430 m lower"],
)
def test_turning_mirroring_or_sinking_the_ground_changes_nothing(turn):
    """Lines, catchments and volumes are those of the ground, not of the way its grid lies."""
    before, after = make_plan(hills()), make_plan(_turned(hills(), turn))
    assert len(after.swales) == len(before.swales)

    np.testing.assert_allclose(_by_level(after)[:, 0], _by_level(before)[:, 0], rtol=0.01, atol=1.1)
    np.testing.assert_allclose(_by_level(after), _by_level(before), rtol=0.08, atol=1.1)
    assert after.kept_m3 == pytest.approx(before.kept_m3, rel=0.005)


def test_a_hollow_that_the_storm_cannot_fill_keeps_its_water():
    """A pit in a plane ends the paths into it in a small storm, and passes its surplus on in a large one."""
    row, column = np.mgrid[0:80, 0:60].astype(np.float64)
    heights = 100.0 + 0.1 * (80 - row) - 2.0 * np.exp(-(((row - 40) / 5) ** 2) - ((column - 30) / 5) ** 2)
    terrain = Terrain.from_heights(heights, Grid.from_corner((80, 60), cell_m=1.0), vertical_sigma_m=0.05)
    small = make_plan(terrain, levels={"levels_m": [102.0]}, storm={"depth_mm": 20.0})
    large = make_plan(terrain, levels={"levels_m": [102.0]}, storm={"depth_mm": 400.0, "check_depth_mm": 500.0})
    (kept,), (passed,) = small.hollows, large.hollows
    assert kept.fate == "keeps its water"
    assert kept.held_m3 == pytest.approx(kept.received_m3)
    assert passed.fate == "fills and passes on the surplus"
    assert passed.held_m3 == pytest.approx(passed.volume_m3)
    assert sum(s.catchment_m2 for s in large.swales) > sum(s.catchment_m2 for s in small.swales)


def test_a_line_too_bent_for_its_berm_is_refused_not_fatal():
    """With a bend radius of 2 m some lines leave no room for a berm: they are refused with the reason."""
    design = make_plan(hills(1523, side=64), levels={"interval_m": 1.0}, storm={"depth_mm": 5.0})
    assert_design(design)
    assert "section does not fit" in {stretch.reason for stretch in design.refused}


@pytest.mark.parametrize(
    ("section", "words"),
    [
        ({"freeboard_m": 0.5, "greatest_depth_m": 0.3}, "freeboard of 0.5 m: it would hold no water"),
        ({"uphill_side_slope": 6.0}, "never meets the ground"),
    ],
)
def test_a_section_that_does_not_fit_refuses_its_lines_with_the_reason(section, words):
    """A sill below the floor, or a side that never meets steep ground: the line is refused, the plan goes on."""
    design = make_plan(hills(), section=section)
    assert any(words in stretch.detail for stretch in design.refused if stretch.reason == "section does not fit")
    assert_design(design)
