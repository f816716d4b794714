"""One call a drawing, for a notebook's cell: on axes of its own or on given ones."""

import numpy as np
import pytest
from grown import grow_design, records
from matplotlib.figure import Figure
from sites import hills, make_site, plane
from surveyed_ground import crew

import swalekit
from swalekit.design.brief.rates_part import RatesPart
from swalekit.design.budget.bill import BILL_COLUMNS, BillLine
from swalekit.design.budget.site_budget import SiteBudget, site_budget
from swalekit.design.plan.columns import row_of
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.design.survey.stakeout import laid_swales
from swalekit.errors import InputError
from swalekit.hydrology.storm.annual_maxima import AnnualMaxima
from swalekit.hydrology.storm.frequency import analyse_frequency
from swalekit.reporting.charts.options.trade_off import _unbeaten
from swalekit.reporting.paper.axes import CellAxes

BARE = len(Figure().subplots().get_children())
"""What axes hold on which nothing is drawn."""
BUNDS = {"size_m": 3.0, "rain_mm": 220.0, "greatest_slope": 0.12, "swales": "kept"}
NAMES = sorted(name for name in swalekit.__all__ if name.startswith("draw_"))


def budget() -> SiteBudget:
    """Two kinds of things in two years."""
    lines = [
        BillLine("machine", 10.0, "h", "earthworks", price=65.0),
        BillLine("olive", 9, "plants", year=3, price=8.0),
    ]
    rows = [row_of(line, BILL_COLUMNS) for line in lines]
    return site_budget({"site": "North", "bill": rows[:1]}, RatesPart(), planting=rows[1:])


@pytest.fixture(scope="module")
def calls():
    """Arguments that each drawing needs before its axes."""
    design = grow_design()
    site, terrain = design.site, design.ground.terrain
    dug = plan(make_site(levels={"levels_m": [106.0]}), plane())
    points = crew(laid_swales(dug)[0], crest=-0.1)
    maxima = AnnualMaxima(np.arange(2001, 2009), np.array([31.0, 44.0, 27.0, 62.0, 38.0, 51.0, 35.0, 40.0]))
    rained = type(site)(site.brief, site.boundary, rain=analyse_frequency(maxima, seed=1), crs=site.crs)
    axes = swalekit.axes_of({"interval": [2.0, 3.0], "depth": [0.6, 1.0]})
    compared = swalekit.compare(make_site(), terrain, swalekit.grid_of(axes))
    sure = swalekit.how_sure(site.with_values({"uncertainty": {"draws": 20}}), terrain)
    growth = swalekit.grow(design, records())
    return {
        "draw_chances": (sure,), "draw_held_storms": (sure,),
        "draw_sizes": (swalekit.size_chances(sure, factors=[1.4]),),
        "draw_gauging": (swalekit.gauge(dug, [swalekit.GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.2)]),),
        "draw_survey": (swalekit.survey_design(dug, points), "S1"),
        "draw_design": (design,), "draw_ground": (design.ground, site), "draw_planting": (growth,),
        "draw_section": (design, "S1"), "draw_long_profile": (design, "S2"), "draw_stakes": (design, None),
        "draw_rain": (site,), "draw_rain_record": (rained,), "draw_storm": (design,),
        "draw_options": (compared,), "draw_option": (compared, compared.kept[0].number),
        "draw_changes": (swalekit.what_changed(dug, plan(make_site(levels={"levels_m": [106.0, 103.0]}), plane())),),
        "draw_trade_off": (compared, "dug_m3", "held_storm_mm"),
        "draw_tree_water": (growth,), "draw_want_met": (growth,),
        "draw_bunding": (swalekit.bund(site.with_values({"microcatchments": BUNDS}), terrain, design=design),),
        "draw_terrain": (terrain,), "draw_slope": (terrain,),
        "draw_budget": (budget(),), "draw_budget_years": (budget(),),
    }  # fmt: skip


def empty_design() -> Design:
    """Ground on which no line could be laid."""
    return plan(make_site(levels={"levels_m": [300.0]}), plane())


@pytest.mark.parametrize("name", NAMES)
def test_new_axes_show_themselves_as_a_picture(calls, name):
    """Axes of their own come back with something drawn and a title; the same call gives the same bytes."""
    draw = getattr(swalekit, name)
    axes = draw(*calls[name])
    assert isinstance(axes, CellAxes)
    assert axes.get_title(loc="left")
    assert len(axes.get_children()) > BARE
    picture, size = axes._repr_png_()
    assert picture == draw(*calls[name])._repr_png_()[0]
    assert 500 < size["width"] < 1000


@pytest.mark.parametrize("name", NAMES)
def test_given_axes_come_back(calls, name):
    """A drawing goes where it is told and makes no figure of its own."""
    given = Figure(figsize=(7.0, 5.0)).subplots()
    assert getattr(swalekit, name)(*calls[name], ax=given) is given
    assert len(given.get_children()) > BARE


def test_heights_are_those_of_the_terrain(calls):
    """The coloured layer spans the lowest and the highest ground."""
    (terrain,) = calls["draw_terrain"]
    low, high = swalekit.draw_terrain(terrain).images[-1].get_clim()
    assert (low, high) == (float(terrain.heights.min()), float(terrain.heights.max()))


def test_slopes_are_in_their_class():
    """A plane of 12 % lies in the class of 10 to 15 % with all its ground."""
    axes = swalekit.draw_slope(plane(0.12))
    (bar,) = (child for child in axes.child_axes if child.get_title() == "slope")
    shares = [label.get_text() for label in bar.get_yticklabels()]
    assert shares[3] == "10 to 15 %:\n100 % of it"
    assert set(np.ma.compressed(axes.images[-1].get_array())) == {3.0}


def test_us_units_are_shown_in_feet():
    """Heights in feet on the bar and in the words."""
    axes = swalekit.draw_terrain(plane(0.1), units="us")
    (bar,) = (child for child in axes.child_axes if child.get_title() == "ft")
    assert bar.get_ylim()[0] == pytest.approx(100.05 / 0.3048, abs=0.1)


def test_a_section_is_dug_as_deep_as_its_swale(calls):
    """The title names depth and swale."""
    (design, name) = calls["draw_section"]
    depth_m = design.swales[0].sized.shape.depth_m
    assert swalekit.draw_section(design, name).get_title(loc="left").startswith(f"S1: section, dug {depth_m:.2f} m")


def test_the_check_storm_is_the_larger(calls):
    """Its water ends higher than that of the design storm."""
    (design,) = calls["draw_storm"]
    tops = [swalekit.draw_storm(design, check=check).lines[0].get_ydata()[-1] for check in (False, True)]
    assert tops[1] > tops[0] == pytest.approx(design.run.design.brought_m3[-1])


def test_only_unbeaten_options_are_joined():
    """A row is beaten by one that is as small in both and smaller in one; twins don't beat each other."""
    rows = np.array([[1.0, 5.0], [2.0, 5.0], [3.0, 1.0], [3.0, 1.0], [4.0, 4.0]])
    assert _unbeaten(rows).tolist() == [True, False, True, True, False]


@pytest.mark.parametrize(
    ("name", "arguments", "words"),
    [
        ("draw_section", ("S9",), "there is no swale 'S9'; give S1 to S2"),
        ("draw_long_profile", ("x",), "there is no swale 'x'"),
        ("draw_survey", ("S7",), "there is no swale 'S7' in the survey; give S1 to S1"),
        ("draw_option", (99,), "option 99 is not among those whose lines are kept"),
        ("draw_trade_off", ("weakest", "cost"), "options can't be drawn by 'weakest'; give one of swales"),
    ],
)
def test_a_wrong_name_fails(calls, name, arguments, words):
    """One line says what is wrong and the way out."""
    with pytest.raises(InputError, match=words):
        getattr(swalekit, name)(calls[name][0], *arguments)


@pytest.mark.parametrize("part", [0, 9])
def test_a_wrong_part_fails(calls, part):
    """A stretch that there isn't."""
    with pytest.raises(InputError, match=rf"part of S\d is {part}, but it is drawn in \d; give 1 to \d"):
        swalekit.draw_stakes(*calls["draw_stakes"], part=part)


@pytest.mark.parametrize("breaks", [(), (0.1, 0.05), (0.1,) * 2, (0.01, 0.02, 0.03, 0.04, 0.05, 0.06)])
def test_wrong_slope_classes_fail(breaks):
    """Edges must rise, from one to five."""
    with pytest.raises(InputError, match="slope classes have the edges"):
        swalekit.draw_slope(plane(), breaks=breaks)


@pytest.mark.parametrize("name", ["draw_section", "draw_long_profile", "draw_stakes"])
def test_a_design_without_swales_says_so(name):
    """Nothing to draw is told, not an empty picture."""
    with pytest.raises(InputError, match="has no swale"):
        getattr(swalekit, name)(empty_design())


def test_a_site_without_a_record_says_so():
    """The key that is missing is named."""
    with pytest.raises(InputError, match=r"names no record of rain; give \[storm\] record"):
        swalekit.draw_rain_record(make_site())


def test_ground_without_a_site_is_drawn():
    """Watercourses and ponds need no brief."""
    design = plan(make_site(lines={"watercourse_area_m2": 1500.0}), hills())
    assert swalekit.draw_ground(design.ground).get_title(loc="left") == "Where water runs and stands"
