"""The water of the annual beds of a site: greywater from the reed bed above them, then the rain of a roof."""

import numpy as np

from swalekit.design.growth.bed_water import BedWater, bed_want_mm, greywater_left_m3, water_beds, whole_years_of
from swalekit.design.growth.garden import GardenBeds
from swalekit.design.growth.greywater import Greywater
from swalekit.design.growth.greywater_plan import house_building
from swalekit.design.growth.growth import Conditions
from swalekit.design.plan.design import Design
from swalekit.greywater.rain_tank import roof_runoff_m3


def water_garden(
    design: Design, shared: Conditions, garden: GardenBeds | None, greywater: Greywater | None
) -> BedWater | None:
    """Work out what the beds want, and what brings it.

    Parameters
    ----------
    design : Design
        With the brief: beds, tank, and the share of years in which beds are to be carried.
    shared : Conditions
        Weather.
    garden : GardenBeds or None
        The beds.
    greywater : Greywater or None
        The reed bed, and the ground that its best place serves.

    Returns
    -------
    BedWater or None
        None where there are no beds.

    Raises
    ------
    BriefError
        If a tank is named, but neither a roof nor a building.

    Examples
    --------
    >>> water_garden(design, growth, None, growth.greywater) is None
    True
    """
    if garden is None:
        return None
    brief = design.site.brief
    dates, (et_mm, rain_mm) = whole_years_of(shared.weather.dates, shared.reference.et_mm, shared.weather.rain_mm)
    left = np.zeros(dates.size)
    if greywater is not None and greywater.places and greywater.drain is None:
        left = greywater_left_m3(dates, et_mm, greywater.flow_m3_d, greywater.bed.area_m2)
    water = BedWater(
        dates,
        garden.area_m2,
        et_mm,
        rain_mm,
        bed_want_mm(brief.beds, dates, et_mm, rain_mm),
        left,
        np.zeros(dates.size),
        _reached_m2(design, garden, greywater),
        None,
        0.0,
        brief.planting.reliability,
    )
    tank = brief.tank
    if tank.volume_m3 is None:
        return water_beds(water)
    inflow = roof_runoff_m3(rain_mm, roof_m2(design), coefficient=tank.roof_runoff, first_flush_mm=tank.first_flush_mm)
    return water_beds(water, inflow_m3=inflow, volume_m3=tank.volume_m3)


def roof_m2(design: Design) -> float:
    """Roof that drains to the tank: as the brief says, else the outline of the house.

    Parameters
    ----------
    design : Design
        With the brief, and the house among its keep-outs.

    Returns
    -------
    float
        In plan [m²].

    Raises
    ------
    BriefError
        If neither is there.

    Examples
    --------
    >>> roof_m2(design)
    48.0
    """
    given = design.site.brief.tank.roof_m2
    return float(house_building(design).convex_hull.area) if given is None else given


def _reached_m2(design: Design, garden: GardenBeds, greywater: Greywater | None) -> float:
    """Ground of the beds that the best place of the reed bed serves by gravity."""
    if greywater is None or not greywater.places or greywater.drain is not None:
        return 0.0
    served, grid = greywater.places[0].served.cells, design.ground.terrain.grid
    reached = 0.0
    for bed in garden.beds:
        row, column = (np.rint(axis).astype(np.intp) for axis in grid.rows_columns(*bed.line.xy.T))
        reached += bed.area_m2 * float(bed.line.width_m @ served[row, column]) / bed.length_m
    return reached
