"""Longitude and latitude, as phones, web maps and hand-held receivers want them."""

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Transformer

from swalekit.design.plan.columns import Column

DEGREE_DECIMALS = 8
"""About a millimetre."""

DEGREE_COLUMNS: tuple[Column, ...] = (
    Column("longitude", "degrees", "longitude on WGS 84", DEGREE_DECIMALS),
    Column("latitude", "degrees", "latitude on WGS 84", DEGREE_DECIMALS),
)


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
