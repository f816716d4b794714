"""Make the sample site: an invented semi-arid hillside with the trouble that real ones have.

``python sample_terrain/make_sample.py`` rewrites the terrain tile and the two GeoJSON files beside this
script, byte for byte the same each time. Nothing here was measured anywhere.
"""

import json
from pathlib import Path

import geopandas as gpd
import numpy as np
import rasterio
from numpy.typing import NDArray
from rasterio.transform import from_origin
from scipy.interpolate import PchipInterpolator, make_interp_spline
from scipy.ndimage import gaussian_filter
from shapely.geometry import LineString, Point, Polygon, box, mapping
from shapely.geometry.base import BaseGeometry
from shapely.geometry.polygon import orient

Array = NDArray[np.float64]

FOLDER = Path(__file__).parent
CRS = "EPSG:32630"
CELL_M, ROWS, COLUMNS = 0.5, 1000, 1040
WEST_M, SOUTH_M = 562_300.0, 4_132_150.0
NODATA = -9999.0
HEIGHT_STEP_M = 1 / 128  # heights are whole multiples of this, which is what keeps the file small

# The fall of the hillside: distance below the divide [m] and slope there [m/m].
SLOPE_AT = [
    (-90, -0.10), (-25, -0.05), (0, 0.0), (25, 0.06), (55, 0.12), (120, 0.13), (132, 0.37), (158, 0.39), (172, 0.15),
    (222, 0.10), (234, 0.026), (280, 0.024), (294, 0.13), (360, 0.14), (400, 0.09), (480, 0.06),
]  # fmt: skip
DIVIDE_HEIGHT_M = 531.0

# Positions from here on are metres east and north of the tile's south-west corner.
GULLY = [
    (291, 330),
    (284, 300),
    (268, 262),
    (266, 225),
    (281, 190),
    (276, 150),
    (254, 112),
    (250, 70),
    (262, 30),
    (258, -5),
]
TRACK = [(505, -5), (470, 34), (418, 62), (384, 88), (392, 120), (440, 146), (452, 176), (410, 202), (340, 210),
         (262, 204), (180, 216), (112, 226), (66, 246), (14, 262), (-5, 266)]  # fmt: skip
PIPE = [(383, 108), (352, 121), (322, 150), (318, 196), (322, 240), (338, 262)]
BOUNDARY = [(62, 62), (150, 46), (262, 52), (398, 46), (462, 70), (470, 190), (464, 318), (430, 420), (330, 442),
            (236, 428), (140, 436), (72, 404), (56, 270)]  # fmt: skip
HOUSE, BARN = (372.0, 112.0), (414.0, 100.0)
WELL = (338, 262)
SEPTIC_FIELD = [(334, 78), (352, 72), (356, 82), (338, 88)]
PAN, POND = (112.0, 197.0), (396.0, 238.0)


def curve(points: list[tuple[float, float]], step_m: float = 0.5) -> Array:
    """Smooth curve through points, at about even steps; shape (n, 2)."""
    xy = np.array(points, float)
    along = np.r_[0.0, np.cumsum(np.hypot(*np.diff(xy, axis=0).T))]
    spline = make_interp_spline(along, xy, k=3)
    return np.asarray(spline(np.arange(0.0, along[-1], step_m)))


def nearest(line: Array, x: Array, y: Array, reach_m: float) -> tuple[Array, NDArray[np.intp]]:
    """Distance [m] of every cell to a curve, infinite beyond ``reach_m``, and the index of the nearest point."""
    distance = np.full(x.shape, np.inf)
    index = np.zeros(x.shape, np.intp)
    for k, (px, py) in enumerate(line):
        rows = slice(
            *np.clip([int((y[0, 0] - py - reach_m) / CELL_M), int((y[0, 0] - py + reach_m) / CELL_M) + 2], 0, ROWS)
        )
        columns = slice(*np.clip([int((px - reach_m) / CELL_M), int((px + reach_m) / CELL_M) + 2], 0, COLUMNS))
        d = np.hypot(x[rows, columns] - px, y[rows, columns] - py)
        nearer = (d < distance[rows, columns]) & (d <= reach_m)
        distance[rows, columns][nearer] = d[nearer]
        index[rows, columns][nearer] = k
    return distance, index


def smoothstep(value: Array, low: float, high: float) -> Array:
    """Rise from 0 at ``low`` to 1 at ``high`` without a corner."""
    t = np.clip((value - low) / (high - low), 0.0, 1.0)
    return np.asarray(t * t * (3 - 2 * t))


def noise(rng: np.random.Generator, spread_m: float, sigma_m: float) -> Array:
    """Random ground of standard deviation ``sigma_m`` whose bumps are about ``spread_m`` wide."""
    rough = gaussian_filter(rng.standard_normal((ROWS, COLUMNS)), spread_m / CELL_M, mode="nearest")
    return np.asarray(rough * (sigma_m / rough.std()))


def hillside(x: Array, y: Array, rng: np.random.Generator) -> Array:
    """The large forms: divide, rocky band, bench, foot slope, side spurs and two shallow draws."""
    distance, slope = np.array(SLOPE_AT, float).T
    below = np.linspace(-120, 520, 6401)
    fall = np.cumsum(PchipInterpolator(distance, slope)(np.clip(below, distance[0], distance[-1]))) * (
        below[1] - below[0]
    )
    fall -= np.interp(0.0, below, fall)
    divide_y = 452 + 9 * np.sin(x / 83) - 7 * np.sin(x / 41 + 1)
    bend = 13 * np.sin(x / 58 + 0.6) * smoothstep(divide_y - y, 40, 160) + noise(rng, 48, 9.0) + noise(rng, 20, 2.5)
    below_divide = divide_y - y + bend
    # The band is rock on the east half and thins out westward, where it becomes an even slope.
    softened = gaussian_filter(np.interp(below_divide, below, fall), 28 / CELL_M, mode="nearest")
    rock = smoothstep(x, 110, 230)
    height = DIVIDE_HEIGHT_M - (rock * np.interp(below_divide, below, fall) + (1 - rock) * softened)
    valley = smoothstep(divide_y - y, 0, 300) * (np.abs(x - 266) / 240) ** 2
    spurs = 3.5 * (smoothstep(-x, -60, 0) * -1 + smoothstep(x, 478, 520) * -1)
    west_draw = -1.3 * np.exp(-(((x - 122 - 14 * np.sin(y / 55) - 6 * np.sin(y / 23)) / 17) ** 2))
    east_draw = -1.0 * np.exp(-(((x - 424 - 16 * np.sin(y / 63) - 5 * np.sin(y / 29)) / 14) ** 2))
    texture = noise(rng, 1.2, 0.10) * smoothstep(rock * np.exp(-(((below_divide - 146) / 17) ** 2)), 0.2, 0.8)
    draws = (west_draw + east_draw) * smoothstep(divide_y - y, 40, 140)
    return np.asarray(height + 9.0 * valley + spurs + draws + noise(rng, 9, 0.06) + texture)


def lay_track(height: Array, x: Array, y: Array) -> Array:
    """A farm track 3.4 m wide, level across: cut on its upper side, tipped out on its lower."""
    line = curve(TRACK)
    distance, index = nearest(line, x, y, 8.0)
    row = np.clip((y[0, 0] - line[:, 1]) / CELL_M, 0, ROWS - 1).astype(int)
    column = np.clip((line[:, 0] - x[0, 0]) / CELL_M, 0, COLUMNS - 1).astype(int)
    bed = gaussian_filter(height[row, column], 12, mode="nearest") - 0.15
    return np.asarray(
        np.where(distance < 8, bed[index] + (height - bed[index]) * smoothstep(distance, 1.7, 3.6), height)
    )


def level_pad(height: Array, x: Array, y: Array, centre: tuple[float, float], half_m: tuple[float, float]) -> Array:
    """A level pad for a building, cut and filled into the slope."""
    outside = np.maximum(np.abs(x - centre[0]) - half_m[0], np.abs(y - centre[1]) - half_m[1])
    inside = outside <= 0
    fall_out = 0.02 * (centre[1] - y)  # the pad sheds its own rain
    return np.asarray(
        height[inside].mean() - fall_out + (height - height[inside].mean() + fall_out) * smoothstep(outside, 0, 5)
    )


def cut_gully(height: Array, x: Array, y: Array) -> Array:
    """A gully with steep sides, 1 m deep at its head and 2 m where it leaves the site."""
    line = curve(GULLY)
    distance, index = nearest(line, x, y, 14.0)
    part = np.linspace(0.0, 1.0, len(line))[index]
    depth = (1.0 + 1.0 * part) * smoothstep(part, 0.0, 0.06)
    half_width = 1.6 + 1.6 * part
    swale_like = 0.45 * np.exp(-((np.minimum(distance, 14) / 7) ** 2)) * smoothstep(part, 0.0, 0.2)
    return np.asarray(height - depth * np.exp(-((np.minimum(distance, 14) / half_width) ** 4)) - swale_like)


def dig_hollow(
    height: Array, x: Array, y: Array, centre: tuple[float, float], *, radius_m: float, depth_m: float
) -> Array:
    """A round hollow with a low bank of its own spoil on the downhill side."""
    r = np.hypot(x - centre[0], y - centre[1]) / radius_m
    ring = (r > 0.97) & (r < 1.03)
    low_rim = float(height[ring].min())
    bank = low_rim + 0.35 * depth_m
    banked = np.where((r < 1.5), np.maximum(height, bank - np.abs(r - 1.12) * radius_m * 0.4), height)
    floor = bank - depth_m * (1 - r**4)
    return np.asarray(np.where(r < 1.0, np.minimum(banked, floor), banked))


def shrubs(x: Array, y: Array, rng: np.random.Generator, count: int) -> Array:
    """Height of shrub crowns above the ground [m], as a drone survey leaves them in the surface."""
    crown = np.zeros(x.shape)
    for _ in range(count):
        column, row = rng.integers(0, COLUMNS), rng.integers(0, ROWS)
        radius, tall = rng.uniform(0.5, 1.25), rng.uniform(0.3, 1.2)
        rows, columns = slice(max(row - 4, 0), row + 5), slice(max(column - 4, 0), column + 5)
        r = np.hypot(x[rows, columns] - x[row, column], y[rows, columns] - y[row, column]) / radius
        crown[rows, columns] = np.maximum(crown[rows, columns], tall * np.sqrt(np.clip(1 - r**2, 0, None)))
    return crown


def surface() -> Array:
    """Heights of the whole tile [m], NaN in its two voids; shape (rows, columns), north at the top."""
    rng = np.random.default_rng(20240229)
    x = (np.arange(COLUMNS)[None, :] + 0.5) * CELL_M + np.zeros((ROWS, 1))
    y = (ROWS - np.arange(ROWS)[:, None] - 0.5) * CELL_M + np.zeros((1, COLUMNS))
    height = hillside(x, y, rng)
    height = lay_track(height, x, y)
    height = level_pad(height, x, y, HOUSE, (11, 9))
    height = level_pad(height, x, y, BARN, (8, 7))
    height = cut_gully(height, x, y)
    height = dig_hollow(height, x, y, PAN, radius_m=9.0, depth_m=0.9)
    height = dig_hollow(height, x, y, POND, radius_m=12.0, depth_m=2.0)
    bare = nearest(curve(TRACK), x, y, 3.0)[0] < 3.0
    for px, py in (HOUSE, BARN, PAN, POND):
        bare |= np.hypot(x - px, y - py) < 15
    height = height + np.where(bare, 0.0, shrubs(x, y, rng, 2600)) + rng.normal(0.0, 0.02, x.shape)
    height[np.hypot((x - 214) / 1.3, y - 338) < 1.6] = np.nan
    height[np.hypot((x - 512) / 0.7, (y - 392) / 1.6) < 9] = np.nan
    return height


def write_tile(path: Path, height: Array) -> None:
    """Write the tile as a tiled, compressed GeoTIFF."""
    quantised = np.round(height / HEIGHT_STEP_M) * HEIGHT_STEP_M
    values = np.where(np.isfinite(quantised), quantised, NODATA).astype(np.float32)
    with rasterio.open(
        path, "w", driver="GTiff", width=COLUMNS, height=ROWS, count=1, dtype="float32", crs=CRS, nodata=NODATA,
        transform=from_origin(WEST_M, SOUTH_M + ROWS * CELL_M, CELL_M, CELL_M),
        compress="deflate", zlevel=9, predictor=3, tiled=True, blockxsize=256, blockysize=256,
    ) as tile:  # fmt: skip
        tile.write(values, 1)


def write_geojson(path: Path, features: list[tuple[BaseGeometry, dict[str, object]]]) -> None:
    """Write features as RFC 7946 GeoJSON: longitude and latitude, rings counter-clockwise, about 1 cm."""
    shifted = gpd.GeoSeries([shape for shape, _ in features]).translate(WEST_M, SOUTH_M).set_crs(CRS)
    rows = []
    for shape, (_, properties) in zip(shifted.to_crs("EPSG:4326"), features, strict=True):
        turned = orient(shape) if isinstance(shape, Polygon) else shape
        geometry = json.loads(json.dumps(mapping(turned)), parse_float=lambda text: round(float(text), 7))
        rows.append(json.dumps({"type": "Feature", "properties": properties, "geometry": geometry}, ensure_ascii=False))
    text = '{"type": "FeatureCollection", "features": [\n' + ",\n".join(rows) + "\n]}\n"
    path.write_text(text, encoding="utf-8", newline="\n")


def turned_box(centre: tuple[float, float], half_m: tuple[float, float]) -> Polygon:
    """Footprint of a building."""
    return box(centre[0] - half_m[0], centre[1] - half_m[1], centre[0] + half_m[0], centre[1] + half_m[1])


def main() -> None:
    """Rewrite every file of the sample site that is made rather than written."""
    write_tile(FOLDER / "hillside.tif", surface())
    write_geojson(FOLDER / "boundary.geojson", [(Polygon(BOUNDARY), {"name": "Solana de Quermal"})])
    track = LineString(curve(TRACK, step_m=6.0)).simplify(0.2)
    keep_outs: list[tuple[BaseGeometry, dict[str, object]]] = [
        (turned_box(HOUSE, (7, 5)), {"kind": "building", "name": "House"}),
        (turned_box(BARN, (5, 4)), {"kind": "building", "name": "Barn"}),
        (Polygon(SEPTIC_FIELD), {"kind": "septic field", "name": "Septic field"}),
        (Point(WELL), {"kind": "well", "name": "Well"}),
        (LineString(PIPE), {"kind": "buried utility", "name": "Water pipe, well to house", "setback_m": 7.0}),
        (track.intersection(Polygon(BOUNDARY).buffer(20)), {"kind": "road", "name": "Farm track", "setback_m": 8.0}),
    ]
    write_geojson(FOLDER / "keep_outs.geojson", keep_outs)


if __name__ == "__main__":
    main()
