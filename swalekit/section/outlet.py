"""Whether the ground below a sill bears what comes over it."""

import math
from dataclasses import dataclass

from swalekit._checks import check_not_negative, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.section.sill import GRAVITY_M_S2, critical_depth_m
from swalekit.tables.load import TableRow, named_row, read_table
from swalekit.units import METRES_PER_FOOT

LEVEL = 0.001
"""Slope given to level ground below a sill, so that its flow has a depth, and to the crest of the sill itself."""

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
        Speed that the ground cover bears on the slope; zero if none is published for one so steep [m/s].
    sill_permissible_m_s : float
        Speed that it bears on the level sill [m/s].
    safe_length_m : float
        Sill at which both speeds are permissible, infinite if none is [m].
    slope : float
        Slope of the ground below [m/m].
    """

    unit_flow_m2s: float
    sill_depth_m: float
    sill_velocity_m_s: float
    slope_depth_m: float
    slope_velocity_m_s: float
    permissible_m_s: float
    sill_permissible_m_s: float
    safe_length_m: float
    slope: float

    @property
    def bears(self) -> bool:
        """Whether sill and slope bear the flow with the ground cover alone."""
        return self.sill_velocity_m_s <= self.sill_permissible_m_s and self.slope_velocity_m_s <= self.permissible_m_s


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
        Depths and speeds.

    Raises
    ------
    InputError
        If the flow is negative, length, slope or roughness isn't positive, or the cover is unknown.

    Notes
    -----
    On the sill v = (g q)^(1/3), on the slope v = q / h with h from `sheet_depth_m`. Both rise with the flow per metre
    q, so a longer sill lowers both, until q is no more than `borne_unit_flow_m2s`.

    References
    ----------
    .. [1] Chow (1959). Open-Channel Hydraulics: critical flow, uniform flow, permissible velocity.

    Examples
    --------
    >>> outlet = check_outlet(0.12, 4.0, 0.12, cover="sandy loam", roughness=0.05)
    >>> round(outlet.sill_velocity_m_s, 2), round(outlet.slope_velocity_m_s, 2), outlet.bears
    (0.67, 0.79, False)
    >>> round(outlet.safe_length_m, 1)
    10.5
    """
    check_positive(length_m=length_m)
    roughness = cover_roughness(cover).value if roughness is None else roughness
    unit_flow = flow_m3s / length_m
    slope_depth = sheet_depth_m(unit_flow, slope, roughness=roughness)
    sill_depth = critical_depth_m(unit_flow)
    on_sill, on_slope = borne_unit_flow_m2s(cover, slope, roughness=roughness)
    borne = min(on_sill, on_slope)
    return Outlet(
        unit_flow_m2s=unit_flow,
        sill_depth_m=sill_depth,
        sill_velocity_m_s=math.sqrt(GRAVITY_M_S2 * sill_depth),
        slope_depth_m=slope_depth,
        slope_velocity_m_s=unit_flow / slope_depth if slope_depth > 0 else 0.0,
        permissible_m_s=permissible_velocity_m_s(cover, slope),
        sill_permissible_m_s=permissible_velocity_m_s(cover, LEVEL),
        safe_length_m=flow_m3s / borne if borne > 0 else math.inf,
        slope=slope,
    )


def borne_unit_flow_m2s(cover: str, slope: float, *, roughness: float | None = None) -> tuple[float, float]:
    """Flow per metre that a level sill and a slope below it bear.

    Parameters
    ----------
    cover : str
        What grows or lies there; a row of ``permissible_velocity``.
    slope : float
        Slope of the ground [m/m].
    roughness : float, optional
        Manning's n of the slope [s/m^(1/3)]; that which belongs to the cover unless given.

    Returns
    -------
    on_sill, on_slope : float
        Unit flow; zero where no speed is published for so steep a slope [m²/s].

    Raises
    ------
    InputError
        If slope or roughness isn't positive, or the cover is unknown.

    Notes
    -----
    q = v³ / g on the sill and q = v^2.5 (n / s^0.5)^1.5 on the slope, at the permissible speed v: the inverse of
    critical flow and of Manning's equation for a sheet.

    Examples
    --------
    >>> [round(1000.0 * borne) for borne in borne_unit_flow_m2s("sandy loam", 0.12)]
    [15, 12]
    """
    roughness = cover_roughness(cover).value if roughness is None else roughness
    check_positive(roughness=roughness)
    on_sill = permissible_velocity_m_s(cover, LEVEL) ** 3 / GRAVITY_M_S2
    return on_sill, permissible_velocity_m_s(cover, slope) ** 2.5 * (roughness / math.sqrt(slope)) ** 1.5
