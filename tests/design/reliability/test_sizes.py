"""Layouts of other sizes met by the same draws, and the one that is sure enough."""

import json
from dataclasses import replace

import numpy as np
import pytest
from bad_input import assert_one_line_error
from read_back import csv_rows
from scipy.stats import norm
from sites import brief_values, make_site, plane, write_tile

from swalekit.design.brief.settings import course_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.brief.values import check_brief
from swalekit.design.reliability.reliability import Reliability, how_sure
from swalekit.design.reliability.sizes import Size, Sizes, size_chances, size_rows, sized_for, sizes_summary
from swalekit.errors import InputError
from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.frequency import analyse_frequency
from swalekit.reporting.charts.reliability.sizes import draw_sizes
from swalekit.reporting.words.chance_words import size_sentence

SURE = {
    "terrain_sigma_m": 0.0,
    "curve_number_spread": 0.0,
    "curve_number_sigma": 0.0,
    "crest_sigma_m": 0.0,
    "floor_sigma_m": 0.0,
}
NARROW = {"greatest_depth_m": 0.4, "bottom_width_m": 0.5, "greatest_bottom_width_m": 0.5}
RATES = {"machine_per_h": 60.0, "swale_per_m": 2.0, "mobilisation": 100.0, "currency": "EUR"}


def drawn(*, draws: int = 200, section: dict | None = None, **uncertain: float) -> Reliability:
    """One swale on a plane of 10 %, nothing unsure but what is named."""
    site = make_site(
        levels={"levels_m": [106.0]}, rates=RATES, uncertainty=SURE | {"draws": draws} | uncertain,
        section=section or {},
    )  # fmt: skip
    return how_sure(site, plane(shape=(80, 60)))


# --- the same draws --------------------------------------------------------------------------------------------------


@pytest.mark.compiled
def test_a_larger_size_holds_by_the_normal_integral():
    """The storm alone unsure: each size holds with Φ(ln(held / design) / σ); all meet the very same storms."""
    base = drawn(storm_variation=0.3, draws=800)
    found = size_chances(base, factors=[0.8, 1.25, 1.5])
    assert [size.factor for size in found.sizes] == [0.8, 1.0, 1.25, 1.5]
    for size in found.sizes:
        np.testing.assert_array_equal(size.reliability.storm_mm, base.storm_mm)
        held_mm = size.reliability.layout.held_storm_mm
        assert size.sized_for_mm == pytest.approx(50.0 * size.factor)
        assert held_mm >= size.sized_for_mm
        exact = norm.cdf(np.log(held_mm / 50.0) / np.sqrt(np.log1p(0.09)))
        assert size.chance == pytest.approx(exact, abs=3.0 * np.sqrt(exact * (1.0 - exact) / 800))


@pytest.mark.compiled
def test_the_heights_are_the_same_for_every_size():
    """Moisture, ground and heights too: what is drawn doesn't hang on what is dug."""
    base = drawn(draws=20, terrain_sigma_m=0.1, curve_number_spread=1.0)
    larger = size_chances(base, factors=[1.3]).sizes[1].reliability
    np.testing.assert_array_equal(larger.storm_mm, base.storm_mm)
    assert np.corrcoef(larger.catchment_m2[:, 0], base.catchment_m2[:, 0])[0, 1] > 0.6
    assert np.corrcoef(larger.held_mm[:, 0], base.held_mm[:, 0])[0, 1] > 0.9
    assert larger.influence == {}


# --- sure enough -----------------------------------------------------------------------------------------------------


@pytest.mark.compiled
@pytest.mark.parametrize("target", [0.7, 0.9])
def test_the_storm_to_size_for_is_its_quantile(target):
    """The storm alone unsure: what holds with p is sized for about its p-quantile, to a step of depth and 4 %."""
    base = drawn(storm_variation=0.3, draws=800, section={"depth_step_m": 0.01})
    found = size_chances(base, target=target)
    assert found.sure_enough is not None
    quantile_mm = float(np.quantile(base.storm_mm, target))
    assert found.sure_enough.chance >= target
    assert found.sure_enough.reliability.layout.held_storm_mm == pytest.approx(quantile_mm, rel=0.08)
    below = max(size.chance for size in found.sizes if size.factor < found.sure_enough.factor)
    assert below < target
    words = size_sentence(sizes_summary(found), units="metric", currency="EUR")
    assert words.startswith(f"To hold with a chance of {100 * target:.0f} %: size for ")
    assert f"at {found.sure_enough.cost:,.0f} EUR" in words


def test_what_is_sure_enough_is_not_made_larger():
    """All sure: the layout as it was asked for, and no other is laid out."""
    found = size_chances(drawn(draws=20, storm_variation=0.0), target=0.9)
    assert [size.factor for size in found.sizes] == [1.0]
    assert "as designed, sized for 50 mm" in size_sentence(sizes_summary(found), units="metric", currency="")


@pytest.mark.compiled
def test_limits_of_the_section_are_told():
    """A ditch that may be no deeper can't be made surer: the search ends there and says so."""
    base = drawn(draws=60, storm_variation=0.4, section=NARROW)
    found = size_chances(base, target=0.99)
    assert found.sure_enough is None
    assert found.sizes[-1].at_limit
    assert len(found.sizes) < 5
    assert "beyond the limits of the section" in size_sentence(sizes_summary(found), units="metric", currency="")


# --- rows and chart --------------------------------------------------------------------------------------------------


def priced(base: Reliability, chances: list[float]) -> Sizes:
    """Sizes of which so many draws hold, the layout being the same."""
    sizes = []
    for step, chance in enumerate(chances):
        held = np.where(np.arange(base.storm_mm.size) < round(chance * base.storm_mm.size), 999.0, 0.0)
        site = sized_for(base.asked, 1.0 + 0.1 * step)
        layout = replace(base.layout, site=site)
        sizes.append(Size(1.0 + 0.1 * step, replace(base, layout=layout, held_mm=held[:, np.newaxis])))
    return Sizes(tuple(sizes), 0.6)


def test_rows_say_what_a_per_cent_costs():
    """More cost over more chance, from row to row; nothing where no chance is gained."""
    base = drawn(draws=20, storm_variation=0.0)
    rows = size_rows(priced(base, [0.5, 0.75, 0.75]))
    assert [row["chance_to_hold"] for row in rows] == [0.5, 0.75, 0.75]
    assert [row["sized_for_mm"] for row in rows] == [50.0, 55.0, 60.0]
    assert rows[0]["cost_of_a_per_cent"] is None
    assert rows[1]["cost_of_a_per_cent"] is None  # the same layout costs the same
    base = replace(base, layout=base.layout)
    dearer = priced(base, [0.5, 0.75])
    second = dearer.sizes[1].reliability
    rates = replace(second.layout.rates, swale_per_m=second.layout.rates.swale_per_m + 1.0)
    second = replace(second, layout=second.layout.with_rates(rates))
    dearer = Sizes((dearer.sizes[0], Size(1.1, second)))
    assert size_rows(dearer)[1]["cost_of_a_per_cent"] == round(dearer.sizes[0].length_m / 25.0)
    assert rows[2]["cost_of_a_per_cent"] is None
    told = sizes_summary(priced(base, [0.5, 0.75, 0.75]))
    assert told["sure_enough"]["factor"] == 1.1


def test_the_chart_has_a_point_a_size_and_the_chance_asked_for():
    """Costs across, chances up, and a line at what is asked for."""
    sizes = priced(drawn(draws=20, storm_variation=0.0), [0.5, 0.75, 0.8])
    axes = draw_sizes(sizes)
    points = axes.lines[0]
    assert points.get_ydata().tolist() == pytest.approx([50.0, 75.0, 80.0])
    assert points.get_xdata().tolist() == pytest.approx([size.cost for size in sizes.sizes])
    assert any(line.get_ydata() == pytest.approx([60.0, 60.0]) for line in axes.lines[1:] if len(line.get_ydata()) == 2)


# --- other ways to give the storm ------------------------------------------------------------------------------------


def test_a_record_gives_way_to_a_depth_and_still_says_the_year():
    """Ten years of rain: the larger layout is sized for a depth, and its chance of a year is by the record."""
    depths = np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0, 29.0, 47.0, 33.0])
    rain = analyse_frequency(AnnualMaxima(np.arange(2001, 2011), depths), seed=1)
    storm = {"record": "rain.csv", "return_period_y": 5.0, "check_return_period_y": 50.0}
    values = brief_values(
        storm=storm, levels={"levels_m": [106.0]}, uncertainty=SURE | {"draws": 20, "storm_variation": 0.0}
    )
    site = Site(check_brief(values), rain=rain, crs=plane().grid.crs)
    check_mm = storm_of(site).check_depth_mm
    assert storm_of(sized_for(site, 1.2)).depth_mm == pytest.approx(1.2 * storm_of(site).depth_mm, abs=0.001)
    assert storm_of(sized_for(site, 1.2)).check_depth_mm == check_mm
    base = how_sure(site, plane(shape=(80, 60)))
    one, larger = size_chances(base, factors=[1.4]).sizes
    assert larger.reliability.chance_of_year > one.reliability.chance_of_year
    held_mm = larger.reliability.held_mm[0, 0]
    assert larger.reliability.chance_of_year == pytest.approx(float(rain.chosen.cdf(held_mm)))


def test_a_table_that_makes_the_course_stays():
    """With alternating blocks the course needs the table: every block grows alike."""
    table = DepthTable(np.array([1.0, 24.0]), np.array([2.0, 10.0]), np.array([[20.0, 30.0], [40.0, 60.0]]))
    storm = {"table": "t.csv", "return_period_y": 10.0, "course": "alternating block"}
    site = Site(check_brief(brief_values(storm=storm)), rain=table)
    larger = sized_for(site, 1.5)
    assert storm_of(larger).depth_mm == 90.0
    was, is_now = (course_of(each, storm_of(each).depth_mm) for each in (site, larger))
    assert is_now.cumulative_mm == pytest.approx(1.5 * was.cumulative_mm)


@pytest.mark.parametrize("factor", [0.1, 4.0, np.nan])
def test_factors_out_of_range_fail(factor):
    """A multiple below a half or above three is an error before any work."""
    with pytest.raises(InputError, match="factor"):
        size_chances(drawn(draws=20, storm_variation=0.0), factors=[factor])


# --- the command -----------------------------------------------------------------------------------------------------


@pytest.fixture
def swalekit(swalekit, tmp_path):
    """Run the command on a plane in a folder of its own; give exit code, standard output and standard error."""
    write_tile(tmp_path / "plane.tif", plane(shape=(80, 60)).heights)

    def call(brief: str, *words: object) -> tuple[int, str, str]:
        text = '[terrain]\nfile = "plane.tif"\n[storm]\ndepth_mm = 50.0\n[soil]\ncurve_number = 80\n'
        text += "[levels]\nlevels_m = [106.0]\n"
        (tmp_path / "site.toml").write_text(f"{text}{brief}\n", encoding="utf-8")
        return swalekit("reliability", "site.toml", *words)

    return call


@pytest.mark.compiled
def test_the_command_writes_the_sizes(swalekit, tmp_path):
    """A table and a chart more, the rows in the summary, and one sentence for the chance that is asked for."""
    code, out, err = swalekit("[conditions]\nhold_chance = 0.6", "--draws", 20, "--sizes", "1.5")
    assert (code, err) == (0, "")
    folder = tmp_path / "reliability"
    assert {"sizes.csv", "sizes.png"} <= {file.name for file in folder.iterdir()}
    told = json.loads((folder / "summary.json").read_text())["sizes"]
    assert told["hold_chance"] == 0.6
    assert [float(row["factor"]) for row in csv_rows(folder / "sizes.csv")] == [row["factor"] for row in told["rows"]]
    assert 1.5 in [row["factor"] for row in told["rows"]]
    assert "To hold with a chance of 60 %: " in out


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("--sizes", "large"), "--sizes is 'large'; give numbers"),
        (("--sizes", "9"), "factor is 9"),
        (("--hold-chance", "80"), "[conditions] hold_chance is 80"),
        (("--hold-chance", "0"), "[conditions] hold_chance is 0"),
    ],
)
def test_bad_sizes_are_one_line(swalekit, words, said):
    """What was given and the rule, exit code 2."""
    assert_one_line_error(swalekit("", "--draws", 20, *words), said)
