"""Gauge notes as they were taken: how deep the water stood in a swale some time after a rain."""

from dataclasses import dataclass

from swalekit._checks import check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError

GREATEST_RAIN_MM, _GREATEST_DEPTH_M, _LONGEST_H = 2000.0, 30.0, 2000.0


@one_line("date", "swale", "rain_mm", "depth_m", "level_m", "after_h")
@dataclass(frozen=True)
class GaugeNote:
    """One reading of a post.

    Parameters
    ----------
    date : str
        Day of the rain: notes of one date are of one rain.
    swale : str
        Number of the swale.
    rain_mm : float
        Rain that fell [mm].
    depth_m, level_m : float or None
        Water above the ditch floor, or its level; one of the two [m].
    after_h : float
        Hours from the end of the rain to the reading [h].
    rain_h : float or None
        How long it rained [h]; as the brief's storm when not given.
    before_m : float
        Water above the floor before the rain [m].

    Raises
    ------
    InputError
        If both or none of depth and level are given, or a value can't be.

    Examples
    --------
    >>> GaugeNote("2026-11-03", "S2", 34.0, depth_m=0.18)
    GaugeNote(2026-11-03, S2, rain 34 mm, depth 0.18 m, after 0 h)
    """

    date: str
    swale: str
    rain_mm: float
    depth_m: float | None = None
    level_m: float | None = None
    after_h: float = 0.0
    rain_h: float | None = None
    before_m: float = 0.0

    def __post_init__(self) -> None:
        check_positive(rain_mm=self.rain_mm, rain_h=1.0 if self.rain_h is None else self.rain_h)
        check_not_negative(after_h=self.after_h, depth_m=self.depth_m or 0.0, before_m=self.before_m)
        if (self.depth_m is None) == (self.level_m is None):
            message = "a note gives depth_m above the floor or level_m, one of the two; write one"
            raise InputError(message)
        for name, value, most in (
            ("rain_mm", self.rain_mm, GREATEST_RAIN_MM),
            ("depth_m", self.depth_m or 0.0, _GREATEST_DEPTH_M),
            ("before_m", self.before_m, _GREATEST_DEPTH_M),
            ("after_h", self.after_h, _LONGEST_H),
            ("rain_h", self.rain_h or 0.0, _LONGEST_H),
        ):
            if value > most:
                message = f"{name} is {value:g}; more than {most:g} isn't believed, look at its unit"
                raise InputError(message)
