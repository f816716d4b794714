"""A planned plane for the examples of docstrings: whatever an example names is made when it is first named."""

import re
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

import pytest


@cache
def _design() -> Any:
    from grown import grow_design  # the folder of the tests is on the path by now

    return grow_design(greywater={"people": 3.0})


@cache
def _layout() -> Any:
    from swalekit.design.layout.lines import make_layout

    return make_layout(_design().site, _design().ground)


@cache
def _growth() -> Any:
    from grown import records

    from swalekit.design.growth.grow import grow

    return grow(_design(), records())


@cache
def _bunding() -> Any:
    from swalekit.design.bunding.bund import bund

    asked = {"size_m": 3.0, "rain_mm": 220.0, "greatest_slope": 0.12, "swales": "none"}
    site = _design().site.with_values({"microcatchments": asked})
    return bund(site, _design().ground.terrain)


@cache
def _reliability() -> Any:
    from swalekit.design.reliability.reliability import how_sure

    return how_sure(_design().site.with_values({"uncertainty.draws": 20}), _design().ground.terrain)


@cache
def _comparison() -> Any:
    from swalekit.design.options.comparison import compare
    from swalekit.design.options.variations import axes_of, grid_of

    return compare(_design().site, _design().ground.terrain, grid_of(axes_of({"interval": [3.0, 4.0]})))


@cache
def _record() -> Any:
    from swalekit.results.plan.record import plan_record

    return plan_record(_design())


@cache
def _content() -> Any:
    from swalekit.reporting.map.plan_map import plan_content

    return plan_content(_record())


@cache
def _stakeout() -> Any:
    from swalekit.design.survey.stakeout import stake_design

    return stake_design(_design())


@cache
def _piece() -> Any:
    from swalekit.reporting.stakes.pieces import cut_to_pieces

    upper = [stake for stake in _stakeout().stakes if stake.swale == "S1"]
    return cut_to_pieces(_stakeout().swales[0], upper, room=lambda _: (260.0, 90.0), scales=(500,))[0]


@cache
def _survey() -> Any:
    import numpy as np

    from swalekit.design.survey.survey import survey_design
    from swalekit.terrain.survey_points import SurveyPoints

    line, level_m = _design().swales[0].line, _design().swales[0].sized.shape.floor_level_m
    number, codes = np.arange(len(line.xy)) + 1, ("S1 floor",) * len(line.xy)
    return survey_design(_design(), SurveyPoints(number, *line.xy.T, np.full(len(line.xy), level_m), codes))


@cache
def _budget() -> Any:
    from swalekit.design.brief.rates_part import RatesPart
    from swalekit.design.budget.bill import BillLine, bill_of, bill_rows
    from swalekit.design.budget.site_budget import site_budget

    works = bill_rows(bill_of([BillLine("machine", 10.0, "h", "earthworks")], {"machine": 65.0}), first_year=2030)
    trees = bill_rows(bill_of([BillLine("olive", 100, "plants", year=3)], {"olive": 9.0}), first_year=2030)
    option = {"option": "30 m", "cost": 650.0, "kept_share": 0.6, "held_storm_mm": 51.0, "swales": 4, "holds": "yes"}
    more = {"option": "25 m", "cost": 1090.0, "kept_share": 0.8, "held_storm_mm": 52.0, "swales": 6}
    options = [option | {"beyond": "", "recommended": "yes"}, option | more | {"beyond": "", "recommended": ""}]
    rates = RatesPart(currency="EUR")
    return site_budget({"site": "North", "bill": works}, rates, first_year=2030, planting=trees, options=options)


PLANNED: dict[str, Callable[[], Any]] = {
    "design": _design,
    "site": lambda: _design().site,
    "ground": lambda: _design().ground,
    "terrain": lambda: _design().ground.terrain,
    "layout": _layout,
    "growth": _growth,
    "bunding": _bunding,
    "budget": _budget,
    "reliability": _reliability,
    "comparison": _comparison,
    "record": _record,
    "content": _content,
    "stakeout": _stakeout,
    "piece": _piece,
    "survey": _survey,
}
"""What an example may name without making it: two swales across a plane, with a house above them."""

FOLDERS = {"folder": "tmp_path", "plan_folder": "plan_folder"}
"""Folders that it may name too, each with the fixture that makes it: an empty one, and one that holds a plan."""


@pytest.fixture(scope="session")
def plan_folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A folder with the plan of two swales across a plane, beside its tile and brief."""
    from sites import plane, write_tile

    import swalekit

    place = tmp_path_factory.mktemp("planned")
    write_tile(place / "plane.tif", plane().heights)
    brief = {"terrain.file": str(place / "plane.tif"), "storm.depth_mm": 50.0, "soil.curve_number": 80.0}
    site = swalekit.site_from_values(brief | {"levels.levels_m": [108.0, 104.0]})
    swalekit.write_plan(swalekit.plan(site, swalekit.terrain_of(site)), place / "plan")
    return place / "plan"


@pytest.fixture(autouse=True)
def _planned(request: pytest.FixtureRequest, doctest_namespace: dict[str, Any]) -> None:
    """Give an example what it names and doesn't make itself."""
    if isinstance(request.node, pytest.DoctestItem):
        code = "".join(example.source for example in request.node.dtest.examples)
        named = [name for name in (*PLANNED, *FOLDERS) if re.search(rf"(?<![\w.]){name}\b(?! = )", code)]
        for name in named:
            if name in FOLDERS:
                doctest_namespace[name] = request.getfixturevalue(FOLDERS[name])
            elif f"{name} = " not in code:
                doctest_namespace.setdefault(name, PLANNED[name]())
