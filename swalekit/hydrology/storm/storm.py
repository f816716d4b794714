"""The design storm: its depths, and its course after the NRCS or after a depth table."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np

from swalekit._checks import check_between, check_one_of, check_ordered, check_positive
from swalekit.errors import InputError
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.tables.load import read_table

CHECK_FACTOR = 1.5
"""Check storm over design storm where none is given; common practice."""

NRCS_KINDS = ("I", "IA", "II", "III")


@dataclass(frozen=True, init=False)
class Storm:
    """A design storm, to be held, and a larger check storm, to be passed on safely.

    Parameters
    ----------
    depth_mm : float
        Depth of the design storm [mm].
    check_depth_mm : float, optional
        Depth of the check storm [mm]; 1.5 times the design storm if not given, which is common practice.

    Raises
    ------
    InputError
        If a depth isn't positive or the check storm is the smaller one.

    Examples
    --------
    >>> Storm(60.0)
    Storm(depth_mm=60.0, check_depth_mm=90.0)
    """

    depth_mm: float
    check_depth_mm: float

    def __init__(self, depth_mm: float, check_depth_mm: float | None = None) -> None:
        check_positive(depth_mm=depth_mm)
        check = CHECK_FACTOR * depth_mm if check_depth_mm is None else check_depth_mm
        check_ordered("depth_mm", depth_mm, "check_depth_mm", check)
        object.__setattr__(self, "depth_mm", depth_mm)
        object.__setattr__(self, "check_depth_mm", check)


def nrcs_storm(depth_mm: float, kind: str) -> Hyetograph:
    """A storm of 24 hours in the shape of an NRCS type.

    Parameters
    ----------
    depth_mm : float
        Rain in 24 hours [mm].
    kind : str
        ``I``, ``IA`` (Pacific coast of the United States), ``II`` (inland) or ``III`` (Gulf and Atlantic coasts).

    Returns
    -------
    Hyetograph
        The storm.

    Raises
    ------
    InputError
        If the depth isn't positive or the kind unknown.

    Notes
    -----
    Half-hour ordinates of the later vintage (tabulated in tenths of an hour), with tenths round the peaks of types I,
    II and III; the table of 23 ordinates in older handbooks differs from it by up to 0.7 % of the depth, away from
    the peak. Bursts shorter than half an hour are flattened in type IA, shorter than six minutes in the others. The
    types are regional averages and can disagree with local records; where there is a local depth table,
    `alternating_block` follows it.

    References
    ----------
    .. [1] USDA SCS (1986). Urban Hydrology for Small Watersheds, TR-55, appendix B.

    Examples
    --------
    >>> storm = nrcs_storm(100.0, "II")
    >>> storm.duration_h, round(storm.peak_intensity_mm_h(60.0), 1)
    (24.0, 45.2)
    """
    check_positive(depth_mm=depth_mm)
    check_one_of(NRCS_KINDS, kind=kind)
    rows = read_table("nrcs_storms")
    shares = np.array([float(row[kind]) for row in rows])
    return Hyetograph(np.array([float(row["time_h"]) for row in rows]), depth_mm * shares)


def published_ratios(kind: str) -> dict[float, float]:
    """Shares of the 24-hour depth within an NRCS storm.

    Parameters
    ----------
    kind : str
        NRCS storm type: ``I``, ``IA``, ``II`` or ``III``.

    Returns
    -------
    dict of float to float
        Duration [h] to the share of the 24-hour depth that falls in the wettest stretch of that length [-].

    Raises
    ------
    InputError
        If the kind is unknown.

    Notes
    -----
    The types are regional averages of the United States and can disagree with local records; a local atlas is
    better where there is one.

    Examples
    --------
    >>> published_ratios("II")[1.0]
    0.454
    """
    rows = read_table("duration_ratios")
    check_one_of(tuple(dict.fromkeys(row["kind"] for row in rows)), kind=kind)
    return {float(row["duration_h"]): float(row["ratio"]) for row in rows if row["kind"] == kind}


def duration_ratio(duration_h: float, ratios: Mapping[float, float]) -> float:
    """Share of the 24-hour depth that falls in the wettest stretch of some length.

    Parameters
    ----------
    duration_h : float
        Length of the stretch [h].
    ratios : mapping of float to float
        Known lengths [h] to their shares [-], from `published_ratios` or the user's own.

    Returns
    -------
    float
        Share [-]; linear in logarithms between the known ones.

    Raises
    ------
    InputError
        If the length lies outside the known ones, or the shares aren't positive and rising with duration.

    Examples
    --------
    >>> round(duration_ratio(1.5, published_ratios("II")), 3)
    0.501
    """
    check_between(min(ratios), max(ratios), duration_h=duration_h)
    return DepthTable.from_ratios(1.0, ratios, return_period_y=1.0).depth_mm_at(duration_h, 1.0)


def alternating_block(table: DepthTable, *, return_period_y: float, duration_h: float, step_min: float) -> Hyetograph:
    """A storm whose wettest stretch of any length has the depth of the table.

    Parameters
    ----------
    table : DepthTable
        Depths by duration, from an atlas or from `DepthTable.from_ratios`.
    return_period_y : float
        Return period [years].
    duration_h : float
        Length of the storm [h].
    step_min : float
        Length of a block [min]; the storm is a whole number of them.

    Returns
    -------
    Hyetograph
        The storm, its peak in the middle.

    Raises
    ------
    InputError
        If the storm is no whole number of blocks, or a block or the storm lies outside the table.

    Notes
    -----
    The k-th block is what the table adds from (k − 1) to k steps. Blocks are laid from the middle outwards, later and
    earlier in turn, so any k of them round the peak hold exactly the table's depth for k steps.

    References
    ----------
    .. [1] Chow, Maidment & Mays (1988). Applied Hydrology, section 14.4.

    Examples
    --------
    >>> table = DepthTable.from_ratios(60.0, {0.5: 0.38, 1.0: 0.45, 24.0: 1.0}, return_period_y=10.0)
    >>> storm = alternating_block(table, return_period_y=10.0, duration_h=2.0, step_min=30.0)
    >>> storm.increments_mm(30.0).round(2)
    array([ 2.9 , 22.8 ,  4.2 ,  2.24])
    """
    check_positive(duration_h=duration_h, step_min=step_min)
    blocks = round(duration_h * 60.0 / step_min)
    if blocks < 1 or not np.isclose(blocks * step_min, duration_h * 60.0, rtol=1e-9):
        message = f"storm of {duration_h:g} h is no whole number of steps of {step_min:g} min; change one of them"
        raise InputError(message)
    depths = [table.depth_mm_at(block * step_min / 60.0, return_period_y) for block in range(1, blocks + 1)]
    outward = np.diff(depths, prepend=0.0)
    place = np.arange(blocks)
    from_middle = (place + 1) // 2 * np.where(place % 2, 1, -1)
    increments = np.empty(blocks)
    increments[(blocks - 1) // 2 + from_middle] = outward
    return Hyetograph.from_increments(increments, step_min=step_min)
