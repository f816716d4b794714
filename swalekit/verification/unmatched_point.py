"""Points of a survey that could not be used."""

from dataclasses import dataclass


@dataclass(frozen=True)
class UnmatchedPoint:
    """A point that was not used.

    Parameters
    ----------
    number : int
        Its number.
    easting_m, northing_m, height_m : float
        Where it lies [m].
    code : str
        What the crew called it.
    reason : str
        Why it was not used.
    """

    number: int
    easting_m: float
    northing_m: float
    height_m: float
    code: str
    reason: str
