"""Longest flow path of a catchment known only by its area."""

from swalekit._checks import check_positive
from swalekit.units import M2_PER_ACRE, METRES_PER_FOOT


def flow_length_m(area_m2: float) -> float:
    """Flow length that goes with a catchment area.

    Parameters
    ----------
    area_m2 : float
        Catchment [m²].

    Returns
    -------
    float
        Flow length [m].

    Raises
    ------
    InputError
        If the area isn't positive.

    Notes
    -----
    ℓ = 209 A^0.6 with ℓ in feet and A in acres, a mean over farm catchments.

    References
    ----------
    .. [1] USDA NRCS (2010). NEH Part 630, ch. 15, eq. 15-5.

    Examples
    --------
    >>> round(flow_length_m(4046.8564224), 1)
    63.7
    """
    check_positive(area_m2=area_m2)
    return float(209.0 * (area_m2 / M2_PER_ACRE) ** 0.6 * METRES_PER_FOOT)
