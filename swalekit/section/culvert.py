"""How much a round pipe under a way carries when it runs full, and the least usual pipe that carries a flow."""

from math import pi

from swalekit._checks import check_not_negative, check_positive
from swalekit.tables.load import named_row

GRAVITY_M_S2 = 9.81

USUAL_DIAMETERS_M = (0.3, 0.4, 0.5, 0.6, 0.8, 1.0, 1.2)
"""Pipes that are usual under farm ways; more flow than the widest carries is no matter for a farm's pipe."""


def inlet_flow_m3s(diameter_m: float, headwater_m: float) -> float:
    r"""Flow that the drowned inlet of a round pipe lets in, as an orifice.

    Parameters
    ----------
    diameter_m : float
        Inner diameter D [m].
    headwater_m : float
        Depth of the water above the floor of the pipe's inlet, h [m].

    Returns
    -------
    float
        Flow [m³/s]; 0 where the water doesn't reach the pipe's middle.

    Raises
    ------
    InputError
        If a length is negative, or the diameter zero.

    Notes
    -----
    :math:`Q = C A \sqrt{2 g (h - D/2)}` with C of the table ``culverts``. It holds where the water stands above the
    crown; below it lets in less than the weir that the inlet then is, which is on the safe side.

    References
    ----------
    .. [1] FHWA (2012). Hydraulic Design of Highway Culverts, HDS-5, 3rd ed.; from memory.

    Examples
    --------
    A pipe of 0.6 m under 1.5 m of water: 0.6 · 0.2827 m² · √(19.62 · 1.2) m/s

    >>> round(inlet_flow_m3s(0.6, 1.5), 3)
    0.823
    """
    check_positive(diameter_m=diameter_m)
    check_not_negative(headwater_m=headwater_m)
    head_m = max(headwater_m - diameter_m / 2.0, 0.0)
    return float(_constant("orifice coefficient") * _area_m2(diameter_m) * (2.0 * GRAVITY_M_S2 * head_m) ** 0.5)


def full_flow_m3s(diameter_m: float, head_m: float, length_m: float) -> float:
    r"""Flow of a round pipe that runs full from a pond to a pond, or out into the open.

    Parameters
    ----------
    diameter_m : float
        Inner diameter D [m].
    head_m : float
        Fall of the water from inlet to outlet, H [m].
    length_m : float
        Length of the pipe, L [m].

    Returns
    -------
    float
        Flow [m³/s].

    Raises
    ------
    InputError
        If a length is negative, or the diameter zero.

    Notes
    -----
    :math:`H = (1 + k_e + 2 g n^2 L / R^{4/3}) V^2 / 2 g` with R = D / 4: loss at the exit, at the entrance and by
    Manning's friction, with k and n of the table ``culverts``.

    References
    ----------
    .. [1] FHWA (2012). Hydraulic Design of Highway Culverts, HDS-5, 3rd ed., eq. 3.6; from memory.

    Examples
    --------
    A pipe of 0.6 m, 6 m long, with a fall of 0.12 m: R = 0.15 m, friction 19.62 · 0.024² · 6 / 0.15^(4/3) = 0.85,
    V = √(19.62 · 0.12 / 2.75) = 0.925 m/s

    >>> round(full_flow_m3s(0.6, 0.12, 6.0), 3)
    0.262
    """
    check_positive(diameter_m=diameter_m)
    check_not_negative(head_m=head_m, length_m=length_m)
    radius_m = diameter_m / 4.0
    friction = 2.0 * GRAVITY_M_S2 * _constant("roughness") ** 2 * length_m / radius_m ** (4.0 / 3.0)
    losses = 1.0 + _constant("entrance loss") + friction
    return float(_area_m2(diameter_m) * (2.0 * GRAVITY_M_S2 * head_m / losses) ** 0.5)


def culvert_flow_m3s(diameter_m: float, *, length_m: float) -> float:
    """Flow that a level pipe under a way carries, with the water above its inlet as high as is usual.

    Parameters
    ----------
    diameter_m : float
        Inner diameter [m].
    length_m : float
        Length of the pipe [m].

    Returns
    -------
    float
        What inlet and full pipe both let pass [m³/s].

    Raises
    ------
    InputError
        If a length is negative, or the diameter zero.

    Notes
    -----
    The water stands 1.2 diameters above the inlet's floor, and at the outlet at the crown. A pipe that falls with the
    ground carries more.

    Examples
    --------
    >>> round(culvert_flow_m3s(0.6, length_m=6.0), 3)
    0.262
    """
    headwater_m = _constant("headwater") * diameter_m
    full_m3s = full_flow_m3s(diameter_m, headwater_m - diameter_m, length_m)
    return min(inlet_flow_m3s(diameter_m, headwater_m), full_m3s)


def least_diameter_m(flow_m3s: float, *, length_m: float) -> float | None:
    """The least usual pipe that carries a flow.

    Parameters
    ----------
    flow_m3s : float
        The flow [m³/s].
    length_m : float
        Length of the pipe [m].

    Returns
    -------
    float or None
        Inner diameter, one of `USUAL_DIAMETERS_M` [m]; None where the widest doesn't carry it.

    Raises
    ------
    InputError
        If flow or length is negative.

    Examples
    --------
    >>> least_diameter_m(0.2, length_m=6.0), least_diameter_m(0.3, length_m=6.0), least_diameter_m(9.0, length_m=6.0)
    (0.6, 0.8, None)
    """
    check_not_negative(flow_m3s=flow_m3s)
    enough = (width for width in USUAL_DIAMETERS_M if culvert_flow_m3s(width, length_m=length_m) >= flow_m3s)
    return next(enough, None)


def pipe_length_m(way_m: float) -> float:
    """Length of a pipe under a way: its width and the faces of the bank that carries it.

    Parameters
    ----------
    way_m : float
        Width of the way [m].

    Returns
    -------
    float
        Length [m].

    Examples
    --------
    >>> pipe_length_m(4.0)
    8.0
    """
    return way_m + _constant("banks")


def _area_m2(diameter_m: float) -> float:
    return pi * diameter_m**2 / 4.0


def _constant(name: str) -> float:
    return named_row("culverts", name=name).value
