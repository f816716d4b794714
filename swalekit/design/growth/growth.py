"""A planting on a design: what the water carries, where plants stand, the work of the years, the house's water."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.budget.bill import Bill
from swalekit.design.growth.bed_water import BedWater
from swalekit.design.growth.berm_cover import BermCover
from swalekit.design.growth.chosen_species import Chosen
from swalekit.design.growth.cold_ground import ColdGround
from swalekit.design.growth.garden import GardenBeds
from swalekit.design.growth.greywater import Greywater
from swalekit.design.growth.plant_groups import PIONEER, PlantGroup
from swalekit.design.plan.design import Design
from swalekit.planting.palette.fit import Fit, PlantingGround
from swalekit.planting.plants.plant_positions import Planting
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import RoleCanopy
from swalekit.planting.water.carrying_capacity import CarryingCapacity
from swalekit.planting.water.crop_coefficients import GrowingDays
from swalekit.planting.water.measures import PLANTED
from swalekit.planting.water.months import MonthTable, mean_year
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import Ditch, WaterBudget
from swalekit.planting.weather.reference_et import ReferenceEt
from swalekit.planting.weather.weather import Weather
from swalekit.planting.work.materials import MulchPlan
from swalekit.planting.work.nursery import NurseryLine
from swalekit.planting.work.work_calendar import CalendarMonth, RainySeason
from swalekit.planting.work.yearly_work import Work


@dataclass(frozen=True, eq=False)
class Conditions:
    """What all swales of a site share.

    Parameters
    ----------
    weather, reference : Weather, ReferenceEt
        Every day, and what the air asks for.
    chosen, stand, zone : Chosen, Stand, RootZone
        Species, the full-grown stand of an orchard of them, and the soil that its roots fill.
    season : RainySeason
        When it rains.
    days : GrowingDays
        The days as crops meet them.
    groups : tuple of PlantGroup
        What a swale is asked to carry, in turn until it carries one.
    cover : BermCover
        How rain carries the low plants of the berms.
    cold : ColdGround
        Where cold air gathers.
    """

    weather: Weather
    reference: ReferenceEt
    chosen: Chosen
    stand: Stand
    zone: RootZone
    season: RainySeason
    days: GrowingDays
    groups: tuple[PlantGroup, ...]
    cover: BermCover
    cold: ColdGround


@one_line("budget", "irrigation_m3")
@dataclass(frozen=True, eq=False)
class TreeWater:
    """The water of a swale's trees.

    Parameters
    ----------
    budget : WaterBudget
        Every day, as planted.
    months : dict of str to MonthTable
        By measure: with and without swale and mulch.
    irrigated : MonthTable
        The same planting watered so that no day brings stress.
    stand : Stand
        What grows on the ground of their roots.
    ditch : Ditch
        What holds their water, pockets too.
    mulch_saved_m3 : float
        What the mulch keeps from evaporating in a mean year [m³].
    """

    budget: WaterBudget
    months: dict[str, MonthTable]
    irrigated: MonthTable
    stand: Stand
    ditch: Ditch
    mulch_saved_m3: float

    @property
    def table(self) -> MonthTable:
        """Months as planted."""
        return self.months[PLANTED]

    def mean_year(self, daily: NDArray[np.float64]) -> float:
        """Sum of a mean year of what the budget has of every day.

        Parameters
        ----------
        daily : ndarray of float64, shape (days,)
            What there is of every day.

        Returns
        -------
        float
            Sum of a mean year, in the unit of the days.

        Examples
        --------
        >>> water = growth.swales[0].water
        >>> round(water.mean_year(np.ones(water.budget.water.dates.size)))
        365
        """
        return mean_year(daily, self.budget.water.dates)

    @property
    def given_m3(self) -> float:
        """Water given as the brief allows, in a mean year [m³]."""
        depth_mm = float(self.table.irrigation_mm.sum()) / len(self.table.years)
        return depth_mm * self.budget.planted_m2 / 1000.0

    @property
    def irrigation_m3(self) -> NDArray[np.float64]:
        """Water that would carry the trees without stress, of each year [m³]."""
        depth = [self.irrigated.irrigation_mm[self.irrigated.year == year].sum() for year in self.irrigated.years]
        return np.array(depth) * self.budget.planted_m2 / 1000.0


@one_line("l_week", "fruit", "hardy")
@dataclass(frozen=True)
class ByHand:
    """Trees that a swale carries where each is given water by hand.

    Parameters
    ----------
    l_week : float
        Water that each is given in a week of the dry months, every year [L].
    fruit, hardy : int
        Fruit trees; where none is carried, hardy ones that live on without bearing.
    """

    l_week: float
    fruit: int
    hardy: int

    @property
    def trees(self) -> int:
        """Trees of either kind."""
        return self.fruit + self.hardy


@one_line("swale", "trees", "harvested_m3", "trees_unwatered")
@dataclass(frozen=True, eq=False)
class SwaleGrowth:
    """What one swale carries.

    Parameters
    ----------
    swale : str
        Number of the swale.
    catchment_m2 : float
        Ground whose runoff it harvests [m²].
    harvested_m3 : float
        Runoff that reaches it in a mean year [m³].
    group : PlantGroup or None
        Which group of plants it carries; None where it carries none but the cover of its berm that rain carries.
    pocket_m3 : float
        Pocket in the ditch's floor beside each of them, 0 for none [m³].
    capacity : CarryingCapacity
        How many of that group it carries; of the last one asked for where it carries none.
    tried : dict of str to CarryingCapacity
        Of every group that it was asked for, by name.
    out_of_reach : int
        Places for trees from which roots don't reach its water; they are in no room.
    trees_unwatered : int
        Fruit trees that it would carry without the irrigation and water by hand that the brief allows.
    capacity_at : dict of float to CarryingCapacity
        Fruit trees by the least share of full transpiration, the brief's and its neighbours.
    trees_at_spread : dict of float to int
        Fruit trees by the least and the greatest spread of roots that was measured.
    by_hand : tuple of ByHand
        Trees by the water that each is given by hand, from none on.
    least_l_week : float or None
        Least water by hand with which one tree lives on, 0 where it needs none; None where there is no room for one or
        no such water is enough [L a week of the dry months].
    planting : Planting
        Where the plants stand, those of the berm too.
    water : TreeWater or None
        The water of its trees or pioneers; None where it carries none.
    """

    swale: str
    catchment_m2: float
    harvested_m3: float
    group: PlantGroup | None
    pocket_m3: float
    capacity: CarryingCapacity
    tried: dict[str, CarryingCapacity]
    out_of_reach: int
    trees_unwatered: int
    capacity_at: dict[float, CarryingCapacity]
    trees_at_spread: dict[float, int]
    by_hand: tuple[ByHand, ...]
    least_l_week: float | None
    planting: Planting
    water: TreeWater | None

    @property
    def trees(self) -> int:
        """Trees that stand there, those that bear and those that merely live."""
        return self.planting.trees

    @property
    def kind(self) -> str:
        """What it carries: the name of a group, ``ground cover``, or '' where it stays bare."""
        if self.group is not None:
            return self.group.name
        return "ground cover" if self.planting.species else ""


@one_line("year", "cover", "root_depth_m", "want_m3", "met", "hand_l_week")
@dataclass(frozen=True)
class StandYear:
    """The planted ground as its plants stand in one year, under the whole record of weather.

    Parameters
    ----------
    year : int
        Calendar year of the schedule.
    cover : float
        Share of the planted ground under canopies [-].
    root_depth_m : float
        How deep their roots go [m].
    reached_share : float
        Share of what soaks in from the ditches that they reach [-].
    want_m3 : float
        What they would transpire in a mean year if they wanted for nothing [m³].
    met : float
        What they get of it [-].
    short_share : float
        Share of years of the record in which they get less than the least share of their kinds [-].
    hand_l_week : float or None
        Water by hand, to each plant in a week of the dry months, with which they get it in enough years [L]; None where
        the most that is tried isn't enough.
    """

    year: int
    cover: float
    root_depth_m: float
    reached_share: float
    want_m3: float
    met: float
    short_share: float
    hand_l_week: float | None = None


@one_line("design.site.brief.site.name", "trees", "planted_m2", "bill.cost")
@dataclass(frozen=True, eq=False)
class Growth(Conditions):
    """A planting on a design: what all its swales share, what each carries, and the work.

    Parameters
    ----------
    design : Design
        The swales.
    ground : PlantingGround
        What the site asks its plants to stand.
    palette : tuple of Fit
        Every species that is known, judged by what the site asks it to stand.
    made_rain : bool
        Whether the rain was made of monthly normals, so that its years are none of the calendar's.
    swales : tuple of SwaleGrowth
        As in the design.
    windbreak : Planting
        The row to windward; empty where none is asked for or carried.
    schedule : tuple of Work
        Work of each year.
    canopies : dict of str to RoleCanopy
        Plants and canopies of each role at the end of each year.
    lost_by_year : tuple of int
        Trees and pioneers that die in each year.
    stand_years : tuple of StandYear
        What the stand of each year wants and gets.
    mulch : MulchPlan
        Mulch of each year.
    compost_m3 : float
        Compost at planting [m³].
    first_water_m3 : dict of int to float
        Water to hold ready for young plants by year from the first planting [m³].
    nursery : tuple of NurseryLine
        What is raised, and when.
    calendar : tuple of CalendarMonth
        Work of each month.
    greywater : Greywater or None
        None where the brief names no people.
    garden, bed_water : GardenBeds, BedWater, or None
        Annual beds and their water; None where the brief asks for none.
    bill : Bill
        What is supplied.
    needed_ratio : float or None
        Catchment over planted ground that the manual's formula asks for at full transpiration [-]; None where it can't
        be had from the record.
    notes : tuple of str
        What was assumed.
    cautions : dict of str to str
        By a short name.
    hashes : mapping of str to str
        SHA-256 of the files of weather, rain and species, by ``part.key`` of the brief.
    """

    design: Design
    ground: PlantingGround
    palette: tuple[Fit, ...]
    made_rain: bool
    swales: tuple[SwaleGrowth, ...]
    windbreak: Planting
    schedule: tuple[Work, ...]
    canopies: dict[str, RoleCanopy]
    lost_by_year: tuple[int, ...]
    stand_years: tuple[StandYear, ...]
    mulch: MulchPlan
    compost_m3: float
    first_water_m3: dict[int, float]
    nursery: tuple[NurseryLine, ...]
    calendar: tuple[CalendarMonth, ...]
    greywater: Greywater | None
    garden: GardenBeds | None
    bed_water: BedWater | None
    bill: Bill
    needed_ratio: float | None
    notes: tuple[str, ...]
    cautions: dict[str, str]
    hashes: Mapping[str, str] = field(default_factory=dict)

    @property
    def trees(self) -> int:
        """Trees on the site."""
        return sum(swale.trees for swale in self.swales)

    def swales_of(self, kind: str) -> tuple[SwaleGrowth, ...]:
        """Swales that carry one kind of plants.

        Parameters
        ----------
        kind : str
            Name of a group, ``ground cover``, or '' for those that stay bare.

        Returns
        -------
        tuple of SwaleGrowth
            In the order of the design.

        Examples
        --------
        >>> [swale.swale for swale in growth.swales_of("fruit tree")]
        ['S1', 'S2']
        """
        return tuple(swale for swale in self.swales if swale.kind == kind)

    @property
    def by_hand(self) -> tuple[ByHand, ...]:
        """Trees of all swales by the water that each is given by hand."""
        return tuple(
            ByHand(found[0].l_week, sum(one.fruit for one in found), sum(one.hardy for one in found))
            for found in zip(*(swale.by_hand for swale in self.swales), strict=True)
        )

    @property
    def planted(self) -> tuple[SwaleGrowth, ...]:
        """Swales that carry trees or pioneers."""
        return tuple(swale for swale in self.swales if swale.water is not None)

    @property
    def planted_m2(self) -> float:
        """Ground that the roots of all trees, and of pioneers where no tree is carried, fill [m²]."""
        return sum(swale.capacity.planted_m2 for swale in self.planted)

    @cached_property
    def counts(self) -> dict[Species, int]:
        """Plants of each species on the site."""
        return plant_counts(self.swales, self.chosen, self.windbreak)

    @property
    def plantings(self) -> tuple[Planting, ...]:
        """Plants of each swale, then those of the row to windward."""
        return (*(swale.planting for swale in self.swales), self.windbreak)

    @property
    def trees_at(self) -> dict[float, int]:
        """Trees of all swales by the least share of full transpiration."""
        return _summed({ratio: found.trees for ratio, found in swale.capacity_at.items()} for swale in self.swales)

    @property
    def trees_at_spread(self) -> dict[float, int]:
        """Trees of all swales by the least and the greatest spread of roots that was measured."""
        return _summed(swale.trees_at_spread for swale in self.swales)


def _summed(counts: Iterable[Mapping[float, int]]) -> dict[float, int]:
    totals: dict[float, int] = {}
    for counted in counts:
        for key, trees in counted.items():
            totals[key] = totals.get(key, 0) + trees
    return totals


def plants_of(swale: SwaleGrowth, role: str) -> int:
    """Plants of a role along a swale.

    Parameters
    ----------
    swale : SwaleGrowth
        What a swale carries.
    role : str
        Role of the species.

    Returns
    -------
    int
        How many stand there.

    Examples
    --------
    >>> plants_of(growth.swales[0], "fruit") == growth.swales[0].trees
    True
    """
    return sum(plants for species, plants in swale.planting.counts.items() if species.role == role)


def plant_counts(
    swales: Iterable[SwaleGrowth], chosen: Chosen, windbreak: Planting | None = None
) -> dict[Species, int]:
    """Plants of each species over all swales, in the order of the brief; none that isn't planted.

    Parameters
    ----------
    swales : iterable of SwaleGrowth
        What the swales carry.
    chosen : Chosen
        The species of the brief.
    windbreak : Planting, optional
        The row to windward.

    Returns
    -------
    dict of Species to int
        Plants of each.

    Examples
    --------
    >>> [species.name for species in plant_counts(growth.swales, growth.chosen)]
    ['bladder senna', 'olive', 'rosemary']
    """
    counts = dict.fromkeys(chosen.all, 0)
    plantings = [swale.planting for swale in swales]
    for planting in plantings if windbreak is None else [*plantings, windbreak]:
        for species, plants in planting.counts.items():
            counts[species] += plants
    return {species: plants for species, plants in counts.items() if plants}


def lasting_pioneers(swales: Iterable[SwaleGrowth]) -> dict[Species, int]:
    """Pioneers that stand where no tree is carried, and stay, by species.

    Parameters
    ----------
    swales : iterable of SwaleGrowth
        What the swales carry.

    Returns
    -------
    dict of Species to int
        Plants of each.

    Examples
    --------
    >>> lasting_pioneers(growth.swales)
    {}
    """
    counts: dict[Species, int] = {}
    for swale in swales:
        for species, plants in swale.planting.counts.items() if swale.kind == PIONEER else ():
            if species.role == "pioneer":
                counts[species] = counts.get(species, 0) + plants
    return counts


def pockets_m3(swales: Iterable[SwaleGrowth]) -> float:
    """Soil dug for pockets in the floors of ditches.

    Parameters
    ----------
    swales : iterable of SwaleGrowth
        What the swales carry.

    Returns
    -------
    float
        All pockets [m³].

    Examples
    --------
    >>> pockets_m3(growth.swales)
    0.0
    """
    return float(sum(swale.pocket_m3 * swale.capacity.trees for swale in swales if swale.water is not None))
