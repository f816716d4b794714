"""The apron of a sill: stone or grass on crest, berm's face and ground, so that spilling water digs nothing."""

import math
from dataclasses import dataclass

from swalekit._checks import check_between, check_not_negative, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.section.outlet import borne_unit_flow_m2s
from swalekit.section.sill import GRAVITY_M_S2, critical_depth_m

APRON_KINDS = ("stone", "grass")
"""What an apron may be laid of."""

APRON_GRASS = "sod grass"
"""The row of the permissible-velocity table that a grass apron goes by."""

STEEPEST_STONE = 0.40
"""Slope above which no stable stone is published: Robinson, Rice & Kadavy (1998)."""

_STONE_ON_WATER = 2.65
_TURBULENT = 0.86  # Isbash's coefficient below an overfall
_GENTLE = 0.02  # slope below which the stone is sized by the speed on the sill
_STEEP = 0.10  # slope at which the two branches of the chute's relation meet
_SAFETY = 1.2  # on the stone's size; common practice
_SMALLEST_M, _LARGEST_M = 0.015, 0.278  # stone that was tested on chutes
_LAYERS = 2.0  # thickness over stone size
_RUN_OUT = 15.0  # length at the foot over stone size
_GRASS_RUN_OUT_M = 1.0


@one_line("kind", "d50_m", "thickness_m", "length_m", "volume_m3")
@dataclass(frozen=True)
class Apron:
    """What is laid below a sill.

    Parameters
    ----------
    kind : str
        ``stone`` or ``grass``.
    slope : float
        Steepest slope that it lies on, to which a steeper face of the berm is flattened [m/m].
    d50_m : float
        Median size of the stone, 0 for grass [m].
    thickness_m : float
        Thickness of the stone, 0 for grass [m].
    length_m : float
        From the sill's edge to the end of the run-out, along the slope [m].
    width_m : float
        Along the sill [m].
    ground_m : float
        The part of it beyond the foot of the berm, in plan [m].
    crest_m : float
        The part of it on the sill itself, 0 where the soil there bears the flow [m].
    """

    kind: str
    slope: float
    d50_m: float
    thickness_m: float
    length_m: float
    width_m: float
    ground_m: float = 0.0
    crest_m: float = 0.0

    @property
    def area_m2(self) -> float:
        """Area laid [m²]."""
        return self.length_m * self.width_m

    @property
    def volume_m3(self) -> float:
        """Stone, in place [m³]."""
        return self.area_m2 * self.thickness_m

    def __str__(self) -> str:
        size = f" of {1000 * self.d50_m:.0f} mm, {self.thickness_m:.2f} m thick," if self.d50_m > 0 else ""
        return f"{self.kind}{size} {self.length_m:.1f} m down from the sill and {self.width_m:.1f} m wide"


def isbash_d50_m(velocity_m_s: float) -> float:
    """Stone that turbulent flow over gentle ground leaves at rest.

    Parameters
    ----------
    velocity_m_s : float
        Speed of the water [m/s].

    Returns
    -------
    float
        Median size [m].

    Raises
    ------
    InputError
        If the speed is negative.

    Notes
    -----
    d50 = v² / (2 g C² (G − 1)), with C = 0.86 for turbulent flow and a relative density G of 2.65.

    References
    ----------
    .. [1] USACE (1970). Hydraulic Design Criteria, sheet 712-1, after Isbash (1936); from memory.

    Examples
    --------
    >>> round(isbash_d50_m(2.0), 3)
    0.167
    """
    check_not_negative(velocity_m_s=velocity_m_s)
    return velocity_m_s**2 / (2.0 * GRAVITY_M_S2 * _TURBULENT**2 * (_STONE_ON_WATER - 1.0))


def chute_d50_m(unit_flow_m2s: float, slope: float) -> float:
    """Stone that just withstands a flow down a chute.

    Parameters
    ----------
    unit_flow_m2s : float
        Flow per metre of width [m²/s].
    slope : float
        Slope of the chute, 0.02 to 0.40 [m/m].

    Returns
    -------
    float
        Median size, without any margin [m].

    Raises
    ------
    InputError
        If the flow is negative or the slope outside the tests.

    Notes
    -----
    q = 9.76e-7 D^1.89 S^-1.50 below S = 0.10, q = 8.07e-6 D^1.89 S^-0.58 from there on, with D in mm. Tested with
    angular stone of 15 to 278 mm in layers twice as thick.

    References
    ----------
    .. [1] Robinson, Rice & Kadavy (1998). Design of rock chutes. Transactions of the ASAE 41(3): 621-626; from memory.

    Examples
    --------
    >>> [round(chute_d50_m(0.05, slope), 4) for slope in (0.05, 0.2)]
    [0.0288, 0.0619]
    """
    check_not_negative(unit_flow_m2s=unit_flow_m2s)
    check_between(_GENTLE, STEEPEST_STONE, slope=slope)
    factor, power = (9.76e-7, 1.50) if slope < _STEEP else (8.07e-6, 0.58)
    return float((unit_flow_m2s * slope**power / factor) ** (1.0 / 1.89)) / 1000.0


def size_apron(
    flow_m3s: float,
    sill_length_m: float,
    *,
    drop_m: float,
    face_slope: float,
    ground_slope: float,
    kind: str = "stone",
    crest_m: float = 0.0,
    ground_m: float = 0.0,
    way_m: float = math.inf,
) -> Apron | None:
    """Apron for a flow over a sill, down the face of the berm and out over the ground.

    Parameters
    ----------
    flow_m3s : float
        Peak flow over the sill [m³/s].
    sill_length_m : float
        Length of the sill [m].
    drop_m : float
        Height of the sill above the ground at the berm's foot [m].
    face_slope : float
        Slope of the berm's downhill face; where there is a drop one steeper than 0.40 is flattened to it [m/m].
    ground_slope : float
        Slope of the steepest ground that it lies on [m/m].
    kind : str
        ``stone``, or ``grass`` where sod bears the flow on every slope and stone elsewhere.
    crest_m : float
        Breadth of the sill that is laid too, 0 where the soil bears the flow on it [m].
    ground_m : float
        How far it must go over the ground from the berm's foot, in plan [m].
    way_m : float
        From there to the water that receives the flow, beyond which nothing is laid [m].

    Returns
    -------
    Apron or None
        What to lay; None where the ground is steeper, or the stone would be larger, than any that was tested.

    Raises
    ------
    InputError
        If the kind is unknown, a flow, drop or distance negative, or a length or slope not positive.

    Notes
    -----
    Stone is of one size, for the steepest slope that it lies on: by `chute_d50_m` from 0.02 on, on gentler ground by
    `isbash_d50_m` at the critical speed on the sill; times 1.2, of 15 mm at least, two stones thick. It runs out 15
    stones from the berm's foot at least, and reaches a thickness beyond the sill at each side. Where it ends, the sheet
    runs on as `check_outlet` has it. The ground under it is made level across, so that the sheet stays as wide as the
    sill.

    References
    ----------
    .. [1] Robinson, Rice & Kadavy (1998). Transactions of the ASAE 41(3): 621-626; run-out and thickness as in their
       tests, from memory.

    Examples
    --------
    >>> print(size_apron(0.1, 2.0, drop_m=0.4, face_slope=0.5, ground_slope=0.1))
    stone of 92 mm, 0.18 m thick, 2.5 m down from the sill and 2.4 m wide
    >>> print(size_apron(0.1, 2.0, drop_m=0.4, face_slope=0.5, ground_slope=0.1, ground_m=20.0))
    stone of 92 mm, 0.18 m thick, 21.2 m down from the sill and 2.4 m wide
    """
    check_one_of(APRON_KINDS, kind=kind)
    check_not_negative(flow_m3s=flow_m3s, drop_m=drop_m, crest_m=crest_m, ground_m=ground_m)
    check_positive(sill_length_m=sill_length_m, face_slope=face_slope, ground_slope=ground_slope)
    if ground_slope > STEEPEST_STONE:
        return None
    unit_flow = flow_m3s / sill_length_m
    face = min(max(face_slope, ground_slope), STEEPEST_STONE)
    slope = face if drop_m > 0 else ground_slope
    to_foot_m, along = crest_m + drop_m * math.hypot(1.0, 1.0 / face), math.hypot(1.0, ground_slope)
    if kind == "grass" and _grass_bears(unit_flow, slope):
        out_m = min(max(ground_m, _GRASS_RUN_OUT_M / along), way_m)
        return Apron("grass", slope, 0.0, 0.0, to_foot_m + out_m * along, sill_length_m, out_m, crest_m)
    sill_speed = math.sqrt(GRAVITY_M_S2 * critical_depth_m(unit_flow))
    d50_m = max(_SAFETY * (isbash_d50_m(sill_speed) if slope < _GENTLE else chute_d50_m(unit_flow, slope)), _SMALLEST_M)
    if d50_m > _LARGEST_M:
        return None
    thickness_m, out_m = _LAYERS * d50_m, min(max(ground_m, _RUN_OUT * d50_m / along), way_m)
    width_m = sill_length_m + 2.0 * thickness_m
    return Apron("stone", slope, d50_m, thickness_m, to_foot_m + out_m * along, width_m, out_m, crest_m)


def _grass_bears(unit_flow_m2s: float, slope: float) -> bool:
    """Whether sod bears the flow on the sill and on a slope."""
    return unit_flow_m2s <= min(borne_unit_flow_m2s(APRON_GRASS, slope))


def laid_below(apron: Apron | None) -> dict[str, float]:
    """Stone or sod of an apron by the names that costs go by.

    Parameters
    ----------
    apron : Apron or None
        The apron.

    Returns
    -------
    dict of str to float
        ``stone_m3`` or ``grass_m2``; nothing without an apron.

    Examples
    --------
    >>> laid_below(None)
    {}
    """
    if apron is None:
        return {}
    return {"stone_m3": apron.volume_m3} if apron.kind == "stone" else {"grass_m2": apron.area_m2}
