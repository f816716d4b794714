"""The storm value."""

from dataclasses import dataclass

from swalekit._checks import check_ordered, check_positive

CHECK_FACTOR = 1.5
"""Check storm over design storm where none is given; common practice."""


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
