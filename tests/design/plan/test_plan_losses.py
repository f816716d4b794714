"""A plan by each way of saying how much runs off, from the brief on the command line to the summary."""

import json
from pathlib import Path

import geopandas as gpd
import numpy as np
import pytest
import shapely
from bad_input import assert_one_line_error
from sites import NORTH, WEST

from swalekit.hydrology.losses.coefficient import RunoffCoefficient
from swalekit.hydrology.losses.constant import ConstantLoss
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.green_ampt import GreenAmptLoss, green_ampt_of_texture
from swalekit.hydrology.losses.infiltration_test import philip_infiltration_mm
from swalekit.hydrology.storm.storm import nrcs_storm

SANDY = 'texture = "sandy loam"\ninitial_saturation = 0.5'
RING_MIN = np.array([5.0, 10.0, 20.0, 40.0, 60.0, 90.0])
LOAM = GreenAmptLoss(conductivity_mm_h=6.5, suction_mm=167.0, moisture_deficit=0.34)
STORM = "time,rain\n0,1\n10,4\n20,16\n30,6\n40,3\n"
ATLAS = "duration,2,10,50\n15 min,12,19,26\n1 h,20,30,40\n24 h,42,60,85\n"


@pytest.fixture
def swalekit(swalekit, plane_tile):
    """Plan a plane of 60 m × 50 m by the soil and storm given; give exit code, standard output and standard error."""

    def call(soil: str, *words: str, storm: str = "depth_mm = 60") -> tuple[int, str, str]:
        brief = (
            f'[terrain]\nfile = "plane.tif"\n[storm]\n{storm}\n[soil]\n{soil}\n[levels]\nlevels_m = [102.0, 104.0]\n'
            "[section]\ngreatest_bottom_width_m = 0.6\n"
        )
        Path("site.toml").write_text(brief, encoding="utf-8")
        return swalekit("plan", "site.toml", "--overwrite", *words)

    return call


@pytest.fixture
def summary_of(swalekit):
    """The summary of a plan by the soil and storm given."""

    def call(soil: str, storm: str = "depth_mm = 60") -> dict:
        code, out, err = swalekit(soil, "--json", storm=storm)
        assert (code, err) == (0, "")
        return json.loads(out)

    return call


def zones(*features: tuple[shapely.Geometry, dict], crs: int = 32630) -> str:
    """The key of a GeoPackage of soil zones, drawn in UTM zone 30 and saved in a CRS."""
    frame = gpd.GeoDataFrame([given for _, given in features], geometry=[feature for feature, _ in features], crs=32630)
    frame.to_crs(crs).to_file("zones.gpkg", layer="soil")
    return 'zones = "zones.gpkg"'


def ring_test(sorptivity: float, conductivity: float, *, per_unit_mm: float = 1.0) -> str:
    """The key of a ring test that follows Philip's equation."""
    depths = philip_infiltration_mm(RING_MIN / 60.0, sorptivity, conductivity) / per_unit_mm
    rows = "".join(
        f"{minute:g};{depth:.6f}\n".replace(".", ",") for minute, depth in zip(RING_MIN, depths, strict=True)
    )
    Path("ring.csv").write_text(f"minutes;depth\n0;0\n{rows}", encoding="utf-8")
    return 'infiltration_test = "ring.csv"'


def assert_runoff(swale: dict, runoff_mm: float, *, rain_mm: float = 60.0) -> None:
    """A swale gets that runoff from its catchment and besides, on a strip of less than 4.5 m, all other rain."""
    ground_m3 = runoff_mm * swale["catchment_m2"] / 1000.0
    strip_m3 = (rain_mm - runoff_mm) * 4.5 * swale["length_m"] / 1000.0
    assert ground_m3 < swale["runoff_m3"] + 0.1 < ground_m3 + strip_m3


@pytest.mark.parametrize(
    ("soil", "loss"),
    [
        ("curve_number = 85", CurveNumberLoss(85.0)),
        ("conductivity_mm_h = 6.5\nsuction_mm = 167\nmoisture_deficit = 0.34", LOAM),
        ("conductivity_in_h = 0.25\nsuction_in = 6.0\nmoisture_deficit = 0.34", GreenAmptLoss(6.35, 152.4, 0.34)),
        (SANDY, green_ampt_of_texture("sandy loam", saturation=0.5)),
        ("initial_loss_mm = 8\nloss_rate_mm_h = 5", ConstantLoss(8.0, 5.0)),
        ("runoff_coefficient = 0.4", RunoffCoefficient(0.4)),
    ],
    ids=["curve number", "Green-Ampt", "Green-Ampt in inches", "texture", "constant loss", "coefficient"],
)
def test_each_method_gives_its_runoff(summary_of, soil, loss):
    """Water and values are those of the loss, and the map is drawn."""
    summary = summary_of(soil)
    for swale in summary["swales"]:
        assert_runoff(swale, float(loss.runoff_mm(60.0)))
    (used,) = summary["values_used"]["losses"]
    assert used.pop("method") == loss.method
    assert used == pytest.approx(vars(loss), rel=1e-5)
    assert Path("plan/map.png").stat().st_size > 10_000


@pytest.mark.parametrize("soil", ["curve_number = 85", SANDY])
def test_dry_and_wet_ground_are_told_for_curve_numbers_alone(swalekit, soil):
    """No other method defines them: neither the terminal nor the summary gives a figure."""
    told = "on wet ground" in swalekit(soil)[1]
    figures = json.loads(Path("plan/summary.json").read_text(encoding="utf-8"))["totals"]
    assert told is (soil == "curve_number = 85")
    assert (figures["held_dry_mm"] is not None) is (figures["held_wet_mm"] is not None) is told


def test_zones_of_every_kind_in_another_crs(summary_of):
    """Each feature says it in its own way, and the swales get the mean of the five bands' runoff."""
    kinds = [
        {"texture": "clay"},
        {"curve_number": 90.0},
        {"loss_rate_in_h": "0.2"},
        {"runoff_coefficient": 0.7},
        {"cover": "pasture", "condition": "good", "group": "C"},
    ]
    bands = [(shapely.box(WEST + 10 * k, NORTH - 60, WEST + 10 * k + 10, NORTH), kind) for k, kind in enumerate(kinds)]
    summary = summary_of(f"{SANDY}\n{zones(*bands, crs=4258)}")
    losses = summary["values_used"]["losses"]
    assert [loss["method"] for loss in losses[:4]] == ["Green-Ampt", "Green-Ampt", "curve number", "constant loss"]
    assert losses[1]["conductivity_mm_h"] == 0.3  # Rawls et al. 1983, clay
    assert losses[3]["rate_mm_h"] == 5.08
    assert losses[5]["curve_number"] == 74.0  # TR-55, Table 2-2c
    assert not any("soil zone" in warning for warning in summary["warnings"])
    expected = [green_ampt_of_texture("clay", saturation=0.5), CurveNumberLoss(90.0), ConstantLoss(0.0, 5.08)]
    depth_mm = np.mean([loss.runoff_mm(60.0) for loss in (*expected, RunoffCoefficient(0.7), CurveNumberLoss(74.0))])
    assert_runoff(summary["swales"][1], float(depth_mm))


def test_ground_without_a_zone_and_zones_off_the_site_are_told(summary_of):
    """Zones on the western 30 of 50 m leave 40 %; one lies in another valley."""
    west = (shapely.box(WEST - 5, NORTH - 70, WEST + 30, NORTH + 5), {"curve_number": 90})
    away = (shapely.box(WEST + 900, NORTH, WEST + 910, NORTH + 10), {"curve_number": 70})
    warnings = "; ".join(summary_of(f"curve_number = 80\n{zones(west, away)}")["warnings"])
    assert "no soil zone covers 40.0 % of the site: there the brief's own soil counts, curve number 80" in warnings
    assert "soil zone 2 lies wholly outside the site" in warnings


def test_an_infiltration_test_gives_conductivity_and_intake(summary_of):
    """K with its spread and how it was found, used for losses and for soaking, and told in a note."""
    summary = summary_of(f"{SANDY}\n{ring_test(40.0, 9.0)}")
    used = summary["values_used"]
    assert used["losses"][0]["conductivity_mm_h"] == pytest.approx(9.0, rel=1e-3)
    assert used["losses"][0]["suction_mm"] == 110.1
    assert used["intake_mm_h"] == pytest.approx(9.0, rel=1e-3)
    assert set(used["infiltration_test"]) == {
        "method", "conductivity_mm_h", "sorptivity_mm_h05", "spread_mm_h", "late_rate_mm_h"
    }  # fmt: skip
    assert used["infiltration_test"]["spread_mm_h"] < 0.01
    (note,) = [row for row in summary["warnings"] if "ring.csv" in row]
    assert "K 9 mm/h with a standard error of" in note
    assert "taken as conductivity and intake of the ditches" in note
    assert {row["key"] for row in summary["inputs"]} == {"terrain.file", "soil.infiltration_test"}


def test_an_infiltration_test_speaks_for_ground_without_a_texture_of_its_own(summary_of):
    """A zone of clay keeps the table's 0.3 mm/h, a drier zone of the brief's soil takes the test's 9."""
    clay = (shapely.box(WEST, NORTH - 60, WEST + 20, NORTH), {"texture": "clay"})
    dry = (shapely.box(WEST + 20, NORTH - 60, WEST + 40, NORTH), {"initial_saturation": 0.1})
    losses = summary_of(f"{SANDY}\n{ring_test(40.0, 9.0)}\n{zones(clay, dry)}")["values_used"]["losses"]
    assert [loss["conductivity_mm_h"] for loss in losses] == pytest.approx([9.0, 0.3, 9.0], rel=1e-3)


def test_an_infiltration_test_in_inches_beside_a_curve_number_gives_the_intake(summary_of):
    """The losses stay the curve number's."""
    key = ring_test(40.0, 12.7, per_unit_mm=25.4)
    used = summary_of(f'curve_number = 80\n{key}\ninfiltration_test_unit = "in"')["values_used"]
    assert used["losses"][0]["method"] == "curve number"
    assert used["intake_mm_h"] == pytest.approx(12.7, rel=1e-3)


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        ("0,0\n5,16\n10,14\n20,35\n", ["line 3", "never fall"]),
        ("0,0\n5,16\n10,24\n", ["2 reading(s)"]),
        ("5,16,1\n10,24,2\n", ["line 1", "3 cells"]),
        ("5,16\n10,wet\n20,30\n", ["line 2", "'wet'"]),
        ("minutes,depth\n", ["no reading"]),
        ("15,10\n60,20\n135,30\n240,40\n", ["no steady rate"]),
    ],
)
def test_an_infiltration_test_that_cannot_be_used_is_named(swalekit, rows, words):
    """File and line, in one line, and nothing written."""
    Path("ring.csv").write_text(rows, encoding="utf-8")
    assert_one_line_error(swalekit(f'{SANDY}\ninfiltration_test = "ring.csv"'), "ring.csv", *words)
    assert not Path("plan").exists()


@pytest.mark.parametrize(
    ("properties", "words"),
    [
        ({"texture": "clay"}, ["texture 'clay' alone"]),
        ({"curve_number": 20}, ["curve_number is 20"]),
        ({"curve_number": 80, "runoff_coefficient": 0.5}, ["both say how much runs off"]),
        ({"loss_rate_mm_h": 5.0, "loss_rate_in_h": 0.2}, ["loss_rate_in_h", "loss_rate_mm_h", "give one"]),
        ({"runoff_coefficient": "half"}, ["runoff_coefficient is 'half'"]),
        ({"cover": "pastur", "group": "C"}, ["did you mean 'pasture'"]),
    ],
)
def test_a_zone_that_cannot_be_used_is_named(swalekit, properties, words):
    """File, feature, value and the way out in one line."""
    zone = shapely.box(WEST, NORTH - 60, WEST + 20, NORTH)
    result = swalekit(f"curve_number = 80\n{zones((zone, properties))}")
    assert_one_line_error(result, "zones.gpkg", "feature 1", *words)


def test_a_measured_course_is_scaled_to_the_depth_and_lasts_as_long_as_measured(summary_of):
    """Green–Ampt runoff of 30 mm in 50 min, twice the depth that was measured being 60 mm."""
    Path("storm.csv").write_text(STORM, encoding="utf-8")
    summary = summary_of(SANDY, storm='depth_mm = 60\ncourse_file = "storm.csv"')
    used = summary["values_used"]
    assert used["storm_course"] == "as in storm.csv"
    assert used["storm_duration_h"] == pytest.approx(50 / 60, rel=1e-5)
    loss = green_ampt_of_texture("sandy loam", saturation=0.5)
    depth_mm = loss.excess_mm(np.arange(6) / 6.0, 2.0 * np.cumsum([0, 1, 4, 16, 6, 3]))[-1]
    assert depth_mm > float(loss.runoff_mm(60.0, shape=nrcs_storm(1.0, "II")))
    assert_runoff(summary["swales"][0], float(depth_mm))


def test_a_course_built_from_the_table_has_its_depth_in_every_time(summary_of):
    """A constant loss of 36 mm/h leaves what the wettest quarter of an hour brings above 9 mm: 19 − 9 mm."""
    Path("atlas.csv").write_text(ATLAS, encoding="utf-8")
    storm = 'table = "atlas.csv"\nreturn_period_y = 10\ncourse = "alternating block"'
    summary = summary_of("loss_rate_mm_h = 36", storm=storm)
    assert summary["values_used"]["storm_course"] == "alternating block"
    assert_runoff(summary["swales"][1], 10.0)


def test_a_coarse_table_is_told(summary_of):
    """A storm of blocks of an hour has lost its hardest rain."""
    Path("atlas.csv").write_text("duration,10\n1 h,30\n24 h,60\n", encoding="utf-8")
    storm = 'table = "atlas.csv"\nreturn_period_y = 10\ncourse = "alternating block"'
    assert any("shortest duration is 1 h" in each for each in summary_of(SANDY, storm=storm)["warnings"])


def test_the_lag_formula_needs_a_curve_number_in_every_zone(swalekit):
    """A zone by another method is named."""
    zone = shapely.box(WEST, NORTH - 60, WEST + 20, NORTH)
    result = swalekit(f'curve_number = 80\ntravel = "lag"\n{zones((zone, {"runoff_coefficient": 0.5}))}')
    assert_one_line_error(result, "soil zone 1 is runoff coefficient")
