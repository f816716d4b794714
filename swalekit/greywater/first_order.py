"""First-order removal in reed beds: the published ways to their area."""

import math

from swalekit._checks import check_between, check_positive
from swalekit.errors import InputError
from swalekit.tables.load import named_row


def bed_constant(name: str) -> float:
    """A number of the table of reed beds.

    Parameters
    ----------
    name : str
        Name of the number, such as ``depth``.

    Returns
    -------
    float
        The number, in the unit of the table.

    Raises
    ------
    InputError
        If there is no such number; the nearest name is offered.

    Examples
    --------
    >>> bed_constant("depth")
    0.4
    """
    return named_row("reed_bed", constant=name).value


def rate_per_day(temperature_c: float) -> float:
    """First-order rate of removal of BOD in the water of a bed.

    Parameters
    ----------
    temperature_c : float
        Temperature of the water, 0 to 40 [°C].

    Returns
    -------
    float
        Rate K [1/d].

    Raises
    ------
    InputError
        If the temperature lies outside that range.

    Notes
    -----
    K = K₂₀ 1.06^(T − 20), for water of 5 to 30 °C.

    References
    ----------
    .. [1] UN-HABITAT (2008). Constructed Wetlands Manual; Reed, Crites & Middlebrooks (1995).

    Examples
    --------
    >>> round(rate_per_day(10.0), 3)
    0.614
    """
    check_between(0.0, 40.0, temperature_c=temperature_c)
    return bed_constant("rate at 20 degC") * float(bed_constant("temperature factor") ** (temperature_c - 20.0))


def first_order_area_m2(flow_m3_d: float, inflow_mg_l: float, outflow_mg_l: float, *, areal_rate_m_d: float) -> float:
    """Area of a bed by first-order removal.

    Parameters
    ----------
    flow_m3_d : float
        Mean flow [m³/d].
    inflow_mg_l, outflow_mg_l : float
        BOD that comes in, after any settling, and that may go out [mg/L].
    areal_rate_m_d : float
        Rate per area: K d n of a bed of depth d and porosity n [m/d].

    Returns
    -------
    float
        Area [m²].

    Raises
    ------
    InputError
        If flow or rate isn't positive, or no less goes out than comes in.

    Notes
    -----
    A = Q (ln Ci − ln Ce) / K. Plug flow without background: for outflows well above 10 mg/L.

    References
    ----------
    .. [1] UN-HABITAT (2008). Constructed Wetlands Manual, horizontal flow.

    Examples
    --------
    >>> round(first_order_area_m2(32.0, 350.0, 30.0, areal_rate_m_d=0.15), 1)
    524.1
    """
    check_positive(flow_m3_d=flow_m3_d, areal_rate_m_d=areal_rate_m_d)
    _check_cleaned(inflow_mg_l, outflow_mg_l, 0.0)
    return flow_m3_d * math.log(inflow_mg_l / outflow_mg_l) / areal_rate_m_d


def plug_flow_area_m2(
    flow_m3_d: float, inflow_mg_l: float, outflow_mg_l: float, *, rate_m_yr: float, background_mg_l: float
) -> float:
    """Area of a bed in plug flow toward a background, the k–C* model.

    Parameters
    ----------
    flow_m3_d : float
        Mean flow [m³/d].
    inflow_mg_l, outflow_mg_l, background_mg_l : float
        Concentrations in and out, and that which no bed goes below [mg/L].
    rate_m_yr : float
        Areal rate k [m/yr].

    Returns
    -------
    float
        Area [m²].

    Raises
    ------
    InputError
        If flow or rate isn't positive, no less goes out than comes in, or the outflow isn't above the background.

    Notes
    -----
    A = 365 Q / k ln[(Ci − C*) / (Ce − C*)].

    References
    ----------
    .. [1] Kadlec & Knight (1996). Treatment Wetlands.

    Examples
    --------
    >>> round(plug_flow_area_m2(10.0, 200.0, 20.0, rate_m_yr=180.0, background_mg_l=10.0), 1)
    59.7
    """
    check_positive(flow_m3_d=flow_m3_d, rate_m_yr=rate_m_yr)
    _check_cleaned(inflow_mg_l, outflow_mg_l, background_mg_l)
    share = (inflow_mg_l - background_mg_l) / (outflow_mg_l - background_mg_l)
    return 365.0 * flow_m3_d / rate_m_yr * math.log(share)


def cross_section_m2(flow_m3_d: float, *, conductivity_m_s: float, bed_slope: float) -> float:
    """Section across the flow through which gravel lets the water pass below its surface.

    Parameters
    ----------
    flow_m3_d : float
        Mean flow [m³/d].
    conductivity_m_s : float
        Hydraulic conductivity K of the gravel [m/s].
    bed_slope : float
        Fall dh/ds of the bed [m/m].

    Returns
    -------
    float
        Width times depth of the water [m²].

    Raises
    ------
    InputError
        If a value isn't positive.

    Notes
    -----
    Darcy: A = Q / (K dh/ds). For laminar flow; roots and silt take up gravel's conductivity with the years.

    References
    ----------
    .. [1] UN-HABITAT (2008). Constructed Wetlands Manual.

    Examples
    --------
    >>> round(cross_section_m2(32.0, conductivity_m_s=0.003, bed_slope=0.01), 2)
    12.35
    """
    check_positive(flow_m3_d=flow_m3_d, conductivity_m_s=conductivity_m_s, bed_slope=bed_slope)
    return flow_m3_d / 86400.0 / (conductivity_m_s * bed_slope)


def _check_cleaned(inflow_mg_l: float, outflow_mg_l: float, background_mg_l: float) -> None:
    """Concentrations fall from inflow over outflow to background."""
    if not inflow_mg_l > outflow_mg_l > background_mg_l >= 0.0:
        message = (
            f"inflow is {inflow_mg_l:g}, outflow {outflow_mg_l:g} and background {background_mg_l:g} mg/L; "
            "a bed goes from inflow down to an outflow above the background"
        )
        raise InputError(message)
