"""Longitude and latitude, as phones, web maps and hand-held receivers want them."""

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from swalekit.design.plan.columns import Column
from swalekit.staking.stake import Stakeout

DEGREE_DECIMALS = 8
"""About a millimetre."""

DEGREE_COLUMNS: tuple[Column, ...] = (
    Column("longitude", "degrees", "longitude on WGS 84", DEGREE_DECIMALS),
    Column("latitude", "degrees", "latitude on WGS 84", DEGREE_DECIMALS),
)


def stakes_on_globe(stakeout: Stakeout) -> list[tuple[str, str, NDArray[np.float64]]]:
    """Number, words and place of every stake on a line.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    list of (str, str, ndarray of float64, shape (2,))
        Number; swale, chainage, mark and dig depth in words; longitude and latitude [degrees].

    Examples
    --------
    >>> from swalekit.design.survey import stake_design
    >>> number, words, place = stakes_on_globe(stake_design(design))[0]
    >>> number, words.split(",")[0]
    ('1001', 'S1 0.0 m')
    """
    xy = np.array([(stake.x_m, stake.y_m) for stake in stakeout.stakes]).reshape(-1, 2)
    return [
        (
            str(stake.number),
            f"{stake.swale} {stake.chainage_m:.1f} m, {stake.mark}, dig {stake.dig_m:.2f} m",
            place,
        )
        for stake, place in zip(stakeout.stakes, longitude_latitude(xy, stakeout.crs), strict=True)
    ]


def longitude_latitude(xy: NDArray[np.float64], crs: CRS) -> NDArray[np.float64]:
    """Positions on WGS 84.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Eastings and northings [m].
    crs : CRS
        Their coordinate reference system.

    Returns
    -------
    ndarray of float64, shape (n, 2)
        Longitudes and latitudes, rounded to `DEGREE_DECIMALS` [degrees].

    Examples
    --------
    >>> longitude_latitude(np.array([[500_000.0, 0.0]]), CRS.from_epsg(32630))
    array([[-3.,  0.]])
    """
    transformer = Transformer.from_crs(crs, CRS.from_epsg(4326), always_xy=True)
    return np.round(np.column_stack(transformer.transform(xy[:, 0], xy[:, 1])), DEGREE_DECIMALS) + 0.0
