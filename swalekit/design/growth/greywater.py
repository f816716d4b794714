"""What becomes of the house's water: where its bed may stand, what that gives, and what its pipe crosses."""

from dataclasses import dataclass

import numpy as np
import shapely

from swalekit._one_line import one_line
from swalekit.contours.polyline import chainages
from swalekit.design.plan.design import Design
from swalekit.greywater.bed_places import BedPlace, HouseOutlet, OutletReach
from swalekit.greywater.branched_drain import BranchedDrain
from swalekit.greywater.household_flow import Household
from swalekit.greywater.pipe_route import PipeRoute
from swalekit.greywater.reed_bed import ReedBed
from swalekit.greywater.served_ground import ServedGround


@one_line("place", "served.area_m2")
@dataclass(frozen=True, eq=False)
class CleanedWater:
    """A place for the reed bed, and what it gives.

    Parameters
    ----------
    place : BedPlace
        Where the bed stands.
    served : ServedGround
        Ground of the site that it serves by gravity, ditches and keep-outs left out.
    """

    place: BedPlace
    served: ServedGround


@one_line("flow_m3_d", "bed.area_m2", "watered_m2", "reason")
@dataclass(frozen=True, eq=False)
class Greywater:
    """What the house's water gives, and where.

    Parameters
    ----------
    household : Household
        People and fixtures.
    outlets : tuple of HouseOutlet
        Where the water leaves the house.
    led : tuple of HouseOutlet
        Those whose water is led to the bed.
    reaches : tuple of OutletReach
        What each outlet reaches alone.
    bed : ReedBed
        The bed, sized for the coldest month.
    places : tuple of CleanedWater
        Where it may stand, the place that commands most first; none where gravity serves nothing.
    reason : str
        Why there is none, '' if there is one.
    route : PipeRoute or None
        Pipe from house to the first place.
    month : int
        Month in which the trees want most, 1 to 12.
    watered_m2 : float
        Planted ground whose want the water meets in that month, no more than is commanded [m²].
    left_m3_d : float
        Water behind the bed in that month, less what its reeds use [m³/d].
    drain : BranchedDrain or None
        The branched drain from the first place, in place of the bed; None for a bed.
    basin_trees : tuple of str
        Swale and species of the tree of each of its basins.
    """

    household: Household
    outlets: tuple[HouseOutlet, ...]
    led: tuple[HouseOutlet, ...]
    reaches: tuple[OutletReach, ...]
    bed: ReedBed
    places: tuple[CleanedWater, ...]
    reason: str
    route: PipeRoute | None
    month: int
    watered_m2: float
    left_m3_d: float
    drain: BranchedDrain | None = None
    basin_trees: tuple[str, ...] = ()

    @property
    def house(self) -> HouseOutlet:
        """The lowest of the outlets that are led to the bed, or of all where none is: where its pipe begins."""
        return min(self.led or self.outlets, key=lambda outlet: outlet.level_m)

    @property
    def flow_m3_d(self) -> float:
        """Water that comes to the bed a day; all of the house where there is no place for it [m³/d]."""
        return sum(outlet.flow_m3_d for outlet in self.led or self.outlets)


def swales_crossed(design: Design, greywater: Greywater) -> list[str]:
    """Swales whose ditch the pipe to the bed crosses above its floor.

    Parameters
    ----------
    design : Design
        The swales.
    greywater : Greywater
        The bed and its pipe.

    Returns
    -------
    list of str
        Numbers of the swales; none without a pipe.

    Examples
    --------
    >>> swales_crossed(design, growth.greywater)
    []
    """
    route = greywater.route
    if route is None or len(route.xy) < 2:
        return []
    pipe, walked = shapely.LineString(route.xy), chainages(route.xy)
    crossed = []
    for swale in design.swales:
        met = pipe.intersection(shapely.LineString(swale.line.path))
        points = shapely.get_coordinates(met)
        inverts_m = [float(np.interp(pipe.project(shapely.Point(xy)), walked, route.invert_m)) for xy in points]
        if inverts_m and max(inverts_m) > swale.sized.shape.floor_level_m:
            crossed.append(swale.id)
    return crossed


def things_crossed(design: Design, greywater: Greywater) -> list[str]:
    """Roads, utilities and other keep-outs that the pipe crosses, and watercourses; not the house it comes from.

    Parameters
    ----------
    design : Design
        The site with its keep-outs and watercourses.
    greywater : Greywater
        The bed and its pipe.

    Returns
    -------
    list of str
        Kind and name of each; none without a pipe.

    Examples
    --------
    >>> things_crossed(design, growth.greywater)
    []
    """
    route = greywater.route
    if route is None or len(route.xy) < 2:
        return []
    pipe, outlet = shapely.LineString(route.xy), shapely.Point(greywater.house.xy)
    crossed = [
        f"{keep_out.kind} '{keep_out.name}'" if keep_out.name else keep_out.kind
        for keep_out in design.site.keep_outs
        if pipe.intersects(keep_out.geometry)
        and not (keep_out.kind == "building" and outlet.distance(keep_out.geometry) < 1.0)
    ]
    if any(pipe.intersects(way) for way in design.ground.watercourse_ways):
        crossed.append("a watercourse")
    return crossed


def serves_across_watercourse(design: Design, greywater: Greywater) -> bool:
    """Tell whether a watercourse runs through the ground that the first place serves.

    Parameters
    ----------
    design : Design
        The ground.
    greywater : Greywater
        The places.

    Returns
    -------
    bool
        False without a place.

    Examples
    --------
    >>> serves_across_watercourse(design, growth.greywater)
    False
    """
    if not greywater.places:
        return False
    grid, served = design.ground.terrain.grid, greywater.places[0].served.cells
    for xy in design.ground.watercourse_lines:
        row, column = (np.floor(axis + 0.5).astype(np.intp) for axis in grid.rows_columns(*np.asarray(xy).T))
        on = (row >= 0) & (row < grid.shape[0]) & (column >= 0) & (column < grid.shape[1])
        if served[row[on], column[on]].any():
            return True
    return False
