"""How long a full ditch stands."""

from swalekit._checks import check_positive
from swalekit.section.shape import ShapedSwale

_MM_PER_M = 1000.0


def standing_h(shape: ShapedSwale, intake_mm_h: float) -> float:
    """Hours until a ditch filled to its sill has soaked away through its floor.

    Parameters
    ----------
    shape : ShapedSwale
        The swale.
    intake_mm_h : float
        Rate at which the floor takes in water [mm/h].

    Returns
    -------
    float
        Time [h]: the greatest depth of water over the rate, which leaves out what soaks in through the sides.

    Raises
    ------
    InputError
        If the rate isn't positive.
    """
    check_positive(intake_mm_h=intake_mm_h)
    return _MM_PER_M * (shape.sill_level_m - shape.floor_level_m) / intake_mm_h
