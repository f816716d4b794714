"""How many trees the water of a swale carries."""

from collections.abc import Callable
from dataclasses import dataclass

from swalekit._checks import check_between, check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.planting.water.daily_water import DailyWater
from swalekit.planting.water.months import LEAST_RATIO, growing_year_reliability, month_table
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.planting.water.water_budget import Ditch, water_budget


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

    Raises
    ------
    InputError
        If a share lies outside 0 to 1, or the irrigation is negative.
    """

    reliability: float = 0.8
    least_ratio: float = LEAST_RATIO
    irrigation_mm_month: float = 0.0
    first_month: int = 1

    def __post_init__(self) -> None:
        check_between(0.0, 1.0, reliability=self.reliability, least_ratio=self.least_ratio)
        check_not_negative(irrigation_mm_month=self.irrigation_mm_month)


@one_line("trees", "room", "reached_share", "reliability", "limited_by")
@dataclass(frozen=True)
class CarryingCapacity:
    """Trees that a swale carries.

    Parameters
    ----------
    trees : int
        Most trees that the water carries, no more than there is room for.
    room : int
        Most trees that there is room for.
    tree_area_m2 : float
        Ground of each tree [m²].
    reliability : float
        Share of years in which that many don't suffer; of one tree where none is carried [-].
    reached_share : float
        Share of what soaks in from the ditch that the roots of that many reach; of one tree where none is carried [-].
    limited_by : str
        ``water``; ``room``; ``reach`` where the stretch of ditch that the roots of one tree reach brings it too little;
        ``root zone`` where the soil can't carry even one tree from rain to rain, with all the ditch's water.
    """

    trees: int
    room: int
    tree_area_m2: float
    reliability: float
    reached_share: float
    limited_by: str

    @property
    def planted_m2(self) -> float:
        """Ground of all trees [m²]."""
        return self.trees * self.tree_area_m2


def _all_water(_trees: int) -> float:
    """Share of the ditch's water that roots reach, where they reach all of it [-]."""
    return 1.0


def carrying_capacity(
    water: DailyWater,
    stand: Stand,
    zone: RootZone,
    ditch: Ditch,
    *,
    tree_area_m2: float,
    room: int,
    reached: Callable[[int], float] = _all_water,
    rule: CarryRule | None = None,
) -> CarryingCapacity:
    """Most trees that don't suffer in enough years.

    Parameters
    ----------
    water : DailyWater
        What comes, over one whole calendar year or more.
    stand : Stand
        What grows on the ground of each tree.
    zone, ditch : RootZone, Ditch
        Soil and store.
    tree_area_m2 : float
        Ground of each tree, its spacing squared as a rule [m²].
    room : int
        Most trees that there is room for; none are carried where there is none.
    reached : callable
        Share of what soaks in from the ditch that the roots of so many trees reach [-].
    rule : CarryRule, optional
        When water is said to carry trees.

    Returns
    -------
    CarryingCapacity
        The number with what limits it.

    Raises
    ------
    InputError
        If the area isn't positive or the room negative.

    Notes
    -----
    The water that roots reach is shared by the ground of all trees. As long as they stand too far apart to reach all of
    it, one tree more takes nothing from the others; from then on it does. The number is sought by halving. A stretch of
    years says little about rarer ones: over 5 years 4 in 5 is a coin's toss.

    Examples
    --------
    >>> import numpy as np
    >>> days = np.arange("2001-01-01", "2002-01-01", dtype="datetime64[D]")
    >>> wet, dry = np.arange(365) % 15 == 0, np.zeros(365)
    >>> water = DailyWater(days, dry, dry, np.full(365, 4.0), np.where(wet, 10.0, 0.0))
    >>> stand, zone = Stand(np.full(365, 0.5), np.full(365, 1.2), 1.0), RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    >>> found = carrying_capacity(water, stand, zone, Ditch(50.0, 100.0, 10.0), tree_area_m2=25.0, room=200)
    >>> found.trees, found.limited_by
    (59, 'water')
    """
    check_positive(tree_area_m2=tree_area_m2)
    check_not_negative(room=room)
    if not room:
        return CarryingCapacity(0, 0, tree_area_m2, 0.0, 0.0, "room")
    chosen = rule or CarryRule()

    def reliability(trees: int, share: float) -> float:
        given = {"planted_m2": trees * tree_area_m2, "irrigation_mm_month": chosen.irrigation_mm_month}
        budget = water_budget(water, stand, zone, ditch, reached_share=share, **given)
        growing = growing_year_reliability(budget, least_ratio=chosen.least_ratio, first_month=chosen.first_month)
        return min(month_table(budget, least_ratio=chosen.least_ratio).reliability, growing)

    carried, refused = 0, room + 1
    trial = room
    while refused - carried > 1:
        if reliability(trial, reached(trial)) >= chosen.reliability:
            carried = trial
        else:
            refused = trial
        trial = (carried + refused) // 2
    if carried:
        limit = "room" if carried == room else "water"
    else:
        limit = "reach" if reliability(1, 1.0) >= chosen.reliability else "root zone"
    few, share = max(carried, 1), reached(max(carried, 1))
    return CarryingCapacity(carried, room, tree_area_m2, reliability(few, share), share, limit)
