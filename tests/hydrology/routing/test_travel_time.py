"""Travel times against the handbooks."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.hydrology.routing.travel_time import (
    overland_travel_h,
    overland_velocity_m_s,
    roughness,
)
from swalekit.tables.load import named_rows
from swalekit.units import METRES_PER_FOOT


def test_tr_55_example_3_1() -> None:
    """TR-55 (1986) example 3-1: 1400 ft of shallow flow down a grassed slope of 1 % take 0.24 h."""
    length_m = 1400.0 * METRES_PER_FOOT
    assert float(overland_travel_h(length_m, 0.01 * length_m, "grassed waterway")) == pytest.approx(0.24, abs=0.01)


def test_hds_2_example_2_1() -> None:
    """HDS-2 example 2.1: forest at 1 % sheds water at 0.076 m/s, a grassed waterway at 0.8 % at 0.409 m/s."""
    assert float(overland_velocity_m_s(0.010, "forest litter or hay meadow")) == pytest.approx(0.076, abs=0.001)
    # HDS-2 rounds the waterway's coefficient to 15 ft/s, NEH 630 ch. 15 prints 16.135
    assert float(overland_velocity_m_s(0.008, "grassed waterway")) == pytest.approx(0.409 * 16.135 / 15.0, rel=0.002)


def test_flat_path_is_given_the_least_slope() -> None:
    """A path without fall takes as long as one of the least slope, one of no length no time, and no path stays NaN."""
    hours = overland_travel_h([100.0, 100.0, 0.0, np.nan], [-0.1, 1.0, 0.0, np.nan], "nearly bare", least_slope=0.01)
    assert hours[0] == hours[1] > 0
    assert hours[2] == 0
    assert np.isnan(hours[3])


@pytest.mark.parametrize("table", ["roughness", "overland_velocity"])
def test_rows_have_unit_and_source(table: str) -> None:
    """No number stands without unit and source."""
    assert all(row.value > 0 and row.unit and row.source for row in named_rows(table).values())


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: overland_velocity_m_s(-0.1, "nearly bare"), "slope is -0.1"),
        (lambda: overland_velocity_m_s(0.1, "nearly bear"), "did you mean 'nearly bare'"),
        (lambda: overland_travel_h(1.0, 1.0, "nearly bare", least_slope=0.0), "least_slope is 0"),
        (lambda: roughness("range"), "natural range"),
    ],
)
def test_travel_time_fails(call, words: str) -> None:
    """Values that can't be are refused by name."""
    with pytest.raises(InputError, match=words):
        call()
