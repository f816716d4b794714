"""A stony slope where 150 mm fall, made by code: its tile, its weather, and the brief of a planting on it."""

from dataclasses import replace
from functools import cache
from pathlib import Path
from typing import Any

import numpy as np
import rasterio
import shapely
from rasterio.transform import from_origin
from scipy.ndimage import gaussian_filter
from sites import make_site

from swalekit.design.growth.records import Records
from swalekit.design.plan.design import Design
from swalekit.design.plan.pipeline import plan
from swalekit.grid import Grid
from swalekit.planting.weather.weather import Place, Readings, Weather
from swalekit.terrain.terrain import Terrain

WEST, NORTH, SIDE, CELL_M = 690_000.0, 3_420_000.0, 150, 2.0
EPSG = "EPSG:32636"
YEARS = 24
RAIN_MM = 150.0
_MONTHLY = np.array([0.24, 0.20, 0.15, 0.05, 0.01, 0, 0, 0, 0, 0.05, 0.11, 0.19])
"""Share of the year's rain by month, as at the edge of a winter-rain desert."""


def dry_heights() -> np.ndarray:
    """Two spurs and the shallow valley between them, falling northward at about 7 %, with stones and steps on them."""
    row, column = np.mgrid[0:SIDE, 0:SIDE] * CELL_M
    spurs = 3.0 * np.cos(2.0 * np.pi * column / 210.0 + 0.6)
    rough = gaussian_filter(np.random.default_rng(150).standard_normal((SIDE, SIDE)), 5.0)
    return 420.0 + 0.07 * row + spurs + 0.35 * rough / rough.std()


def dry_terrain() -> Terrain:
    """The tile."""
    grid = Grid.from_corner((SIDE, SIDE), cell_m=CELL_M, west_m=WEST, north_m=NORTH, crs=EPSG)
    return Terrain.from_heights(dry_heights(), grid, vertical_sigma_m=0.05)


def dry_weather() -> Weather:
    """Twenty-four years of days: some twenty of rain in each, few of them heavy, wet and dry years by chance."""
    random = np.random.default_rng(31)
    dates = np.arange("2000-01-01", f"{2000 + YEARS}-01-01", dtype="datetime64[D]")
    month = dates.astype("datetime64[M]").astype(int) % 12
    year = dates.astype("datetime64[Y]").astype(int)
    warmth = -np.cos(2.0 * np.pi * ((dates - dates.astype("datetime64[Y]")).astype(int) - 20) / 365.25)
    wet = random.random(dates.size) < 22.0 * _MONTHLY[month] / 30.4
    rain = np.where(wet, random.gamma(0.7, 10.0, dates.size), 0.0)
    rain *= random.lognormal(0.0, 0.25, year.max() + 1)[year]
    rain = np.where(rain < 0.2, 0.0, rain)
    rain *= RAIN_MM * YEARS / rain.sum()
    readings = Readings(rh_mean_percent=52.0 - 8.0 * warmth)
    return Weather(Place(30.9, 430.0), dates, 26.0 + 8.0 * warmth, 12.5 + 7.5 * warmth, rain.round(1), readings)


def dry_brief(**planting: Any) -> dict[str, dict[str, Any]]:
    """Parts of a brief as a designer gives them on such ground."""
    return {
        "terrain": {"file": "tile.tif", "vertical_sigma_m": 0.05},
        "storm": {"depth_mm": 40.0},
        "soil": {"curve_number": 86.0, "texture": "loam"},
        "levels": {"interval_m": 3.5},
        "weather": {"file": "weather.csv"},
        "planting": {
            "pioneers": ["mulga", "umbrella thorn"],
            "sheltered": ["olive", "carob", "pomegranate"],
            "ground_cover": ["rosemary"],
            "planting_year": 2030,
            "stone_share": 0.25,
            "root_depth_m": 1.5,
            "prices": {"mulch": 20.0},
        }
        | planting,
    }


@cache
def _laid() -> Design:
    terrain = dry_terrain()
    west, south, east, north = terrain.grid.bounds
    return plan(make_site(shapely.box(west + 8.0, south + 8.0, east - 8.0, north - 8.0), EPSG, **dry_brief()), terrain)


def dry_design(**planting: Any) -> Design:
    """Swales across that slope, with another planting where one is given."""
    laid = _laid()
    return replace(laid, site=laid.site.with_values({"planting": planting})) if planting else laid


def dry_records() -> Records:
    """The days as a planting reads them from a file."""
    return Records(dry_weather())


def write_dry_site(folder: Path) -> Path:
    """Tile, boundary, weather and brief as files; the brief's path."""
    settings = {"driver": "GTiff", "count": 1, "dtype": "float32", "crs": EPSG, "height": SIDE, "width": SIDE}
    with rasterio.open(
        folder / "tile.tif", "w", transform=from_origin(WEST, NORTH, CELL_M, CELL_M), **settings
    ) as tile:
        tile.write(dry_heights().astype("float32"), 1)
    days = dry_weather()
    rows = zip(days.dates, days.tmax_c, days.tmin_c, days.rain_mm, days.readings.rh_mean_percent, strict=True)
    lines = [f"{date},{high:.1f},{low:.1f},{rain:.1f},{damp:.0f}" for date, high, low, rain, damp in rows]
    head = "date,tmax_c,tmin_c,rain_mm,rh_mean_percent"
    (folder / "weather.csv").write_text("\n".join([head, *lines]) + "\n", encoding="utf-8")

    def told(value: Any) -> str:
        if isinstance(value, dict):
            return "{ " + ", ".join(f'"{key}" = {told(each)}' for key, each in value.items()) + " }"
        return repr(value).replace("'", '"')

    parts = [
        "\n".join([f"[{name}]", *(f"{key} = {told(value)}" for key, value in keys.items())])
        for name, keys in dry_brief().items()
    ]
    (folder / "site.toml").write_text('[site]\nname = "Dry spurs"\n' + "\n".join(parts) + "\n", encoding="utf-8")
    return folder / "site.toml"
