"""What a swale takes to build, in earth and ground."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike

from swalekit._checks import check_not_negative, check_positive, check_same_shape
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.section.shape import ShapedSwale


def end_area_volume_m3(area_m2: ArrayLike, chainage_m: ArrayLike, *, closed_length_m: float | None = None) -> float:
    """Volume by average end areas.

    Parameters
    ----------
    area_m2 : array_like, shape (n,)
        Area of the cross-section at the stations [m²].
    chainage_m : array_like, shape (n,)
        Distance of the stations along the line, rising [m].
    closed_length_m : float, optional
        Whole length of a closed line [m]: its last station is joined to the first. An open line ends with upright
        faces at its first and last station.

    Returns
    -------
    float
        Volume [m³].

    Raises
    ------
    InputError
        If the arrays differ in shape, or the chainage doesn't rise, to its end and to the closed length.

    Notes
    -----
    V = Σ L (A1 + A2) / 2. An open ditch's end faces are in truth as flat as its sides: the wedge beyond each end
    station, about a third of the end area times depth times side slope, is left out, as is its share of the storage.
    The rule is for straight lines: earth a distance x outside a bend of radius R is x / R more than it says, unless the
    areas are weighted for it, as those of `swalekit.section.areas` can be.

    Examples
    --------
    >>> end_area_volume_m3([4.0, 9.0], [0.0, 10.0])
    65.0
    """
    area, chainage = np.asarray(area_m2, np.float64), np.asarray(chainage_m, np.float64)
    check_same_shape(area_m2=area, chainage_m=chainage)
    if closed_length_m is not None:
        area, chainage = np.append(area, area[:1]), np.append(chainage, closed_length_m)
    legs = np.diff(chainage)
    if np.any(legs <= 0):
        after = int(np.argmax(legs <= 0))
        message = (
            f"chainage_m goes from {chainage[after]:g} to {chainage[after + 1]:g}; it must rise from station to station"
        )
        raise InputError(message)
    return float(legs @ (area[1:] + area[:-1]) / 2.0)


_SOIL_SHORT = 0.01


@one_line("dug_m3", "berm_m3", "loose_m3", "strip_m2", "topsoil_m3")
@dataclass(frozen=True)
class Quantities:
    """Earthwork of one swale.

    Parameters
    ----------
    dug_m3 : float
        Bank volume of the ditch [m³].
    berm_m3 : float
        Compacted volume of the berm, its returns and the banks of crossings on the ground as it is [m³].
    loose_m3 : float
        Volume of the spoil as it is moved [m³].
    balance_m3 : float
        Spoil left over, as compacted; negative if it is lacking [m³].
    strip_m2 : float
        Ground disturbed, in plan [m²].
    topsoil_m3 : float
        Topsoil to set aside from it [m³].
    """

    dug_m3: float
    berm_m3: float
    loose_m3: float
    balance_m3: float
    strip_m2: float
    topsoil_m3: float

    @property
    def lacking_m3(self) -> float:
        """Compacted soil that the berm takes beyond what the ditch gives, where it is more than 1 % [m³]."""
        return -self.balance_m3 if -self.balance_m3 > _SOIL_SHORT * self.berm_m3 else 0.0


def measure_quantities(
    line: LevelLine,
    shape: ShapedSwale,
    *,
    swell_percent: float,
    fill_factor: float = 0.9,
    topsoil_depth_m: float = 0.1,
    soil_ratio: float = 1.0,
) -> Quantities:
    """Measure the earthwork of a shaped swale by average end areas, and the returns at its ends.

    Parameters
    ----------
    line : LevelLine
        The line, with the stations that ``shape`` was made for.
    shape : ShapedSwale
        The swale.
    swell_percent : float
        Growth from bank to loose, see `swalekit.tables.values.swell` [%].
    fill_factor : float
        Compacted volume per bank volume [-].
    topsoil_depth_m : float
        Topsoil stripped beforehand [m]; 0.1 m is common practice. It isn't taken off the volume dug.
    soil_ratio : float
        Soil that the berm takes for what the ditch gives, over the same on the planes of the sections [-].

    Returns
    -------
    Quantities
        Volumes and areas.

    Raises
    ------
    InputError
        If swell or topsoil is negative or the fill factor isn't positive.

    Examples
    --------
    On nearly level ground a ditch 0.5 m deep, 0.6 m wide at its floor, with sides of 1.5 : 1 has 0.675 m²:

    >>> from swalekit.section import Section, Stations
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 1e-6))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> found = measure_quantities(line, shape, swell_percent=20.0)
    >>> round(found.dug_m3, 3), round(found.loose_m3, 3)
    (13.5, 16.2)
    """
    check_not_negative(swell_percent=swell_percent, topsoil_depth_m=topsoil_depth_m)
    check_positive(fill_factor=fill_factor, soil_ratio=soil_ratio)
    closed_length_m = line.length_m if line.closed else None
    dug = end_area_volume_m3(shape.cut_area_m2, line.chainage_m, closed_length_m=closed_length_m)
    line_berm = end_area_volume_m3(shape.berm_area_m2, line.chainage_m, closed_length_m=closed_length_m)
    dug += sum(crossing.cut_m3 for crossing in shape.crossings)
    berm = soil_ratio * (line_berm + shape.returns_m3) + shape.crossings_m3
    return Quantities(
        dug_m3=dug,
        berm_m3=berm,
        loose_m3=dug * (1.0 + swell_percent / 100.0),
        balance_m3=dug * fill_factor - berm,
        strip_m2=shape.strip_m2,
        topsoil_m3=shape.strip_m2 * topsoil_depth_m,
    )
