"""What a planting has bought and dug, year by year."""

from collections import Counter
from collections.abc import Callable, Mapping, Sequence

import numpy as np

from swalekit.design.brief.site import Site
from swalekit.design.budget.bill import Bill, BillLine, bill_of
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import role_years
from swalekit.planting.work.materials import MulchPlan, compost_m3
from swalekit.planting.work.nursery import NurseryLine
from swalekit.planting.work.yearly_work import Work

MATERIALS = ("mulch", "compost", "pocket", "water")
"""What is priced besides plants and what the house's water takes."""

_TASKS = {"plant": "plant a tree", "replace losses": "replace a loss"}
_SMALL = "ground cover"


def planting_bill(
    site: Site,
    nursery: Sequence[NurseryLine],
    works: Sequence[Work],
    mulch: MulchPlan,
    first_water_m3: Mapping[int, float],
    house: Sequence[BillLine],
    pockets_m3: float,
) -> Bill:
    """Plants with their replacements, mulch that must be bought, compost, water, work, guards, fence, reed bed.

    Parameters
    ----------
    site : Site
        The brief's years and prices; the boundary is what a fence goes along.
    nursery : sequence of NurseryLine
        Plants of each species.
    works : sequence of Work
        What is planted, replaced, cut and taken out in each year.
    mulch : MulchPlan
        Mulch of each year.
    first_water_m3 : mapping of int to float
        Year from 1 -> water carried to young plants [m³].
    house : sequence of BillLine
        What reed bed, annual beds and tank take.
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
    >>> priced = site.with_values({"planting.prices": {"mulch": 20.0}, "rates.labour_per_h": 15.0})
    >>> bill = planting_bill(priced, [], [], mulch, {1: 3.0}, [], 0.0)
    >>> [(line.item, line.year, line.cost) for line in bill.lines if line.heading != "labour"]
    [('mulch, first laid', 1, 40.0), ('mulch, top-up', 2, 20.0), ('water carried', 1, None)]
    >>> [(line.item, line.year, line.quantity) for line in bill.lines if line.heading == "labour"]
    [('spread mulch', 1, 1.6), ('spread mulch', 2, 0.8), ('carry water', 1, 1.5)]
    """
    part, rates = site.brief.planting, site.brief.rates
    counts = {stock.species: stock.planted for stock in nursery if stock.planted}
    years = {species: role_years(species.role, part.years_by_role).plant_year for species in counts}
    lines = [
        BillLine(
            stock.species.name,
            stock.plants,
            "plants",
            year=stock.year,
            basis="places on the map" if stock.planted else "gaps of plants that were lost",
        )
        for stock in sorted(nursery, key=lambda stock: stock.year)
    ]
    laid_m3 = np.minimum(mulch.bought_m3, mulch.new_m3)
    for item, volume_m3 in (("mulch, first laid", laid_m3), ("mulch, top-up", mulch.bought_m3 - laid_m3)):
        lines += [
            BillLine(item, volume, "m3", "mulch", year, "mulch", "rings at their depth, less what pioneers give")
            for year, volume in enumerate(volume_m3.tolist(), 1)
        ]
    for year in sorted(set(years.values())):
        of_year = {species: plants for species, plants in counts.items() if years[species] == year}
        lines.append(BillLine("compost", compost_m3(of_year), "m3", "compost", year, basis="a share for each plant"))
    lines += [
        BillLine("water carried", volume, "m3", "watering", year, "water", "rounds of the first dry seasons")
        for year, volume in first_water_m3.items()
    ]
    lines.append(BillLine("pocket", pockets_m3, "m3", "digging", basis="pockets beside trees in the ditches' floors"))
    lines += house
    lines += _protection(site, counts, years)
    lines += _labour(works, mulch, first_water_m3, hours=rates.hours_of)
    prices = {"work": rates.labour_per_h, "tree guard": rates.guard_each, "fence": rates.fence_per_m}
    return bill_of(lines, part.prices | {item: price for item, price in prices.items() if price is not None})


def _protection(site: Site, counts: Mapping[Species, int], years: Mapping[Species, int]) -> list[BillLine]:
    """Guards of trees and a fence, where they have a price: not every site wants them."""
    rates, lines = site.brief.rates, list[BillLine]()
    if rates.guard_each is not None:
        trees = Counter[int]()
        for species, plants in counts.items():
            trees[years[species]] += plants if species.role != _SMALL else 0
        lines += [
            BillLine("tree guard", float(number), "pieces", "protection", year, basis="one for each tree and pioneer")
            for year, number in sorted(trees.items())
        ]
    if rates.fence_per_m is not None:
        round_m = 0.0 if site.boundary is None else float(site.boundary.length)
        length_m = round_m if rates.fence_m is None else rates.fence_m
        lines.append(
            BillLine(
                "fence",
                length_m,
                "m",
                "protection",
                basis="round the boundary" if rates.fence_m is None else "as given",
            )
        )
    return lines


def _labour(
    works: Sequence[Work], mulch: MulchPlan, first_water_m3: Mapping[int, float], *, hours: Callable[[str], float]
) -> list[BillLine]:
    """Hours by hand, by year and task."""
    by_task: dict[tuple[int, str], float] = {}

    def add(year: int, task: str, amount: float) -> None:
        by_task[year, task] = by_task.get((year, task), 0.0) + amount * hours(task)

    for work in works:
        task = _TASKS.get(work.task, work.task)
        add(work.year, "plant a small plant" if work.species.role == _SMALL else task, work.plants)
    for year, volume_m3 in enumerate(mulch.needed_m3.tolist(), 1):
        add(year, "spread mulch", volume_m3)
    for year, volume_m3 in first_water_m3.items():
        add(year, "carry water", volume_m3)
    return [
        BillLine(task, amount, "h", "labour", year, "work", "hours a plant or m3 by the table, as the brief changes it")
        for (year, task), amount in by_task.items()
    ]
