"""A tank of rain against a week run by hand, and its balance."""

import numpy as np
import pytest

from swalekit.errors import InputError
from swalekit.greywater.rain_tank import roof_runoff_m3, tank_balance


def test_week_run_by_hand() -> None:
    """Yield after spillage, day by day: a day's rain first fills and spills, and is drawn from the next day on."""
    rain_mm = np.array([0.0, 12.5, 30.5, 0.0, 0.3, 5.5, 0.0])
    inflow = roof_runoff_m3(rain_mm, 100.0, coefficient=0.9, first_flush_mm=0.5)
    assert inflow.tolist() == pytest.approx([0.0, 1.08, 2.7, 0.0, 0.0, 0.45, 0.0])
    week = tank_balance(inflow, np.full(7, 0.8), volume_m3=3.0, start_m3=1.0)
    assert week.given_m3.tolist() == pytest.approx([0.8, 0.2, 0.8, 0.8, 0.8, 0.6, 0.45])
    assert week.spilled_m3.tolist() == pytest.approx([0.0, 0.0, 0.78, 0.0, 0.0, 0.0, 0.0])
    assert week.stored_m3.tolist() == pytest.approx([0.2, 1.08, 2.2, 1.4, 0.6, 0.45, 0.0])


def test_tank_keeps_its_balance_and_its_volume() -> None:
    """Start + inflow = given + spilled + left to a billionth; no day gives more than asked or stood there."""
    random = np.random.default_rng(5)
    inflow = roof_runoff_m3(np.where(random.random(4000) < 0.1, 40.0 * random.random(4000), 0.0), 150.0)
    want = random.random(4000)
    tank = tank_balance(inflow, want, volume_m3=12.0, start_m3=4.0)
    gone = tank.given_m3.sum() + tank.spilled_m3.sum() + tank.stored_m3[-1]
    assert abs(4.0 + inflow.sum() - gone) < 1e-9
    before = np.append(4.0, tank.stored_m3[:-1])
    assert (tank.given_m3 <= np.minimum(want, before) + 1e-12).all()
    assert tank.stored_m3.min() >= 0.0
    assert tank.stored_m3.max() <= 12.0
    assert tank.spilled_m3.sum() > 0.0
    larger = tank_balance(inflow, want, volume_m3=30.0, start_m3=4.0)
    assert larger.given_m3.sum() > tank.given_m3.sum()


def test_tank_refuses_what_cannot_be() -> None:
    """A share above one, no volume, and more water than the tank holds end in one line."""
    with pytest.raises(InputError, match="coefficient"):
        roof_runoff_m3(np.zeros(3), 10.0, coefficient=1.2)
    with pytest.raises(InputError, match="volume_m3"):
        tank_balance(np.zeros(3), np.zeros(3), volume_m3=0.0)
    with pytest.raises(InputError, match="more stands in the tank"):
        tank_balance(np.zeros(3), np.zeros(3), volume_m3=1.0, start_m3=2.0)
