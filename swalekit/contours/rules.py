"""What a level line must satisfy to be dug."""

from dataclasses import dataclass

from swalekit._checks import check_between, check_not_negative, check_ordered, check_positive


@dataclass(frozen=True)
class LineRules:
    """Limits for level lines; the defaults are common practice for small machines.

    Parameters
    ----------
    tolerance_m : float
        Greatest difference between the ground at a vertex and the line's level [m].
    bend_radius_m : float
        Least radius of a bend [m].
    least_length_m : float
        Least length of an open line [m].
    least_ring_m : float
        Least length of a closed line [m].
    least_slope, greatest_slope : float
        Window for the slope across the line [m/m].
    station_m : float
        Greatest distance between stations, at most 2 [m].
    slope_support_m : float
        Width over which the slope across the line is measured [m].
    watercourse_gap_m : float
        Length left free along the line on either side of a watercourse [m].

    Raises
    ------
    InputError
        If a value is out of range.

    Examples
    --------
    >>> LineRules(bend_radius_m=6.0).least_length_m
    15.0
    """

    tolerance_m: float = 0.10
    bend_radius_m: float = 4.0
    least_length_m: float = 15.0
    least_ring_m: float = 60.0
    least_slope: float = 0.01
    greatest_slope: float = 0.25
    station_m: float = 2.0
    slope_support_m: float = 6.0
    watercourse_gap_m: float = 2.0

    def __post_init__(self) -> None:
        check_positive(
            tolerance_m=self.tolerance_m,
            bend_radius_m=self.bend_radius_m,
            least_slope=self.least_slope,
            station_m=self.station_m,
            slope_support_m=self.slope_support_m,
        )
        check_not_negative(
            least_length_m=self.least_length_m,
            least_ring_m=self.least_ring_m,
            watercourse_gap_m=self.watercourse_gap_m,
        )
        check_between(0.0, 2.0, station_m=self.station_m)
        check_ordered("least_slope", self.least_slope, "greatest_slope", self.greatest_slope)


DEFAULT_RULES = LineRules()
