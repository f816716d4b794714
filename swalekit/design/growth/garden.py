"""The value of annual beds on a site."""

from dataclasses import dataclass

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.beds.bed import Bed, BedRules

KEPT_CLEAR, WATER, SWALES, TREES = "kept clear", "watercourse or pond", "swales and overflow", "trees"
FLAT, STEEP, PATHS, BEDS = "too flat", "too steep", "paths, edges and corners", "beds"
"""What becomes of the ground asked for, in the order in which it is told."""


@one_line("beds", "area_m2", "length_m", "moved_m3")
@dataclass(frozen=True, eq=False)
class GardenBeds:
    """Annual beds on a site.

    Parameters
    ----------
    beds : tuple of Bed
        From the top down.
    asked : shapely geometry
        Ground asked for within the site.
    refused_m2 : dict of str to float
        Area of it on which no bed may lie, by reason, each place under the first that holds [m²].
    rules : BedRules
        How they were laid.
    """

    beds: tuple[Bed, ...]
    asked: BaseGeometry
    refused_m2: dict[str, float]
    rules: BedRules

    @property
    def area_m2(self) -> float:
        """Ground of all beds [m²]."""
        return float(sum(bed.area_m2 for bed in self.beds))

    @property
    def length_m(self) -> float:
        """Length of all beds [m]."""
        return float(sum(bed.length_m for bed in self.beds))

    @property
    def moved_m3(self) -> float:
        """Soil moved to level those that need it [m³]."""
        return float(sum(bed.moved_m3 for bed in self.beds))

    @property
    def wall_length_m(self) -> float:
        """Length of low walls [m]."""
        return float(sum(bed.length_m for bed in self.beds if bed.levelled))

    @property
    def outlines(self) -> BaseGeometry:
        """Ground of all beds as one."""
        return shapely.union_all([bed.outline for bed in self.beds])

    @property
    def ground_m2(self) -> dict[str, float]:
        """What becomes of the ground asked for: area by reason, that of the beds last [m²]."""
        left_m2 = self.asked.area - sum(self.refused_m2.values()) - self.area_m2
        return self.refused_m2 | {PATHS: max(left_m2, 0.0), BEDS: self.area_m2}
