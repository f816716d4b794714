"""Berms as polygons."""

import numpy as np
import pytest
import shapely
from sites import make_site, plane

from swalekit.design.plan.pipeline import plan
from swalekit.section.footprint import berm_footprint
from swalekit.section.returns import outline_xy


def test_berm_turns_uphill_at_both_ends():
    """On a plane the polygon is the strip under the berm and the ground under both returns, in one piece."""
    (swale,) = plan(make_site(levels={"levels_m": [106.0]}), plane()).swales
    returns, berm = swale.sized.shape.returns, berm_footprint(swale.line, swale.sized.shape)
    uphill_toe, downhill_toe = returns.outline_m[0, [0, 5], 1]
    assert len(berm.geoms) == 1
    strip_m2 = swale.line.length_m * (downhill_toe - uphill_toe)
    assert berm.area == pytest.approx(strip_m2 + returns.ground_m2.sum(), rel=1e-3)
    upper_ends = outline_xy(swale.line, returns)[:, 2:4].mean(axis=1)
    assert (upper_ends[:, 1] > swale.line.xy[[0, -1], 1]).all()
    assert np.all(shapely.distance(berm, shapely.points(upper_ends)) < 0.01)
