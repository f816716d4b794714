"""Where the house's water is cleaned, and what it adds to the planting."""

from collections.abc import Callable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.contours.polyline import chainages, points_at
from swalekit.design.brief.greywater_part import GreywaterPart
from swalekit.design.growth.drain_plan import with_drain
from swalekit.design.growth.garden import GardenBeds
from swalekit.design.growth.greywater import CleanedWater, Greywater
from swalekit.design.growth.growth import Conditions, SwaleGrowth
from swalekit.design.layout.kept_clear import kept_free
from swalekit.design.plan.design import Design
from swalekit.errors import BriefError, InputError
from swalekit.greywater.bed_places import BedPlaces, HouseOutlet, PlaceRules, bed_places
from swalekit.greywater.branched_drain import drain_practice
from swalekit.greywater.pipe_route import PipeRoute, pipe_route
from swalekit.greywater.reed_bed import BedRules, ReedBed, size_reed_bed
from swalekit.greywater.served_ground import bed_loss_m3_d, garden_m2, served_ground, wicking_factor
from swalekit.planting.weather.days import month_of
from swalekit.tables.crop_coefficients import mid_season_coefficient
from swalekit.tables.load import named_row
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain, cells_within

REEDS = "reed swamp, moist soil"
"""Row of the crop coefficients for the bed."""
_OUTLINE_STEP_M = 0.5
_FARTHEST_M = 10.0
"""Distance of a house's pipe above or below the ground at it that can be."""
_SMALL_SHARE = 0.2
"""Share of the house's water up to which an outlet, as of a hand basin, may have a basin of its own: our choice."""
_MUCH_MORE = 1.5
"""Ground that it must reach alone, over that of the bed, to have one: our choice."""
_INLET_M = 0.2
"""Depth at which a pipe comes to the bed: under its cover."""
_COLDEST_WATER_C, _WARMEST_WATER_C = 0.0, 40.0


@dataclass(frozen=True, eq=False)
class _Want:
    """The month in which a square metre of planted ground wants most that rain doesn't bring."""

    month: int
    reference_et_mm: float
    coefficient: float
    rain_mm: float


def plan_greywater(
    design: Design, shared: Conditions, swales: tuple[SwaleGrowth, ...], beds: GardenBeds | None = None
) -> Greywater | None:
    """The greywater of a site.

    Parameters
    ----------
    design : Design
        The swales; no bed stands on them, on keep-outs, by watercourses or in ways of overflow.
    shared : Conditions
        Weather, stand.
    swales : tuple of SwaleGrowth
        The planted ground that is to be served.
    beds : GardenBeds, optional
        Annual beds, which are to be served too, and on which no reed bed stands.

    Returns
    -------
    Greywater or None
        None where the brief names no people.

    Raises
    ------
    BriefError
        If the house can't be found.
    InputError
        If it lies off the tile.
    """
    part, terrain = design.site.brief.greywater, design.ground.terrain
    if part.people is None:
        return None
    household, outlets = part.household(part.people), _outlets(design, part.people)
    coldest = BedRules(_coldest_month_c(shared))
    largest = size_reed_bed(sum(outlet.flow_m3_d for outlet in outlets), coldest)
    works = shapely.union_all([swale.works for swale in design.swales])
    garden_ground = shapely.Polygon() if beds is None else beds.outlines
    open_ground = design.ground.inside & ~cells_within(terrain.grid, works)
    fit = open_ground & ~cells_within(
        terrain.grid, shapely.union_all([keep_out.zone for keep_out in kept_free(design.site, design.ground)])
    )
    fit_for_bed = open_ground & ~_unfit_for_a_bed(design, largest, garden_ground)
    garden = _planted_cells(terrain, swales, shared.chosen.tree_area_m2) | cells_within(terrain.grid, garden_ground)
    clear = fit_for_bed & ~cells_within(terrain.grid, shapely.union_all([zone for _, zone in water_clearances(design)]))
    find = partial(
        bed_places,
        terrain,
        garden=open_ground & garden,
        open_ground=fit,
        rules=PlaceRules(
            grade=part.grade,
            outlet_depth_m=largest.depth_m if part.kind == "reed bed" else drain_practice("outlet depth"),
            least_distance_m=part.least_distance_m,
            greatest_distance_m=part.greatest_distance_m,
        ),
    )
    passable = terrain.valid & ~cells_within(terrain.grid, works)
    ranked, shared_outlets = _ranked(find, outlets, ((clear, passable), (fit_for_bed, passable), (fit_for_bed, None)))
    led = tuple(shared_outlets[k] for k in ranked.places[0].led) if ranked.places else ()
    flow_m3_d = sum(outlet.flow_m3_d for outlet in led or outlets)
    bed = size_reed_bed(flow_m3_d, coldest)
    want = _greatest_want(shared)
    left_m3_d = max(flow_m3_d - bed_loss_m3_d(bed.area_m2, want.reference_et_mm, mid_season_coefficient(REEDS)), 0.0)
    places = tuple(
        CleanedWater(place, served_ground(terrain, place.xy, place.outlet_level_m, grade=part.grade, allowed=fit))
        for place in ranked.places
    )
    found = Greywater(
        household, outlets, led, ranked.reaches, bed, places, ranked.reason, None, want.month, 0.0, left_m3_d
    )
    if not places:
        return found
    if part.kind == "branched drain":
        found = with_drain(design, found, swales, shapely.union_all([zone for _, zone in water_clearances(design)]))
        if found.drain is None:
            return found
    taken = works.union(garden_ground) if not garden_ground.is_empty else works
    return replace(
        found,
        route=_route(design, found.house, places[0], part, (taken, works)),
        watered_m2=min(_watered_m2(left_m3_d, want, part), places[0].place.commanded_m2),
    )


def _ranked(
    find: Callable[..., BedPlaces],
    outlets: tuple[HouseOutlet, ...],
    grounds: Sequence[tuple[NDArray[np.bool_], NDArray[np.bool_] | None]],
) -> tuple[BedPlaces, tuple[HouseOutlet, ...]]:
    """Places on the first ground that has any, what every outlet reaches, and the outlets that share the bed.

    A small outlet that alone reaches much more ground than the bed it would share keeps to a basin of its own.
    """
    for allowed, passable in grounds:
        ranked = find(outlets, allowed=allowed, passable=passable)
        if ranked.places:
            break
    else:
        return ranked, outlets
    most_m3_d = _SMALL_SHARE * sum(outlet.flow_m3_d for outlet in outlets)
    served_m2 = ranked.places[0].commanded_m2
    sharing = tuple(
        reach.outlet
        for reach in ranked.reaches
        if reach.outlet.flow_m3_d > most_m3_d or reach.commanded_m2 < _MUCH_MORE * served_m2
    )
    if len(sharing) == len(outlets) or not sharing:
        return ranked, outlets
    fewer = find(sharing, allowed=allowed, passable=passable)
    return (replace(fewer, reaches=ranked.reaches), sharing) if fewer.places else (ranked, outlets)


def _outlets(design: Design, people: float) -> tuple[HouseOutlet, ...]:
    """Where the water leaves the house: the outlets of the brief, or one at the lowest point of the building's outline.

    Raises
    ------
    BriefError
        If there is no such building, or the level given for a pipe can't be one of this house.
    InputError
        If the house lies off the tile.
    """
    part = design.site.brief.greywater
    flows = part.outlet_flow_m3_d(people)
    if part.outlets:
        return tuple(
            _outlet(design, outlet.name, flows[outlet.name], outlet.xy, outlet.level_m, outlet.height_m or 0.0)
            for outlet in part.outlets
        )
    return (_outlet(design, "", flows[""], None, part.outlet_level_m, -part.outlet_depth_m),)


def _outlet(
    design: Design,
    name: str,
    flow_m3_d: float,
    own_xy: tuple[float, float] | None,
    level_m: float | None,
    height_m: float,
) -> HouseOutlet:
    """An outlet at its place, or at the lowest point of the house's outline."""
    part, terrain = design.site.brief.greywater, design.ground.terrain
    given_xy = part.house_xy if own_xy is None else own_xy
    xy = np.array([given_xy]) if given_xy is not None else _outline(house_building(design))
    heights = sample_heights(terrain, *xy.T)
    if np.isnan(heights).all():
        message = (
            f"the house at {xy[0][0]:.1f}, {xy[0][1]:.1f} lies off the ground of the tile; give its place in the "
            "tile's CRS"
        )
        raise InputError(message)
    lowest = int(np.nanargmin(heights))
    ground_m = float(heights[lowest])
    if level_m is not None and abs(level_m - ground_m) > _FARTHEST_M:
        key = f"outlet '{name}' has level_m" if name else "outlet_level_m is"
        message = (
            f"[greywater] {key} {level_m:g} and the lowest ground at the house lies at {ground_m:.2f} m; "
            f"give the level of the pipe where it leaves the house, within {_FARTHEST_M:g} m of that"
        )
        raise BriefError(message)
    at = (float(xy[lowest][0]), float(xy[lowest][1]))
    return HouseOutlet(at, ground_m + height_m if level_m is None else level_m, name, flow_m3_d)


def _planted_cells(terrain: Terrain, swales: tuple[SwaleGrowth, ...], tree_area_m2: float) -> NDArray[np.bool_]:
    """Cells within half a tree's spacing of a tree or pioneer."""
    places = [
        xy for swale in swales for xy, row in zip(swale.planting.xy, swale.planting.row, strict=True) if row != "berm"
    ]
    if not places:
        return np.zeros(terrain.grid.shape, np.bool_)
    rooted = shapely.union_all(shapely.buffer(shapely.points(np.array(places)), 0.5 * tree_area_m2**0.5))
    return cells_within(terrain.grid, rooted)


def water_near_bed(design: Design, greywater: Greywater) -> str:
    """Wells and watercourses that the best place stands nearer to than codes ask for, in words; '' where none.

    Parameters
    ----------
    design : Design
        Wells and watercourses.
    greywater : Greywater
        With a place at least.

    Returns
    -------
    str
        Distance and thing.

    Examples
    --------
    >>> water_near_bed(design, growth.greywater)
    ''
    """
    bed = shapely.Point(greywater.places[0].place.xy)
    near = dict.fromkeys(name for name, zone in water_clearances(design) if zone.contains(bed))
    return " and ".join(f"within {_clearance_m(name):g} m of a {name}" for name in near)


def water_clearances(design: Design) -> list[tuple[str, BaseGeometry]]:
    """Ground by wells, springs and watercourses on which codes want no greywater.

    Parameters
    ----------
    design : Design
        Wells, springs and watercourses.

    Returns
    -------
    list of (str, shapely geometry)
        What it is kept off, and the ground round it.

    Examples
    --------
    >>> water_clearances(design)
    []
    """
    kept = design.site.keep_outs
    drunk = [(keep_out.kind, keep_out.geometry) for keep_out in kept if keep_out.kind in ("well", "spring")]
    courses = [("stream or lake", way) for way in design.ground.watercourse_ways]
    return [(name, shape.buffer(_clearance_m(name))) for name, shape in (*drunk, *courses)]


def _clearance_m(name: str) -> float:
    return named_row("greywater_practice", practice=name).value


def bed_outline(terrain: Terrain, place: CleanedWater, bed: ReedBed) -> shapely.Polygon:
    """Draw the outline of a bed on its place, its length along the contour.

    Parameters
    ----------
    terrain : Terrain
        The ground.
    place : CleanedWater
        Where the bed stands.
    bed : ReedBed
        Its length and width.

    Returns
    -------
    shapely Polygon
        In the CRS of the terrain.

    Examples
    --------
    >>> bed = growth.greywater.bed
    >>> outline = bed_outline(terrain, growth.greywater.places[0], bed)
    >>> round(outline.area / (bed.length_m * bed.width_m), 6)
    1.0
    """
    x, y = place.place.xy
    reach_m = max(2.0 * terrain.grid.cell_m, 0.5 * bed.length_m)
    around = np.array([(x - reach_m, y), (x + reach_m, y), (x, y - reach_m), (x, y + reach_m)])
    west, east, south, north = np.nan_to_num(sample_heights(terrain, *around.T), nan=place.place.ground_m)
    along = np.arctan2(north - south, east - west) + 0.5 * np.pi
    box = shapely.box(x - 0.5 * bed.length_m, y - 0.5 * bed.width_m, x + 0.5 * bed.length_m, y + 0.5 * bed.width_m)
    return shapely.affinity.rotate(box, along, origin=(x, y), use_radians=True)


def house_building(design: Design) -> BaseGeometry:
    """The building among the keep-outs that is the house: the one that the brief names, else the first.

    Parameters
    ----------
    design : Design
        Brief and keep-outs.

    Returns
    -------
    shapely geometry
        In the CRS of the terrain.

    Raises
    ------
    BriefError
        If there is none.

    Examples
    --------
    >>> house_building(design).area
    48.0
    """
    part = design.site.brief.greywater
    buildings = [keep_out for keep_out in design.site.keep_outs if keep_out.kind == "building"]
    found = [building for building in buildings if part.house in (None, building.name)]
    if not found:
        names = ", ".join(f"'{building.name}'" for building in buildings) or "none"
        asked = "a building" if part.house is None else f"the building '{part.house}'"
        message = f"[greywater] needs {asked} among the keep-outs; there are {names}; name one, or give house_xy"
        raise BriefError(message)
    return found[0].geometry


def _outline(building: BaseGeometry) -> NDArray[np.float64]:
    """Points round a building, or the point that it is."""
    xy: NDArray[np.float64] = shapely.get_coordinates(building.convex_hull)
    if len(xy) < 3:
        return xy
    length = float(chainages(xy)[-1])
    return points_at(xy, np.arange(0.0, length, _OUTLINE_STEP_M))


def _unfit_for_a_bed(design: Design, bed: ReedBed, garden: BaseGeometry) -> NDArray[np.bool_]:
    """Cells on which no reed bed may stand: annual beds, keep-outs, ways of water, and half a bed round them."""
    site, ground, half_m = design.site, design.ground, 0.5 * bed.length_m
    taken = [keep_out.zone for keep_out in kept_free(site, ground)]
    taken += ground.watercourse_ways
    taken += [shapely.LineString(swale.sill.path) for swale in design.swales if len(swale.sill.path) > 1]
    taken += [*(swale.works for swale in design.swales), garden]
    area = shapely.union_all([shape.buffer(half_m) for shape in taken])
    return np.asarray(cells_within(ground.terrain.grid, area) | ground.ponds)


def _route(
    design: Design, house: HouseOutlet, chosen: CleanedWater, part: GreywaterPart, taken: Sequence[BaseGeometry]
) -> PipeRoute:
    """Pipe to the bed, round beds and ditches where there is a way, else round ditches, else through them."""
    terrain, arrive_m = design.ground.terrain, chosen.place.ground_m - _INLET_M
    lay = partial(
        pipe_route,
        terrain,
        house.xy,
        chosen.place.xy,
        start_level_m=house.level_m,
        grade=part.grade,
        arrive_m=arrive_m,
    )
    for ground in taken:
        try:
            route = lay(allowed=terrain.valid & ~cells_within(terrain.grid, ground))
        except InputError:
            continue
        if route.invert_m[-1] >= arrive_m - 1e-6:
            return route
    return lay()


def _coldest_month_c(shared: Conditions) -> float:
    weather = shared.weather
    month = month_of(weather.dates)
    means = [float(weather.tmean_c[month == number].mean()) for number in np.unique(month)]
    return min(max(min(means), _COLDEST_WATER_C), _WARMEST_WATER_C)


def _greatest_want(shared: Conditions) -> _Want:
    """The month of the greatest want."""
    month = month_of(shared.weather.dates)
    wants = []
    for number in np.unique(month):
        days = month == number
        et, rain = float(shared.reference.et_mm[days].mean()), float(shared.weather.rain_mm[days].mean())
        wants.append(_Want(int(number), et, float(shared.stand.kcb[days].mean()), rain))
    return max(wants, key=lambda want: want.reference_et_mm * want.coefficient - want.rain_mm)


def _watered_m2(left_m3_d: float, want: _Want, part: GreywaterPart) -> float:
    if left_m3_d <= 0.0:
        return 0.0
    factor = wicking_factor() if part.wicking_beds else 1.0
    return garden_m2(left_m3_d, want.reference_et_mm, want.coefficient, rain_mm=want.rain_mm, factor=factor)
