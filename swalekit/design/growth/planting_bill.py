"""What a planting has bought and dug, year by year."""

from collections.abc import Mapping, Sequence

import numpy as np

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.growth.greywater import Greywater
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import role_years
from swalekit.planting.work.bill import Bill, BillLine, bill_of
from swalekit.planting.work.materials import MulchPlan, compost_m3
from swalekit.planting.work.nursery import NurseryLine

MATERIALS = ("mulch", "compost", "pocket", "gravel", "pipe", "water")
"""What is priced besides plants."""


def planting_bill(
    part: PlantingPart,
    nursery: Sequence[NurseryLine],
    mulch: MulchPlan,
    first_water_m3: Mapping[int, float],
    greywater: Greywater | None,
    pockets_m3: float,
) -> Bill:
    """Plants with their replacements, mulch that must be bought, compost, water carried, the reed bed with its pipe.

    Parameters
    ----------
    part : PlantingPart
        The brief's years and prices.
    nursery : sequence of NurseryLine
        Plants of each species.
    mulch : MulchPlan
        Mulch of each year.
    first_water_m3 : mapping of int to float
        Year from 1 -> water carried to young plants [m³].
    greywater : Greywater, optional
        The reed bed and its pipe.
    pockets_m3 : float
        Pockets in the ditches' floors [m³].

    Returns
    -------
    Bill
        The lines, priced where the brief names a price.

    Raises
    ------
    InputError
        If a price is negative.

    Examples
    --------
    >>> mulch = MulchPlan(np.array([2.0, 1.0]), np.zeros(2), np.array([2.0, 0.0]))
    >>> bill = planting_bill(PlantingPart(prices={"mulch": 20.0}), [], mulch, {1: 3.0}, None, 0.0)
    >>> [(line.item, line.year, line.cost) for line in bill.lines]
    [('mulch, first laid', 1, 40.0), ('mulch, top-up', 2, 20.0), ('water carried', 1, None)]
    """
    lines = [
        BillLine(
            stock.species.name, stock.planted + stock.replacements, "plants", year=_plant_year(stock.species, part)
        )
        for stock in nursery
    ]
    laid_m3 = np.minimum(mulch.bought_m3, mulch.new_m3)
    for item, volume_m3 in (("mulch, first laid", laid_m3), ("mulch, top-up", mulch.bought_m3 - laid_m3)):
        lines += [
            BillLine(item, volume, "m3", "mulch", year, "mulch") for year, volume in enumerate(volume_m3.tolist(), 1)
        ]
    counts = {stock.species: stock.planted for stock in nursery}
    for year in sorted({_plant_year(species, part) for species in counts}):
        of_year = {species: plants for species, plants in counts.items() if _plant_year(species, part) == year}
        lines.append(BillLine("compost", compost_m3(of_year), "m3", "compost", year))
    lines += [
        BillLine("water carried", volume, "m3", "watering", year, "water") for year, volume in first_water_m3.items()
    ]
    lines.append(BillLine("pocket", pockets_m3, "m3", "digging"))
    if greywater is not None and greywater.route is not None:
        bed = greywater.bed
        lines.append(BillLine("gravel", bed.area_m2 * bed.depth_m, "m3", "greywater"))
        lines.append(BillLine("pipe", greywater.route.length_m, "m", "greywater"))
    return bill_of(lines, part.prices)


def _plant_year(species: Species, part: PlantingPart) -> int:
    return role_years(species.role, part.years_by_role).plant_year
