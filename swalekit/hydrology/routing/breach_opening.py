"""The opening that a failing bank makes, by published relations, and the flow that comes through it at most."""

from dataclasses import dataclass
from math import sqrt

from swalekit._checks import check_one_of, check_positive
from swalekit._one_line import one_line

RELATIONS = ("1995", "2008")
"""Froehlich's two sets of relations, by year."""

LEAST_VOLUME_M3, LEAST_HEIGHT_M = 13_900.0, 3.0
"""Smallest dam behind the relations of 2008: what lies below is extrapolated; from memory."""

PEAK_FACTORS = (0.53, 2.3)
"""Band about the peak of 1995 within which 95 % of the observed ones lie, as multiples of it: Wahl (2001)."""

_CRITICAL = 1.7  # weir coefficient of an opening with critical flow [m^0.5/s]
_GRAVITY_M_S2 = 9.80665
_MINUTES_PER_HOUR, _SECONDS_PER_MINUTE = 60.0, 60.0


@one_line("width_m", "forms_min", "peak_m3s", "ruled_by")
@dataclass(frozen=True)
class BreachOpening:
    """A breach in a bank.

    Parameters
    ----------
    width_m : float
        Mean width of the opening [m].
    forms_min : float
        Time in which it forms [min].
    peak_m3s : float
        Greatest flow through it [m³/s].
    ruled_by : str
        What bounds that flow: ``relation``, ``weir``, ``water`` or ``given time``.
    empties_min : float
        Time in which the water leaves, as a triangle of that peak [min].
    extrapolated : bool
        Whether bank or water are smaller than those the relations rest on.
    """

    width_m: float
    forms_min: float
    peak_m3s: float
    ruled_by: str
    empties_min: float
    extrapolated: bool


def breach_width_m(volume_m3: float, height_m: float, *, relation: str, overtopped: bool = True) -> float:
    """Mean width of the opening in a failed bank of earth.

    Parameters
    ----------
    volume_m3 : float
        Water above the bottom of the breach [m³].
    height_m : float
        Height of the breach [m].
    relation : str
        ``1995`` or ``2008``.
    overtopped : bool
        Whether water goes over the bank, or pipes through it.

    Returns
    -------
    float
        Width [m].

    Raises
    ------
    InputError
        If volume or height isn't positive or the relation is unknown.

    Notes
    -----
    1995: B = 0.1803 Ko V^0.32 h^0.19 with Ko 1.4 overtopped. 2008: B = 0.27 Ko V^0.32 h^0.04 with Ko 1.3. Ko is 1 for
    piping. Observed widths lie between 0.4 and 2.4 times those of 1995.

    References
    ----------
    .. [1] Wahl (2001). The uncertainty of embankment dam breach parameter predictions. FEMA workshop, Oklahoma City.
    .. [2] Froehlich (2008). J. Hydraul. Eng. 134(12): 1708-1721.

    Examples
    --------
    >>> [round(breach_width_m(50.0, 0.5, relation=relation), 2) for relation in RELATIONS]
    [0.77, 1.19]
    """
    check_positive(volume_m3=volume_m3, height_m=height_m)
    check_one_of(RELATIONS, relation=relation)
    factor, more, power = (0.1803, 1.4, 0.19) if relation == "1995" else (0.27, 1.3, 0.04)
    return float(factor * (more if overtopped else 1.0) * volume_m3**0.32 * height_m**power)


def breach_forms_min(volume_m3: float, height_m: float, *, relation: str) -> float:
    """Time in which the opening in a failed bank of earth forms.

    Parameters
    ----------
    volume_m3 : float
        Water above the bottom of the breach [m³].
    height_m : float
        Height of the breach [m].
    relation : str
        ``1995`` or ``2008``.

    Returns
    -------
    float
        Time [min].

    Raises
    ------
    InputError
        If volume or height isn't positive or the relation is unknown.

    Notes
    -----
    1995: t = 0.00254 V^0.53 h^-0.90 hours. 2008: t = 63.2 (V / (g h²))^0.5 seconds.

    References
    ----------
    .. [1] Wahl (2001). FEMA workshop, Oklahoma City.
    .. [2] Froehlich (2008). J. Hydraul. Eng. 134(12): 1708-1721.

    Examples
    --------
    >>> [round(breach_forms_min(50.0, 0.5, relation=relation), 2) for relation in RELATIONS]
    [2.26, 4.76]
    """
    check_positive(volume_m3=volume_m3, height_m=height_m)
    check_one_of(RELATIONS, relation=relation)
    if relation == "1995":
        return float(_MINUTES_PER_HOUR * 0.00254 * volume_m3**0.53 * height_m**-0.90)
    return 63.2 * sqrt(volume_m3 / (_GRAVITY_M_S2 * height_m**2)) / _SECONDS_PER_MINUTE


def breach_peak_m3s(volume_m3: float, head_m: float) -> float:
    """Peak flow from a failed bank of earth.

    Parameters
    ----------
    volume_m3 : float
        Water above the bottom of the breach [m³].
    head_m : float
        Its depth above that bottom [m].

    Returns
    -------
    float
        Flow [m³/s].

    Raises
    ------
    InputError
        If volume or depth isn't positive.

    Notes
    -----
    Q = 0.607 V^0.295 h^1.24; observed peaks lie between 0.53 and 2.3 times that.

    References
    ----------
    .. [1] Froehlich (1995), as given by Wahl (2001), FEMA workshop, Oklahoma City.

    Examples
    --------
    >>> round(breach_peak_m3s(50.0, 0.5), 3)
    0.815
    """
    check_positive(volume_m3=volume_m3, head_m=head_m)
    return float(0.607 * volume_m3**0.295 * head_m**1.24)


def weir_bound_m3s(width_m: float, head_m: float) -> float:
    """Flow that an opening can pass at most, at critical depth.

    Parameters
    ----------
    width_m : float
        Width of the opening [m].
    head_m : float
        Depth of the water above its bottom [m].

    Returns
    -------
    float
        Flow, 1.7 B h^1.5 [m³/s].

    Raises
    ------
    InputError
        If width or depth isn't positive.

    Examples
    --------
    >>> round(weir_bound_m3s(0.774, 0.5), 3)
    0.465
    """
    check_positive(width_m=width_m, head_m=head_m)
    return float(_CRITICAL * width_m * head_m**1.5)


def breach_opening(volume_m3: float, head_m: float, *, empties_min: float | None = None) -> BreachOpening:
    """The breach of an overtopped bank, on the side that is safe for what lies below.

    Parameters
    ----------
    volume_m3 : float
        Water that leaves [m³].
    head_m : float
        Depth of the water, to which the breach is taken to cut down [m].
    empties_min : float, optional
        Time in which the water leaves, in place of that by the relations [min].

    Returns
    -------
    BreachOpening
        The wider and faster of both relations, its flow bounded.

    Raises
    ------
    InputError
        If volume, depth or time isn't positive.

    Notes
    -----
    The peak is Froehlich's of 1995, but no more than passes through the wider opening at critical depth, nor more than
    the water that there is sustains: 2 V / t, a triangle that rises while the breach forms. Low banks are ruled by the
    weir. The relations rest on dams of 3 m and 13 900 m³ or more: for a swale's berm they are extrapolated.

    Examples
    --------
    >>> opening = breach_opening(50.0, 0.5)
    >>> round(opening.peak_m3s, 3), opening.ruled_by, opening.extrapolated
    (0.718, 'weir', True)
    """
    width_m = max(breach_width_m(volume_m3, head_m, relation=relation) for relation in RELATIONS)
    forms_min = min(breach_forms_min(volume_m3, head_m, relation=relation) for relation in RELATIONS)
    extrapolated = volume_m3 < LEAST_VOLUME_M3 or head_m < LEAST_HEIGHT_M
    bounds = {
        "relation": breach_peak_m3s(volume_m3, head_m),
        "weir": weir_bound_m3s(width_m, head_m),
        "water": 2.0 * volume_m3 / (_SECONDS_PER_MINUTE * forms_min),
    }
    ruled_by = min(bounds, key=lambda name: bounds[name])
    peak_m3s = bounds[ruled_by]
    if empties_min is not None:
        check_positive(empties_min=empties_min)
        peak_m3s, ruled_by = 2.0 * volume_m3 / (_SECONDS_PER_MINUTE * empties_min), "given time"
    else:
        empties_min = 2.0 * volume_m3 / peak_m3s / _SECONDS_PER_MINUTE
    return BreachOpening(width_m, forms_min, peak_m3s, ruled_by, empties_min, extrapolated)
