"""Uncertain inputs as they are drawn: heights, places of lines, losses."""

import numpy as np
import pytest
from loss_examples import LOSSES, name_of
from scipy.stats import norm

from swalekit.contours.line import LevelLine
from swalekit.contours.wander import wander_band, wander_m
from swalekit.errors import InputError
from swalekit.hydrology.losses.antecedent import antecedent_curve_number, natural_retention_sigma
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.loss import Loss
from swalekit.tables.load import named_rows
from swalekit.terrain.height_error import height_errors


def errors(xy: np.ndarray, seed: int, sigma_m: float = 0.1) -> np.ndarray:
    """Height errors with a correlation length of 20 m."""
    return height_errors(xy, sigma_m=sigma_m, correlation_m=20.0, random=np.random.default_rng(seed))


def ring(radius_m: float) -> LevelLine:
    """A closed line round a knoll."""
    angle = -np.linspace(0.0, 2.0 * np.pi, 60, endpoint=False)  # clockwise: downhill, outward, is on the left
    xy = radius_m * np.column_stack([np.cos(-angle), np.sin(-angle)])
    return LevelLine(10.0, True, xy, np.full(60, 10.0), np.full(60, 0.1))


# --- heights ---------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("distance_m", [0.0, 5.0, 20.0, 60.0])
def test_covariance_of_heights_falls_exponentially(distance_m):
    """Over 4000 fields the covariance of two points is σ² exp(−d / L), to four standard errors of that mean."""
    xy = np.array([[0.0, 0.0], [0.6 * distance_m, 0.8 * distance_m]])
    drawn = np.array([errors(xy, seed) for seed in range(4000)])
    assert (drawn[:, 0] * drawn[:, 1]).mean() == pytest.approx(
        0.01 * np.exp(-distance_m / 20.0), abs=4 * 0.01 * np.sqrt(2 / 4000)
    )


def test_height_errors_are_normal():
    """Quantiles of 4000 independent errors at a point are those of the normal distribution."""
    drawn = np.array([errors(np.zeros((1, 2)), seed)[0] for seed in range(4000)])
    shares = [0.05, 0.25, 0.5, 0.75, 0.95]
    np.testing.assert_allclose(np.quantile(drawn, shares), norm.ppf(shares, scale=0.1), atol=0.01)


def test_height_errors_grow_with_sigma_and_repeat_by_seed():
    """A seed gives one field, times its standard error; none where that is zero; another seed gives another."""
    xy = np.random.default_rng(0).uniform(0, 100, (30, 2))
    np.testing.assert_allclose(errors(xy, 3, 0.4), 4.0 * errors(xy, 3, 0.1))
    assert not errors(xy, 3, 0.0).any()
    assert not np.allclose(errors(xy, 3), errors(xy, 4))


@pytest.mark.parametrize(("sigma_m", "correlation_m"), [(-0.1, 20.0), (0.1, 0.0), (np.nan, 20.0)])
def test_height_errors_fail(sigma_m, correlation_m):
    """A negative or unknown error, or no correlation length, is an error."""
    with pytest.raises(InputError):
        height_errors(np.zeros((1, 2)), sigma_m=sigma_m, correlation_m=correlation_m, random=np.random.default_rng(0))


# --- places of lines -------------------------------------------------------------------------------------------------


def test_band_of_a_straight_line_is_a_rectangle():
    """On a slope of 5 % an error of 0.1 m lets a line of 40 m lie 1.645 × 2 m up or down the hill."""
    xy = np.column_stack([np.arange(0.0, 41.0, 2.0), np.zeros(21)])
    line = LevelLine(10.0, False, xy, np.full(21, 10.0), np.full(21, 0.05))
    np.testing.assert_allclose(wander_m(line, 0.1), norm.ppf(0.95) * 2.0)
    assert wander_band(line, 0.1).bounds == pytest.approx((0.0, -norm.ppf(0.95) * 2.0, 40.0, norm.ppf(0.95) * 2.0))
    assert wander_band(line, 0.1).area == pytest.approx(80.0 * norm.ppf(0.95) * 2.0)


def test_band_of_a_ring_is_a_ring():
    """Round a knoll the band is closed and has one hole."""
    band = wander_band(ring(30.0), 0.1)
    assert band.geom_type == "Polygon"
    assert len(band.interiors) == 1
    assert band.area == pytest.approx(2.0 * np.pi * 30.0 * 2.0 * norm.ppf(0.95), rel=0.01)


def test_no_error_no_band():
    """A line on sure ground lies where it lies."""
    assert wander_band(ring(30.0), 0.0).is_empty


# --- losses ----------------------------------------------------------------------------------------------------------


@pytest.mark.parametrize("loss", LOSSES, ids=name_of)
def test_ground_that_keeps_more_lets_less_run_off(loss: Loss):
    """Factor 1 changes nothing, a larger one takes from the runoff, a smaller one adds to it."""
    runoff = [float(loss.keeping(factor).runoff_mm(60.0)) for factor in (0.25, 0.5, 1.0, 2.0, 4.0)]
    assert (np.diff(runoff) < 0).all()
    assert runoff[2] == pytest.approx(float(loss.runoff_mm(60.0)))
    assert 0.0 <= min(runoff) < max(runoff) <= 60.0


@pytest.mark.parametrize("curve_number", [60.0, 70.0, 80.0, 90.0])
@pytest.mark.parametrize(("share", "condition"), [(0.1, "wet"), (0.9, "dry")])
def test_conditions_are_the_tenth_and_nine_tenths_of_storms(curve_number, share, condition):
    """Retention at 10 and 90 % gives the curve numbers of NEH 630 Table 10-1 for conditions III and I, within 2."""
    factor = np.exp(natural_retention_sigma() * norm.ppf(share))
    drawn = CurveNumberLoss(curve_number).keeping(factor)
    assert drawn.curve_number == pytest.approx(float(antecedent_curve_number(curve_number, condition)), abs=2.0)


def test_every_number_has_its_source():
    """Rows of the table of uncertainties name where they come from."""
    for row in named_rows("uncertainty").values():
        assert row.value > 0
        assert row.source
