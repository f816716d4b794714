"""Which CRS can carry a plan in metres."""

import math

import numpy as np
from pyproj import CRS, Geod, Proj
from pyproj.aoi import AreaOfUse
from pyproj.exceptions import CRSError

from swalekit.errors import InputError, TerrainError

_GREATEST_SCALE_ERROR = 0.01
"""A map whose metres are further off gives way to UTM (at most 0.1 % off); 1 % of a line's length shows in the cost."""

_WGS84 = Geod(ellps="WGS84")


def parse_crs(crs: str) -> CRS:
    """CRS from an EPSG code or WKT.

    Parameters
    ----------
    crs : str
        Code or WKT.

    Returns
    -------
    CRS
        What it names.

    Raises
    ------
    InputError
        If it can't be read.

    Examples
    --------
    >>> parse_crs("EPSG:32630").name
    'WGS 84 / UTM zone 30N'
    """
    try:
        return CRS.from_user_input(crs)
    except CRSError as fault:
        message = f"crs is '{crs}'; it must be a known code such as EPSG:32612"
        raise InputError(message) from fault


def unfit_reason(crs: CRS, longitude: float, latitude: float) -> str:
    """Why a CRS can't carry lengths in metres at a point [degrees]; empty if it can.

    Parameters
    ----------
    crs : CRS
        The reference system.
    longitude, latitude : float
        The point [degrees].

    Returns
    -------
    str
        The reason, '' where it can.

    Examples
    --------
    >>> unfit_reason(CRS("EPSG:3857"), -112.5, 33.4)
    'its metres are 20 % off here'
    >>> unfit_reason(CRS("EPSG:2225"), -122.0, 40.0)
    'its unit is the US survey foot'
    """
    if not crs.is_projected:
        return "its unit is the degree"
    horizontal = crs.axis_info[:2]
    if any(axis.unit_conversion_factor != 1.0 for axis in horizontal):
        return f"its unit is the {horizontal[0].unit_name}"
    factors = Proj(crs).get_factors(longitude, latitude)
    scale_error = max(abs(factors.meridional_scale - 1.0), abs(factors.parallel_scale - 1.0))
    if not scale_error <= _GREATEST_SCALE_ERROR:
        return f"its metres are {100 * scale_error:.0f} % off here"
    return ""


def km_outside_use(crs: CRS, longitude: float, latitude: float) -> float:
    """Distance of a point [degrees] from the area that a CRS is meant for.

    Parameters
    ----------
    crs : CRS
        The reference system.
    longitude, latitude : float
        The point [degrees].

    Returns
    -------
    float
        Distance to the nearest side of the area's bounds [km]; 0 within them, and for a CRS that names no area.

    Examples
    --------
    >>> km_outside_use(CRS("EPSG:32630"), -3.0, 40.0), round(km_outside_use(CRS("EPSG:32630"), -7.5, 0.0))
    (0.0, 167)
    """
    use = _area_of_use(crs)
    if use is None:
        return 0.0
    east = (longitude - use.west) % 360.0
    width = (use.east - use.west) % 360.0 or 360.0
    beyond = use.east if east - width < 360.0 - east else use.west
    nearest = longitude if east <= width else beyond
    _, _, metres = _WGS84.inv(longitude, latitude, nearest, min(max(latitude, use.south), use.north))
    return float(metres) / 1000.0


def use_words(crs: CRS) -> str:
    """The area that a CRS is meant for, as its bounds in degrees.

    Parameters
    ----------
    crs : CRS
        The reference system; one that names its area, or has an EPSG code.

    Returns
    -------
    str
        The words, '' where it is unknown.

    Examples
    --------
    >>> use_words(CRS("EPSG:32630"))
    'longitude -6 to 0, latitude 0 to 84'
    """
    use = _area_of_use(crs)
    return "" if use is None else f"longitude {use.west:g} to {use.east:g}, latitude {use.south:g} to {use.north:g}"


def utm_crs(longitude: float, latitude: float) -> CRS:
    """CRS of the UTM zone of a point, on WGS 84.

    Parameters
    ----------
    longitude, latitude : float
        Degrees.

    Returns
    -------
    CRS
        Northern or southern zone.

    Raises
    ------
    TerrainError
        If the point lies beyond 80° S or 84° N, where UTM ends.

    Notes
    -----
    Zones are 6° wide, numbered from 180° W. Zone 32 is widened to 3-12° E between 56° and 64° N (south-western
    Norway); between 72° and 84° N (Svalbard) zones 31, 33, 35 and 37 meet at 9°, 21° and 33° E.

    References
    ----------
    .. [1] Snyder, J. P. (1987). Map projections: a working manual. USGS Professional Paper 1395, section 8.

    Examples
    --------
    >>> utm_crs(-112.5, 33.4).to_epsg(), utm_crs(5.3, 60.4).to_epsg(), utm_crs(151.2, -33.9).to_epsg()
    (32612, 32632, 32756)
    """
    if not -80.0 <= latitude <= 84.0:
        message = f"latitude {latitude:.2f}° lies beyond UTM (80° S to 84° N); give a metric CRS, such as EPSG:3413"
        raise TerrainError(message)
    zone = math.floor((longitude + 180.0) / 6.0) % 60 + 1
    if 56.0 <= latitude < 64.0 and 3.0 <= longitude < 12.0:
        zone = 32
    elif latitude >= 72.0 and 0.0 <= longitude < 42.0:
        zone = 31 + 2 * int(np.searchsorted((9.0, 21.0, 33.0), longitude, side="right"))
    return CRS.from_epsg((32600 if latitude >= 0 else 32700) + zone)


def _area_of_use(crs: CRS) -> AreaOfUse | None:
    """Area that a CRS is meant for; a file's CRS doesn't name it, but its code does."""
    if crs.area_of_use is not None:
        return crs.area_of_use
    code = crs.to_epsg()
    return None if code is None else CRS.from_epsg(code).area_of_use
