"""Time of concentration by the lag formula, where the paths of the water are not known."""

from swalekit._checks import check_positive
from swalekit.hydrology.curve_number import retention_mm
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH


def time_of_concentration_h(flow_length_m: float, slope: float, curve_number: float) -> float:
    """Time from the farthest point of a catchment to its outlet, by the lag method.

    Parameters
    ----------
    flow_length_m : float
        Longest flow path [m].
    slope : float
        Mean slope of the ground [m/m].
    curve_number : float
        Curve number of the ground [-].

    Returns
    -------
    float
        Time of concentration [h].

    Raises
    ------
    InputError
        If length or slope isn't positive or the curve number lies outside its range.

    Notes
    -----
    Tc = ℓ^0.8 (S + 1)^0.7 / (1140 Y^0.5) with ℓ in feet, S in inches and Y in percent. Made for farm catchments with
    overland flow and curve numbers of 50 to 95, not for pavement.

    References
    ----------
    .. [1] USDA NRCS (2010). NEH Part 630, ch. 15, eq. 15-4b.

    Examples
    --------
    >>> round(time_of_concentration_h(150.0, 0.12, 80.0), 3)
    0.087
    """
    check_positive(flow_length_m=flow_length_m, slope=slope)
    retention_in = float(retention_mm(curve_number)) / MM_PER_INCH
    length_ft = flow_length_m / METRES_PER_FOOT
    return float(length_ft**0.8 * (retention_in + 1.0) ** 0.7 / (1140.0 * (100.0 * slope) ** 0.5))
