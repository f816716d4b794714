"""A bed on contour, and the rules by which beds are laid."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely

from swalekit._checks import check_between, check_not_negative, check_ordered, check_positive
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.tables.load import named_row


def bed_practice(name: str) -> float:
    """A number of the table of beds.

    Parameters
    ----------
    name : str
        Name of the number, such as ``least path``.

    Returns
    -------
    float
        The number, in the unit of the table.

    Raises
    ------
    InputError
        If there is no such number; the nearest name is offered.

    Examples
    --------
    >>> bed_practice("least path")
    0.45
    """
    return named_row("beds", practice=name).value


@dataclass(frozen=True)
class BedRules:
    """How beds are laid; what isn't given is common practice, of the table of beds.

    Parameters
    ----------
    width_m : float
        Width of a bed [m].
    path_m : float
        Least width of the path between two beds, one above the other [m].
    cross_path_m : float
        Width of a path across the beds, on which a barrow goes from bed to bed [m].
    longest_m, shortest_m : float
        Length of a bed at which a path crosses, and below which none is laid [m].
    tolerance_m : float
        Greatest difference between the ground along the middle of a bed and its level [m].
    greatest_fall_m : float
        Fall across a bed above which it is levelled between low walls [m].
    least_slope, greatest_slope : float
        Flatter and steeper ground is left out [m/m].

    Raises
    ------
    InputError
        If a value lies outside its range.
    """

    width_m: float = bed_practice("bed width, reached from both sides")
    path_m: float = bed_practice("least path")
    cross_path_m: float = bed_practice("barrow path")
    longest_m: float = bed_practice("longest bed")
    shortest_m: float = bed_practice("shortest bed")
    tolerance_m: float = 0.05
    greatest_fall_m: float = bed_practice("greatest fall across")
    least_slope: float = bed_practice("least slope")
    greatest_slope: float = bed_practice("greatest slope")

    def __post_init__(self) -> None:
        check_between(0.2, 5.0, width_m=self.width_m)
        check_positive(tolerance_m=self.tolerance_m, shortest_m=self.shortest_m, least_slope=self.least_slope)
        check_not_negative(path_m=self.path_m, cross_path_m=self.cross_path_m, greatest_fall_m=self.greatest_fall_m)
        check_ordered("shortest_m", self.shortest_m, "longest_m", self.longest_m)
        check_ordered("least_slope", self.least_slope, "greatest_slope", self.greatest_slope)


def levelled_from(rules: BedRules) -> float:
    """Slope across a bed from which it is levelled between low walls.

    Parameters
    ----------
    rules : BedRules
        Width and greatest fall.

    Returns
    -------
    float
        Slope [m/m].

    Examples
    --------
    >>> round(levelled_from(BedRules()), 3), round(levelled_from(BedRules(width_m=0.6)), 3)
    (0.083, 0.167)
    """
    return rules.greatest_fall_m / rules.width_m


@one_line("name", "line.level_m", "length_m", "width_m", "fall_m")
@dataclass(frozen=True, eq=False)
class Bed:
    """A bed along a level line.

    Parameters
    ----------
    name : str
        The row from the top and the place in it, as B3-2.
    line : LevelLine
        Its middle.
    width_m : float
        Its width [m].
    greatest_fall_m : float
        Fall across it above which it is levelled [m].

    Examples
    --------
    >>> xy = np.array([[0.0, 0.0], [10.0, 0.0]])
    >>> bed = Bed("B1-1", LevelLine(100.0, False, xy, np.full(2, 100.0), np.full(2, 0.1)), 1.2, 0.1)
    >>> bed.area_m2, round(bed.fall_m, 2), bed.levelled, round(bed.wall_m, 2), round(bed.moved_m3, 3)
    (12.0, 0.12, True, 0.06, 0.18)
    """

    name: str
    line: LevelLine
    width_m: float
    greatest_fall_m: float

    @cached_property
    def outline(self) -> shapely.Polygon:
        """Ground of the bed, its ends square."""
        return outline_of(self.line.xy, self.width_m)

    @property
    def length_m(self) -> float:
        """Length along its middle [m]."""
        return self.line.length_m

    @cached_property
    def area_m2(self) -> float:
        """Ground of the bed [m²]."""
        return float(self.outline.area)

    @property
    def slope(self) -> float:
        """Mean fall of the ground across it [m/m]."""
        return self.line.mean_slope

    @property
    def fall_m(self) -> float:
        """Fall of the ground from its upper edge to its lower, in the mean [m]."""
        return self.slope * self.width_m

    @property
    def levelled(self) -> bool:
        """Whether it is levelled between low walls."""
        return self.fall_m > self.greatest_fall_m

    @property
    def wall_m(self) -> float:
        """Height of the low wall at its lower edge, and of the cut at its upper one; 0 where it isn't levelled [m]."""
        return 0.5 * self.fall_m if self.levelled else 0.0

    @property
    def moved_m3(self) -> float:
        """Soil moved from the upper half to the lower where it is levelled: width × fall ÷ 8 of each metre [m³]."""
        return self.width_m * self.fall_m / 8.0 * self.length_m if self.levelled else 0.0

    @cached_property
    def off_level_m(self) -> float:
        """Greatest difference between the ground along its middle and its level [m]."""
        return float(np.abs(self.line.ground_m - self.line.level_m).max())


def outline_of(xy: object, width_m: float) -> shapely.Polygon:
    """Strip along a line, its ends square.

    Parameters
    ----------
    xy : array_like, shape (n, 2)
        The line [m].
    width_m : float
        Width of the strip [m].

    Returns
    -------
    shapely Polygon

    Examples
    --------
    >>> outline_of([[0.0, 0.0], [10.0, 0.0]], 1.0).area
    10.0
    """
    return shapely.LineString(xy).buffer(0.5 * width_m, cap_style="flat", quad_segs=4)
