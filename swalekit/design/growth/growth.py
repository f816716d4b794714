"""A planting on a design: what the water carries, where plants stand, the work of the years, the house's water."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.growth.chosen_species import Chosen
from swalekit.design.growth.greywater import Greywater
from swalekit.design.plan.design import Design
from swalekit.planting.plants.plant_positions import Planting
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import RoleCanopy
from swalekit.planting.water.carrying_capacity import CarryingCapacity
from swalekit.planting.water.measures import PLANTED
from swalekit.planting.water.months import MonthTable, mean_year
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import WaterBudget
from swalekit.planting.weather.reference_et import ReferenceEt
from swalekit.planting.weather.weather import Weather
from swalekit.planting.work.bill import Bill
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
        Species, the full-grown stand, and the soil that its roots fill.
    season : RainySeason
        When it rains.
    """

    weather: Weather
    reference: ReferenceEt
    chosen: Chosen
    stand: Stand
    zone: RootZone
    season: RainySeason


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
    """

    budget: WaterBudget
    months: dict[str, MonthTable]
    irrigated: MonthTable

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
    capacity : CarryingCapacity
        Trees that it carries.
    out_of_reach : int
        Places for trees from which roots don't reach its water; they are in no room.
    trees_unwatered : int
        Trees that it would carry without the irrigation that the brief allows.
    capacity_at : dict of float to CarryingCapacity
        The same by the least share of full transpiration, the brief's and its neighbours.
    trees_at_spread : dict of float to int
        Trees by the least and the greatest spread of roots that was measured.
    planting : Planting
        Where they stand; empty where none is carried.
    water : TreeWater or None
        Their water; None where none is carried.
    """

    swale: str
    catchment_m2: float
    harvested_m3: float
    capacity: CarryingCapacity
    out_of_reach: int
    trees_unwatered: int
    capacity_at: dict[float, CarryingCapacity]
    trees_at_spread: dict[float, int]
    planting: Planting
    water: TreeWater | None

    @property
    def trees(self) -> int:
        """Trees that stand there."""
        return self.planting.trees


@one_line("year", "cover", "root_depth_m", "want_m3", "met")
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
        Share of years of the record in which they get less than the least share [-].
    """

    year: int
    cover: float
    root_depth_m: float
    reached_share: float
    want_m3: float
    met: float
    short_share: float


@one_line("design.site.brief.site.name", "trees", "planted_m2", "bill.cost")
@dataclass(frozen=True, eq=False)
class Growth(Conditions):
    """A planting on a design: what all its swales share, what each carries, and the work.

    Parameters
    ----------
    design : Design
        The swales.
    made_rain : bool
        Whether the rain was made of monthly normals, so that its years are none of the calendar's.
    swales : tuple of SwaleGrowth
        As in the design.
    schedule : tuple of Work
        Work of each year.
    canopies : dict of str to RoleCanopy
        Plants and canopies of each role at the end of each year.
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
    made_rain: bool
    swales: tuple[SwaleGrowth, ...]
    schedule: tuple[Work, ...]
    canopies: dict[str, RoleCanopy]
    stand_years: tuple[StandYear, ...]
    mulch: MulchPlan
    compost_m3: float
    first_water_m3: dict[int, float]
    nursery: tuple[NurseryLine, ...]
    calendar: tuple[CalendarMonth, ...]
    greywater: Greywater | None
    bill: Bill
    needed_ratio: float | None
    notes: tuple[str, ...]
    cautions: dict[str, str]
    hashes: Mapping[str, str] = field(default_factory=dict)

    @property
    def trees(self) -> int:
        """Trees on the site."""
        return sum(swale.trees for swale in self.swales)

    @property
    def planted(self) -> tuple[SwaleGrowth, ...]:
        """Swales that carry trees."""
        return tuple(swale for swale in self.swales if swale.water is not None)

    @property
    def planted_m2(self) -> float:
        """Ground of all trees [m²]."""
        return sum(swale.capacity.planted_m2 for swale in self.swales)

    @cached_property
    def counts(self) -> dict[Species, int]:
        """Plants of each species on the site."""
        return plant_counts(self.swales, self.chosen)

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


def plant_counts(swales: Iterable[SwaleGrowth], chosen: Chosen) -> dict[Species, int]:
    """Plants of each species over all swales, in the order of the brief; none that isn't planted.

    Parameters
    ----------
    swales : iterable of SwaleGrowth
        What the swales carry.
    chosen : Chosen
        The species of the brief.

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
    for swale in swales:
        for species, plants in swale.planting.counts.items():
            counts[species] += plants
    return {species: plants for species, plants in counts.items() if plants}
