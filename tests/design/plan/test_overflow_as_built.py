"""The way of each overflow in a plan: over the ground as built, to the store of the account, and never uphill."""

import numpy as np
import pytest
import shapely
from sites import hills, make_site, plane

from swalekit.design.brief.settings import noise_depth_m
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import lay_levels
from swalekit.design.plan.account_table import HELD_IN_HOLLOW, receiver
from swalekit.design.plan.built import ponds_as_built
from swalekit.design.plan.pipeline import plan
from swalekit.verification.overflow_ways import overflow_ways

pytestmark = pytest.mark.compiled


@pytest.fixture(scope="module", params=[3, 11])
def design(request):
    """A plan of hills with hollows on cells of 5 m."""
    site = make_site(levels={"interval_m": 4.0}, storm={"depth_mm": 90.0})
    return plan(site, hills(request.param, side=100, cell_m=5.0))


def test_the_way_ends_where_the_account_says(design):
    """It ends in the swale, in a hollow, or off the tile, as the water that is poured does."""
    for swale in design.swales:
        told = receiver(swale.poured.spills_to, [swale.id for swale in design.swales])
        assert swale.sill.spills_to == told or (told == HELD_IN_HOLLOW and swale.sill.spills_to.startswith("H"))
    assert len({swale.sill.spills_to for swale in design.swales}) > 5


def test_a_way_drawn_ends_at_the_works_that_it_names(design):
    """It begins at the sill, ends within a cell of the next swale's pond, and holds few points."""
    by_id = {swale.id: swale for swale in design.swales}
    for swale in design.swales:
        way = shapely.LineString(swale.sill.path)
        if swale.poured.on_sill:
            assert shapely.distance(shapely.Point(way.coords[0]), shapely.LineString(swale.sill_line)) < 1e-6
        assert len(way.coords) < 3 + way.length / 5.0
        if swale.sill.spills_to in by_id:
            below = by_id[swale.sill.spills_to]
            reach_m = below.sized.shape.stations.reach_m.max() + 10.0
            assert shapely.distance(shapely.Point(way.coords[-1]), shapely.LineString(below.line.path)) < reach_m


def test_no_way_climbs(design):
    """Neither ground nor the water of full hollows rises along a way by more than the ground's noise."""
    ponds = ponds_as_built(design.site, design.ground, design.swales, design.surface)
    pour, nowhere = design.check_account.pour, np.empty((0, 2))
    level_m = np.fmax(ponds.surface.cells.heights, pour.level_m)
    for way in overflow_ways(ponds, pour, count=len(design.swales), hollow_xy=nowhere):
        level = level_m[ponds.surface.cells.nodes_at(*way.xy.T)][:-1]  # it may end in a pond that stands higher
        assert (level - np.minimum.accumulate(level)).max() <= noise_depth_m(design.site, design.ground.terrain)


def test_water_that_leaves_beside_the_sill_is_followed_from_there():
    """Lines given up to the edge of the known ground spill off the tile at their open ends."""
    ground = study_ground(make_site(), plane())
    for swale in plan(make_site(), plane(), lines=lay_levels(make_site(), ground).lines).swales:
        assert swale.sill.spills_to == "off the tile"
        assert swale.sill.path[0] == pytest.approx(swale.poured.first_spill_xy)
