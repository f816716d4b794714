"""Soil that rain washes off a slope in a year, by the factors of the revised universal soil loss equation."""

from math import atan, sin

from swalekit._checks import check_between, check_not_negative, check_positive

UNIT_LENGTH_M = 22.13
"""Slope length of the plot that the equation is scaled to: USDA Agriculture Handbook 703."""

LONGEST_M = 300.0
"""Slope length that none is taken to exceed, since flow gathers before: the 1000 ft of Handbook 703; from memory."""

_BREAK_SLOPE = 0.09
_WETTER_MM = 850.0
_M2_PER_HA = 10_000.0


def rain_erosivity(rain_year_mm: float) -> float:
    """Erosivity R of the rain of a mean year, from its depth alone.

    Parameters
    ----------
    rain_year_mm : float
        Rain of a mean year [mm].

    Returns
    -------
    float
        R [MJ mm/(ha h yr)].

    Raises
    ------
    InputError
        If the rain is negative.

    Notes
    -----
    R = 0.0483 P^1.61 below 850 mm, R = 587.8 − 1.219 P + 0.004105 P² above: fitted to stations of the United States,
    rough where a few storms bring the year's rain.

    References
    ----------
    .. [1] Renard & Freimund (1994). J. Hydrol. 157: 287-306; from memory.

    Examples
    --------
    >>> [round(rain_erosivity(rain_mm)) for rain_mm in (200.0, 300.0, 500.0)]
    [245, 470, 1070]
    """
    check_not_negative(rain_year_mm=rain_year_mm)
    if rain_year_mm < _WETTER_MM:
        return float(0.0483 * rain_year_mm**1.61)
    return 587.8 - 1.219 * rain_year_mm + 0.004105 * rain_year_mm**2


def slope_factor(length_m: float, slope: float) -> float:
    """Slope length and steepness factor LS.

    Parameters
    ----------
    length_m : float
        Slope length, horizontal; none counts longer than 300 m [m].
    slope : float
        Slope [m/m].

    Returns
    -------
    float
        LS [-], 1 for the unit plot of 22.13 m at 9 %.

    Raises
    ------
    InputError
        If length or slope is negative.

    Notes
    -----
    L = (λ / 22.13)^m with m = β / (1 + β) and β = (sin θ / 0.0896) / (3 sin^0.8 θ + 0.56), for moderate rilling.
    S = 10.8 sin θ + 0.03 below 9 %, 16.8 sin θ − 0.50 above.

    References
    ----------
    .. [1] Renard et al. (1997). USDA Agriculture Handbook 703, chapter 4.

    Examples
    --------
    >>> round(slope_factor(50.0, 0.08), 3), round(slope_factor(30.0, 0.10), 3)
    (1.32, 1.372)
    """
    check_not_negative(length_m=length_m, slope=slope)
    rise = sin(atan(slope))
    ratio = (rise / 0.0896) / (3.0 * rise**0.8 + 0.56)
    steepness = 10.8 * rise + 0.03 if slope < _BREAK_SLOPE else 16.8 * rise - 0.50
    return float((min(length_m, LONGEST_M) / UNIT_LENGTH_M) ** (ratio / (1.0 + ratio)) * steepness)


def soil_loss_t_ha(
    erosivity: float, erodibility: float, slope_factor: float, *, cover_factor: float, practice_factor: float = 1.0
) -> float:
    """Soil washed off a slope in a mean year.

    Parameters
    ----------
    erosivity : float
        R of the rain [MJ mm/(ha h yr)].
    erodibility : float
        K of the soil [t ha h/(ha MJ mm)].
    slope_factor : float
        LS, see `slope_factor` [-].
    cover_factor, practice_factor : float
        C of cover and management and P of practice, 0 to 1 [-].

    Returns
    -------
    float
        Soil [t/ha].

    Raises
    ------
    InputError
        If a factor is negative, or C or P above 1.

    Notes
    -----
    A = R K LS C P, sheet and rill erosion of a mean year; gullies and single great storms are not in it.

    References
    ----------
    .. [1] Renard et al. (1997). USDA Agriculture Handbook 703.

    Examples
    --------
    >>> round(soil_loss_t_ha(500.0, 0.03, 1.320, cover_factor=0.2), 2)
    3.96
    """
    check_not_negative(erosivity=erosivity, erodibility=erodibility, slope_factor=slope_factor)
    check_between(0.0, 1.0, cover_factor=cover_factor, practice_factor=practice_factor)
    return erosivity * erodibility * slope_factor * cover_factor * practice_factor


def silt_m3(soil_loss_t_ha: float, area_m2: float, *, density_t_m3: float) -> float:
    """Room that the soil washed off an area takes where it settles.

    Parameters
    ----------
    soil_loss_t_ha : float
        Soil washed off [t/ha].
    area_m2 : float
        Area that it comes from [m²].
    density_t_m3 : float
        Dry density of settled silt [t/m³].

    Returns
    -------
    float
        Volume [m³].

    Raises
    ------
    InputError
        If soil or area is negative or the density isn't positive.

    Notes
    -----
    All of it arrives and stays: a level ditch holds the runoff of all but the greatest storms, so that its trap
    efficiency is taken as 1, and so is the delivery down a slope of some tens of metres. Both are on the safe side.

    Examples
    --------
    A metre of ditch below 50 m of slope:

    >>> round(silt_m3(3.96, 50.0, density_t_m3=1.3), 4)
    0.0152
    """
    check_not_negative(soil_loss_t_ha=soil_loss_t_ha, area_m2=area_m2)
    check_positive(density_t_m3=density_t_m3)
    return soil_loss_t_ha * area_m2 / _M2_PER_HA / density_t_m3
