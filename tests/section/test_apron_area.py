"""Where an apron lies on the ground."""

from dataclasses import replace

import numpy as np
import pytest
import shapely

from swalekit.section.apron import Apron
from swalekit.section.apron_area import apron_area

STONE = Apron("stone", 0.4, 0.05, 0.1, 9.0, 4.2, ground_m=2.0)
SILL = np.array([[0.0, 0.0], [2.0, 0.0], [4.0, 0.0]])
SOUTH = np.array([[2.0, 0.0], [2.0, -40.0]])


def test_a_short_apron_is_a_strip_along_the_sill():
    """From the sill's downhill edge, or its uphill one where the crest is laid, to 2 m from the foot."""
    area = apron_area(STONE, SILL, SOUTH, foot_m=3.0, face_m=1.0)
    assert area.equals(shapely.box(0.0, -5.0, 4.0, -2.0))
    crested = apron_area(replace(STONE, crest_m=1.1), SILL, SOUTH, foot_m=3.0, face_m=1.0)
    assert crested.bounds == pytest.approx((0.0, -5.0, 4.0, -0.9))


def test_a_long_apron_follows_the_way_as_wide_as_the_sill():
    """Down a way that turns by 45° after 15 m, each stretch as long as it is and 4 m wide along the sill."""
    way = np.array([[2.0, 0.0], [2.0, -15.0], [22.0, -35.0]])
    area = apron_area(replace(STONE, ground_m=20.0), SILL, way, foot_m=3.0, face_m=1.0)
    leg_m = 8.0 / np.sqrt(2.0)
    assert area.bounds == pytest.approx((0.0, -15.0 - leg_m, 4.0 + leg_m, -2.0))
    assert area.area == pytest.approx(4.0 * (1.0 + 12.0 + leg_m))
    assert area.is_valid


def test_without_a_way_it_runs_straight_downhill():
    """Where the water leaves elsewhere and its way is shorter than the berm."""
    area = apron_area(replace(STONE, ground_m=9.0), SILL, SOUTH[:1], foot_m=3.0, face_m=1.0)
    assert area.bounds == pytest.approx((0.0, -12.0, 4.0, -2.0))
