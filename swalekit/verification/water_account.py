"""The water of a storm by swale and site, poured over the ground as built: nothing in it comes from the sizing."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit._checks import check_not_negative, check_same_shape
from swalekit._one_line import one_line
from swalekit.earthwork.built_ground import BuiltGround
from swalekit.flow.pour import Pour, basin_sums, pour_onto
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import GREATEST_STORM_MM
from swalekit.kernels.earthwork_surface import SILL
from swalekit.section.laid_swale import LaidSwale
from swalekit.verification.swale_ponds import SwalePonds, swale_ponds

_STEPS_PER_MM = 10
_NOTHING_M3 = 1e-6
_BESIDE_SILL_CELLS = 2


@one_line("id", "storage_m3", "catchment_m2", "arriving_m3", "spilled_m3", "held_storm_mm")
@dataclass(frozen=True)
class SwaleWater:
    """What a swale holds and does on the ground as built.

    Parameters
    ----------
    id : str
        Name of the swale.
    storage_m3 : float
        Volume of its ponds at their spill levels; 0 where it holds nothing [m³].
    first_spill_level_m : float or None
        Level at which water first leaves it [m].
    first_spill_xy : tuple of float or None
        Where [m].
    on_sill : bool
        Whether that is on its sill.
    spills_to : int
        Store that this water meets first: number of a swale, 0 off the tile, -1 a hollow of the ground.
    catchment_m2, strip_m2 : float
        Ground that drains to it, its own works left out, without what others spill; and its works that do [m²].
    arriving_m3, held_m3, spilled_m3 : float
        Water of the storm that reaches it, overflow of others included, stays, and leaves it [m³].
    held_storm_mm : float
        Deepest storm of which none leaves it, all stores above it acting, to 0.1 mm and at most
        `swalekit.hydrology.routing.cascade.GREATEST_STORM_MM`; 0 where it has no pond [mm].
    """

    id: str
    storage_m3: float
    first_spill_level_m: float | None
    first_spill_xy: tuple[float, float] | None
    on_sill: bool
    spills_to: int
    catchment_m2: float
    strip_m2: float
    arriving_m3: float
    held_m3: float
    spilled_m3: float
    held_storm_mm: float


@one_line("depth_mm", "rain_m3", "soaked_m3", "swales_m3", "hollows_m3", "left_m3")
@dataclass(frozen=True, eq=False)
class WaterAccount(Frozen):
    """Where the water of a storm is once it has run: rain = soaked in + held + gone.

    Parameters
    ----------
    depth_mm : float
        The storm [mm].
    swales : tuple of SwaleWater
        Each swale.
    pour : Pour
        Where the runoff stands.
    rain_m3, soaked_m3 : float
        Rain on the known ground, and what of it the soil takes in where it falls [m³].
    swales_m3, hollows_m3, left_m3 : float
        Runoff that stands in swales, that stands elsewhere, and that left the tile [m³].
    """

    depth_mm: float
    swales: tuple[SwaleWater, ...]
    pour: Pour
    rain_m3: float
    soaked_m3: float
    swales_m3: float
    hollows_m3: float
    left_m3: float

    @property
    def residual_m3(self) -> float:
        """Rain that is accounted for nowhere: the rounding of sums [m³]."""
        return self.rain_m3 - self.soaked_m3 - self.swales_m3 - self.hollows_m3 - self.left_m3


def account_water(
    built: BuiltGround,
    swales: Sequence[LaidSwale],
    soil: Soil,
    *,
    depth_mm: float,
    soil_class: NDArray[np.uint8] | None = None,
    noise_depth_m: float = 0.0,
) -> WaterAccount:
    """Pour a storm over the ground as built, and say where its water is.

    Parameters
    ----------
    built : BuiltGround
        The ground as built.
    swales : sequence of LaidSwale
        The swales that it was built with, in their order.
    soil : Soil
        Losses by class.
    depth_mm : float
        The storm [mm].
    soil_class : ndarray of uint8, shape (rows, columns), optional
        Class of the soil of each cell.
    noise_depth_m : float
        Hollows of the ground that are shallower are taken for noise: they hold nothing [m].

    Returns
    -------
    WaterAccount
        By swale and for the tile.

    Raises
    ------
    InputError
        If the storm is negative, or the classes have another shape than the grid.

    Notes
    -----
    The pond of a swale is what holds some of its ditch and none of another's, and spills no higher than 1 cm above its
    crest. All rain on those of its works that drain to it is runoff; elsewhere runoff is what the soil leaves of the
    storm. Storage, spill levels, catchments and the held storm come from heights of cells alone.

    Examples
    --------
    >>> laid = [LaidSwale(swale.id, number, swale.line, swale.sized.shape, swale.sill.chainage_m, swale.sill.length_m)
    ...         for number, swale in enumerate(design.swales, start=1)]
    >>> account = account_water(design.surface, laid, design.ground.soil, depth_mm=40.0)
    >>> [swale.on_sill for swale in account.swales], abs(account.residual_m3) < 1e-6
    ([True, True], True)
    """
    crests_m = np.array([swale.shape.crest_level_m for swale in swales])
    ponds = swale_ponds(built, crests_m, noise_depth_m=noise_depth_m)
    (account,) = account_storms(built, swales, ponds, soil, depths_mm=(depth_mm,), soil_class=soil_class)
    return account


def account_storms(
    built: BuiltGround,
    swales: Sequence[LaidSwale],
    ponds: SwalePonds,
    soil: Soil,
    *,
    depths_mm: Sequence[float],
    soil_class: NDArray[np.uint8] | None = None,
) -> tuple[WaterAccount, ...]:
    """Pour storms over the ground as built whose ponds are known, as `account_water`.

    Parameters
    ----------
    built : BuiltGround
        The ground as built.
    swales : sequence of LaidSwale
        The swales that it was built with, in their order.
    ponds : SwalePonds
        Their ponds.
    soil : Soil
        Losses by class.
    depths_mm : sequence of float
        The storms [mm].
    soil_class : ndarray of uint8, shape (rows, columns), optional
        Class of the soil of each cell.

    Returns
    -------
    tuple of WaterAccount
        One a storm.

    Raises
    ------
    InputError
        If a storm is negative, or the classes have another shape than the grid.

    Examples
    --------
    >>> laid = [LaidSwale(swale.id, number, swale.line, swale.sized.shape, swale.sill.chainage_m, swale.sill.length_m)
    ...         for number, swale in enumerate(design.swales, start=1)]
    >>> ponds = swale_ponds(design.surface, np.array([swale.shape.crest_level_m for swale in laid]))
    >>> little, much = account_storms(design.surface, laid, ponds, design.ground.soil, depths_mm=(20.0, 80.0))
    >>> little.left_m3 < much.left_m3
    True
    """
    storm = _Storm(ponds, soil, _areas_m2(ponds, built, soil, soil_class), len(swales))
    ground_m2, strip_m2 = storm.ground_and_strip_m2()
    held_storm_mm, of_top = storm.held_storm_mm(), ponds.owner[ponds.tops]
    storage_m3 = np.bincount(of_top, ponds.surface.volume_m3[ponds.tops], minlength=len(swales) + 1)[1:]
    spills = [_first_spill(ponds, built, swale, number) for number, swale in enumerate(swales, start=1)]
    areas_m2, told = storm.areas_m2.sum(axis=0), []
    for depth_mm in depths_mm:
        check_not_negative(depth_mm=depth_mm)
        pour = storm.pour(depth_mm)
        held_m3, spilled_m3 = storm.held_m3(pour), storm.spilled_m3(pour)
        waters = tuple(
            SwaleWater(
                id=swale.id,
                storage_m3=float(storage_m3[k]),
                **spills[k],
                catchment_m2=float(ground_m2[k]),
                strip_m2=float(strip_m2[k]),
                arriving_m3=float(held_m3[k] + spilled_m3[k]),
                held_m3=float(held_m3[k]),
                spilled_m3=float(spilled_m3[k]),
                held_storm_mm=float(held_storm_mm[k]),
            )
            for k, swale in enumerate(swales)
        )
        told.append(
            WaterAccount(
                depth_mm=depth_mm,
                swales=waters,
                pour=pour,
                rain_m3=float(areas_m2.sum() * depth_mm / 1000.0),
                soaked_m3=float(areas_m2 @ (depth_mm / 1000.0 - storm.runoff_m(depth_mm))),
                swales_m3=float(held_m3.sum()),
                hollows_m3=float(pour.water_m3[ponds.owner == 0].sum()),
                left_m3=pour.left_m3,
            )
        )
    return tuple(told)


def pour_storm(
    ponds: SwalePonds,
    built: BuiltGround,
    soil: Soil,
    *,
    depth_mm: float,
    soil_class: NDArray[np.uint8] | None = None,
) -> Pour:
    """Pour a storm over the ground as built whose ponds are known.

    Parameters
    ----------
    ponds : SwalePonds
        Ponds of the swales.
    built : BuiltGround
        The ground as built.
    soil : Soil
        Losses by class.
    depth_mm : float
        The storm [mm].
    soil_class : ndarray of uint8, shape (rows, columns), optional
        Class of the soil of each cell.

    Returns
    -------
    Pour
        As in `account_storms`.

    Raises
    ------
    InputError
        If the storm is negative, or the classes have another shape than the grid.

    Examples
    --------
    >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
    >>> pour_storm(ponds, design.surface, design.ground.soil, depth_mm=0.0).stored_m3
    0.0
    """
    check_not_negative(depth_mm=depth_mm)
    return _Storm(ponds, soil, _areas_m2(ponds, built, soil, soil_class), 0).pour(depth_mm)


def areas_of_swales(
    ponds: SwalePonds, built: BuiltGround, soil: Soil, soil_class: NDArray[np.uint8] | None, *, count: int
) -> NDArray[np.float64]:
    """Area that drains to each swale as built before any other store, its own works included.

    Parameters
    ----------
    ponds : SwalePonds
        Ponds of the swales.
    built : BuiltGround
        The ground as built.
    soil : Soil
        Losses by class.
    soil_class : ndarray of uint8, shape (rows, columns), or None
        Class of the soil of each cell; None where there is one.
    count : int
        Number of swales.

    Returns
    -------
    ndarray of float64, shape (count, classes)
        By class of soil [m²].

    Examples
    --------
    >>> ponds = swale_ponds(design.surface, np.array([swale.sized.shape.crest_level_m for swale in design.swales]))
    >>> areas_of_swales(ponds, design.surface, design.ground.soil, None, count=2).shape
    (2, 1)
    """
    surface, n_classes = ponds.surface, len(soil.losses)
    by_basin = basin_sums(surface, classes=_soil_classes(ponds, built, soil_class), n_classes=n_classes)
    met, areas_m2 = ponds.first_met > 0, np.zeros((count + 1, n_classes))
    np.add.at(areas_m2, ponds.first_met[met], by_basin[met])
    return areas_m2[1:]


@dataclass(frozen=True, eq=False)
class _Storm:
    """Storms on one surface: the area of each basin by class, of which the last loses no rain."""

    ponds: SwalePonds
    soil: Soil
    areas_m2: NDArray[np.float64]
    count: int

    def runoff_m(self, depth_mm: float) -> NDArray[np.float64]:
        """Runoff of every class."""
        return np.append(self.soil.runoff_mm(depth_mm), depth_mm) / 1000.0

    def pour(self, depth_mm: float) -> Pour:
        """A storm poured."""
        return pour_onto(self.ponds.surface, self.areas_m2 @ self.runoff_m(depth_mm))

    def held_m3(self, pour: Pour) -> NDArray[np.float64]:
        """Water in the ponds of each swale."""
        return np.bincount(self.ponds.owner, pour.water_m3, minlength=self.count + 1)[1:].astype(np.float64)

    def spilled_m3(self, pour: Pour) -> NDArray[np.float64]:
        """Water that leaves the ponds of each swale, what goes from one to another of its own left out."""
        tops = self.ponds.tops
        owner = np.append(self.ponds.owner, 0)  # off the tile nobody owns it
        own, to = owner[tops], owner[pour.onward[tops]]
        leaves = own != to
        return np.bincount(own[leaves], pour.passed_m3[tops[leaves]], minlength=self.count + 1)[1:].astype(np.float64)

    def ground_and_strip_m2(self) -> NDArray[np.float64]:
        """Area that drains to each swale: ground, and its own works."""
        met = self.ponds.first_met
        parts = self.areas_m2[:, :-1].sum(axis=1), self.areas_m2[:, -1]
        return np.array([np.bincount(met[met > 0], part[met > 0], minlength=self.count + 1)[1:] for part in parts])

    def held_storm_mm(self) -> NDArray[np.float64]:
        """Deepest storm that each swale holds, by halving."""
        least = np.zeros(self.count, np.int64)
        greatest = np.full(self.count, _STEPS_PER_MM * int(GREATEST_STORM_MM) + 1)
        while (greatest - least > 1).any():
            k = int(np.argmax(greatest - least))
            middle = int(least[k] + greatest[k]) // 2
            holds = self.spilled_m3(self.pour(middle / _STEPS_PER_MM)) <= _NOTHING_M3
            least = np.where(holds, np.maximum(least, np.minimum(middle, greatest - 1)), least)
            greatest = np.where(holds, greatest, np.minimum(greatest, np.maximum(middle, least + 1)))
        least[~np.isin(np.arange(1, self.count + 1), self.ponds.owner[self.ponds.tops])] = 0
        return least / _STEPS_PER_MM


def _areas_m2(
    ponds: SwalePonds, built: BuiltGround, soil: Soil, soil_class: NDArray[np.uint8] | None
) -> NDArray[np.float64]:
    """Area of each basin by class of soil, then of works that drain to their own swale."""
    classes, n_classes = _soil_classes(ponds, built, soil_class), len(soil.losses)
    classes[(built.swale > 0) & (ponds.first_met[ponds.surface.basin] == built.swale)] = n_classes
    return basin_sums(ponds.surface, classes=classes, n_classes=n_classes + 1)


def _soil_classes(ponds: SwalePonds, built: BuiltGround, soil_class: NDArray[np.uint8] | None) -> NDArray[np.uint8]:
    """Class of the soil of each node."""
    cells = ponds.surface.cells
    if soil_class is None:
        return np.zeros(cells.heights.size, np.uint8)
    check_same_shape(soil_class=soil_class, grid=built.grid)
    return cells.spread(soil_class)


def _first_spill(ponds: SwalePonds, built: BuiltGround, swale: LaidSwale, number: int) -> dict[str, Any]:
    """Level and place of the spill point out of a swale's ponds that water reaches first, and where it leads."""
    surface, first = ponds.surface, ponds.first_way_out(number)
    if first is None:
        return {"first_spill_level_m": None, "first_spill_xy": None, "on_sill": False, "spills_to": 0}
    node = int(surface.spill[first])
    x, y = (float(value) for value in surface.cells.centres(node))
    path, place, cells_m = (
        shapely.LineString(swale.line.path),
        shapely.Point(x, y),
        _BESIDE_SILL_CELLS * built.fine_cell_m,
    )
    across = shapely.distance(path, place) <= swale.toe_m + cells_m
    along = swale.from_sill_m(shapely.line_locate_point(path, place)) <= swale.sill_length_m / 2.0 + cells_m
    return {
        "first_spill_level_m": float(surface.spill_level_m[first]),
        "first_spill_xy": (x, y),
        "on_sill": bool(built.part[node] == SILL or (across and along)),
        "spills_to": ponds.spills_to(first),
    }
