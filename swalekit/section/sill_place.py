"""Where along a line the overflow sill does least harm."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.contours.keep_outs import KeepOut
from swalekit.contours.line import LevelLine
from swalekit.flow.catchments import trace_path
from swalekit.flow.network import FlowNetwork
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

HARM_ORDER: tuple[str, ...] = ("building", "septic field", "well", "property line", "buried utility", "road", "tree")
"""Kinds of ground that overflow should not reach, worst first (common practice)."""

_CANDIDATE_STEP_M = 10.0
_LOOK_BELOW_M = 20.0


@dataclass(frozen=True, eq=False)
class SpillPath:
    """A place for a sill and the way its water takes.

    Parameters
    ----------
    station : int
        Station of the line at the sill.
    xy : ndarray of float64, shape (m, 2)
        From the sill downhill to the store met or to the tile's edge [m].
    met : int
        Label of the store met, a lower line or a hollow; 0 where the water leaves the tile.
    slope_below : float
        Mean slope over the first 20 m below the sill [m/m].
    harm : str
        Kind of the worst ground on the way, '' for none.
    harm_name : str
        Its name.
    """

    station: int
    xy: NDArray[np.float64]
    met: int
    slope_below: float
    harm: str
    harm_name: str


def place_sill(
    line: LevelLine,
    label: int,
    *,
    terrain: Terrain,
    network: FlowNetwork,
    stops: NDArray[np.int32],
    labels: NDArray[np.int32],
    keep_outs: Sequence[KeepOut],
    boundary: BaseGeometry | None,
) -> SpillPath:
    """The end or stretch of a line from which overflow does least harm.

    Both ends and a station every 10 m are looked at. The path of the water is followed to the next store or off the
    tile; the least harmful one is taken: first by the worst ground it crosses (`HARM_ORDER`; leaving the boundary
    counts as the property line), then by the slope of the ground below the sill, which sets how fast the water runs.

    Parameters
    ----------
    line : LevelLine
        The line.
    label : int
        Its label in ``stops``; the path may run along its own berm.
    terrain, network : Terrain, FlowNetwork
        The ground and its flow.
    stops : ndarray of int32, shape (rows, columns)
        Labels on the cells of all lines.
    labels : ndarray of int32, shape (rows, columns)
        First store met by each cell's water.
    keep_outs : sequence of KeepOut
        In the CRS of the terrain.
    boundary : shapely geometry or None
        The land that may be worked.
    """
    paths = [
        _spill_path(line, station, label, terrain=terrain, network=network, stops=stops, labels=labels)
        for station in _candidates(line)
    ]
    harmful = [(each.kind, each.name, each.zone) for each in keep_outs]
    judged = [_with_harm(path, harmful, boundary) for path in paths]
    rank = {"": len(HARM_ORDER)} | {kind: place for place, kind in enumerate(HARM_ORDER)}
    return min(judged, key=lambda path: (-rank[path.harm], round(path.slope_below, 3), path.station))


def _candidates(line: LevelLine) -> list[int]:
    last = len(line.xy) - 1
    step = max(1, round(_CANDIDATE_STEP_M / line.spacing_m))
    return sorted({*range(0, last + 1, step), last})


def _spill_path(
    line: LevelLine,
    station: int,
    label: int,
    *,
    terrain: Terrain,
    network: FlowNetwork,
    stops: NDArray[np.int32],
    labels: NDArray[np.int32],
) -> SpillPath:
    rows, columns = terrain.grid.shape
    here, downhill = line.xy[station], line.downhill[station]
    below = here + downhill * 1.5 * terrain.grid.cell_m
    row, column = (int(np.rint(each)) for each in terrain.grid.rows_columns(below[0], below[1]))
    start = min(max(row, 0), rows - 1) * columns + min(max(column, 0), columns - 1)
    cells, _ = trace_path(network, start, stops, ignore=label)
    met = int(labels.ravel()[cells[-1]])
    x, y = terrain.grid.centres(cells // columns, cells % columns)
    xy = np.vstack([here, np.column_stack([x, y])])
    return SpillPath(station, xy, 0 if met in {label, -1} else met, _slope_below(terrain, xy), "", "")


def _slope_below(terrain: Terrain, xy: NDArray[np.float64]) -> float:
    run = np.concatenate([[0.0], np.cumsum(np.hypot(*np.diff(xy, axis=0).T))])
    end = min(int(np.searchsorted(run, _LOOK_BELOW_M)), len(xy) - 1)
    top, bottom = sample_heights(terrain, xy[[0, end], 0], xy[[0, end], 1])
    fall = (top - bottom) / run[end] if run[end] > 0 else 0.0
    return float(fall) if np.isfinite(fall) else 0.0


def _with_harm(
    path: SpillPath, harmful: Sequence[tuple[str, str, BaseGeometry]], boundary: BaseGeometry | None
) -> SpillPath:
    way = shapely.LineString(path.xy) if len(path.xy) > 1 else shapely.Point(path.xy[0])
    met = [(kind, name) for kind, name, ground in harmful if shapely.intersects(way, ground)]
    if boundary is not None and not shapely.covers(boundary, way):
        met.append(("property line", ""))
    if not met:
        return path
    kind, name = min(met, key=lambda each: HARM_ORDER.index(each[0]))
    return SpillPath(path.station, path.xy, path.met, path.slope_below, kind, name)
