"""How many trees the water of a swale carries."""

from collections.abc import Callable
from dataclasses import dataclass, replace
from functools import cache

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.planting.water.daily_water import DailyWater
from swalekit.planting.water.months import LEAST_RATIO, growing_year_reliability, month_table
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import Ditch, water_budget

_WEEKS_OF_MONTH = 365.25 / 12.0 / 7.0


@one_line("reliability", "least_ratio", "irrigation_mm_month", "hand_l_week")
@dataclass(frozen=True)
class CarryRule:
    """When water is said to carry trees.

    Parameters
    ----------
    reliability : float
        Share of years in which they must not suffer: 0.8 is 4 years in 5 [-].
    least_ratio : float
        Transpiration over demand of a year below which they suffer [-].
    irrigation_mm_month : float
        Water that may be given to their ground in a calendar month [mm].
    first_month : int
        Month, 1 to 12, in which years begin beside those of the calendar; what fails by either fails.
    hand_l_week : float
        Water that may be given by hand to each plant in a week of the dry months [L].
    dry_months : tuple of int
        Those months, 1 to 12.

    Raises
    ------
    InputError
        If a share lies outside 0 to 1, or water is negative.
    """

    reliability: float = 0.8
    least_ratio: float = LEAST_RATIO
    irrigation_mm_month: float = 0.0
    first_month: int = 1
    hand_l_week: float = 0.0
    dry_months: tuple[int, ...] = ()

    def __post_init__(self) -> None:
        check_between(0.0, 1.0, reliability=self.reliability, least_ratio=self.least_ratio)
        check_not_negative(irrigation_mm_month=self.irrigation_mm_month, hand_l_week=self.hand_l_week)

    def allowed_mm(self, plants: int, planted_m2: float) -> NDArray[np.float64]:
        """Water that may be given to the ground of so many plants in each calendar month.

        Parameters
        ----------
        plants : int
            Plants that are watered.
        planted_m2 : float
            Ground that their roots fill [m²].

        Returns
        -------
        ndarray of float64, shape (12,)
            Irrigation, and in dry months what is given by hand [mm].

        Examples
        --------
        >>> CarryRule(hand_l_week=20.0, dry_months=(6, 7)).allowed_mm(10, 1000.0)[4:8].round(2)
        array([0.  , 0.87, 0.87, 0.  ])
        """
        by_hand = np.isin(np.arange(1, 13), self.dry_months) * self.hand_l_week * _WEEKS_OF_MONTH
        return np.asarray(self.irrigation_mm_month + by_hand * plants / planted_m2)


@one_line("planted_m2", "reached_share", "stand")
@dataclass(frozen=True, eq=False)
class PlantedGround:
    """The ground of so many plants.

    Parameters
    ----------
    planted_m2 : float
        Ground that their roots fill [m²].
    reached_share : float
        Share of what soaks in from the ditch that they reach [-].
    stand : Stand
        What grows on that ground.
    pocket_m3, pocket_m2 : float
        Water that pockets in the ditch's floor beside them hold [m³], and their plan area [m²].

    Raises
    ------
    InputError
        If the ground isn't positive or the share lies outside 0 to 1.
    """

    planted_m2: float
    reached_share: float
    stand: Stand
    pocket_m3: float = 0.0
    pocket_m2: float = 0.0

    def __post_init__(self) -> None:
        check_positive(planted_m2=self.planted_m2)
        check_between(0.0, 1.0, reached_share=self.reached_share)

    def dug(self, ditch: Ditch) -> Ditch:
        """The ditch with the pockets of these plants.

        Parameters
        ----------
        ditch : Ditch
            The ditch as it is sized.

        Returns
        -------
        Ditch
            With its pockets.

        Examples
        --------
        >>> ground = PlantedGround(200.0, 0.1, Stand(np.zeros(1), np.ones(1), 0.1), pocket_m3=2.0, pocket_m2=10.0)
        >>> ground.dug(Ditch(50.0, 60.0, 5.0)).pocket_m3
        2.0
        """
        return replace(ditch, pocket_m3=self.pocket_m3, pocket_m2=self.pocket_m2)


@one_line("trees", "room", "planted_m2", "reached_share", "reliability", "limited_by")
@dataclass(frozen=True)
class CarryingCapacity:
    """Trees that a swale carries.

    Parameters
    ----------
    trees : int
        Most trees, or other plants that are asked for, that the water carries, no more than there is room for.
    room : int
        Most that there is room for.
    planted_m2 : float
        Ground that the roots of those carried fill, 0 where none is [m²].
    reliability : float
        Share of years in which that many don't suffer; of one where none is carried [-].
    reached_share : float
        Share of what soaks in from the ditch that the roots of that many reach; of one where none is carried [-].
    limited_by : str
        ``water``; ``room``; ``reach`` where the stretch of ditch that the roots of one tree reach brings it too little;
        ``root zone`` where the soil can't carry even one tree from rain to rain, with all the ditch's water; ``rain``
        where plants stand so far apart that their roots don't meet, known to live on no more than rain.
    """

    trees: int
    room: int
    planted_m2: float
    reliability: float
    reached_share: float
    limited_by: str


def carrying_capacity(
    water: DailyWater,
    ground: Callable[[int], PlantedGround],
    zone: RootZone,
    ditch: Ditch,
    *,
    room: int,
    rule: CarryRule | None = None,
) -> CarryingCapacity:
    """Most trees that don't suffer in enough years.

    Parameters
    ----------
    water : DailyWater
        What comes, over one whole calendar year or more.
    ground : callable
        The ground of so many trees, from one on: the fewer there are the more each may have.
    zone, ditch : RootZone, Ditch
        Soil and store.
    room : int
        Most trees that there is room for; none are carried where there is none.
    rule : CarryRule, optional
        When water is said to carry trees.

    Returns
    -------
    CarryingCapacity
        The number with what limits it.

    Raises
    ------
    InputError
        If the room is negative.

    Notes
    -----
    The water that roots reach is shared by the ground of all trees. As long as they stand too far apart to reach all of
    it, one tree more takes nothing from the others; from then on it does. The number is sought by halving. A stretch of
    years says little about rarer ones: over 5 years 4 in 5 is a coin's toss.

    Examples
    --------
    >>> days = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")
    >>> wet, dry = np.arange(365) % 15 == 0, np.zeros(365)
    >>> water = DailyWater(days, dry, dry, np.full(365, 4.0), np.where(wet, 10.0, 0.0))
    >>> stand, zone = Stand(np.full(365, 0.5), np.full(365, 1.2), 1.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    >>> ground = lambda trees: PlantedGround(25.0 * trees, 1.0, stand)
    >>> found = carrying_capacity(water, ground, zone, Ditch(50.0, 100.0, 10.0), room=200)
    >>> found.trees, found.limited_by
    (59, 'water')
    """
    check_not_negative(room=room)
    if not room:
        return CarryingCapacity(0, 0, 0.0, 0.0, 0.0, "room")
    chosen = rule or CarryRule()

    @cache
    def reliability(trees: int) -> float:
        found = ground(trees)
        return reliability_of(water, found, found.reached_share, trees)

    def reliability_of(comes: DailyWater, found: PlantedGround, share: float, trees: int) -> float:
        budget = water_budget(
            comes,
            found.stand,
            zone,
            found.dug(ditch),
            planted_m2=found.planted_m2,
            reached_share=share,
            irrigation_mm_month=chosen.allowed_mm(trees, found.planted_m2),
        )
        growing = growing_year_reliability(budget, least_ratio=chosen.least_ratio, first_month=chosen.first_month)
        return min(month_table(budget, least_ratio=chosen.least_ratio).reliability, growing)

    carried, refused = 0, room + 1
    trial = room
    while refused - carried > 1:
        if reliability(trial) >= chosen.reliability:
            carried = trial
        else:
            refused = trial
        trial = (carried + refused) // 2
    few = ground(max(carried, 1))
    if carried:
        limit = "room" if carried == room else "water"
    else:
        limit = "reach" if reliability_of(water, few, 1.0, 1) >= chosen.reliability else "root zone"
    planted_m2 = few.planted_m2 if carried else 0.0
    return CarryingCapacity(carried, room, planted_m2, reliability(max(carried, 1)), few.reached_share, limit)


def least_hand_water_l_week(
    water: DailyWater,
    ground: Callable[[int], PlantedGround],
    zone: RootZone,
    ditch: Ditch,
    *,
    rule: CarryRule,
    most_l_week: float = 1000.0,
) -> float | None:
    """Least water by hand with which one plant is carried.

    Parameters
    ----------
    water : DailyWater
        What comes.
    ground : callable
        The ground of so many plants.
    zone, ditch : RootZone, Ditch
        Soil and store.
    rule : CarryRule
        When water is said to carry it; its water by hand isn't read.
    most_l_week : float
        Most that is thought of [L].

    Returns
    -------
    float or None
        Litres a week of the dry months, rounded up to ten [L]; None where the most isn't enough.

    Examples
    --------
    >>> days = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")
    >>> water = DailyWater(days, np.zeros(365), np.zeros(365), np.full(365, 4.0), np.zeros(365))
    >>> stand, zone = Stand(np.full(365, 0.5), np.full(365, 1.2), 1.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    >>> given = {"rule": CarryRule(dry_months=tuple(range(1, 13)))}
    >>> ground = lambda trees: PlantedGround(25.0 * trees, 1.0, stand)
    >>> least_hand_water_l_week(water, ground, zone, Ditch.none(), **given)
    80.0
    """
    steps = int(most_l_week // _STEP_L)

    def enough(step: int) -> bool:
        given = replace(rule, hand_l_week=_STEP_L * step)
        return carrying_capacity(water, ground, zone, ditch, room=1, rule=given).trees == 1

    if not enough(steps):
        return None
    short, found = -1, steps
    while found - short > 1:
        middle = (short + found) // 2
        short, found = (short, middle) if enough(middle) else (middle, found)
    return _STEP_L * found


_STEP_L = 10.0
"""Water by hand is told to ten litres: nobody measures it nearer."""
