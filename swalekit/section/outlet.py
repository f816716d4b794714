"""Whether the ground below a sill bears what comes over it, and what helps if it doesn't."""

import math
from dataclasses import dataclass

from swalekit._checks import check_not_negative, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.section.sill import GRAVITY_M_S2, critical_depth_m
from swalekit.tables.load import TableRow, named_row, read_table
from swalekit.units import METRES_PER_FOOT

_LENGTH_STEP_M = 0.5  # of sills
_ROUGHNESS_OF_KIND = {
    "soil": "bare ground, 6 cm of water",
    "grass": "grass, 12 cm of water",
    "stone": "channel with cobble bed",
}
"""Row of the roughness table that belongs to each kind of ground cover, in flow about as deep as below a sill."""


@one_line("sill_depth_m", "sill_velocity_m_s", "slope_velocity_m_s", "permissible_m_s")
@dataclass(frozen=True)
class Outlet:
    """Flow over a sill and down the slope below it.

    Parameters
    ----------
    unit_flow_m2s : float
        Flow per metre of sill [m²/s].
    sill_depth_m, sill_velocity_m_s : float
        Critical depth [m] and speed [m/s] on the sill.
    slope_depth_m, slope_velocity_m_s : float
        Depth [m] and speed [m/s] of the sheet on the slope below.
    permissible_m_s : float
        Speed that the ground cover bears; zero if none is published for such a slope [m/s].
    safe_length_m : float
        Sill at which both speeds are permissible, infinite if none is [m].
    slope : float
        Slope of the ground below [m/m].
    cure : str
        What helps, in words with figures; empty if the outlet is safe.
    """

    unit_flow_m2s: float
    sill_depth_m: float
    sill_velocity_m_s: float
    slope_depth_m: float
    slope_velocity_m_s: float
    permissible_m_s: float
    safe_length_m: float
    slope: float
    cure: str


def permissible_velocity_m_s(cover: str, slope: float) -> float:
    """Speed of water that a ground cover bears.

    Parameters
    ----------
    cover : str
        Bare soil, grass or stone; a row of ``permissible_velocity``.
    slope : float
        Slope of the ground [m/m].

    Returns
    -------
    float
        Speed [m/s]; zero where none is published for so steep a slope.

    Raises
    ------
    InputError
        If the cover is unknown or the slope isn't positive.

    Notes
    -----
    Measured in canals and waterways under 0.3 m of water or more. A thin sheet tears at the ground harder at the same
    speed, so keep a margin on bare soil. Grass is taken on easily eroded soil and fully grown.

    References
    ----------
    .. [1] Fortier & Scobey (1926). Permissible canal velocities. Transactions ASCE 89.
    .. [2] USDA SCS (1954). Handbook of channel design for soil and water conservation, SCS-TP-61.

    Examples
    --------
    >>> round(permissible_velocity_m_s("grass mixture", 0.08), 2), permissible_velocity_m_s("grass mixture", 0.15)
    (0.91, 0.0)
    """
    check_positive(slope=slope)
    rows = [row for row in read_table("permissible_velocity") if row["cover"] == cover]
    if not rows:
        check_one_of(tuple(dict.fromkeys(row["cover"] for row in read_table("permissible_velocity"))), cover=cover)
    fitting = (row for row in rows if slope <= float(row["steepest_slope"] or math.inf))
    return max((float(row["velocity_ft_s"]) * METRES_PER_FOOT for row in fitting), default=0.0)


def cover_roughness(cover: str) -> TableRow:
    """Manning's n that belongs to a ground cover in the flow below a sill.

    Parameters
    ----------
    cover : str
        Bare soil, grass or stone; a row of ``permissible_velocity``.

    Returns
    -------
    TableRow
        The row of the roughness table [s/m^(1/3)].

    Raises
    ------
    InputError
        If the cover is unknown.

    Notes
    -----
    A speed that bare soil bears goes with the roughness of bare soil. That of sheet flow over range, with its stems and
    litter, would make the water nearly half as fast, on ground that has none of them.

    Examples
    --------
    >>> cover_roughness("sandy loam").value, cover_roughness("sod grass").value
    (0.051, 0.05)
    """
    kinds = {row["cover"]: row["kind"] for row in read_table("permissible_velocity")}
    check_one_of(tuple(kinds), cover=cover)
    return named_row("roughness", surface=_ROUGHNESS_OF_KIND[kinds[cover]])


def sheet_depth_m(unit_flow_m2s: float, slope: float, *, roughness: float) -> float:
    """Depth of an even sheet of water on a slope.

    Parameters
    ----------
    unit_flow_m2s : float
        Flow per metre of width [m²/s].
    slope : float
        Slope of the ground [m/m].
    roughness : float
        Manning's n [s/m^(1/3)], see `cover_roughness`.

    Returns
    -------
    float
        Depth [m].

    Raises
    ------
    InputError
        If the flow is negative, or slope or roughness isn't positive.

    Notes
    -----
    h = (q n / s^0.5)^0.6: Manning's equation with the depth as hydraulic radius. The sheet stays even only as long as
    the ground is; rills gather it within metres to tens of metres.

    Examples
    --------
    >>> round(sheet_depth_m(0.02, 0.1, roughness=0.15), 4)
    0.0611
    """
    check_not_negative(unit_flow_m2s=unit_flow_m2s)
    check_positive(slope=slope, roughness=roughness)
    return float((unit_flow_m2s * roughness / math.sqrt(slope)) ** 0.6)


def check_outlet(
    flow_m3s: float, length_m: float, slope: float, *, cover: str, roughness: float | None = None
) -> Outlet:
    """Speeds on and below a sill against what the ground cover bears.

    Parameters
    ----------
    flow_m3s : float
        Peak flow over the sill [m³/s].
    length_m : float
        Length of the sill [m].
    slope : float
        Slope of the ground below [m/m].
    cover : str
        What grows or lies there; a row of ``permissible_velocity``.
    roughness : float, optional
        Manning's n of the slope [s/m^(1/3)]; that which belongs to the cover unless given.

    Returns
    -------
    Outlet
        Depths, speeds and what helps.

    Raises
    ------
    InputError
        If the flow is negative, length, slope or roughness isn't positive, or the cover is unknown.

    Notes
    -----
    On the sill v = (g q)^(1/3), on the slope v = q / h with h from `sheet_depth_m`. Both rise with the flow per metre
    q, so a longer sill cures both: q ≤ v³ / g and q ≤ v^2.5 (n / s^0.5)^1.5 at the permissible speed v.

    References
    ----------
    .. [1] Chow (1959). Open-Channel Hydraulics: critical flow, uniform flow, permissible velocity.

    Examples
    --------
    >>> outlet = check_outlet(0.12, 4.0, 0.12, cover="sandy loam", roughness=0.05)
    >>> round(outlet.sill_velocity_m_s, 2), round(outlet.slope_velocity_m_s, 2)
    (0.67, 0.79)
    >>> outlet.cure
    'lengthen the sill from 4 to 11 m'
    """
    check_positive(length_m=length_m)
    roughness = cover_roughness(cover).value if roughness is None else roughness
    unit_flow = flow_m3s / length_m
    slope_depth = sheet_depth_m(unit_flow, slope, roughness=roughness)
    sill_depth = critical_depth_m(unit_flow)
    sill_velocity = math.sqrt(GRAVITY_M_S2 * sill_depth)
    slope_velocity = unit_flow / slope_depth if slope_depth > 0 else 0.0
    permissible = permissible_velocity_m_s(cover, slope)
    borne = min(permissible**3 / GRAVITY_M_S2, permissible**2.5 * (roughness / math.sqrt(slope)) ** 1.5)
    safe_length = flow_m3s / borne if borne > 0 else math.inf
    fastest = max(sill_velocity, slope_velocity)
    cure = "" if fastest <= permissible else _cure(length_m, safe_length)
    return Outlet(
        unit_flow, sill_depth, sill_velocity, slope_depth, slope_velocity, permissible, safe_length, slope, cure
    )


def _cure(length_m: float, safe_length_m: float) -> str:
    """A longer sill, or several."""
    if not math.isfinite(safe_length_m):
        return "spread the water over several sills"
    longer = math.ceil(safe_length_m / _LENGTH_STEP_M) * _LENGTH_STEP_M
    return f"lengthen the sill from {length_m:g} to {longer:g} m"
