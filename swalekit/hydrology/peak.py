"""Peak flow of the water that a check storm sends over a sill."""

from swalekit._checks import check_not_negative, check_positive
from swalekit.hydrology.curve_number import retention_mm
from swalekit.units import METRES_PER_FOOT, MM_PER_INCH

_SECONDS_PER_HOUR = 3600.0


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


def peak_flow_m3s(excess_m3: float, concentration_h: float, *, burst_h: float = 1.0) -> float:
    """Peak of a surplus that leaves as a triangular hydrograph.

    Parameters
    ----------
    excess_m3 : float
        Volume that leaves [m³].
    concentration_h : float
        Time of concentration [h].
    burst_h : float
        Time in which the rain that makes the surplus falls [h]; one hour is common practice for a dryland storm.

    Returns
    -------
    float
        Peak flow [m³/s].

    Raises
    ------
    InputError
        If the volume is negative or a time isn't positive.

    Notes
    -----
    Tp = D / 2 + 0.6 Tc, base 2.67 Tp, qp = 2 V / (2.67 Tp). The surplus is taken to run off from the start of the
    burst; a store that is still filling then makes the true peak later, and the flow over its sill longer and lower,
    except where the burst falls on a store already full.

    References
    ----------
    .. [1] USDA NRCS. NEH Part 630, ch. 16: triangular unit hydrograph.
    .. [2] FHWA (2002). Highway Hydrology, HDS-2, example 6.10.

    Examples
    --------
    >>> round(peak_flow_m3s(100.0, 0.2), 4)
    0.0336
    """
    check_not_negative(excess_m3=excess_m3)
    check_positive(concentration_h=concentration_h, burst_h=burst_h)
    time_to_peak_h = burst_h / 2.0 + 0.6 * concentration_h
    return 2.0 * excess_m3 / (2.67 * time_to_peak_h * _SECONDS_PER_HOUR)
