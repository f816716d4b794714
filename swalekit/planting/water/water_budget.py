"""The daily water budget of a swale and the trees along it."""

from dataclasses import dataclass
from typing import Self

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_between, check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.kernels.root_zone import BudgetGround, budget_days
from swalekit.planting.water.crop_coefficients import evaporation_factor
from swalekit.planting.water.daily_water import DailyWater
from swalekit.planting.water.root_zone import RootZone
from swalekit.planting.water.stand import Stand
from swalekit.tables.load import named_row

Values = NDArray[np.float64]

START_SHARE = 0.5
"""Share of the available water that is lacking before the first day, where nothing is known of it."""


@dataclass(frozen=True)
class Ditch:
    """A ditch as a daily store.

    Parameters
    ----------
    capacity_m3 : float
        Water that it holds at its sill [m³].
    wetted_m2 : float
        Plan area through which it soaks and from which it evaporates; the floor's is on the safe side [m²].
    intake_mm_h : float
        Soaking rate [mm/h].
    pocket_m3, pocket_m2 : float
        Water that pockets dug into its floor beside plants hold below it [m³], and their plan area [m²].

    Raises
    ------
    InputError
        If a value is negative.
    """

    capacity_m3: float
    wetted_m2: float
    intake_mm_h: float
    pocket_m3: float = 0.0
    pocket_m2: float = 0.0

    def __post_init__(self) -> None:
        check_not_negative(capacity_m3=self.capacity_m3, wetted_m2=self.wetted_m2, intake_mm_h=self.intake_mm_h)
        check_not_negative(pocket_m3=self.pocket_m3, pocket_m2=self.pocket_m2)

    @classmethod
    def none(cls) -> Self:
        """Ground without a ditch.

        Returns
        -------
        Ditch
            One that holds, soaks in and evaporates nothing.

        Examples
        --------
        >>> Ditch.none().capacity_m3
        0.0
        """
        return cls(0.0, 0.0, 0.0)


@one_line("planted_m2", "irrigation_m3", "lost_m3")
@dataclass(frozen=True, eq=False)
class WaterBudget(Frozen):
    """Where the water went on every day; arrays have shape (n,).

    Parameters
    ----------
    water : DailyWater
        What came.
    planted_m2 : float
        Ground that the roots fill [m²].
    reached_share : float
        Share of what soaks in from the ditch that the roots reach [-].
    start_depletion_mm : float
        Water lacking in the root zone before the first day [mm].
    spilled_m3, soaked_m3, ditch_evaporation_m3, ditch_m3 : ndarray of float64
        Water that left the ditch over its sill, into the ground, into the air, and that is in it at the day's end [m³].
    irrigation_mm : ndarray of float64
        Water given beyond all else so that no day brings stress, as far as it is allowed [mm].
    transpiration_mm, demand_mm : ndarray of float64
        What the stand transpired, and would have without stress [mm].
    evaporation_mm, percolation_mm : ndarray of float64
        Water lost from the soil's surface and below the roots [mm].
    depletion_mm : ndarray of float64
        Water lacking below field capacity at the day's end [mm].
    stress : ndarray of float64
        Share of full transpiration kept, Ks [-].
    pocket_soaked_m3 : ndarray of float64
        Of the water that soaked in, that from pockets, all of which the roots reach [m³].
    """

    water: DailyWater
    planted_m2: float
    reached_share: float
    start_depletion_mm: float
    spilled_m3: Values
    soaked_m3: Values
    ditch_evaporation_m3: Values
    ditch_m3: Values
    irrigation_mm: Values
    transpiration_mm: Values
    demand_mm: Values
    evaporation_mm: Values
    percolation_mm: Values
    depletion_mm: Values
    stress: Values
    pocket_soaked_m3: Values

    @property
    def gained_m3(self) -> float:
        """All water that came: rain on the planted ground, harvested, given [m³]."""
        on_ground = float(np.sum(self.water.rain_mm + self.irrigation_mm)) * self.planted_m2 / 1000.0
        return on_ground + float(np.sum(self.water.harvested_m3))

    @property
    def beyond_m3(self) -> Values:
        """Water that soaked in from the ditch beyond the reach of roots [m³]."""
        return np.asarray((1.0 - self.reached_share) * (self.soaked_m3 - self.pocket_soaked_m3))

    @property
    def lost_m3(self) -> float:
        """All water that left: runoff, transpiration, evaporation, percolation, spill, soaked in beyond roots [m³]."""
        from_ground = self.water.runoff_mm + self.transpiration_mm + self.evaporation_mm + self.percolation_mm
        return float(np.sum(from_ground)) * self.planted_m2 / 1000.0 + float(
            np.sum(self.spilled_m3 + self.ditch_evaporation_m3 + self.beyond_m3)
        )

    @property
    def stored_m3(self) -> float:
        """Rise of the water in root zone and ditch from first to last day [m³]."""
        rise_mm = self.start_depletion_mm - float(self.depletion_mm[-1])
        return rise_mm * self.planted_m2 / 1000.0 + float(self.ditch_m3[-1])

    @property
    def irrigation_m3(self) -> float:
        """Water given in all [m³]."""
        return float(np.sum(self.irrigation_mm)) * self.planted_m2 / 1000.0


def water_budget(
    water: DailyWater,
    stand: Stand,
    zone: RootZone,
    ditch: Ditch,
    *,
    planted_m2: float,
    reached_share: float = 1.0,
    irrigation_mm_month: ArrayLike = 0.0,
    start_share: float = START_SHARE,
) -> WaterBudget:
    """Follow the water of a swale through all days.

    Parameters
    ----------
    water : DailyWater
        What comes.
    stand : Stand
        What grows on the planted ground.
    zone : RootZone
        The soil that its roots fill.
    ditch : Ditch
        What holds the harvested water; `Ditch.none` and no harvest for ground without a swale.
    planted_m2 : float
        Ground over which the ditch's water comes to the roots [m²].
    reached_share : float
        Share of what soaks in from the ditch, its pockets apart, that the roots reach, as by
        `root_spread.reached_share` [-].
    irrigation_mm_month : array_like, shape (12,) or one for all
        Water that may be given in a calendar month, from January on; no more is than keeps a day without stress, the
        early days of the month first. Infinite where there is always enough [mm].
    start_share : float
        Share of the available water that is lacking before the first day [-].

    Returns
    -------
    WaterBudget
        No drop is made or lost: gained = lost + stored.

    Raises
    ------
    InputError
        If lengths differ, the planted area isn't positive or a share lies outside 0 to 1.

    Notes
    -----
    Pockets in the ditch's floor fill first; what they don't hold comes to the ditch.
    The ditch spills what exceeds its capacity at once, then soaks and evaporates. What soaks within reach comes to the
    roots of the planted ground, evenly and on the same day, below the surface; so does given water. The rest of it is
    lost to them. The root zone follows the dual coefficient: D = D' − (P − RO) − I + (Ks Kcb + Ke) ET₀ + DP with Ks and
    Ke from the depletion after the day's water, which is taken to come early. Evaporation stops with the evaporable
    water of the topmost soil. Mulch takes the same share off what evaporates on a day and off what evaporates until the
    topmost soil is dry. No water rises from below and none moves between swales.

    References
    ----------
    .. [1] FAO-56 (1998) ch. 7 and 8, eq. 71-85; ch. 10 on mulch.

    Examples
    --------
    >>> days = np.arange("2001-05-01", "2001-05-11", dtype="datetime64[D]")
    >>> dry, rain = np.zeros(10), np.r_[30.0, np.zeros(9)]
    >>> water = DailyWater(days, rain, dry, np.full(10, 6.0), np.r_[20.0, np.zeros(9)])
    >>> stand, zone = Stand(np.full(10, 0.6), np.full(10, 1.2), 0.5), RootZone(130.0, 1.0, 0.5, 8.0, 18.0)
    >>> budget = water_budget(water, stand, zone, Ditch(15.0, 60.0, 5.0), planted_m2=300.0)
    >>> round(budget.gained_m3, 6) == round(budget.lost_m3 + budget.stored_m3, 6)
    True
    >>> budget.spilled_m3.sum().item(), round(float(budget.transpiration_mm.sum()), 1)
    (5.0, 36.0)
    """
    check_positive(planted_m2=planted_m2)
    monthly = np.broadcast_to(np.asarray(irrigation_mm_month, np.float64), 12)
    for given_mm in monthly[np.isfinite(monthly)]:
        check_not_negative(irrigation_mm_month=float(given_mm))
    check_between(0.0, 1.0, start_share=start_share, reached_share=reached_share)
    check_same_shape(dates=water.dates, kcb=stand.kcb)
    start_mm = start_share * zone.total_mm
    ground = BudgetGround(
        planted=planted_m2,
        available=zone.total_mm,
        fraction=zone.depletion_fraction,
        rew=zone.rew_mm,
        tew=zone.tew_mm,
        bare=1.0 - stand.cover,
        mulch_factor=evaporation_factor(stand.mulch_cover),
        capacity=ditch.capacity_m3,
        wetted=ditch.wetted_m2,
        intake=24.0 * ditch.intake_mm_h / 1000.0,
        open_water=named_row("evapotranspiration", constant="open water under 2 m deep").value,
        reached=reached_share,
        pocket_capacity=ditch.pocket_m3,
        pocket_wetted=ditch.pocket_m2,
    )
    entering = water.rain_mm - water.runoff_mm
    months = water.dates.astype("datetime64[M]")
    rows = budget_days(
        entering,
        water.harvested_m3,
        water.reference_et_mm,
        stand.kcb,
        stand.kc_max,
        np.where(np.r_[True, months[1:] != months[:-1]], monthly[months.astype(np.int64) % 12], -1.0),
        ground,
        start_mm,
    )
    return WaterBudget(water, planted_m2, reached_share, start_mm, *rows)
