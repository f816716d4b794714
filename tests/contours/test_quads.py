"""Quadrilaterals beside lines, against polygons of the cells and of themselves."""

import numpy as np
import pytest
import shapely

from swalekit.contours.line import LevelLine
from swalekit.contours.quads import quad_polygons, quads_over_cells, taken_twice_m2
from swalekit.grid import Grid

GRID = Grid.from_corner((40, 60), cell_m=1.0, west_m=100.0, north_m=240.0)


def random_quads(rng, count):
    """Strips of 0.5 m to 3 m by 1 m to 9 m anywhere on the grid and somewhat beyond, turned any way."""
    along = rng.uniform(0.5, 3.0, count)[:, np.newaxis]
    across = rng.uniform(1.0, 9.0, count)[:, np.newaxis]
    angle = rng.uniform(0.0, 2 * np.pi, count)
    u, v = np.column_stack([np.cos(angle), np.sin(angle)]), np.column_stack([-np.sin(angle), np.cos(angle)])
    corner = rng.uniform([95.0, 195.0], [165.0, 245.0], (count, 2))
    return np.stack([corner, corner + along * u, corner + along * u + across * v, corner + across * v], axis=1)


@pytest.mark.parametrize("beyond", [False, True])
@pytest.mark.parametrize("margin_m", [0.0, 1.0])
def test_cells_touched_are_those_of_the_polygons(margin_m, beyond):
    """By geometry: whatever reaches half a cell into a marked one is found, and nothing that touches none."""
    rng = np.random.default_rng(3)
    cells, quads = rng.random(GRID.shape) < 0.02, random_quads(rng, 300)
    x, y = GRID.centres(*np.nonzero(cells))
    marked = shapely.union_all(shapely.box(x - 0.5, y - 0.5, x + 0.5, y + 0.5))
    if beyond:
        marked = marked.union(shapely.box(0, 0, 400, 400).difference(shapely.box(*GRID.bounds)))
    found = quads_over_cells(GRID, cells, quads, margin_m=margin_m, beyond=beyond)
    touching = shapely.distance(quad_polygons(quads, grown_m=margin_m), marked) == 0.0
    well_within = shapely.intersects(quad_polygons(quads, grown_m=margin_m), marked.buffer(-0.36))
    assert not (found & ~touching).any()
    assert not (well_within & ~found).any()
    assert 0.1 < found.mean() < 0.99


def arc(radius_m, *, turn=np.pi, step_m=1.0, width_m=4.0):
    """A line round an arc and the strip within it."""
    angle = np.linspace(0.0, turn, round(turn * radius_m / step_m) + 1)
    xy = radius_m * np.column_stack([-np.cos(angle), np.sin(angle)])
    line = LevelLine(10.0, False, xy, np.full(len(xy), 10.0), np.full(len(xy), 0.1))
    inner = line.xy + width_m * line.downhill
    return line, np.stack([line.xy[:-1], line.xy[1:], inner[1:], inner[:-1]], axis=1)


@pytest.mark.parametrize("radius_m", [1.5, 2.0, 3.0])
def test_ground_taken_twice_is_what_the_strips_have_more_than_their_union(radius_m):
    """Beyond the centre of an arc strips lie on one another: half on either, a little more at neighbours."""
    line, strips = arc(radius_m)
    polygons = quad_polygons(strips)
    pairs = shapely.area(polygons).sum() - shapely.union_all(polygons).area
    assert taken_twice_m2(line, strips).sum() > 0.5 * pairs > 0.1
    assert taken_twice_m2(*arc(9.0)).sum() == pytest.approx(0.0, abs=1e-9)


def test_a_closed_line_has_neighbours_across_its_seam():
    """The last leg of a ring and the first share an edge, not ground."""
    angle = np.linspace(0.0, 2 * np.pi, 40, endpoint=False)
    xy = 12.0 * np.column_stack([np.cos(angle), np.sin(angle)])
    line = LevelLine(10.0, True, xy, np.full(40, 10.0), np.full(40, 0.1))
    edge = np.vstack([line.xy + 3.0 * line.downhill, (line.xy + 3.0 * line.downhill)[:1]])
    strips = np.stack([line.path[:-1], line.path[1:], edge[1:], edge[:-1]], axis=1)
    assert taken_twice_m2(line, strips).sum() == pytest.approx(0.0, abs=1e-9)
