"""The level sill over which a full swale spills: a broad-crested weir."""

from swalekit._checks import check_not_negative, check_positive

GRAVITY_M_S2 = 9.80665


def sill_length_m(flow_m3s: float, head_m: float, *, coefficient: float) -> float:
    """Length of sill that passes a flow at a head.

    Parameters
    ----------
    flow_m3s : float
        Flow [m³/s].
    head_m : float
        Height of the water upstream above the sill [m].
    coefficient : float
        Discharge coefficient C [m^0.5/s], see `swalekit.tables.values.weir_coefficient`.

    Returns
    -------
    float
        Length of the level crest [m].

    Raises
    ------
    InputError
        If the flow is negative, or head or coefficient isn't positive.

    Notes
    -----
    Q = C L H^1.5, with C = 1.705 for an ideal crest. Holds for a free overfall from nearly still water over a crest
    broader than the head.

    References
    ----------
    .. [1] Chow (1959). Open-Channel Hydraulics, broad-crested weir.

    Examples
    --------
    >>> round(sill_length_m(0.2, 0.1, coefficient=1.5), 2)
    4.22
    """
    check_not_negative(flow_m3s=flow_m3s)
    check_positive(head_m=head_m, coefficient=coefficient)
    return float(flow_m3s / (coefficient * head_m**1.5))


def sill_head_m(flow_m3s: float, length_m: float, *, coefficient: float) -> float:
    """Head at which a sill passes a flow, the inverse of `sill_length_m`.

    Parameters
    ----------
    flow_m3s : float
        Flow [m³/s].
    length_m : float
        Length of the level crest [m].
    coefficient : float
        Discharge coefficient C [m^0.5/s].

    Returns
    -------
    float
        Head above the sill [m].

    Raises
    ------
    InputError
        If the flow is negative, or length or coefficient isn't positive.

    Examples
    --------
    >>> round(sill_head_m(0.2, 4.0, coefficient=1.5), 3)
    0.104
    """
    check_not_negative(flow_m3s=flow_m3s)
    check_positive(length_m=length_m, coefficient=coefficient)
    return float((flow_m3s / (coefficient * length_m)) ** (2.0 / 3.0))


def critical_depth_m(unit_flow_m2s: float) -> float:
    """Critical depth of a flow of unit width, the depth of the water on the sill itself.

    Parameters
    ----------
    unit_flow_m2s : float
        Flow per metre of sill [m²/s].

    Returns
    -------
    float
        Depth [m].

    Raises
    ------
    InputError
        If the flow is negative.

    Notes
    -----
    yc = (q² / g)^(1/3); the head upstream is 1.5 yc, the speed on the sill (g yc)^0.5.

    Examples
    --------
    >>> round(critical_depth_m(0.05), 4)
    0.0634
    """
    check_not_negative(unit_flow_m2s=unit_flow_m2s)
    return float((unit_flow_m2s**2 / GRAVITY_M_S2) ** (1.0 / 3.0))


def low_end_unit_flow_m2s(flow_m3s: float, length_m: float, *, coefficient: float, off_level_m: float) -> float:
    """Flow per metre at the low end of a sill that isn't quite level.

    Parameters
    ----------
    flow_m3s : float
        Flow over the whole sill [m³/s].
    length_m : float
        Length of the level crest [m].
    coefficient : float
        Discharge coefficient C [m^0.5/s].
    off_level_m : float
        How far the low end lies below the mean of the crest [m].

    Returns
    -------
    float
        Unit flow at the low end; zero without flow [m²/s].

    Raises
    ------
    InputError
        If flow or tolerance is negative, or length or coefficient isn't positive.

    Notes
    -----
    q = C (h + δ)^1.5 with h the head over a level crest: the weir formula, metre by metre. A crest that tilts evenly by
    twice δ passes almost the same flow, but crowds it: by 1.3 at the low end where δ is a fifth of the head.

    Examples
    --------
    >>> round(low_end_unit_flow_m2s(0.33541, 20.0, coefficient=1.5, off_level_m=0.01), 4)
    0.022
    """
    check_not_negative(off_level_m=off_level_m)
    head_m = sill_head_m(flow_m3s, length_m, coefficient=coefficient)
    return coefficient * (head_m + off_level_m) ** 1.5 if flow_m3s > 0 else 0.0
