"""The ground before any swale: made once for a site, shared by all its options."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import cached_property, partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.design.brief.line_rules import watercourse_area_m2
from swalekit.design.brief.settings import noise_depth_m, soil_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.errors import GeometryError
from swalekit.flow.accumulation import accumulate
from swalekit.flow.catchments import first_met, label_cells
from swalekit.flow.hollow_ponds import pond_labels, pond_level_m
from swalekit.flow.network import FlowNetwork, build_flow_network
from swalekit.flow.watercourses import watercourse_cells, watercourse_lines
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.losses.soil import Soil, SoilZone, zone_index
from swalekit.hydrology.routing.cascade import Cascade, local_runoff_m3, pass_down
from swalekit.hydrology.routing.stores import Stores
from swalekit.terrain.terrain import Terrain, cells_within

Stage = Callable[[str], None]
"""Told the name of each stage of long work as it begins."""

_SHOWN = 12
"""Names that a note lists at most."""


def silent(_: str) -> None:
    """Say nothing of the stages.

    Parameters
    ----------
    _ : str
        Name of a stage.

    Examples
    --------
    >>> silent("routing the flow")
    """


def first_few(names: Sequence[str]) -> str:
    """The first twelve of many names, and how many more there are.

    Parameters
    ----------
    names : sequence of str
        The names.

    Returns
    -------
    str
        Parted by commas.

    Examples
    --------
    >>> first_few([f"S{number}" for number in range(1, 15)])
    'S1, S2, S3, S4, S5, S6, S7, S8, S9, S10, S11, S12 and 2 more'
    """
    more = f" and {len(names) - _SHOWN} more" if len(names) > _SHOWN else ""
    return ", ".join(names[:_SHOWN]) + more


@one_line("terrain.grid", "network.hollows", "site_runoff_m3")
@dataclass(frozen=True, eq=False)
class Ground(Frozen):
    """What the design storm does on the terrain without swales.

    Parameters
    ----------
    terrain : Terrain
        The conditioned tile.
    network : FlowNetwork
        Its flow.
    area : shapely geometry
        Land that may be worked, in the CRS of the terrain: the boundary, or the tile.
    inside : ndarray of bool, shape (rows, columns)
        Cells of that land that hold ground.
    soil : Soil
        Losses by class.
    soil_class : ndarray of uint8, shape (rows, columns), or None
        Class of each cell; None where there is one class.
    closed : ndarray of bool, shape (hollows,)
        Hollows that the design storm can't fill: they end a flow path.
    ponds : ndarray of bool, shape (rows, columns)
        Cells under water in a hollow at the end of the design storm.
    watercourses : ndarray of bool, shape (rows, columns)
        Cells whose contributing area passes the threshold.
    watercourse_lines : tuple of ndarray, shape (k, 2)
        The same as lines [m].
    site_runoff_m3 : float
        Water that the design storm brings to the site, from uphill and on it [m³].
    notes : tuple of str
        What was assumed where the soil zones leave the site uncovered.
    """

    terrain: Terrain
    network: FlowNetwork
    area: BaseGeometry
    inside: NDArray[np.bool_]
    soil: Soil
    soil_class: NDArray[np.uint8] | None
    closed: NDArray[np.bool_]
    ponds: NDArray[np.bool_]
    watercourses: NDArray[np.bool_]
    watercourse_lines: tuple[NDArray[np.float64], ...]
    site_runoff_m3: float
    notes: tuple[str, ...] = ()

    @cached_property
    def height_range_m(self) -> tuple[float, float]:
        """Lowest and highest ground of the land that may be worked [m]."""
        heights, inside = self.terrain.heights, self.inside
        return float(heights.min(where=inside, initial=np.inf)), float(heights.max(where=inside, initial=-np.inf))

    @property
    def watercourse_ways(self) -> list[shapely.LineString]:
        """The watercourses as geometries, those that have a length."""
        return [shapely.LineString(xy) for xy in self.watercourse_lines if len(xy) > 1]

    def downstream(self, labels: NDArray[np.int32], line_below: NDArray[np.int32]) -> NDArray[np.int32]:
        """Store that the surplus of each line, then of each hollow, goes to; -1 leaves the tile.

        Parameters
        ----------
        labels : ndarray of int32, shape (rows, columns)
            First store that each cell's water meets: lines, then hollows, from 1.
        line_below : ndarray of int32, shape (lines,)
            Label of what each line hands on to, 0 for off the tile.

        Returns
        -------
        ndarray of int32, shape (stores,)
            Places of the stores, from 0.

        Examples
        --------
        >>> ground.downstream(layout.drainage.labels, np.array([2, 0], np.int32))
        array([ 1, -1], dtype=int32)
        """
        return downstream_of(labels, self.network, line_below)

    def stores(self, labels: NDArray[np.int32], downstream: NDArray[np.int32]) -> Stores:
        """Lines, then hollows, as stores with the ground that drains to each; strips are empty.

        Parameters
        ----------
        labels : ndarray of int32, shape (rows, columns)
            First store that each cell's water meets, from 1.
        downstream : ndarray of int32, shape (stores,)
            As from `downstream`.

        Returns
        -------
        Stores
            Area of each soil class that drains to each, and where its surplus goes.

        Examples
        --------
        >>> bool((ground.stores(layout.drainage.labels, layout.stores.downstream).area_m2 > 0.0).all())
        True
        """
        return stores_of(labels, self.network, self.soil, self.soil_class, downstream=downstream)


def study_ground(site: Site, terrain: Terrain, *, stage: Stage = silent) -> Ground:
    """Route the terrain and see what the design storm does on it without swales.

    Parameters
    ----------
    site : Site
        The site; its polygons are moved to the CRS of the terrain.
    terrain : Terrain
        The conditioned tile.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Ground
        Flow, hollows, watercourses, soil, and the water of the storm.

    Raises
    ------
    GeometryError
        If the boundary and the ground of the tile don't overlap.

    Examples
    --------
    >>> study_ground(site, terrain).height_range_m == ground.height_range_m
    True
    """
    site = site.in_crs(terrain.grid.crs)
    area = shapely.box(*terrain.grid.bounds) if site.boundary is None else site.boundary
    inside = cells_within(terrain.grid, area)
    np.logical_and(inside, terrain.valid, out=inside)
    if not inside.any():
        message = _no_overlap(area, terrain)
        raise GeometryError(message)
    stage("routing the flow")
    soil, depth_mm = soil_of(site).with_condition(site.brief.conditions.moisture), storm_of(site).depth_mm
    soil_class = zone_index(terrain.grid, site.soil_zones) if site.soil_zones else None
    runoff = None if soil_class is None else soil.runoff_mm(depth_mm).astype(np.float32)[soil_class]
    network = build_flow_network(terrain, noise_depth_m=noise_depth_m(site, terrain), runoff=runoff)
    del runoff
    notes: tuple[str, ...] = ()
    if soil_class is not None and soil_class.any():
        notes = _soil_zone_notes(site.soil_zones, soil.losses[0], area=area, inside=inside, soil_class=soil_class)
    stage("filling the hollows")
    stops: NDArray[np.int32] = terrain.grid.zeros(np.int32)
    poured = partial(pour_past, network, depth_mm=depth_mm, soil=soil, soil_class=soil_class)
    hollow_water = poured(stops, ())[2]
    closed = hollow_water.spilled_m3 <= 0
    ponds = pond_labels(network, terrain, pond_level_m(network, terrain, hollow_water.held_m3))
    ponds = np.greater(ponds, 0, out=terrain.grid.zeros(np.bool_))
    np.copyto(stops, inside)
    site_water = poured(stops, (0,))[2]
    del stops
    stage("finding the watercourses")
    drained_m2 = accumulate(network, closed=closed)
    watercourses = watercourse_cells(network, drained_m2, watercourse_area_m2(site, terrain))
    return Ground(
        terrain=terrain,
        network=network,
        area=area,
        inside=inside,
        soil=soil,
        soil_class=soil_class,
        closed=closed,
        ponds=ponds,
        watercourses=watercourses,
        watercourse_lines=tuple(watercourse_lines(network, watercourses)),
        site_runoff_m3=float(site_water.received_m3[0]),
        notes=notes,
    )


def pour_past(
    network: FlowNetwork,
    stops: NDArray[np.int32],
    below: tuple[int, ...],
    *,
    depth_mm: float,
    soil: Soil,
    soil_class: NDArray[np.uint8] | None = None,
) -> tuple[NDArray[np.int32], Stores, Cascade]:
    """Pour a storm on hollows, and on stops that hold nothing and hand all on.

    Parameters
    ----------
    network : FlowNetwork
        The flow of the ground.
    stops : ndarray of int32, shape (rows, columns)
        k at the cells of stop k, 0 elsewhere.
    below : tuple of int
        Label of what each stop hands on to, 0 for off the tile.
    depth_mm : float
        Depth of the storm [mm].
    soil : Soil
        Losses by class.
    soil_class : ndarray of uint8, shape (rows, columns), optional
        Class of each cell; not given where there is one class.

    Returns
    -------
    labels : ndarray of int32, shape (rows, columns)
        First store that each cell's water meets, as `first_met` gives it.
    stores : Stores
        Stops, then hollows, with the ground that drains to each.
    cascade : Cascade
        What the storm does in them.

    Examples
    --------
    >>> stops = layout.drainage.stops
    >>> _, stores, cascade = pour_past(ground.network, stops, (2, 0), depth_mm=50.0, soil=ground.soil)
    >>> bool(cascade.received_m3[1] > cascade.received_m3[0])  # the upper line hands all on to the lower
    True
    """
    labels = first_met(network, stops, n_stops=len(below))
    stores = stores_of(labels, network, soil, soil_class, downstream=downstream_of(labels, network, below))
    capacity = np.concatenate([np.zeros(len(below)), network.hollows.volume_m3])
    return labels, stores, pass_down(stores, local_runoff_m3(stores, depth_mm, soil), capacity)


def downstream_of(
    labels: NDArray[np.int32], network: FlowNetwork, below: NDArray[np.int32] | tuple[int, ...]
) -> NDArray[np.int32]:
    """Store that the surplus of each stop, then of each hollow, goes to; -1 leaves the tile.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        First store that each cell's water meets: stops, then hollows, from 1.
    network : FlowNetwork
        The flow of the ground.
    below : ndarray of int32 or tuple of int
        Label of what each stop hands on to, 0 for off the tile.

    Returns
    -------
    ndarray of int32, shape (stores,)
        Places of the stores, from 0.

    Examples
    --------
    >>> downstream_of(layout.drainage.labels, ground.network, (2, 0))
    array([ 1, -1], dtype=int32)
    """
    return np.concatenate([below, labels.ravel()[network.hollows.spill_to]]).astype(np.int32) - np.int32(1)


def stores_of(
    labels: NDArray[np.int32],
    network: FlowNetwork,
    soil: Soil,
    soil_class: NDArray[np.uint8] | None,
    *,
    downstream: NDArray[np.int32],
) -> Stores:
    """Stops, then hollows, with the ground that drains to each; strips are empty.

    Parameters
    ----------
    labels : ndarray of int32, shape (rows, columns)
        First store that each cell's water meets: stops, then hollows, from 1.
    network : FlowNetwork
        The flow of the ground.
    soil : Soil
        Losses by class.
    soil_class : ndarray of uint8, shape (rows, columns), or None
        Class of each cell; None where there is one class.
    downstream : ndarray of int32, shape (stores,)
        As from `downstream_of`.

    Returns
    -------
    Stores
        Area of each soil class that drains to each [m²], and where its surplus goes.

    Examples
    --------
    >>> labels, below = layout.drainage.labels, layout.stores.downstream
    >>> stores = stores_of(labels, ground.network, ground.soil, None, downstream=below)
    >>> bool((stores.area_m2 == ground.stores(labels, below).area_m2).all())
    True
    """
    cells = label_cells(labels, n_labels=1 + downstream.size, classes=soil_class, n_classes=len(soil.losses))
    area_m2 = cells[1:].astype(np.float64) * network.grid.cell_area_m2
    return Stores(area_m2, np.zeros(downstream.size), downstream)


def _no_overlap(area: BaseGeometry, terrain: Terrain) -> str:
    def words(bounds: tuple[float, float, float, float]) -> str:
        west, south, east, north = bounds
        return f"{west:.0f} to {east:.0f} east and {south:.0f} to {north:.0f} north"

    return (
        f"the boundary ({words(area.bounds)}) holds no cell with a height of the tile "
        f"({words(terrain.grid.bounds)}, {terrain.grid.crs.name}); check the CRS of both files, and draw it larger"
    )


_LEAST_SHARE = 0.001


def _soil_zone_notes(
    zones: Sequence[SoilZone],
    own: Loss,
    *,
    area: BaseGeometry,
    inside: NDArray[np.bool_],
    soil_class: NDArray[np.uint8],
) -> tuple[str, ...]:
    """Share of the site without a zone and what counts there, and zones that lie wholly outside the site.

    Parameters
    ----------
    zones : sequence of SoilZone
        In the CRS of the area.
    own : Loss
        The brief's own, which counts where there is no zone.
    area : shapely geometry
        The site.
    inside : ndarray of bool, shape (rows, columns)
        Cells of the site that hold ground.
    soil_class : ndarray of uint8, shape (rows, columns)
        Zone of each cell, 0 for none.
    """
    notes = []
    open_share = float(np.mean(soil_class[inside] == 0))
    if open_share > _LEAST_SHARE:
        notes.append(
            f"no soil zone covers {100 * open_share:.1f} % of the site: there the brief's own soil counts, {own}"
        )
    outside = [str(number) for number, zone in enumerate(zones, start=1) if not zone.geometry.intersects(area)]
    if outside:
        named = f"zone {outside[0]} lies" if len(outside) == 1 else f"zones {first_few(outside)} lie"
        notes.append(f"soil {named} wholly outside the site")
    return tuple(notes)
