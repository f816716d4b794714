"""What becomes of the house's water: where its bed may stand, and what that gives."""

from dataclasses import dataclass

from swalekit.greywater.bed_places import BedPlace, HouseOutlet
from swalekit.greywater.household_flow import Household
from swalekit.greywater.pipe_route import PipeRoute
from swalekit.greywater.reed_bed import ReedBed
from swalekit.greywater.served_ground import ServedGround


@dataclass(frozen=True, eq=False)
class CleanedWater:
    """A place for the reed bed, and what it gives.

    Parameters
    ----------
    place : BedPlace
        Where the bed stands.
    served : ServedGround
        Ground of the site that it serves by gravity, ditches and keep-outs left out.
    """

    place: BedPlace
    served: ServedGround


@dataclass(frozen=True, eq=False)
class Greywater:
    """What the house's water gives, and where.

    Parameters
    ----------
    household : Household
        People and fixtures.
    house : HouseOutlet
        Where the water leaves the house.
    bed : ReedBed
        The bed, sized for the coldest month.
    places : tuple of CleanedWater
        Where it may stand, the place that commands most first; none where gravity serves nothing.
    reason : str
        Why there is none, '' if there is one.
    route : PipeRoute or None
        Pipe from house to the first place.
    month : int
        Month in which the trees want most, 1 to 12.
    watered_m2 : float
        Planted ground whose want the water meets in that month, no more than is commanded [m²].
    left_m3_d : float
        Water behind the bed in that month, less what its reeds use [m³/d].
    """

    household: Household
    house: HouseOutlet
    bed: ReedBed
    places: tuple[CleanedWater, ...]
    reason: str
    route: PipeRoute | None
    month: int
    watered_m2: float
    left_m3_d: float
