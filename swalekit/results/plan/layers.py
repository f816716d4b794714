"""A design as layers of features, in the CRS of the project."""

from collections.abc import Callable, Iterable, Iterator, Mapping
from functools import cache
from typing import Any

import geopandas
import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS

from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import workable_area
from swalekit.design.plan.crossings import crossing_figures, crossing_rows
from swalekit.design.plan.design import Design, HollowFate
from swalekit.design.plan.record import Feature
from swalekit.design.plan.table import swale_row
from swalekit.flow.hollow_ponds import pond_labels
from swalekit.formats.exchange.layers import feature_layer, outlines_on
from swalekit.grid import Grid
from swalekit.section.footprint import berm_footprint, crossing_areas

STAGE_TABLE, STAGE_PICTURE = "stages.csv", "stages.png"
"""Files of a plan that is built in seasons."""
BARE_GROUND_PICTURE = "bare_ground.png"
"""File that shows what was taken off the surface."""

_APRON_FIGURES = (
    "swale", "apron", "apron_length_m", "apron_width_m", "stone_d50_mm", "stone_thickness_m", "stone_m3", "grass_m2",
)  # fmt: skip
_HOLLOW_DECIMALS = {
    "spill_level_m": 2, "water_level_m": 2, "depth_m": 2, "area_m2": 0, "volume_m3": 1, "received_m3": 1, "held_m3": 1,
    "passed_m3": 1,
}  # fmt: skip
"""Figures of a hollow, and the decimals in which they are written."""


class PlanLayers(Mapping[str, tuple[Feature, ...]]):
    """Features of every layer of a design by its name; each layer is made when it is first asked for.

    Parameters
    ----------
    design : Design
        The design.
    """

    def __init__(self, design: Design) -> None:
        self._features = cache(lambda name: tuple(_LAYERS[name][1](design)))

    def __getitem__(self, name: str) -> tuple[Feature, ...]:
        return self._features(name)

    def __iter__(self) -> Iterator[str]:
        return iter(_LAYERS)

    def __len__(self) -> int:
        return len(_LAYERS)


def frames(layers: Mapping[str, tuple[Feature, ...]], crs: CRS | None) -> dict[str, geopandas.GeoDataFrame]:
    """Layers as they are written to a GeoPackage.

    Parameters
    ----------
    layers : mapping of str to tuple of (shapely geometry, dict)
        Features by the name of their layer.
    crs : CRS or None
        CRS of the project.

    Returns
    -------
    dict of str to GeoDataFrame
        By the name of the layer.

    Examples
    --------
    >>> frames({"berms": PlanLayers(design)["berms"]}, terrain.grid.crs)["berms"]["swale"].tolist()
    ['S1', 'S2']
    """
    return {
        name: feature_layer([row for _, row in features], [shape for shape, _ in features], crs, kind=_LAYERS[name][0])
        for name, features in layers.items()
    }


def proposed_keep_outs(design: Design) -> geopandas.GeoDataFrame:
    """Trees and buildings found on the surface that no keep-out of the brief meets, as a file that the brief can name.

    Parameters
    ----------
    design : Design
        The design, on ground that was got from a surface.

    Returns
    -------
    GeoDataFrame
        Polygons with ``kind`` (tree or building), ``name``, ``height_m`` and ``area_m2``.

    Examples
    --------
    >>> len(proposed_keep_outs(design))
    0
    """
    ground = design.ground.terrain
    things = () if ground.taken_off is None else ground.taken_off.things
    known = shapely.union_all([keep_out.geometry for keep_out in design.site.keep_outs])
    new = [thing for thing in things if not thing.outline.intersects(known)]
    rows = [
        {
            "kind": thing.kind,
            "name": f"{thing.kind} {number}",
            "height_m": round(thing.height_m, 1),
            "area_m2": round(thing.area_m2, 1),
        }
        for number, thing in enumerate(new, start=1)
    ]
    columns = ("kind", "name", "height_m", "area_m2")
    outlines = [thing.outline for thing in new]
    return feature_layer(rows, outlines, ground.grid.crs, kind="Polygon", columns=columns)


def pond_outlines(grid: Grid, ponds: NDArray[np.bool_]) -> list[shapely.MultiPolygon]:
    """Water that stands in the hollows of the ground, as one area; none where it stands nowhere.

    Parameters
    ----------
    grid : Grid
        Grid of the ground.
    ponds : ndarray of bool, shape (rows, columns)
        Cells under water.

    Returns
    -------
    list of MultiPolygon
        One outline, or none.

    Examples
    --------
    >>> ponds = np.zeros(terrain.grid.shape, dtype=bool)
    >>> ponds[10:12, 20:25] = True
    >>> [outline.area for outline in pond_outlines(terrain.grid, ponds)]
    [10.0]
    """
    return list(outlines_on(grid, ponds.astype(np.uint8)).values())


def _swales(design: Design) -> Iterator[Feature]:
    """Level lines with every figure of `SWALE_COLUMNS`; a ring comes back to its first station."""
    return ((shapely.LineString(swale.line.path), swale_row(swale, design.rates)) for swale in design.swales)


def _berms(design: Design) -> Iterator[Feature]:
    return ((berm_footprint(swale.line, swale.sized.shape), {"swale": swale.id}) for swale in design.swales)


def _catchments(design: Design) -> Iterator[Feature]:
    """Catchment of each swale that has one, along the edges of cells."""
    outlines = outlines_on(design.ground.terrain.grid, design.catchments)
    return ((outlines[number], {"swale": design.swales[number - 1].id}) for number in sorted(outlines))


def _sills(design: Design) -> Iterator[Feature]:
    for swale in design.swales:
        sill, row = swale.sill, swale_row(swale, design.rates)
        yield (
            shapely.LineString(swale.sill_line),
            {
                "swale": swale.id,
                "chainage_m": round(sill.chainage_m, 1),
                "sill_m": row["sill_m"],
                "sill_length_m": row["sill_length_m"],
                "head_m": round(sill.head_m, 3),
                "check_flow_m3s": row["check_flow_m3s"],
                "spills_to": sill.spills_to,
                "in_its_way": ", ".join(sill.harms),
            },
        )


def _aprons(design: Design) -> Iterator[Feature]:
    """What is laid at sills, with its figures as in the table of swales."""
    for swale in design.swales:
        area, row = swale.apron_area, swale_row(swale, design.rates)
        if area is not None:
            yield area, {name: row[name] for name in _APRON_FIGURES}


def _overflow(design: Design) -> Iterator[Feature]:
    return ((_way(swale.sill.path), {"swale": swale.id}) for swale in design.swales)


def _hollows(design: Design) -> Iterator[Feature]:
    """Water surface of each hollow when it stands at its spill level, and what the storm does to it."""
    outlines = _full_ponds(design.ground)
    return (
        (outlines.get(number, shapely.MultiPolygon()), _hollow_row(hollow))
        for number, hollow in enumerate(design.hollows, start=1)
    )


def _full_ponds(ground: Ground) -> dict[int, shapely.MultiPolygon]:
    """Outlines of all full ponds by number from 1, those that others drown in and then those within them."""
    hollows = ground.network.hollows
    outlines: dict[int, shapely.MultiPolygon] = {}
    around, chosen = hollows.drowns_in, hollows.drowns_in < 0
    while chosen.any():
        level_m = np.where(chosen, hollows.spill_level_m, -np.inf)
        outlines |= outlines_on(ground.terrain.grid, pond_labels(ground.network, ground.terrain, level_m))
        chosen = (around >= 0) & chosen[around]
    return outlines


def _hollow_row(hollow: HollowFate) -> dict[str, Any]:
    figures = {name: round(getattr(hollow, name), decimals) for name, decimals in _HOLLOW_DECIMALS.items()}
    return {"hollow": hollow.id} | figures | {"fate": hollow.fate, "spills_to": hollow.spills_to}


def _refused(design: Design) -> Iterator[Feature]:
    for stretch in design.refused:
        row = {"level_m": stretch.level_m, "reason": stretch.reason, "detail": stretch.detail, "line": stretch.name}
        yield _way(stretch.xy), row | {"length_m": round(stretch.length_m, 1)}


def _watercourses(design: Design) -> Iterator[Feature]:
    return ((_way(xy), {}) for xy in design.ground.watercourse_lines)


def _boundary(design: Design) -> Iterable[Feature]:
    return () if design.site.boundary is None else ((design.site.boundary, {}),)


def _workable(design: Design) -> Iterable[Feature]:
    """The site less the setback from its property line."""
    return () if design.site.boundary is None else ((workable_area(design.site, design.ground), {}),)


def _keep_outs(design: Design) -> Iterator[Feature]:
    for number, keep_out in enumerate(design.site.keep_outs):
        yield keep_out.geometry, {"keep_out": number, "kind": keep_out.kind, "name": keep_out.name}


def _setbacks(design: Design) -> Iterator[Feature]:
    return ((keep_out.zone, {"keep_out": number}) for number, keep_out in enumerate(design.site.keep_outs))


def _crossings(design: Design) -> Iterator[Feature]:
    """Ground of every crossing, with the swales beside or beneath it; then what is built of it on each swale."""
    for row in crossing_rows(design.site, design.ground, design.swales):
        yield row.strip, row.figures()
    for swale in design.swales:
        for crossing, area in zip(swale.crossings, crossing_areas(swale.line, swale.sized.shape), strict=True):
            yield area, crossing_figures(swale, crossing, design.rates)


def _ponds(design: Design) -> Iterator[Feature]:
    """Water that stands in the hollows of the ground at the end of the design storm if no swale is dug."""
    return ((area, {}) for area in pond_outlines(design.ground.terrain.grid, design.ground.ponds))


_LAYERS: dict[str, tuple[str, Callable[[Design], Iterable[Feature]]]] = {
    "swales": ("LineString", _swales),
    "berms": ("MultiPolygon", _berms),
    "catchments": ("MultiPolygon", _catchments),
    "sills": ("LineString", _sills),
    "aprons": ("Unknown", _aprons),
    "overflow": ("LineString", _overflow),
    "hollows": ("MultiPolygon", _hollows),
    "refused": ("LineString", _refused),
    "watercourses": ("LineString", _watercourses),
    "boundary": ("Unknown", _boundary),
    "workable": ("Unknown", _workable),
    "keep_outs": ("Unknown", _keep_outs),
    "setbacks": ("Unknown", _setbacks),
    "crossings": ("Polygon", _crossings),
    "ponds": ("MultiPolygon", _ponds),
}
"""Name -> type of geometry, and what makes the features."""

LAYERS = tuple(_LAYERS)
"""Names of the layers of a plan, in the order of the GeoPackage."""


def _way(xy: NDArray[np.float64]) -> shapely.LineString:
    return shapely.LineString(xy if len(xy) > 1 else np.vstack([xy, xy]))
