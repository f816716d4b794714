"""A small plan with everything a report shows, and names that would run as scripts if they were not escaped."""

from dataclasses import replace
from pathlib import Path

import shapely
from grown import PLANTING, records
from sites import NORTH, WEST, hills, make_site

from swalekit.contours.obstacles import KeepOut
from swalekit.design.growth.grow import grow
from swalekit.design.options.comparison import compare
from swalekit.design.options.variations import Variation
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.design.reliability.reliability import how_sure
from swalekit.formats.exchange.layers import write_layers
from swalekit.planting.plants.species import find_species, known_species
from swalekit.results.growth.write import write_growth
from swalekit.results.options.write import option_layers, write_comparison
from swalekit.results.plan.write import write_plan
from swalekit.results.reliability.write import write_reliability

HOSTILE = "<script>alert(1)</script>"


def hostile_site(**parts):
    """A site on the hills with a boundary, a well and a road, and a script for its name and the well's."""
    boundary = shapely.box(WEST + 4, NORTH - 92, WEST + 92, NORTH - 4)
    site = make_site(
        boundary,
        **{
            "site": {"name": HOSTILE, "subtitle": '"><img src=x onerror=alert(2)>'},
            "lines": {"least_length_m": 6.0, "least_ring_m": 20.0, "watercourse_area_m2": 1500.0},
            "soil": {"cover": "meadow", "condition": "any", "group": "D", "texture": "sandy loam"},
            "rates": {"machine_per_h": 65.0, "mobilisation": 300.0, "currency": "EUR"},
        }
        | parts,
    )
    well = KeepOut("well", shapely.Point(WEST + 50, NORTH - 50), 5.0, HOSTILE)
    road = KeepOut("road", shapely.LineString([(WEST + 10, NORTH - 80), (WEST + 80, NORTH - 60)]), 3.0, "track")
    return type(site)(site.brief, boundary, (well, road), crs=site.crs)


def write_reported_plan(folder: Path, **parts) -> Design:
    """Write a plan to ``folder / 'plan'`` and a comparison to ``folder / 'compare'``; give the design."""
    site, terrain = hostile_site(**parts), hills()
    design = plan(site, terrain)
    write_plan(design, folder / "plan")
    levels = {"interval 2 m": {"interval_m": 2.0}, HOSTILE: {"interval_m": 4.0}}
    comparison = compare(site, terrain, [Variation(words, {"levels": values}) for words, values in levels.items()])
    write_comparison(comparison, folder / "compare")
    if not (folder / "compare" / "options.gpkg").exists():
        write_layers(option_layers(comparison), folder / "compare" / "options.gpkg")
    return design


def write_beside(folder: Path, design: Design) -> None:
    """Write a planting on the plan to ``folder / 'grow'`` and how sure it is to ``folder / 'sure'``."""
    own = {HOSTILE: replace(find_species("olive", known_species()), name=HOSTILE)}
    parts = {
        "weather": {"file": "weather.csv"},
        "planting": PLANTING
        | {"sheltered": ["olive", HOSTILE], "coefficients": {HOSTILE: {"kcb": [0.5, 0.5, 0.5]}}, "prices": {}},
        "greywater": {"people": 3.0, "house_xy": [WEST + 50.0, NORTH - 40.0]},
    }
    growing = replace(design, site=design.site.with_values(parts))
    write_growth(grow(growing, replace(records(), species=own)), folder / "grow")
    sure = how_sure(design.site.with_values({"uncertainty": {"draws": 20}}), design.ground.terrain)
    write_reliability(sure, folder / "sure")
