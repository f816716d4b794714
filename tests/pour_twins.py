"""Slow twins of the pour, for its tests: mixed cells as plain squares, and water that rises pond by pond."""

import numpy as np

from swalekit.flow.mixed_cells import MixedCells
from swalekit.flow.pour import poured_surface
from swalekit.grid import Grid

OUTSIDE = -1


def mixed_cells(height_at, cut, k, *, cell_m=1.0):
    """Cells cut where told, in blocks numbered the other way round; heights are those of a function of the place."""
    rows, columns = cut.shape
    block = np.full(cut.shape, -1, np.int32)
    homes = np.flatnonzero(cut)[::-1]
    block.ravel()[homes] = np.arange(homes.size)
    grid = Grid.from_corner((rows, columns), cell_m=cell_m)
    empty = np.zeros(rows * columns + homes.size * k * k, np.float32)
    cells = MixedCells(grid, k, block, empty)
    return MixedCells(grid, k, block, np.asarray(height_at(*cells.centres(np.arange(empty.size))), np.float32))


def plain(heights, cell_m=1.0):
    """Cells none of which is cut."""
    heights = np.asarray(heights, np.float64)
    return MixedCells.plain(Grid.from_corner(heights.shape, cell_m=cell_m), heights)


def channel(heights):
    """A row of cells between walls, with the sea at both ends."""
    row = [-9, *heights, -9]
    return poured_surface(plain([np.full(len(row), 20.0), row, np.full(len(row), 20.0)]))


def rough_cells(seed, k, *, shape=(9, 10), share=0.4, voids=3):
    """Rough mixed cells with nested hollows and voids, in a bowl."""
    rng = np.random.default_rng(seed)

    def height_at(x, y):
        return rng.normal(size=x.size) + 3.0 * ((x - x.mean()) ** 2 + (y - y.mean()) ** 2) / np.ptp(x) ** 2

    cut = rng.random(shape) < (share if k > 1 else 0.0)
    cells = mixed_cells(height_at, cut, k, cell_m=2.0)
    heights = cells.heights.copy()
    heights[rng.choice(heights.size, voids, replace=False)] = np.nan
    return MixedCells(cells.grid, k, cells.block, heights), rng


def squares(cells):
    """Nodes that hold ground, with south, east and side of each square, in fine cells."""
    k, (rows, columns) = cells.k, cells.grid.shape
    found = {}
    for row in range(rows):
        for column in range(columns):
            block = cells.block[row, column]
            if block < 0:
                found[row * columns + column] = (row * k, column * k, k)
            for place in range(k * k if block >= 0 else 0):
                node = rows * columns + block * k * k + place
                found[node] = (row * k + place // k, column * k + place % k, 1)
    return found


class SlowPour:
    """Water poured pit by pit: each pond rises to the lowest surface beside it, spills into it, or joins it."""

    def __init__(self, cells):
        self.height = cells.heights.astype(np.float64)
        self.area = {node: (side * cells.fine_m) ** 2 for node, (_, _, side) in squares(cells).items()}
        self.beside, self.rim, self.level = {}, set(), self.height.copy()
        every = squares(cells)
        size = cells.grid.shape[0] * cells.k, cells.grid.shape[1] * cells.k
        corner = {node: np.array([y, x, y + side, x + side]) for node, (y, x, side) in every.items()}
        for node, (y, x, side) in every.items():
            touching = [
                other
                for other, box in corner.items()
                if other != node and (box[:2] <= [y + side, x + side]).all() and (box[2:] >= [y, x]).all()
            ]
            self.beside[node] = [other for other in touching if not np.isnan(self.height[other])]
            if len(touching) > len(self.beside[node]) or y == 0 or x == 0 or y + side == size[0] or x + side == size[1]:
                self.rim.add(node)
        middle = {node: np.array([y + side / 2, x + side / 2]) for node, (y, x, side) in every.items()}
        self.receiver = {}
        for node in every:
            drops = [
                ((self.height[node] - self.height[other]) / np.hypot(*(middle[node] - middle[other])), other)
                for other in self.beside[node]
            ]
            steepest = max(drops, default=(0.0, node))
            self.receiver[node] = steepest[1] if steepest[0] > 0 else (OUTSIDE if node in self.rim else node)
        self.left = 0.0
        self.nodes = [node for node in every if not np.isnan(self.height[node])]
        self.pond = {}

    def pit(self, node):
        """Where the water of a node runs to."""
        while node != OUTSIDE and self.receiver[node] != node:
            node = self.receiver[node]
        return node

    def rise(self, pond, level, water):
        """Raise a pond toward a level with what water there is; what is left."""
        area = sum(self.area[node] for node in pond)
        now = self.level[next(iter(pond))]
        left = water - area * (level - now)
        if left <= 0.0:
            level = now + water / area
        for node in pond:
            self.level[node] = level
        return max(left, 0.0)

    def pour(self, node, water):
        """Pour water onto a node."""
        place = self.pit(node)
        while water > 0.0:
            if place == OUTSIDE:
                self.left += water
                return
            pond = self.pond.setdefault(place, {place})
            shore = {other for inside in pond for other in self.beside[inside]} - pond
            now = self.level[place]
            below = [other for other in shore if self.level[other] < now]  # where two lead down, to the lower ground
            if pond & self.rim and not below:
                place = OUTSIDE
                continue
            lowest = min(below or shore, key=lambda other: (self.height if below else self.level)[other])
            if self.level[lowest] >= now:
                water = self.rise(pond, self.level[lowest], water)
                now = self.level[place]
            if self.level[lowest] == now and (lowest in self.pond or self.pit(lowest) in pond):
                pond |= self.pond.get(lowest, {lowest})
                self.pond.update(dict.fromkeys(pond, pond))
            elif self.level[lowest] <= now:
                place = self.pit(lowest)

    @property
    def stored(self):
        """Water that stands."""
        return sum(self.area[node] * (self.level[node] - self.height[node]) for node in self.nodes)
