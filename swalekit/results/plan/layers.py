"""A design as layers of features, in the CRS of the project."""

from collections.abc import Sequence
from typing import Any

import geopandas
import numpy as np
import rasterio.features
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry
from shapely.ops import substring

from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.design import Design, Swale
from swalekit.design.plan.table import swale_row
from swalekit.flow.hollow_ponds import pond_labels
from swalekit.grid import Grid
from swalekit.section.footprint import berm_footprint


def swale_layer(design: Design) -> geopandas.GeoDataFrame:
    """Level lines with every figure of `SWALE_COLUMNS`; a ring comes back to its first station."""
    return _layer(
        design,
        [swale_row(swale, design.rates) for swale in design.swales],
        [line_of(swale) for swale in design.swales],
        "LineString",
    )


def layers(design: Design) -> dict[str, geopandas.GeoDataFrame]:
    """Every layer of the GeoPackage by its name."""
    swales = design.swales
    ids = [{"swale": swale.id} for swale in swales]
    catchments = catchment_polygons(design)
    courses = design.ground.watercourse_lines
    return {
        "swales": swale_layer(design),
        "berms": _layer(
            design, ids, [berm_footprint(swale.line, swale.sized.shape) for swale in swales], "MultiPolygon"
        ),
        "catchments": _layer(
            design, [{"swale": each} for each in catchments], list(catchments.values()), "MultiPolygon"
        ),
        "sills": _layer(
            design, [_sill_row(swale) for swale in swales], [sill_stretch(swale) for swale in swales], "LineString"
        ),
        "overflow": _layer(design, ids, [_way(swale.sill.path) for swale in swales], "LineString"),
        "hollows": _layer(design, _hollow_rows(design), hollow_polygons(design), "MultiPolygon"),
        "refused": _layer(
            design,
            [
                {
                    "level_m": each.level_m,
                    "reason": each.reason,
                    "detail": each.detail,
                    "length_m": round(each.length_m, 1),
                }
                for each in design.refused
            ],
            [_way(each.xy) for each in design.refused],
            "LineString",
        ),
        "watercourses": _layer(design, [{} for _ in courses], [_way(each) for each in courses], "LineString"),
        **_given_layers(design),
    }


def _given_layers(design: Design) -> dict[str, geopandas.GeoDataFrame]:
    """Layers of what was there before: boundary, ground for lines within it, keep-outs with setbacks, ponds."""
    site, ponds = design.site, pond_polygons(design)
    boundaries = [] if site.boundary is None else [site.boundary]
    workable = [] if site.boundary is None else [workable_area(site, design.ground)]
    numbered = list(enumerate(site.keep_outs))
    zones = [(number, each) for number, each in numbered if each.zone is not None]
    return {
        "boundary": _layer(design, [{} for _ in boundaries], boundaries, "Unknown"),
        "workable": _layer(design, [{} for _ in workable], workable, "Unknown"),
        "keep_outs": _layer(
            design,
            [{"keep_out": number, "kind": each.kind, "name": each.name} for number, each in numbered],
            [each.geometry for _, each in numbered],
            "Unknown",
        ),
        "setbacks": _layer(
            design, [{"keep_out": number} for number, _ in zones], [each.zone for _, each in zones], "Unknown"
        ),
        "ponds": _layer(design, [{} for _ in ponds], ponds, "MultiPolygon"),
    }


def line_of(swale: Swale) -> shapely.LineString:
    """A swale's line; closed ones return to their first station."""
    return shapely.LineString(swale.line.path)


def catchment_polygons(design: Design) -> dict[str, shapely.MultiPolygon]:
    """Catchment of each swale that has one, along the edges of cells."""
    outlines = cell_outlines(design.catchments, design)
    return {f"S{number}": outlines[number] for number in sorted(outlines)}


def pond_polygons(design: Design) -> tuple[shapely.MultiPolygon, ...]:
    """Water that stands in the hollows of the ground at the end of the design storm if no swale is dug."""
    return tuple(cell_outlines(design.ground.ponds.astype(np.uint8), design).values())


def sill_stretch(swale: Swale) -> shapely.LineString:
    """The metres of a swale's line along which its sill lies."""
    half_m = min(swale.sill.length_m, swale.line.length_m) / 2.0
    middle_m = swale.sill.chainage_m
    return substring(line_of(swale), max(middle_m - half_m, 0.0), min(middle_m + half_m, swale.line.length_m))


def hollow_polygons(design: Design) -> list[shapely.MultiPolygon]:
    """Water surface of each hollow when it stands at its spill level."""
    ground = design.ground
    full = pond_labels(ground.network, ground.terrain, ground.network.hollows.spill_level_m)
    outlines = cell_outlines(full, design)
    return [outlines.get(number, shapely.MultiPolygon()) for number in range(1, len(design.hollows) + 1)]


def cell_outlines(numbers: NDArray[np.integer], design: Design) -> dict[int, shapely.MultiPolygon]:
    """Outlines of the cells of each number above zero."""
    return outlines_on(design.ground.terrain.grid, numbers)


def outlines_on(grid: Grid, numbers: NDArray[np.integer]) -> dict[int, shapely.MultiPolygon]:
    """The same for numbers on a grid."""
    parts: dict[int, list[BaseGeometry]] = {}
    cells = {"mask": numbers > 0, "connectivity": 4, "transform": grid.transform}
    for ring, number in rasterio.features.shapes(numbers, **cells):
        parts.setdefault(int(number), []).append(shapely.geometry.shape(ring))
    return {number: _polygons(shapely.union_all(rings)) for number, rings in parts.items()}


def _layer(
    design: Design, rows: Sequence[dict[str, Any]], geometries: Sequence[BaseGeometry], kind: str
) -> geopandas.GeoDataFrame:
    frame = geopandas.GeoDataFrame(list(rows), geometry=list(geometries), crs=design.ground.terrain.grid.crs)
    frame.attrs["geometry_type"] = kind
    return frame


def _sill_row(swale: Swale) -> dict[str, Any]:
    sill, row = swale.sill, swale_row(swale)
    return {
        "swale": swale.id,
        "chainage_m": round(sill.chainage_m, 1),
        "sill_m": row["sill_m"],
        "sill_length_m": row["sill_length_m"],
        "head_m": round(sill.head_m, 3),
        "check_flow_m3s": row["check_flow_m3s"],
        "spills_to": sill.spills_to,
        "in_its_way": ", ".join(sill.harms),
    }


def _hollow_rows(design: Design) -> list[dict[str, Any]]:
    return [
        {
            "hollow": each.id,
            "spill_level_m": round(each.spill_level_m, 2),
            "water_level_m": round(each.water_level_m, 2),
            "depth_m": round(each.depth_m, 2),
            "area_m2": round(each.area_m2, 0),
            "volume_m3": round(each.volume_m3, 1),
            "received_m3": round(each.received_m3, 1),
            "held_m3": round(each.held_m3, 1),
            "passed_m3": round(each.passed_m3, 1),
            "fate": each.fate,
        }
        for each in design.hollows
    ]


def _way(xy: NDArray[np.float64]) -> shapely.LineString:
    return shapely.LineString(xy if len(xy) > 1 else np.vstack([xy, xy]))


def _polygons(geometry: BaseGeometry) -> shapely.MultiPolygon:
    parts = [part for part in shapely.get_parts(geometry) if isinstance(part, shapely.Polygon)]
    return shapely.MultiPolygon(parts)
