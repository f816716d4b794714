"""The site in three dimensions: the ground thinned, with every ditch and berm set into it at its own section."""

from collections.abc import Sequence
from typing import Any

import numpy as np
import plotly.graph_objects as go
from matplotlib.colors import to_rgb
from numpy.typing import NDArray
from scipy.spatial import Delaunay, cKDTree

from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.relief import terrain_in_view
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.report.images import shown_bounds
from swalekit.terrain.terrain import Terrain

_GREATEST_SIDE = 160
"""Cells along the longer side of the thinned ground."""
_STATION_M = 3.0
_MOST_STATIONS = 4000
_CLEAR = 0.75
"""A point of a section lies at least this share of its distance from its own line; nearer ones are past a bend."""
_MARGIN_M = 1.0
_RAISED = 3.0
"""Factor on heights for the light, not for the shape."""
_NODE_COLORS = (
    palette.RELIEF_LIGHT,
    palette.WATER_FACE,
    palette.WATER_FACE,
    palette.RELIEF_LIGHT,
    palette.EARTH_FACE,
    palette.EARTH_FACE,
    palette.EARTH_FACE,
    palette.RELIEF_LIGHT,
)
"""Uphill lip, floor's ends, downhill lip, berm's uphill toe, crest's edges, downhill toe."""
_LIGHT = np.array([-1.0, 1.0, 1.4]) / np.linalg.norm([-1.0, 1.0, 1.4])
"""From the north-west, as on the map."""

Points = NDArray[np.float64]


def scene_figure(record: PlanRecord, content: MapContent) -> go.Figure:
    """The ground as a mesh of triangles, with the crests as lines.

    Parameters
    ----------
    record : PlanRecord
        The plan.
    content : MapContent
        The same plan as the content of a map.

    Returns
    -------
    go.Figure
        Coordinates are metres from the south-west corner and the lowest ground of what is shown; empty without ground.

    Notes
    -----
    Points of the sections stand in place of the ground's where a swale is; all are joined by Delaunay's triangles.
    Sections are those of each swale's mean slope.

    Examples
    --------
    >>> [trace.type for trace in scene_figure(record, content).data]
    ['mesh3d', 'scatter3d']
    """
    west, south, east, north = shown_bounds(content)
    view = MapView(west, south, east, north, points_per_m=1.0)
    ground = terrain_in_view(record.ground, view, greatest_side=_GREATEST_SIDE)
    figure = go.Figure()
    if ground is not None:
        step_m = max(_STATION_M, sum(row["length_m"] for row in record.swales) / _MOST_STATIONS)
        levels_m = {row["swale"]: row["level_m"] for row in record.swales}
        strips = [
            _strip(path[_thinned(path, step_m)], record.sections[name].xy, levels_m[name])
            for name, path in content.lines.items()
        ]
        corner = np.array([west, south, np.nanmin(ground.heights)])
        points, colors = _points(ground, list(content.lines.values()), strips)
        figure.add_trace(_mesh(points - corner, colors))
        figure.add_trace(_crests([strip[:, 5] - corner for strip in strips]))
        figure.update_layout(scene=_scene(east - west, north - south, float(np.ptp(points[:, 2]))))
    figure.update_layout(
        template="none", margin={"l": 0, "r": 0, "t": 0, "b": 0}, paper_bgcolor=palette.PAPER, showlegend=False
    )
    return figure


def _strip(path: Points, section: Points, level_m: float) -> NDArray[np.float64]:
    """Nodes of a section at the vertices of a path, shape (vertices, 8, 3) [m]; NaN where they cross a bend."""
    along = np.gradient(path, axis=0) if len(path) > 1 else np.ones_like(path)
    along /= np.maximum(np.hypot(*along.T), 1e-9)[:, np.newaxis]
    downhill = np.column_stack([along[:, 1], -along[:, 0]])
    offset, height = section.T
    xy = path[:, np.newaxis] + offset[np.newaxis, :, np.newaxis] * downhill[:, np.newaxis]
    z = np.broadcast_to(level_m + height, xy.shape[:2])
    near_m, _ = cKDTree(path).query(xy.reshape(-1, 2))
    crossed = near_m.reshape(z.shape) < _CLEAR * np.abs(offset)
    return np.where(crossed[..., np.newaxis], np.nan, np.dstack([xy, z]))


def _thinned(path: Points, step_m: float) -> NDArray[np.int64]:
    """Numbers of stations about so far apart, the last among them."""
    spacing_m = float(np.hypot(*np.diff(path, axis=0).T).mean()) if len(path) > 1 else step_m
    return np.unique(np.append(np.arange(0, len(path), max(1, round(step_m / spacing_m))), len(path) - 1))


def _points(
    ground: Terrain, paths: Sequence[Points], strips: Sequence[NDArray[np.float64]]
) -> tuple[Points, NDArray[np.float64]]:
    """Corners of the mesh, shape (n, 3) [m], and their colours; those of the ground only where no section is."""
    rows, columns = np.nonzero(ground.valid)
    free = np.column_stack([*ground.grid.centres(rows, columns), ground.heights[rows, columns]])
    nodes = np.concatenate([np.empty((0, 3)), *(strip.reshape(-1, 3) for strip in strips)])
    colors = np.tile([to_rgb(color) for color in _NODE_COLORS], (len(nodes) // len(_NODE_COLORS), 1))
    kept = np.isfinite(nodes).all(axis=1)
    if kept.any():
        reach_m = np.repeat([_reach_m(strip) for strip in strips], [len(path) for path in paths])
        near_m, nearest = cKDTree(np.vstack(paths)).query(free[:, :2])
        free = free[near_m > reach_m[nearest] + _MARGIN_M]
    colors = np.vstack([np.tile(to_rgb(palette.RELIEF_LIGHT), (len(free), 1)), colors[kept]])
    return np.vstack([free, nodes[kept]]), colors


def _reach_m(strip: NDArray[np.float64]) -> float:
    """Half the width of a strip, lip to toe [m]."""
    return float(np.nanmax(np.hypot(*(strip[:, -1, :2] - strip[:, 0, :2]).T), initial=0.0)) / 2.0 + 1.0


def _mesh(points: Points, colors: NDArray[np.float64]) -> go.Mesh3d:
    corners = Delaunay(points[:, :2]).simplices.astype(np.int32) if len(points) > 3 else np.empty((0, 3), np.int32)
    shaded = np.array(to_rgb(palette.RELIEF_DARK)) * 0.8
    lit = _brightness(points, corners)[:, np.newaxis]
    levels = np.round(255 * (lit * colors + (1 - lit) * shaded * colors)).astype(int)
    x, y, z = points.astype(np.float32).T
    return go.Mesh3d(
        x=x,
        y=y,
        z=z,
        i=corners[:, 0],
        j=corners[:, 1],
        k=corners[:, 2],
        vertexcolor=[f"#{red:02x}{green:02x}{blue:02x}" for red, green, blue in levels.tolist()],
        lighting={"ambient": 1.0, "diffuse": 0.0, "specular": 0.0, "fresnel": 0.0},
        hoverinfo="skip",
    )


def _brightness(points: Points, corners: NDArray[np.int32]) -> NDArray[np.float64]:
    """Light on every corner, 0 to 1, from the mean of the triangles round it, heights drawn up as on the map."""
    raised = points * (1.0, 1.0, _RAISED)
    first, second, third = (raised[corners[:, side]] for side in range(3))
    across = np.cross(second - first, third - first)
    across *= np.sign(across[:, 2:])
    normal = np.zeros_like(points)
    for side in range(3):
        np.add.at(normal, corners[:, side], across)
    normal /= np.maximum(np.linalg.norm(normal, axis=1, keepdims=True), 1e-12)
    lit = normal @ _LIGHT
    low, high = np.percentile(lit, [1, 99]) if lit.size else (0.0, 1.0)
    return np.asarray(np.clip((lit - low) / max(high - low, 1e-9), 0.0, 1.0))


def _crests(crests: Sequence[Points]) -> go.Scatter3d:
    gap = np.full((1, 3), np.nan)
    xyz = np.vstack([gap, *(part for crest in crests for part in (crest, gap))]).astype(np.float32)
    line = {"color": palette.SWALE, "width": 4}
    return go.Scatter3d(x=xyz[:, 0], y=xyz[:, 1], z=xyz[:, 2], mode="lines", line=line, hoverinfo="skip")


def _scene(width_m: float, height_m: float, relief_m: float) -> dict[str, Any]:
    """Axes hidden, sides in true proportion."""
    longer_m = max(width_m, height_m)
    hidden = {"visible": False, "showspikes": False}
    return {
        "bgcolor": palette.RELIEF_LIGHT,
        "xaxis": hidden,
        "yaxis": hidden,
        "zaxis": hidden,
        "aspectmode": "manual",
        "aspectratio": {"x": width_m / longer_m, "y": height_m / longer_m, "z": max(relief_m, 1e-3) / longer_m},
        "camera": {"eye": {"x": -0.15, "y": -0.95, "z": 0.6}, "center": {"x": 0.0, "y": 0.0, "z": -0.12}},
        "dragmode": "turntable",
    }
