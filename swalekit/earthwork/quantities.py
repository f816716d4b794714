"""What a swale takes to build, in earth and ground."""

from dataclasses import dataclass

from swalekit._checks import check_not_negative, check_positive
from swalekit.contours.line import LevelLine
from swalekit.earthwork.volumes import end_area_volume_m3
from swalekit.section.shape import ShapedSwale


@dataclass(frozen=True)
class Quantities:
    """Earthwork of one swale.

    Parameters
    ----------
    dug_m3 : float
        Bank volume of the ditch [m³].
    berm_m3 : float
        Compacted volume of the berm and its returns [m³].
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


def measure_quantities(
    line: LevelLine, shape: ShapedSwale, *, swell_percent: float, fill_factor: float = 0.9, topsoil_depth_m: float = 0.1
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

    Returns
    -------
    Quantities
        Volumes and areas.

    Raises
    ------
    InputError
        If swell or topsoil is negative or the fill factor isn't positive.
    """
    check_not_negative(swell_percent=swell_percent, topsoil_depth_m=topsoil_depth_m)
    check_positive(fill_factor=fill_factor)
    closed_length_m = line.length_m if line.closed else None
    dug = end_area_volume_m3(shape.cut_area_m2, line.chainage_m, closed_length_m=closed_length_m)
    line_berm = end_area_volume_m3(shape.berm_area_m2, line.chainage_m, closed_length_m=closed_length_m)
    berm = line_berm + shape.returns_m3
    return Quantities(
        dug_m3=dug,
        berm_m3=berm,
        loose_m3=dug * (1.0 + swell_percent / 100.0),
        balance_m3=dug * fill_factor - berm,
        strip_m2=shape.strip_m2,
        topsoil_m3=shape.strip_m2 * topsoil_depth_m,
    )
