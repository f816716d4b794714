"""Uncertain inputs as they are drawn: heights, places of lines, losses."""

from dataclasses import replace

import numpy as np
import pytest
from loss_examples import LOSSES, name_of
from scipy.stats import norm

from swalekit.contours.line import LevelLine
from swalekit.contours.wander import wander_band, wander_m
from swalekit.design.reliability.draws import Spreads
from swalekit.errors import InputError
from swalekit.grid import Grid
from swalekit.hydrology.losses.antecedent import antecedent_curve_number, natural_retention_sigma
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.loss import Loss
from swalekit.tables.load import named_rows
from swalekit.terrain.height_error import draw_height_errors
from swalekit.terrain.terrain import Terrain


def tile(shape=(40, 60), cell_m=1.0) -> Terrain:
    """A level tile."""
    return Terrain.from_heights(np.zeros(shape), Grid.from_corner(shape, cell_m=cell_m, west_m=0.0, north_m=0.0))


def fields(count: int, terrain: Terrain, correlation_m: float = 20.0) -> np.ndarray:
    """Heights of a level tile with errors of 0.1 m, drawn again and again."""
    random = np.random.default_rng(1)
    drawn = (draw_height_errors(terrain.grid, correlation_m=correlation_m, random=random) for _ in range(count))
    return np.array([errors.on(terrain, sigma_m=0.1).heights for errors in drawn])


def ring(radius_m: float) -> LevelLine:
    """A closed line round a knoll."""
    angle = -np.linspace(0.0, 2.0 * np.pi, 60, endpoint=False)  # clockwise: downhill, outward, is on the left
    xy = radius_m * np.column_stack([np.cos(-angle), np.sin(-angle)])
    return LevelLine(10.0, True, xy, np.full(60, 10.0), np.full(60, 0.1))


# --- heights ---------------------------------------------------------------------------------------------------------


@pytest.mark.compiled
@pytest.mark.parametrize(("cell_m", "correlation_m"), [(1.0, 4.0), (1.0, 16.0), (5.0, 20.0), (1.0, 64.0)])
def test_covariance_of_heights_falls_exponentially(cell_m, correlation_m):
    """Over many fields the covariance of cells is σ² exp(−d / L): on nodes by nature, between them within 3 % of σ²."""
    drawn = fields(3000, tile(cell_m=cell_m), correlation_m) / 0.1
    for steps in (0, 4, 8, 16):
        expected = np.exp(-steps * cell_m / correlation_m)
        near = 0.03 + 4 * np.sqrt(2 / 3000 / 2)
        assert (drawn[:, 20, 20] * drawn[:, 20 + steps, 20]).mean() == pytest.approx(expected, abs=near)
        assert (drawn[:, 20, 20:40] * drawn[:, 20, 20 + steps : 40 + steps]).mean() == pytest.approx(expected, abs=near)


@pytest.mark.compiled
def test_far_ends_of_a_tile_are_strangers():
    """The torus on which fields are made leaves no tie between opposite edges."""
    drawn = fields(3000, tile((10, 60)), 4.0) / 0.1
    assert (drawn[:, 5, 0] * drawn[:, 5, -1]).mean() == pytest.approx(0.0, abs=4 / np.sqrt(3000))


def test_height_errors_are_normal():
    """Quantiles of 4000 independent errors at a point are those of the normal distribution."""
    drawn = fields(4000, tile((2, 2)))[:, 0, 0]
    shares = [0.05, 0.25, 0.5, 0.75, 0.95]
    np.testing.assert_allclose(np.quantile(drawn, shares), norm.ppf(shares, scale=0.1), atol=0.01)


def test_errors_at_points_are_those_of_the_field():
    """At the centres of cells a point has the error that the cell has; beyond the tile that of its rim."""
    terrain = tile()
    errors = draw_height_errors(terrain.grid, correlation_m=64.0, random=np.random.default_rng(3))
    row, column = np.divmod(np.arange(terrain.grid.n_cells), 60)
    at = errors.at(*terrain.grid.centres(row, column)).reshape(40, 60)
    np.testing.assert_allclose(errors.on(terrain, sigma_m=0.1).heights, 0.1 * at, atol=1e-6)
    assert errors.cells == 4
    assert errors.at([-50.0], [-0.5])[0] == at[0, 0]


def test_height_errors_grow_with_sigma_and_repeat_by_seed():
    """A seed gives one field, times its standard error; ground that wasn't seen errs more; another seed, another."""
    terrain = tile()
    unseen = np.zeros((40, 60), np.float32)
    unseen[:, :30] = 0.4
    one, same, other = (
        draw_height_errors(terrain.grid, correlation_m=20.0, random=np.random.default_rng(seed)) for seed in (3, 3, 4)
    )
    np.testing.assert_array_equal(one.nodes, same.nodes)
    assert not np.allclose(one.nodes, other.nodes)
    assert not one.on(terrain, sigma_m=0.0).heights.any()
    seen, worse = one.on(terrain, sigma_m=0.3).heights, one.on(replace(terrain, drawn_sigma=unseen), sigma_m=0.3)
    np.testing.assert_allclose(worse.heights[:, :30], seen[:, :30] * 5 / 3, atol=1e-6)
    np.testing.assert_allclose(worse.heights[:, 30:], seen[:, 30:], atol=1e-6)


def test_voids_stay_void():
    """A cell without a height gets none."""
    heights = np.zeros((20, 20))
    heights[3, 4] = np.nan
    terrain = Terrain.from_heights(heights, Grid.from_corner((20, 20), cell_m=1.0))
    errors = draw_height_errors(terrain.grid, correlation_m=5.0, random=np.random.default_rng(3))
    assert np.isnan(errors.on(terrain, sigma_m=0.1).heights).sum() == 1


@pytest.mark.parametrize(("sigma_m", "correlation_m"), [(-0.1, 20.0), (0.1, 0.0), (np.nan, 20.0)])
def test_height_errors_fail(sigma_m, correlation_m):
    """A negative or unknown error, or no correlation length, is an error."""
    terrain = tile((5, 5))
    with pytest.raises(InputError):
        draw_height_errors(terrain.grid, correlation_m=correlation_m, random=np.random.default_rng(0)).on(
            terrain, sigma_m=sigma_m
        )


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


@pytest.mark.parametrize("curve_number", [60.0, 77.0, 85.0, 92.0])
def test_error_of_a_curve_number_is_that_of_its_retention(curve_number):
    """Of many drawn numbers the spread is nearly the one given: ln S spreads by 100 σ / (CN (100 − CN))."""
    spreads = Spreads(0.0, 20.0, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0, curve_number_sigma=2.0)
    loss = CurveNumberLoss(curve_number)
    drawn = [
        loss.keeping(spreads.loss_factor(loss, 0.0, each)).curve_number
        for each in norm.ppf((np.arange(400) + 0.5) / 400)
    ]
    assert np.std(drawn) == pytest.approx(2.0, rel=0.07)
    assert np.median(drawn) == pytest.approx(curve_number, abs=0.02)


def test_a_nearly_sealed_ground_stays_so():
    """Of CN 98 half of what it lacks to 100 counts: one deviation up or down stays within 1.5; CN 100 doesn't vary."""
    spreads = Spreads(0.0, 20.0, 0.5, 0.0, 0.0, 0.0, 0.0, 0.0, curve_number_sigma=5.0)
    rock, sealed = CurveNumberLoss(98.0), CurveNumberLoss(100.0)
    ends = [rock.keeping(spreads.loss_factor(rock, 0.0, each)).curve_number for each in (1.0, -1.0)]
    assert 96.5 < ends[0] < 98.0 < ends[1] < 99.5
    assert spreads.loss_factor(sealed, 0.0, 2.0) == 1.0


def test_every_number_has_its_source():
    """Rows of the table of uncertainties name where they come from."""
    for row in named_rows("uncertainty").values():
        assert row.value > 0
        assert row.source
