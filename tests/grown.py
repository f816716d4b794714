"""A planting on a plane, small enough for every test."""

from typing import Any

import numpy as np
import shapely
from sites import NORTH, WEST, make_site, plane

from swalekit.contours.obstacles import KeepOut
from swalekit.design.growth.records import Records
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.planting.weather.weather import Place, Readings, Weather

PLACE = Place(36.0, 105.0)
PLANTING = {
    "pioneers": ["bladder senna"],
    "sheltered": ["olive"],
    "ground_cover": ["rosemary"],
    "planting_year": 2030,
    "prices": {"olive": 10.0, "mulch": 20.0},
}
HOUSE = shapely.box(WEST + 44.0, NORTH - 14.0, WEST + 52.0, NORTH - 8.0)


def grow_parts(**planting: Any) -> dict[str, dict[str, Any]]:
    """Parts of a brief that asks for a planting below two swales."""
    return {
        "soil": {"curve_number": 85.0, "texture": "sandy loam"},
        "levels": {"levels_m": [108.0, 104.0]},
        "weather": {"file": "weather.csv"},
        "planting": PLANTING | planting,
    }


def grow_design(*, house: bool = True, greywater: dict[str, Any] | None = None, **planting: Any) -> Design:
    """Two swales across a plane that falls southward, with a house above them."""
    parts = grow_parts(**planting)
    if greywater is not None:
        parts["greywater"] = greywater
    site = make_site(shapely.box(WEST, NORTH - 120.0, WEST + 100.0, NORTH), **parts)
    object.__setattr__(site, "keep_outs", (KeepOut("building", HOUSE, 3.0, "House"),) if house else ())
    return plan(site, plane())


def weather(years: int = 4, *, rain_mm: float = 18.0) -> Weather:
    """Days of a dry place: rain every tenth day of the cool half of the year."""
    dates = np.arange("2001-01-01", f"{2001 + years}-01-01", dtype="datetime64[D]")
    day = (dates - dates.astype("datetime64[Y]")).astype(np.int64)
    warmth = -np.cos(2.0 * np.pi * (day - 20) / 365.0)
    rain = np.where((day % 10 == 0) & (warmth < 0.0), rain_mm, 0.0)
    readings = Readings(rh_mean_percent=60.0 - 15.0 * warmth)
    return Weather(PLACE, dates, 22.0 + 9.0 * warmth, 9.0 + 8.0 * warmth, rain, readings)


def records(**choices: Any) -> Records:
    """Those days as a planting reads them from files."""
    return Records(weather(**choices))
