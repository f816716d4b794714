"""How sure a layout is."""

import json
import multiprocessing
import os
import signal
import sqlite3
from dataclasses import replace

import numpy as np
import pytest
from bad_input import assert_one_line_error
from read_back import csv_rows
from scipy.optimize import brentq
from scipy.stats import norm
from sites import brief_values, make_site, plane, write_tile

from swalekit.design.brief.settings import rates_of
from swalekit.design.brief.site import Site
from swalekit.design.brief.values import check_brief
from swalekit.design.layout.ground import study_ground
from swalekit.design.layout.lines import make_layout
from swalekit.design.layout.water import pour
from swalekit.design.plan.pipeline import plan
from swalekit.design.reliability.draws import FIELD_OF_INPUT, spreads_of
from swalekit.design.reliability.reliability import Reliability, how_sure
from swalekit.design.reliability.table import (
    RELIABILITY_COLUMNS,
    matters_most,
    reliability_cautions,
    reliability_rows,
    reliability_summary,
)
from swalekit.design.reliability.trial import StakedLayout, try_draw
from swalekit.earthwork.cost import swale_cost
from swalekit.errors import InputError
from swalekit.hydrology.losses.antecedent import natural_retention_sigma
from swalekit.hydrology.losses.curve_number import runoff_mm
from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
from swalekit.hydrology.storm.frequency import analyse_frequency
from swalekit.reporting.charts.reliability.chances import draw_chances, reliability_sheet
from swalekit.reporting.charts.reliability.map import reliability_content
from swalekit.section.shape import shape_swale

SURE = {
    "terrain_sigma_m": 0.0,
    "curve_number_spread": 0.0,
    "curve_number_sigma": 0.0,
    "loss_variation": 0.0,
    "storm_variation": 0.0,
    "intake_variation": 0.0,
    "crest_sigma_m": 0.0,
    "floor_sigma_m": 0.0,
}
"""No uncertainty at all."""
ONE_LINE = {"levels_m": [106.0]}
RATES = {"machine_per_h": 60.0, "swale_per_m": 2.0, "mobilisation": 100.0, "currency": "EUR"}


def sure_of(levels=ONE_LINE, *, soil=None, **uncertain) -> Reliability:
    """A plane of 10 % with everything sure but what is named."""
    site = make_site(
        levels=levels, rates=RATES, uncertainty=SURE | {"draws": 40} | uncertain,
        soil={"curve_number": 80.0, "intake_mm_h": 20.0} | (soil or {}),
    )  # fmt: skip
    return how_sure(site, plane(shape=(80, 60)))


def staked(levels=ONE_LINE) -> StakedLayout:
    """A layout on that plane before anything of it is drawn."""
    site, terrain = make_site(levels=levels), plane(shape=(80, 60))
    ground = study_ground(site, terrain)
    layout = make_layout(site, ground)
    return StakedLayout.of(site, ground, layout, pour(site, ground, layout))


# --- against what is known -------------------------------------------------------------------------------------------


@pytest.mark.compiled
@pytest.mark.parametrize("variation", [0.15, 0.4])
def test_chance_with_a_lognormal_storm_is_the_normal_integral(variation):
    """A plane, the storm alone uncertain: the chance to hold is Φ(ln(held / median) / σ), the nearer the more draws."""
    for draws in (60, 1000):
        drawn = sure_of(storm_variation=variation, draws=draws)
        held_mm = drawn.layout.held_storm_mm
        exact = norm.cdf(np.log(held_mm / 50.0) / np.sqrt(np.log1p(variation**2)))
        assert 0.1 < exact < 0.95
        assert drawn.chance == pytest.approx(exact, abs=3.0 * np.sqrt(exact * (1.0 - exact) / draws))
        assert drawn.chance_sigma == pytest.approx(np.sqrt(exact * (1.0 - exact) / draws), rel=0.3)


@pytest.mark.compiled
def test_chance_with_a_lognormal_retention_is_the_normal_integral():
    """The curve number alone uncertain: the swale holds where S exceeds the value at which the water just fills it."""
    drawn = sure_of(curve_number_spread=1.0, draws=600)
    (swale,) = drawn.layout.swales
    shape, area_m2 = swale.sized.shape, swale.catchment_m2

    def over_m3(log_s: float) -> float:
        depth_mm = float(runoff_mm(50.0, 25400.0 / (254.0 + np.exp(log_s))))
        return (depth_mm * area_m2 + (50.0 - depth_mm) * shape.catch_m2) / 1000.0 - shape.storage_m3

    just_full = brentq(over_m3, np.log(1.0), np.log(1000.0))
    exact = norm.cdf((np.log(25400.0 / 80.0 - 254.0) - just_full) / natural_retention_sigma())
    assert drawn.chance == pytest.approx(exact, abs=3.0 * np.sqrt(exact * (1.0 - exact) / 600))


def test_without_uncertainty_every_draw_is_the_design():
    """Held storm, soil, cost and standing time of each draw are those of the plan; nothing matters, no line wanders."""
    drawn = sure_of(levels={"levels_m": [106.0, 104.0]}, draws=20)
    design = plan(drawn.layout.site, plane(shape=(80, 60)))
    for number, swale in enumerate(design.swales):
        assert (drawn.held_mm[:, number] == swale.sized_storm_mm).all()
        np.testing.assert_allclose(drawn.dug_m3[:, number], swale.quantities.dug_m3, rtol=1e-9)
        np.testing.assert_allclose(drawn.standing_h[:, number], 1000.0 * swale.water_depth_m / 10.0)
        assert swale.routed.empty_after_h <= drawn.standing_h[0, number]
    np.testing.assert_allclose(drawn.cost, design.cost)
    assert drawn.chance == 1.0
    assert drawn.chance_sigma == 0.0
    assert {value for row in drawn.influence.values() for value in row.values()} == {0.0}
    assert [row["wander_m"] for row in reliability_rows(drawn)] == [0.0] * 3


def test_a_lower_floor_is_a_deeper_ditch():
    """A floor 0.1 m too low digs what a ditch designed 0.1 m deeper does, and holds more; a low crest holds less."""
    layout = staked()
    (shape,) = layout.shapes
    as_designed = try_draw(layout, layout.expected)
    low_floor = try_draw(layout, replace(layout.expected, floor_m=np.array([-0.1])))
    low_crest = try_draw(layout, replace(layout.expected, crest_m=np.array([-0.1])))
    deeper = shape_swale(shape.stations, shape.depth_m + 0.1, shape.section)
    assert low_floor.dug_m3[0] == pytest.approx(deeper.cut_m3)
    assert low_crest.dug_m3[0] == as_designed.dug_m3[0]
    assert low_crest.held_mm[0] < as_designed.held_mm[0] < low_floor.held_mm[0]


def test_higher_ground_along_half_the_line_digs_more_there():
    """Ground 0.2 m up along one half and down along the other digs as two ditches so much deeper and shallower."""
    layout = staked()
    (shape,) = layout.shapes
    stations = shape.stations
    up = np.where(np.arange(stations.ground_m.size) < stations.ground_m.size / 2, 0.2, -0.2)
    drawn = try_draw(layout, replace(layout.expected, height_error_m=(up,)))
    areas = {rise: shape_swale(stations, shape.depth_m + rise, shape.section).cut_area_m2[0] for rise in (0.2, -0.2)}
    expected = sum(areas[round(float(rise), 1)] * width for rise, width in zip(up, stations.width_m, strict=True))
    assert drawn.dug_m3[0] == pytest.approx(expected, rel=1e-3)


def test_height_errors_of_a_line_average_to_nothing():
    """Each line keeps the departures from its mean, as large as the terrain's error allows."""
    layout = staked({"levels_m": [106.0, 104.0]})
    for number in range(20):
        for error, shape in zip(layout.draw(number).height_error_m, layout.shapes, strict=True):
            assert error @ shape.stations.width_m == pytest.approx(0.0, abs=1e-9)
            assert 0.001 < error.std() < 0.15


# --- what follows from it --------------------------------------------------------------------------------------------


def test_more_uncertainty_is_less_sure():
    """The design holds its storm: the chance falls as the storm's spread grows, soil's range grows with the floor's."""
    chances = [sure_of(storm_variation=each).chance for each in (0.0, 0.05, 0.4)]
    assert chances[0] == 1.0
    assert chances == sorted(chances, reverse=True)
    assert chances[2] < chances[0]
    spread = [np.ptp(sure_of(floor_sigma_m=each).dug_m3) for each in (0.0, 0.02, 0.1)]
    assert spread[0] == 0.0 < spread[1] < spread[2]


def test_worse_heights_never_make_it_surer():
    """Catchments move and soil there is limits the berm: the chance falls, and with much error it is told."""
    drawn = [sure_of(terrain_sigma_m=each, storm_variation=0.1, draws=60) for each in (0.0, 0.2, 0.6)]
    chances = [draw.chance for draw in drawn]
    assert chances[0] > max(chances[1:])
    assert [len(reliability_cautions(each)) for each in (drawn[0], drawn[2])] == [1, 2]


@pytest.mark.parametrize(
    ("uncertain", "outcome", "name"),
    [
        ({"storm_variation": 0.2}, "holding the storm", "storm depth"),
        ({"curve_number_spread": 1.0}, "holding the storm", "runoff"),
        ({"crest_sigma_m": 0.1}, "holding the storm", "berm crest"),
        ({"floor_sigma_m": 0.05}, "soil dug", "ditch floor"),
        ({"terrain_sigma_m": 0.1}, "soil dug", "terrain height"),
        ({"intake_variation": 0.5}, "standing time", "infiltration"),
    ],
)
def test_the_only_uncertain_input_is_all_that_matters(uncertain, outcome, name):
    """Its rank correlation is one, that of the others none."""
    drawn = sure_of(**uncertain)
    assert matters_most(drawn, outcome) == name
    assert drawn.influence[outcome] == pytest.approx(
        {each: 1.0 if each == name else 0.0 for each in FIELD_OF_INPUT}, abs=1e-12
    )


def test_the_wider_input_matters_more():
    """With storm and floor both uncertain, the one that is made wide matters most."""
    for wide, uncertain in (
        ("storm depth", {"storm_variation": 0.4, "floor_sigma_m": 0.01}),
        ("ditch floor", {"storm_variation": 0.01, "floor_sigma_m": 0.2}),
    ):
        assert matters_most(sure_of(**uncertain), "holding the storm") == wide


@pytest.mark.parametrize(
    "soil",
    [
        {"conductivity_mm_h": 5.0, "suction_mm": 100.0, "moisture_deficit": 0.2},
        {"initial_loss_mm": 10.0, "loss_rate_mm_h": 2.0},
        {"runoff_coefficient": 0.3},
    ],
    ids=["Green-Ampt", "constant loss", "coefficient"],
)
def test_losses_without_a_curve_number_are_drawn_too(soil):
    """What the ground keeps varies, and so does what the swale holds."""
    site = make_site(levels=ONE_LINE, soil=soil, uncertainty=SURE | {"loss_variation": 0.5, "draws": 20})
    drawn = how_sure(site, plane(shape=(80, 60)))
    assert matters_most(drawn, "holding the storm") == "runoff"
    assert not drawn.soaks
    assert reliability_rows(drawn)[-1]["standing_h"] is None


def test_storm_spreads_as_the_band_of_the_record():
    """The 90 % band of the record's depth is the range of the storms drawn; what the brief gives goes before it."""
    depth_mm = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0, 29.0, 47.0, 33.0])
    rain = analyse_frequency(AnnualMaxima(np.arange(2001, 2011), depth_mm), seed=1)
    storm = {"record": "rain.csv", "return_period_y": 10.0}
    site = Site(check_brief(brief_values(storm=storm)), rain=rain)
    low, high = rain.band_mm(10.0)
    assert np.exp(2.0 * norm.ppf(0.95) * spreads_of(site, plane()).storm_sigma) == pytest.approx(high / low)
    given = site.with_values({"uncertainty.storm_variation": 0.0})
    assert spreads_of(given, plane()).storm_sigma == 0.0


# --- the same again --------------------------------------------------------------------------------------------------


def arrays(drawn: Reliability) -> list[np.ndarray]:
    """All figures that were drawn."""
    return [drawn.storm_mm, drawn.held_mm, drawn.dug_m3, drawn.standing_h, drawn.catchment_m2, drawn.moved]


@pytest.mark.compiled
def test_the_same_seed_gives_the_same_draws():
    """Figures repeat by seed, differ with another, and the first draws are the same however many there are."""
    site = make_site(levels=ONE_LINE, soil={"curve_number": 80.0, "texture": "loam"}, uncertainty={"draws": 20})
    terrain = plane(shape=(80, 60))
    first, again = how_sure(site, terrain), how_sure(site, terrain)
    more, other = (
        how_sure(replace(site, brief=site.brief.model_copy(update={"uncertainty": part})), terrain)
        for part in (
            site.brief.uncertainty.model_copy(update={"draws": 30}),
            site.brief.uncertainty.model_copy(update={"seed": 2}),
        )
    )
    for one, same, longer in zip(*map(arrays, (first, again, more)), strict=True):
        np.testing.assert_array_equal(one, same)
        np.testing.assert_array_equal(one, longer[:20])
    for one, different in zip(arrays(first)[:-1], arrays(other)[:-1], strict=True):
        assert not np.array_equal(one, different)
    assert first.influence == again.influence


@pytest.mark.compiled
def test_the_same_draws_for_any_number_of_workers():
    """Two processes give what one gives, to the last digit."""
    site = make_site(levels=ONE_LINE, soil={"curve_number": 80.0, "texture": "loam"}, uncertainty={"draws": 20})
    one, two = (how_sure(site, plane(shape=(80, 60)), workers=workers) for workers in (1, 2))
    for alone, shared in zip(arrays(one), arrays(two), strict=True):
        np.testing.assert_array_equal(alone, shared)
    assert one.influence == two.influence


@pytest.mark.compiled
def test_a_killed_process_is_told(monkeypatch):
    """One line that says so, on the first process that is seen to work."""
    others = set(multiprocessing.active_children())

    def kill_one(said: str) -> None:
        if said.startswith("draw 1 "):
            for process in set(multiprocessing.active_children()) - others:
                os.kill(process.pid, signal.SIGKILL)

    site = make_site(levels=ONE_LINE, uncertainty={"draws": 400})
    with pytest.raises(InputError, match="a worker process ended before its work was done"):
        how_sure(site, plane(shape=(80, 60)), workers=2, stage=kill_one)


# --- what comes out --------------------------------------------------------------------------------------------------


@pytest.fixture(scope="module")
def drawn() -> Reliability:
    """Two lines with every input uncertain."""
    site = make_site(
        levels={"levels_m": [106.0, 104.0]}, rates=RATES, soil={"curve_number": 80.0, "texture": "loam"},
        uncertainty={"draws": 30},
    )  # fmt: skip
    return how_sure(site, plane(shape=(80, 60)))


def test_rows_have_every_column_and_end_with_the_layout(drawn):
    """A row a swale, then the layout, whose chance is no greater than that of any swale; ranges hold what lies in."""
    rows = reliability_rows(drawn)
    assert [row["swale"] for row in rows] == ["S1", "S2", "layout"]
    assert all(list(row) == [column.name for column in RELIABILITY_COLUMNS] for row in rows)
    assert rows[-1]["chance_to_hold"] <= min(row["chance_to_hold"] for row in rows)
    for row in rows:
        assert row["dug_low_m3"] < row["dug_m3"] < row["dug_high_m3"]
        assert row["cost_low"] < row["cost"] < row["cost_high"]
        assert row["held_low_mm"] < row["held_high_mm"]
        assert row["standing_low_h"] < row["standing_h"] < row["standing_high_h"]
        assert row["wander_m"] == pytest.approx(norm.ppf(0.95) * 0.05 / 0.1, abs=0.05)


def test_a_printed_range_holds_nine_draws_of_ten(drawn):
    """Of draws 0 … 100 five lie below each range and five above it: in tables and summary, on the sheet, in a cell."""
    even = np.arange(101.0)
    both = np.column_stack([even, even])
    ranged = replace(drawn, storm_mm=even, held_mm=both, dug_m3=both, standing_h=both)
    *swales, layout = reliability_rows(ranged)
    prices = [swale_cost(dug_m3, drawn.layout.swales[0].line.length_m, rates_of(drawn.layout.site)) for dug_m3 in even]
    for row in swales:
        for figure, unit in (("held", "_mm"), ("dug", "_m3"), ("standing", "_h")):
            assert (row[f"{figure}_low{unit}"], row[f"{figure}_high{unit}"]) == (5, 95)
    assert (swales[0]["cost_low"], swales[0]["cost_high"]) == (round(prices[5]), round(prices[95]))
    assert [layout[name] for name in ("held_low_mm", "held_high_mm", "dug_low_m3", "dug_high_m3")] == [5, 95, 10, 190]
    assert reliability_summary(ranged)["storm_mm"] == {"design": 50.0, "low": 5.0, "high": 95.0}
    for axes in (reliability_sheet(ranged).axes[1], draw_chances(ranged)):
        assert [bar[:, 1].tolist() for bar in axes.collections[0].get_segments()] == [[5.0, 95.0]] * 2
        assert axes.lines[0].get_ydata().tolist() == [50.0, 50.0]


def test_summary_tells_inputs_and_what_matters(drawn):
    """Every input with its distribution, and the one that matters most to each outcome; it is JSON."""
    told = json.loads(json.dumps(reliability_summary(drawn)))
    assert [line["input"] for line in told["drawn"]] == list(FIELD_OF_INPUT)
    assert told["matters_most"]["standing time"] == "infiltration"
    assert told["draws"] == 30
    assert len(told["swales"]) == 2


def test_the_chart_names_site_swales_and_inputs(drawn):
    """Chance in the title, a bar a swale, and the inputs beside the bars of what matters."""
    storms, swales, first, *others = reliability_sheet(drawn).axes
    chance = f"{100 * drawn.chance:.0f} % of 30 draws"
    assert storms.get_title(loc="left") == f"Unnamed site: all swales hold in {chance}"
    assert [label.get_text() for label in swales.get_xticklabels()] == ["S1", "S2"]
    assert [label.get_text() for label in first.get_yticklabels()] == list(FIELD_OF_INPUT)
    assert len(others) == 2


def test_the_map_has_a_band_a_line(drawn):
    """Bands as wide as the lines wander, and a row of the table for each swale."""
    content = reliability_content(drawn)
    assert [row[0] for row in content.table] == ["S1", "S2"]
    for path, band in zip(content.lines.values(), content.bands, strict=True):
        west, south, east, north = band.bounds
        assert (south + north) / 2.0 == pytest.approx(path[:, 1].mean(), abs=0.01)
        assert north - south == pytest.approx(2.0 * norm.ppf(0.95) * 0.05 / 0.1, rel=0.01)
        assert east - west == pytest.approx(np.ptp(path[:, 0]))
    assert (
        "All swales hold",
        f"{100 * drawn.chance:.0f} % of draws, ± {100 * drawn.chance_sigma:.0f}",
    ) in content.facts


# --- the command -----------------------------------------------------------------------------------------------------


@pytest.fixture
def swalekit(swalekit, tmp_path):
    """Run the command on a plane in a folder of its own; give exit code, standard output and standard error."""
    write_tile(tmp_path / "plane.tif", plane(shape=(80, 60)).heights)

    def call(brief: str, *words: object) -> tuple[int, str, str]:
        text = '[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50.0\n[soil]\ncurve_number = 80\n'
        (tmp_path / "site.toml").write_text(f"{text}{brief}\n", encoding="utf-8")
        return swalekit("reliability", "site.toml", *words)

    return call


LEVELS = "[levels]\nlevels_m = [106.0, 104.0]"


def test_the_command_writes_a_whole_folder(swalekit, tmp_path):
    """Table, layers, chart, map and summary; options go before the brief's keys; standard error stays silent."""
    code, out, err = swalekit(LEVELS, "--draws", 20, "--seed", 5)
    assert (code, err) == (0, "")
    folder = tmp_path / "reliability"
    names = {"reliability.csv", "reliability.gpkg", "reliability.png", "map.png", "map.pdf", "summary.json"}
    assert {file.name for file in folder.iterdir()} == names
    told = json.loads((folder / "summary.json").read_text())
    assert (told["draws"], told["seed"]) == (20, 5)
    assert [row["swale"] for row in csv_rows(folder / "reliability.csv")] == ["S1", "S2", "layout"]
    with sqlite3.connect(folder / "reliability.gpkg") as layers:
        assert [layers.execute(f"SELECT COUNT(*) FROM {each}").fetchone() for each in ("swales", "bands")] == [(2,)] * 2
    assert "matters most to holding the storm: " in out


def test_the_command_prints_json(swalekit):
    """The summary for machines, on standard output."""
    code, out, _ = swalekit(LEVELS, "--draws", 20, "--json")
    assert code == 0
    assert json.loads(out)["layout"]["swale"] == "layout"


@pytest.mark.parametrize(
    ("brief", "words", "said"),
    [
        (LEVELS + "\n[uncertainty]\ndraws = 3", (), "[uncertainty] draws is 3"),
        (LEVELS, ("--draws", 3), "[uncertainty] draws is 3"),
        (LEVELS, ("--seed", -1), "[uncertainty] seed is -1"),
        (LEVELS + "\n[uncertainty]\ncrest_sigma_m = -0.1", (), "[uncertainty] crest_sigma_m is -0.1"),
        (LEVELS + "\n[uncertainty]\nfloor_sigma_m = 5", (), "[uncertainty] floor_sigma_m is 5"),
        (LEVELS + "\n[uncertainty]\nstorm_variaton = 0.1", (), "did you mean 'storm_variation'?"),
        (LEVELS + '\n[uncertainty]\ncorrelation_m = "far"', (), "[uncertainty] correlation_m is 'far'"),
        (LEVELS + "\n[uncertainty]\nintake_variation = nan", (), "[uncertainty] intake_variation is nan"),
        ("[levels]\nlevels_m = [900.0]", (), "no swale could be laid"),
    ],
)
def test_bad_input_is_one_line_and_leaves_nothing(swalekit, tmp_path, brief, words, said):
    """Part, key, value and rule in one line, exit code 2, no folder."""
    assert_one_line_error(swalekit(brief, *words), said)
    assert not (tmp_path / "reliability").exists()


def test_workers_must_be_some():
    """No worker is an error."""
    with pytest.raises(InputError, match="workers is 0"):
        how_sure(make_site(), plane(), workers=0)
