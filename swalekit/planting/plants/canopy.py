"""How much ground canopies cover, and what a stand that doesn't close uses."""

from math import pi, sqrt

import numpy as np

from swalekit._checks import check_between, check_not_negative, check_one_of, check_positive
from swalekit.tables.load import named_row, read_table

GROWN_YEARS = 100.0
"""Age at which every kind of growth is done [y]."""


def growths() -> tuple[str, ...]:
    """Kinds of growth in the table.

    Returns
    -------
    tuple of str
        Their names, in the order of the table.

    Examples
    --------
    >>> growths()
    ('quick', 'medium', 'slow')
    """
    return tuple(dict.fromkeys(row["growth"] for row in read_table("canopy_growth")))


def canopy_share(growth: str, age_years: float) -> float:
    """Diameter of a canopy over that of the mature tree.

    Parameters
    ----------
    growth : str
        ``quick``, ``medium`` or ``slow``.
    age_years : float
        Years since planting [y].

    Returns
    -------
    float
        0 at planting, 1 when mature [-].

    Raises
    ------
    InputError
        If the growth is unknown or the age negative.

    Notes
    -----
    Common practice on dry ground with harvested water; straight between the years of the table.

    Examples
    --------
    >>> canopy_share("quick", 3), canopy_share("slow", 30)
    (0.6, 1.0)
    """
    check_one_of(growths(), growth=growth)
    check_not_negative(age_years=age_years)
    rows = [(float(row["year"]), float(row["share"])) for row in read_table("canopy_growth") if row["growth"] == growth]
    years, shares = zip((0.0, 0.0), *rows, strict=True)
    return float(np.interp(age_years, years, shares))


def canopy_area_m2(mature_canopy_m: float, growth: str, age_years: float) -> float:
    """Ground that a canopy covers.

    Parameters
    ----------
    mature_canopy_m : float
        Diameter of the full-grown canopy [m].
    growth : str
        Kind of growth, one of `growths`.
    age_years : float
        Years since planting [years].

    Returns
    -------
    float
        Area of the circle [m²].

    Raises
    ------
    InputError
        If the diameter isn't positive, the age is negative, or there is no such growth.

    Examples
    --------
    >>> round(canopy_area_m2(6.0, "slow", 15), 1)
    28.3
    """
    check_positive(mature_canopy_m=mature_canopy_m)
    return 0.25 * pi * (mature_canopy_m * canopy_share(growth, age_years)) ** 2


def canopy_diameter_m(area_m2: float) -> float:
    """Diameter of a round canopy over so much ground.

    Parameters
    ----------
    area_m2 : float
        The ground [m²].

    Returns
    -------
    float
        Diameter [m].

    Raises
    ------
    InputError
        If the area is negative.

    Examples
    --------
    >>> round(canopy_diameter_m(canopy_area_m2(6.0, "quick", 9)), 6)
    6.0
    """
    check_not_negative(area_m2=area_m2)
    return 2.0 * sqrt(area_m2 / pi)


def density_coefficient(cover: float, height_m: float) -> float:
    """How near a stand comes to one that covers the ground.

    Parameters
    ----------
    cover : float
        Share of the ground under canopies, 0 to 1 [-].
    height_m : float
        Height of the trees [m].

    Returns
    -------
    float
        Kd in Kcb = Kc,min + Kd (Kcb,full − Kc,min), 0 to 1 [-].

    Raises
    ------
    InputError
        If the cover lies outside 0 to 1 or the height isn't positive.

    Notes
    -----
    Kd = min(1, M f, f^(1 / (1 + h))) with the canopy multiplier M of the table.

    References
    ----------
    .. [1] Allen & Pereira (2009). Estimating crop coefficients from fraction of ground cover and height. Irrigation
       Science 28, eq. 10.

    Examples
    --------
    >>> round(density_coefficient(0.3, 3.0), 2), density_coefficient(1.0, 3.0)
    (0.45, 1.0)
    """
    check_between(0.0, 1.0, cover=cover)
    check_positive(height_m=height_m)
    multiplier = named_row("evapotranspiration", constant="canopy multiplier").value
    return float(min(1.0, multiplier * cover, cover ** (1.0 / (1.0 + height_m))))


def sparse_coefficient(
    cover: float,
    height_m: float,
    *,
    regulation: float = 1.0,
    least: float = 0.0,
    wind_m_s: float = 2.0,
    rh_min_percent: float = 45.0,
) -> float:
    """Basal crop coefficient of plants of which only height and cover are known.

    Parameters
    ----------
    cover : float
        Share of the ground under canopies, 0 to 1 [-].
    height_m : float
        Height of the plants [m].
    regulation : float
        Share of full transpiration that such plants allow themselves, Fr: 1 for a crop, 0.75 for olive [-].
    least : float
        Coefficient of the ground without them, Kc,min: 0.0 to 0.15 on dry ground [-].
    wind_m_s : float
        Wind at 2 m [m/s].
    rh_min_percent : float
        Lowest relative humidity of the day [%].

    Returns
    -------
    float
        Kcb [-].

    Raises
    ------
    InputError
        If a share lies outside 0 to 1 or the height isn't positive.

    Notes
    -----
    Kcb = Kc,min + Kd (Kcb,full - Kc,min) with Kcb,full = Fr (min(1 + 0.1 h, 1.2) + what wind and dry air add).

    References
    ----------
    .. [1] Allen & Pereira (2009). Irrigation Science 28, eq. 5 to 10.

    Examples
    --------
    >>> round(sparse_coefficient(0.35, 3.5, regulation=0.75, least=0.15), 3)
    0.544
    """
    check_between(0.0, 1.0, cover=cover, regulation=regulation, least=least)
    check_positive(height_m=height_m)
    air = (0.04 * (wind_m_s - 2.0) - 0.004 * (rh_min_percent - 45.0)) * (height_m / 3.0) ** 0.3
    full = regulation * (min(1.0 + 0.1 * height_m, 1.2) + air)
    return float(least + density_coefficient(cover, height_m) * (full - least))
