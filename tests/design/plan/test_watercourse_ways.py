"""Ways through watercourses: the flow there, by hand where the storm is steady."""

from dataclasses import replace

import numpy as np
import pytest
import shapely
from sites import NORTH, WEST, make_site

from swalekit.contours.crossing import Crossing
from swalekit.design.layout.ground import study_ground
from swalekit.design.plan.pipeline import plan
from swalekit.design.plan.watercourse_ways import watercourse_ways
from swalekit.grid import Grid
from swalekit.reporting.report.sources import sources_used
from swalekit.results.plan.record import plan_record
from swalekit.section.culvert import culvert_flow_m3s
from swalekit.terrain.terrain import Terrain


def valley(pit_m=0.0):
    """A valley that falls southward 5 % between flanks of 10 %, with a pit in it if one is asked for."""
    x, y = np.meshgrid(np.arange(101) - 50.0, 200.0 - np.arange(200))
    heights = 100.0 + 0.05 * y + 0.1 * np.abs(x)
    heights[95:105, 45:56] -= pit_m
    grid = Grid.from_corner((200, 101), cell_m=1.0, west_m=WEST, north_m=NORTH)
    return Terrain.from_heights(heights, grid, vertical_sigma_m=0.05)


TRACK = Crossing("gap", shapely.LineString([(WEST, NORTH - 150.0), (WEST + 101.0, NORTH - 150.0)]), 4.0, "Track")
STEADY = {
    "storm": {"depth_mm": 240.0, "check_depth_mm": 480.0, "course": "uniform"},
    "soil": {"runoff_coefficient": 0.5},
    "lines": {"watercourse_area_m2": 2000.0},
}


@pytest.mark.parametrize("pit_m", [0.0, 1.5])
def test_a_steady_storm_brings_its_share_of_the_rain(pit_m):
    """Q = C i A once all the ground runs: 0.5 · 20 mm/h on all ground above, what comes through a hollow too."""
    site = replace(make_site(**STEADY), crossings=(TRACK,))
    ground = study_ground(site, valley(pit_m))
    (way,) = watercourse_ways(site, ground)
    assert way.xy[0] == pytest.approx(WEST + 50.5, abs=1.0)
    assert way.xy[1] == pytest.approx(NORTH - 152.0, abs=2.0)
    assert way.area_m2 == pytest.approx(101.0 * 150.0, rel=0.25)
    assert way.flow_m3s == pytest.approx(0.5 * 0.020 / 3600.0 * way.area_m2, rel=0.005)
    assert culvert_flow_m3s(way.pipe_m, length_m=8.0) >= way.flow_m3s
    assert (len(ground.network.hollows) > 0) == (pit_m > 0.0)


def test_a_plan_cautions_of_a_way_through_a_watercourse():
    """Place, flow and pipe are told; a way that meets none raises nothing."""
    elsewhere = replace(TRACK, geometry=shapely.LineString([(WEST, NORTH), (WEST + 9.0, NORTH)]))
    designs = [plan(replace(make_site(**STEADY), crossings=(way,)), valley()) for way in (TRACK, elsewhere)]
    mine, none = (
        [caution.text for caution in design.cautions if "runs through a watercourse" in caution.text]
        for design in designs
    )
    sources = [{what for what, *_ in sources_used(plan_record(design))} for design in designs]
    assert ["Pipe under a way: roughness" in told for told in sources] == [True, False]
    assert len(mine) == 1
    assert not none
    assert "Crossing 'Track' runs through a watercourse at 500050 east" in mine[0]
    assert "needs a pipe of 0." in mine[0]


def test_a_flow_that_no_usual_pipe_carries_is_told():
    """The engineer is named in its place."""
    site = replace(
        make_site(
            **STEADY | {"storm": {"depth_mm": 900.0, "check_depth_mm": 1900.0, "duration_h": 1.0, "course": "uniform"}}
        ),
        crossings=(TRACK,),
    )
    (way,) = watercourse_ways(site, study_ground(site, valley()))
    assert way.pipe_m is None
    assert "no usual pipe carries it" in way.caution().text
