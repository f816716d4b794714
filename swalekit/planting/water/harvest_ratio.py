"""Catchment over planted ground by the manual's formulas: a check of order beside the daily budget."""

import numpy as np
from numpy.typing import ArrayLike

from swalekit._checks import check_between, check_positive
from swalekit.errors import InputError

LEAST_SEASONS = 10
"""Seasons that the plotting rule asks for at least; Critchley & Siegert (1991) ch. 3."""


def harvest_ratio(
    water_needed_mm: float, design_rain_mm: float, *, runoff_coefficient: float, efficiency: float
) -> float:
    """Catchment over cultivated area at which a season's runoff makes up for the rain that lacks.

    Parameters
    ----------
    water_needed_mm : float
        Water that the crop needs in the season, WR [mm].
    design_rain_mm : float
        Rain of a season that is reached in two years of three, as a rule [mm].
    runoff_coefficient : float
        Seasonal runoff over rain, K: 0.1 to 0.5 as a rule, less than that of single storms [-].
    efficiency : float
        Share of the harvested water that crops use, 0.5 to 0.75 as a rule [-].

    Returns
    -------
    float
        C / CA, zero where rain alone is enough [-].

    Raises
    ------
    InputError
        If a depth isn't positive or a share lies outside 0 to 1.

    Notes
    -----
    C / CA = (WR − P) / (P K E). A season as one sum: it knows nothing of dry spells, nor of what ditch and soil can
    hold.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 4.

    Examples
    --------
    >>> round(harvest_ratio(475.0, 250.0, runoff_coefficient=0.25, efficiency=0.5), 1)
    7.2
    """
    check_positive(
        water_needed_mm=water_needed_mm,
        design_rain_mm=design_rain_mm,
        runoff_coefficient=runoff_coefficient,
        efficiency=efficiency,
    )
    check_between(0.0, 1.0, runoff_coefficient=runoff_coefficient, efficiency=efficiency)
    lacking = max(water_needed_mm - design_rain_mm, 0.0)
    return lacking / (design_rain_mm * runoff_coefficient * efficiency)


def tree_microcatchment_m2(
    rooted_m2: float, water_needed_mm: float, design_rain_mm: float, *, runoff_coefficient: float, efficiency: float
) -> float:
    """Catchment of one tree, beside the ground of its roots.

    Parameters
    ----------
    rooted_m2 : float
        Ground that its roots use [m²].
    water_needed_mm : float
        Water that the tree needs in a year over that ground [mm].
    design_rain_mm : float
        Rain of the year that is designed for [mm].
    runoff_coefficient : float
        Share of the rain that runs off the catchment [-].
    efficiency : float
        Share of the runoff that the roots get [-].

    Returns
    -------
    float
        MC, zero where rain alone is enough [m²].

    Raises
    ------
    InputError
        If a value isn't positive or a share exceeds one.

    Notes
    -----
    MC = RA (WR − DR) / (DR K EFF). The manual calls it the size of the whole microcatchment; its balance of water gives
    the catchment alone, to which the ground of the roots comes (`tree_ground_m2`).

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 4.

    Examples
    --------
    >>> round(tree_microcatchment_m2(10.0, 1000.0, 350.0, runoff_coefficient=0.5, efficiency=0.5))
    74
    """
    check_positive(rooted_m2=rooted_m2)
    return rooted_m2 * harvest_ratio(
        water_needed_mm, design_rain_mm, runoff_coefficient=runoff_coefficient, efficiency=efficiency
    )


def tree_ground_m2(
    rooted_m2: float, water_needed_mm: float, design_rain_mm: float, *, runoff_coefficient: float, efficiency: float
) -> float:
    """All the ground that one tree takes: its catchment and that of its roots.

    Parameters
    ----------
    rooted_m2 : float
        Ground that its roots use [m²].
    water_needed_mm : float
        Water that the tree needs in a year over that ground [mm].
    design_rain_mm : float
        Rain of the year that is designed for [mm].
    runoff_coefficient : float
        Share of the rain that runs off the catchment [-].
    efficiency : float
        Share of the runoff that the roots get [-].

    Returns
    -------
    float
        Ground [m²].

    Raises
    ------
    InputError
        If a value isn't positive or a share exceeds one.

    Examples
    --------
    >>> round(tree_ground_m2(10.0, 1000.0, 350.0, runoff_coefficient=0.5, efficiency=0.5), 1)
    84.3
    """
    return rooted_m2 + tree_microcatchment_m2(
        rooted_m2, water_needed_mm, design_rain_mm, runoff_coefficient=runoff_coefficient, efficiency=efficiency
    )


def probable_rain_mm(season_rain_mm: ArrayLike, probability_percent: float) -> float:
    """Rain that is reached or exceeded in a share of the seasons.

    Parameters
    ----------
    season_rain_mm : array_like, shape (n,)
        Rain of each season or year, ten or more [mm].
    probability_percent : float
        Share of seasons: 67 % is two years of three [%].

    Returns
    -------
    float
        Straight between the plotted seasons [mm].

    Raises
    ------
    InputError
        If there are fewer than ten seasons, or the probability lies beyond the plotted ones.

    Notes
    -----
    P = 100 (m − 0.375) / (N + 0.25) for the season of rank m from the wettest; N from 10 to 100.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, ch. 3.

    Examples
    --------
    >>> probable_rain_mm([420, 310, 550, 280, 390, 470, 350, 610, 330, 400], 67)
    345.15
    """
    rain = np.sort(np.asarray(season_rain_mm, np.float64))[::-1]
    if rain.size < LEAST_SEASONS:
        message = f"season_rain_mm has {rain.size} seasons; give {LEAST_SEASONS} or more"
        raise InputError(message)
    plotted = 100.0 * (np.arange(1, rain.size + 1) - 0.375) / (rain.size + 0.25)
    check_between(float(plotted[0]), float(plotted[-1]), probability_percent=probability_percent)
    return round(float(np.interp(probability_percent, plotted, rain)), 6)
