"""The daily water budget of a ditch and the root zone that it feeds."""

from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray

from swalekit.kernels.jit import kernel, part_of_kernel

_USUAL_WANT = 5.0  # mm/d, at which the published depletion fractions hold; FAO-56 (1998) Table 22


class BudgetGround(NamedTuple):
    """What stays the same from day to day.

    Parameters
    ----------
    planted : float
        Ground that the roots fill [m²].
    available : float
        Water between field capacity and wilting point in the root zone [mm].
    fraction : float
        Share of it that is taken without stress at 5 mm a day [-].
    rew, tew : float
        Readily and totally evaporable water of the topmost soil [mm].
    bare : float
        Share of the ground outside the canopies [-].
    mulch_factor : float
        Evaporation with mulch over that without, of a day and of a whole drying alike [-].
    capacity : float
        Water that the ditch holds [m³].
    wetted : float
        Plan area of its water [m²].
    intake : float
        Soaking through that area [m/d].
    open_water : float
        Evaporation of open water over the reference [-].
    reached : float
        Share of what soaks in from the ditch that the roots reach [-].
    pocket_capacity, pocket_wetted : float
        Water that pockets in the ditch's floor hold [m³], and its plan area [m²]; roots reach all that soaks in there.
    """

    planted: float
    available: float
    fraction: float
    rew: float
    tew: float
    bare: float
    mulch_factor: float
    capacity: float
    wetted: float
    intake: float
    open_water: float
    reached: float
    pocket_capacity: float
    pocket_wetted: float


@kernel
def ditch_day(
    stored: float, arriving: float, reference: float, capacity: float, wetted: float, ground: BudgetGround
) -> tuple[float, float, float, float]:
    """Water of a ditch, or of its pockets, at the day's end, and what spilled, soaked away and evaporated [m³].

    What exceeds the capacity spills at once; the rest soaks and evaporates side by side until day or water ends.

    Parameters
    ----------
    stored, arriving : float
        Water in the ditch before the day, and what comes [m³].
    reference : float
        Reference evapotranspiration of the day [mm].
    capacity, wetted : float
        Water that it holds [m³], and its plan area [m²].
    ground : BudgetGround
        Intake and evaporation.

    Returns
    -------
    left, spilled, soaked, evaporated : float
        Water [m³]; together what was there and came.
    """
    spilled = max(stored + arriving - capacity, 0.0)
    held = stored + arriving - spilled
    soaking = ground.intake * wetted
    evaporating = ground.open_water * reference * wetted / 1000.0
    leaving = soaking + evaporating
    if leaving >= held:
        evaporated = evaporating * held / leaving if leaving > 0.0 else 0.0
        return 0.0, spilled, held - evaporated, evaporated
    return held - soaking - evaporating, spilled, soaking, evaporating


@part_of_kernel
def _evaporation_coefficient(dry: float, kcb: float, kc_max: float, ground: BudgetGround) -> float:
    """Evaporation of the soil over the reference, with the topmost soil ``dry`` millimetres below field capacity."""
    reduction = 1.0 if dry <= ground.rew else (ground.tew - dry) / (ground.tew - ground.rew)
    return max(min(reduction * (kc_max - kcb), ground.bare * kc_max), 0.0) * ground.mulch_factor


@kernel
def budget_days(
    rain: NDArray[np.float64],
    harvested: NDArray[np.float64],
    reference: NDArray[np.float64],
    kcb: NDArray[np.float64],
    kc_max: NDArray[np.float64],
    allowed: NDArray[np.float64],
    ground: BudgetGround,
    depletion: float,
) -> NDArray[np.float64]:
    """Walk through n days.

    Parameters
    ----------
    rain : ndarray of float64, shape (n,)
        Rain that enters the planted ground, early in the day [mm].
    harvested : ndarray of float64, shape (n,)
        Water that reaches the ditch [m³].
    reference : ndarray of float64, shape (n,)
        Reference evapotranspiration [mm].
    kcb, kc_max : ndarray of float64, shape (n,)
        Basal and greatest crop coefficient of the stand [-].
    allowed : ndarray of float64, shape (n,)
        Water that may be given from that day on until the next such day so that no day brings stress, on the first day
        of each month; negative on all other days [mm].
    ground : BudgetGround
        What stays the same.
    depletion : float
        Water lacking in the root zone before the first day, when the ditch is empty [mm].

    Returns
    -------
    ndarray of float64, shape (12, n)
        Spilled, soaked, evaporated from the ditch and left in it [m³]; irrigation, transpiration, unstressed
        transpiration, evaporation, percolation, depletion at the day's end [mm]; stress coefficient [-]; of
        what soaked, what did so in pockets [m³].
    """
    days = np.empty((12, rain.size), np.float64)
    pocketed, stored, dry, left_to_give = 0.0, 0.0, min(depletion, ground.tew), 0.0
    for day in range(rain.size):
        if allowed[day] >= 0.0:
            left_to_give = allowed[day]
        pocketed, passed, near, aired = ditch_day(
            pocketed, harvested[day], reference[day], ground.pocket_capacity, ground.pocket_wetted, ground
        )
        stored, days[0, day], soaked, days[2, day] = ditch_day(
            stored, passed, reference[day], ground.capacity, ground.wetted, ground
        )
        days[1, day], days[3, day], days[11, day] = soaked + near, stored + pocketed, near
        days[2, day] += aired
        lacking = depletion - rain[day] - 1000.0 * (ground.reached * soaked + near) / ground.planted
        dry = max(dry - rain[day], 0.0)
        ke = _evaporation_coefficient(dry, kcb[day], kc_max[day], ground)
        wanted = (kcb[day] + ke) * reference[day]
        fraction = min(max(ground.fraction + 0.04 * (_USUAL_WANT - wanted), 0.1), 0.8)
        ready = fraction * ground.available
        irrigation = min(max(lacking - ready, 0.0), left_to_give)
        left_to_give -= irrigation
        lacking -= irrigation
        stress = min(max((ground.available - lacking) / (ground.available - ready), 0.0), 1.0)
        transpiration = stress * kcb[day] * reference[day]
        open_ground = ground.bare * ground.mulch_factor
        evaporation = min(ke * reference[day], open_ground * (ground.tew - dry))
        left = ground.available - lacking
        if transpiration + evaporation > left:
            share = left / (transpiration + evaporation)
            transpiration *= share
            evaporation = left - transpiration
        ending = lacking + transpiration + evaporation
        percolation = max(-ending, 0.0)
        depletion = min(ending + percolation, ground.available)
        if open_ground > 0.0:
            dry = min(dry + evaporation / open_ground, ground.tew)
        days[4, day], days[5, day], days[6, day] = irrigation, transpiration, kcb[day] * reference[day]
        days[7, day], days[8, day], days[9, day], days[10, day] = evaporation, percolation, depletion, stress
    return days
