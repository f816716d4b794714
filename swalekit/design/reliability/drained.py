"""What drains to each swale, and where each spills, when the terrain is otherwise than its tile."""

from dataclasses import dataclass, replace
from functools import partial
from math import sqrt
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.barrier import barrier_labels
from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import noise_depth_m, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground, downstream_of, stores_of
from swalekit.design.layout.lines import Layout
from swalekit.design.layout.water import Water
from swalekit.flow.catchments import first_met
from swalekit.flow.network import FlowNetwork, build_flow_network
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import local_runoff_m3, pass_down, passed_to
from swalekit.hydrology.routing.stores import Stores, cut_circles
from swalekit.section.drainage import Drainage, way_down
from swalekit.section.footprint import strip_cells
from swalekit.terrain.height_error import HeightErrors
from swalekit.terrain.terrain import Terrain

_TWICE = sqrt(2.0)
"""Spread of errors that were drawn on those that a tile has already."""


@dataclass(frozen=True, eq=False)
class Drained(Frozen):
    """The ground of every store: lines, then hollows.

    Parameters
    ----------
    stores : Stores
        Ground by soil class, and where the surplus goes; strips are empty.
    hollow_m3 : ndarray of float64, shape (hollows,)
        What each hollow holds [m³].
    """

    stores: Stores
    hollow_m3: NDArray[np.float64]

    @property
    def n_lines(self) -> int:
        """How many of the stores are lines."""
        return self.stores.downstream.size - self.hollow_m3.size

    @property
    def spills_to(self) -> NDArray[np.int32]:
        """What each line spills to: the number of a line from 1, 0 off the tile, -1 a hollow."""
        below = self.stores.downstream[: self.n_lines] + 1
        return np.where(below > self.n_lines, -1, below).astype(np.int32)

    def catchment_m2(self, depth_mm: float, soil: Soil) -> NDArray[np.float64]:
        """Ground of each line, with the share of a hollow's ground that it passes on in a storm.

        Parameters
        ----------
        depth_mm : float
            Depth of the storm [mm].
        soil : Soil
            Losses by class.

        Returns
        -------
        ndarray of float64, shape (lines,)
            As a plan has it [m²].
        """
        n_lines = self.n_lines
        capacity = np.concatenate([np.full(n_lines, np.inf), self.hollow_m3])
        unspilt = pass_down(self.stores, local_runoff_m3(self.stores, depth_mm, soil), capacity)
        below, share = passed_to(self.stores, unspilt, n_lines)
        caught_m2 = self.stores.area_m2.sum(axis=1) * share
        return np.asarray(np.bincount(below, weights=caught_m2, minlength=1 + n_lines)[1:])


@dataclass(frozen=True, eq=False)
class StakedGround(Frozen):
    """Ground with staked lines on it, which can be drained anew.

    Parameters
    ----------
    terrain : Terrain
        The tile.
    lines : tuple of LevelLine
        The lines.
    stops : ndarray of int32, shape (rows, columns)
        1 … n on the cells of each one's works, 0 elsewhere.
    sill_stations : tuple of int
        Station of each line at which it spills.
    soil : Soil
        Losses by class.
    soil_class : ndarray of uint8, shape (rows, columns), or None
        Class of each cell; None where there is one class.
    runoff_mm : ndarray of float32, shape (classes,)
        Runoff of the design storm from each class, which sets the turn in which hollows fill.
    noise_depth_m : float
        Hollows of the tile shallower than this are noise [m].
    built, on_tile : Drained
        What drains to the works as built, and to the stops on the tile: the same but for what cells can't show.
    """

    terrain: Terrain
    lines: tuple[LevelLine, ...]
    stops: NDArray[np.int32]
    sill_stations: tuple[int, ...]
    soil: Soil
    soil_class: NDArray[np.uint8] | None
    runoff_mm: NDArray[np.float32]
    noise_depth_m: float
    built: Drained
    on_tile: Drained

    @classmethod
    def of(cls, site: Site, ground: Ground, layout: Layout, water: Water) -> Self:
        """Take what draining a layout anew needs.

        Parameters
        ----------
        site, ground, layout, water : Site, Ground, Layout, Water
            What was asked, the ground, and the layout as `swalekit.design.plan.pipeline.built_layout` has it.

        Returns
        -------
        StakedGround
            With the tile drained to the lines.
        """
        grid = ground.terrain.grid
        strips = list(map(partial(strip_cells, grid), layout.lines, (swale.shape for swale in water.sized)))
        stores = replace(water.stores, strip_area_m2=np.zeros(water.stores.downstream.size))
        built = Drained(stores, ground.network.hollows.volume_m3)
        staked = cls(
            terrain=replace(ground.terrain, control=None, taken_off=None),  # it goes to other processes
            lines=layout.lines,
            stops=barrier_labels(grid, layout.lines, strips),
            sill_stations=tuple(path.station for path in layout.spill_paths),
            soil=ground.soil,
            soil_class=ground.soil_class,
            runoff_mm=ground.soil.runoff_mm(storm_of(site).depth_mm).astype(np.float32),
            noise_depth_m=noise_depth_m(site, ground.terrain),
            built=built,
            on_tile=built,
        )
        return replace(staked, on_tile=staked._to_lines(ground.network))

    def sigma_m(self, line: LevelLine, terrain_sigma_m: float) -> NDArray[np.float64]:
        """Standard error of the heights along a line.

        Parameters
        ----------
        line : LevelLine
            One of the lines.
        terrain_sigma_m : float
            That of ground that was seen [m].

        Returns
        -------
        ndarray of float64, shape (n,)
            Of each station [m].
        """
        return np.asarray(np.hypot(terrain_sigma_m, self.terrain.drawn_sigma_at(*line.xy.T)))

    def drained(self, errors: HeightErrors, sigma_m: float) -> Drained:
        """Drain the ground as it is if the tile's heights have these errors.

        Parameters
        ----------
        errors : HeightErrors
            A field.
        sigma_m : float
            Standard error of a height [m].

        Returns
        -------
        Drained
            Stores of that ground.

        Notes
        -----
        Lines are stops on the cells of their works. On the tile itself that gives for every line nearly the ground that
        drains to it as built; what is left between the two is added to every draw, and a line whose overflow goes
        where it went on the tile spills where it spills as built. The tile has its errors already, so that ground with
        drawn ones has them twice: hollows are taken for noise up to √2 times the depth.
        """
        terrain = errors.on(self.terrain, sigma_m=sigma_m)
        runoff = None if self.soil_class is None else self.runoff_mm[self.soil_class]
        network = build_flow_network(terrain, noise_depth_m=_TWICE * self.noise_depth_m, runoff=runoff)
        return self._as_built(self._to_lines(network), network)

    def _to_lines(self, network: FlowNetwork) -> Drained:
        """Stores with the lines as stops."""
        labels = first_met(network, self.stops, n_stops=len(self.lines))
        drainage, below = Drainage(network, self.stops, labels, np.zeros((1, 1), np.bool_)), list[int]()
        for number, (line, station) in enumerate(zip(self.lines, self.sill_stations, strict=True), start=1):
            _, last = way_down(line, station, drainage, label=number)
            met = int(labels.ravel()[last])
            below.append(0 if met in (number, -1) else met)
        downstream = self._without_circles(downstream_of(labels, network, tuple(below)), network)
        stores = stores_of(labels, network, self.soil, self.soil_class, downstream=downstream)
        return Drained(stores, network.hollows.volume_m3)

    def _as_built(self, drawn: Drained, network: FlowNetwork) -> Drained:
        """A drawn state with what differs between works as built and stops on the tile."""
        n_lines, built = len(self.lines), self.built.stores
        area_m2, downstream = drawn.stores.area_m2.copy(), drawn.stores.downstream.copy()
        area_m2[:n_lines] += (built.area_m2 - self.on_tile.stores.area_m2)[:n_lines]
        same = (drawn.spills_to == self.on_tile.spills_to) & (self.built.spills_to >= 0)
        downstream[:n_lines] = np.where(same, built.downstream[:n_lines], downstream[:n_lines])
        downstream = self._without_circles(downstream, network)
        return replace(drawn, stores=replace(drawn.stores, area_m2=np.maximum(area_m2, 0.0), downstream=downstream))

    def _without_circles(self, downstream: NDArray[np.int32], network: FlowNetwork) -> NDArray[np.int32]:
        levels_m = np.concatenate([[line.level_m for line in self.lines], network.hollows.spill_level_m])
        return cut_circles(downstream, levels_m)[0]
