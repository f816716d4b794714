"""A site looked at before any line is laid: slopes, sun, water, and what its ground suits."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import Transformer
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.levels import SPACING_CELL_M
from swalekit.design.appraisal.ground_classes import (
    GROUND_CLASSES,
    GroundClass,
    GroundFacts,
    Limits,
    classify,
    roughness,
)
from swalekit.design.appraisal.noon_sun import noon_sun
from swalekit.design.brief.line_rules import line_rules_of
from swalekit.design.brief.settings import soil_of, storm_of
from swalekit.design.brief.site import WGS84, Site
from swalekit.design.layout.ground import Ground, pour_past
from swalekit.design.layout.lines import workable_area
from swalekit.errors import GeometryError
from swalekit.flow.hollow_ponds import pond_labels, pond_level_m
from swalekit.frozen import Frozen
from swalekit.terrain.coarsen import coarsen
from swalekit.terrain.slope import gradient
from swalekit.terrain.terrain import Terrain, cells_within

SLOPE_BREAKS = (0.01, 0.05, 0.10, 0.15, 0.35)
"""Edges of the classes of slope that are told [m/m]: our choice, with the limits of what ground suits among them."""
SUNNY, SHADED = 1.15, 0.85
"""Winter sun over that on level ground from which ground is called sunny, and to which shaded: our choice."""
QUARTERS = ("north", "east", "south", "west")
WIDEST_FOR_ROUGHNESS_M = 5.0
"""On wider cells rough ground can't be told from hills: our choice, a third of the window it is looked for in."""
_LEVEL_SLOPE = 0.01
_POLAR_DEG = 66.0
_LEAST_POND_M2 = 10.0


@one_line("use", "name", "area_m2")
@dataclass(frozen=True)
class ClassArea:
    """Ground of one kind.

    Parameters
    ----------
    kind : GroundClass
        Which.
    reason : str
        Why it suits what it suits, with the limits.
    area_m2 : float
        Area [m²].
    """

    kind: GroundClass
    reason: str
    area_m2: float

    @property
    def use(self) -> str:
        """What it suits."""
        return self.kind.use

    @property
    def name(self) -> str:
        """In a few words."""
        return self.kind.name


@one_line("name", "depth_m", "full_m3")
@dataclass(frozen=True)
class HollowPond:
    """What stands in a hollow.

    Parameters
    ----------
    name : str
        As on the map.
    xy : tuple of float
        Its deepest place [m].
    depth_m, full_m3 : float
        Depth and water when it is full [m], [m³].
    area_m2, held_m3 : tuple of float
        Area and water at the end of the design storm and of the check storm [m²], [m³].
    """

    name: str
    xy: tuple[float, float]
    depth_m: float
    full_m3: float
    area_m2: tuple[float, float]
    held_m3: tuple[float, float]


@one_line("area_m2", "slope_quartiles", "classes", "ponds")
@dataclass(frozen=True, eq=False)
class Appraisal(Frozen):
    """A first look at a site.

    Parameters
    ----------
    ground : Ground
        The ground, with its watercourses and ponds.
    terrain : Terrain
        The same on the cells of about 3 m on which all is judged.
    limits : Limits
        Where one kind of ground ends and the next begins.
    latitude_deg : float
        Of the middle of the tile, south negative.
    inside : ndarray of bool, shape (rows, columns)
        Cells of the site.
    number : ndarray of uint8, shape (rows, columns)
        Kind of ground by its number, 0 beyond the site.
    slope : ndarray of float32, shape (rows, columns)
        Slope [m/m]; NaN where void.
    facing : ndarray of float32, shape (rows, columns)
        Way that the ground falls, clockwise from north [rad]; NaN where void.
    sun : ndarray of float32, shape (rows, columns), or None
        Noon sun of the shortest day over that on level ground; None beyond the polar circles.
    area_m2 : float
        The site, to its boundary [m²].
    off_tile_m2 : float
        The part of it that lies beyond the tile [m²].
    kept_clear, beside_water : shapely geometry
        Of the site what keep-outs and the boundary's setback take, and the strip along watercourses.
    ponds : tuple of HollowPond
        Hollows of the site in which water stands, the largest first.
    """

    ground: Ground
    terrain: Terrain
    limits: Limits
    latitude_deg: float
    inside: NDArray[np.bool_]
    number: NDArray[np.uint8]
    slope: NDArray[np.float32]
    facing: NDArray[np.float32]
    sun: NDArray[np.float32] | None
    area_m2: float
    off_tile_m2: float
    kept_clear: BaseGeometry
    beside_water: BaseGeometry
    ponds: tuple[HollowPond, ...]

    @property
    def _known(self) -> NDArray[np.bool_]:
        return self.inside & np.isfinite(self.slope)

    @cached_property
    def watercourses_m(self) -> float:
        """Length of watercourses within the site [m]."""
        return float(sum(way.intersection(self.ground.area).length for way in self.ground.watercourse_ways))

    @cached_property
    def slope_quartiles(self) -> tuple[float, float, float]:
        """Lower quartile, median and upper quartile of the slopes [m/m]; 0 where no ground is known."""
        known = self.slope[self._known].astype(np.float64)
        low, middle, high = np.quantile(known, [0.25, 0.5, 0.75]).tolist() if known.size else (0.0, 0.0, 0.0)
        return low, middle, high

    @cached_property
    def classes(self) -> tuple[ClassArea, ...]:
        """Kinds of ground that occur, in the order of `GROUND_CLASSES`; their areas make up that of the site."""
        counts = np.bincount(self.number[self.inside], minlength=len(GROUND_CLASSES) + 1)
        cell_m2 = (self.area_m2 - self.off_tile_m2) / max(int(counts[1:].sum()), 1)
        areas = {kind: float(counts[kind.number]) * cell_m2 for kind in GROUND_CLASSES}
        areas[GROUND_CLASSES[-1]] += self.off_tile_m2
        return tuple(
            ClassArea(kind, self.limits.reason(kind), area_m2) for kind, area_m2 in areas.items() if area_m2 > 0.0
        )

    def use_m2(self, use: str) -> float:
        """Ground that suits a use.

        Parameters
        ----------
        use : str
            ``level swales``, ``microcatchments`` or ``nothing``.

        Returns
        -------
        float
            Area [m²].
        """
        return sum(row.area_m2 for row in self.classes if row.use == use)

    @cached_property
    def slope_shares(self) -> tuple[float, ...]:
        """Share of the site's known ground in each class between `SLOPE_BREAKS`, from the gentlest."""
        return _shares(np.digitize(self.slope[self._known], SLOPE_BREAKS), len(SLOPE_BREAKS) + 1)

    @cached_property
    def facing_shares(self) -> tuple[float, ...]:
        """Share of the known ground that falls to each of `QUARTERS`, then of that which is all but level."""
        facing, level = self.facing[self._known], self.slope[self._known] < _LEVEL_SLOPE
        quarter = np.floor(facing / (np.pi / 2.0) + 0.5).astype(int) % 4
        return _shares(np.where(level, 4, quarter), 5)

    @cached_property
    def sun_shares(self) -> tuple[float, ...]:
        """Share of the known ground that is shaded, as level, and sunny at a winter noon; () in the polar night."""
        return () if self.sun is None else _shares(np.digitize(self.sun[self._known], (SHADED, SUNNY)), 3)


def appraise(site: Site, ground: Ground, *, rain_year_mm: float | None = None) -> Appraisal:
    """Look at a site before any line is laid.

    Parameters
    ----------
    site : Site
        The site; of its brief the storm, the soil and the rules for lines count.
    ground : Ground
        From `study_ground`.
    rain_year_mm : float, optional
        Rain of an average year; without it no ground is called dry [mm].

    Returns
    -------
    Appraisal
        Slopes, sun, water, and what the ground suits.

    Raises
    ------
    GeometryError
        If the site holds no cell of 3 m.

    Notes
    -----
    All is judged on ground averaged to cells of about 3 m, as spacing is. Areas are shares of such cells times the area
    within the boundary, so that they make up the site.

    Examples
    --------
    A plane of 10 % that falls southward, without a boundary:

    >>> found = appraise(site, ground)
    >>> round(found.slope_quartiles[1], 3), [row.name for row in found.classes]
    (0.1, ['workable slope', 'kept clear'])
    """
    site, terrain = site.in_crs(ground.terrain.grid.crs), ground.terrain
    factor = max(1, round(SPACING_CELL_M / terrain.grid.cell_m))
    coarse = coarsen(terrain, factor)
    inside = cells_within(coarse.grid, ground.area) & (coarse.valid | ~_cut_off(terrain, coarse, factor))
    if not inside.any():
        message = (
            f"the site is too narrow to be looked at: none of the ground's cells of {coarse.grid.cell_m:g} m has its "
            "middle in it; give a larger boundary"
        )
        raise GeometryError(message)
    rules = line_rules_of(site, terrain)
    limits = Limits.published(
        least_slope=rules.least_slope,
        greatest_slope=rules.greatest_slope,
        watercourse_gap_m=rules.watercourse_gap_m,
        rain_year_mm=rain_year_mm,
    )
    dz_dx, dz_dy = gradient(coarse.heights, coarse.grid.cell_m)
    slope = np.asarray(np.hypot(dz_dx, dz_dy), np.float32)
    latitude_deg, rough_told = _latitude_deg(terrain), coarse.grid.cell_m <= WIDEST_FOR_ROUGHNESS_M
    kept_clear, beside_water = _kept_clear(site, ground), _strip(ground, limits.watercourse_gap_m)
    facts = GroundFacts(
        slope,
        roughness(coarse.heights, coarse.grid.cell_m) if rough_told else np.zeros_like(slope),
        cells_within(coarse.grid, beside_water),
        _ponded(ground, coarse),
        cells_within(coarse.grid, kept_clear),
    )
    return Appraisal(
        ground=ground,
        terrain=coarse,
        limits=limits,
        latitude_deg=latitude_deg,
        inside=inside,
        number=classify(facts, inside, limits),
        slope=slope,
        facing=np.asarray(np.arctan2(-dz_dx, -dz_dy) % (2.0 * np.pi), np.float32),
        sun=noon_sun(dz_dx, dz_dy, latitude_deg=latitude_deg) if abs(latitude_deg) < _POLAR_DEG else None,
        area_m2=float(ground.area.area),
        off_tile_m2=float(ground.area.difference(shapely.box(*terrain.grid.bounds)).area),
        kept_clear=kept_clear,
        beside_water=beside_water,
        ponds=_ponds(site, ground),
    )


def _cut_off(terrain: Terrain, coarse: Terrain, factor: int) -> NDArray[np.bool_]:
    """Cells of which a part lies beyond the tile's southern or eastern edge."""
    cut = np.zeros(coarse.grid.shape, np.bool_)
    rows, columns = (cells % factor > 0 for cells in terrain.grid.shape)
    cut[-1, :] |= rows
    cut[:, -1] |= columns
    return cut


def _shares(classes: NDArray[np.integer], count: int) -> tuple[float, ...]:
    return tuple((np.bincount(classes.ravel(), minlength=count) / max(classes.size, 1)).tolist())


def _latitude_deg(terrain: Terrain) -> float:
    west, south, east, north = terrain.grid.bounds
    to_globe = Transformer.from_crs(terrain.grid.crs, WGS84, always_xy=True)
    return float(to_globe.transform((west + east) / 2.0, (south + north) / 2.0)[1])


def _strip(ground: Ground, gap_m: float) -> BaseGeometry:
    """Watercourses with the ground beside them, within the site."""
    ways = shapely.union_all([shapely.buffer(way, max(gap_m, 0.1)) for way in ground.watercourse_ways])
    return shapely.intersection(ways, ground.area)


def _kept_clear(site: Site, ground: Ground) -> BaseGeometry:
    """Keep-outs with their setbacks, and the strip within the boundary."""
    zones = shapely.union_all([keep_out.zone for keep_out in site.keep_outs])
    return shapely.union(shapely.intersection(zones, ground.area), ground.area.difference(workable_area(site, ground)))


def _ponded(ground: Ground, coarse: Terrain) -> NDArray[np.bool_]:
    """Cells half of which or more stand under water at the end of the design storm."""
    factor = round(coarse.grid.cell_m / ground.terrain.grid.cell_m)
    rows, columns = coarse.grid.shape
    under = np.zeros((rows * factor, columns * factor), np.bool_)
    under[: ground.ponds.shape[0], : ground.ponds.shape[1]] = ground.ponds
    share: NDArray[np.bool_] = under.reshape(rows, factor, columns, factor).mean(axis=(1, 3)) >= 0.5
    return share


def _ponds(site: Site, ground: Ground) -> tuple[HollowPond, ...]:
    """Hollows of the site in which the check storm leaves water."""
    network, terrain, storm = ground.network, ground.terrain, storm_of(site)
    hollows, soil = network.hollows, soil_of(site)
    held, areas = [], []
    for depth_mm in (storm.depth_mm, storm.check_depth_mm):
        stops: NDArray[np.int32] = terrain.grid.zeros(np.int32)
        poured = pour_past(network, stops, (), depth_mm=depth_mm, soil=soil, soil_class=ground.soil_class)[2]
        labels = pond_labels(network, terrain, pond_level_m(network, terrain, poured.held_m3))
        held.append(poured.held_m3)
        areas.append(np.bincount(labels.ravel(), minlength=len(hollows) + 1)[1:] * terrain.grid.cell_area_m2)
    within = ground.inside.ravel()[hollows.pit]
    seen = [h for h in np.argsort(-held[1], kind="stable") if within[h] and areas[1][h] >= _LEAST_POND_M2]
    x_m, y_m = terrain.grid.centres(*np.divmod(hollows.pit, terrain.grid.shape[1]))
    return tuple(
        HollowPond(
            f"P{place}",
            (float(x_m[h]), float(y_m[h])),
            float(hollows.depth_m[h]),
            float(hollows.pond_m3[h]),
            (float(areas[0][h]), float(areas[1][h])),
            (float(held[0][h]), float(held[1][h])),
        )
        for place, h in enumerate(seen, start=1)
    )
