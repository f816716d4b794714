"""The bill of the swales: the amounts and prices that their cost is the sum of, line by line."""

from collections.abc import Sequence

from swalekit.design.budget.bill import Bill, BillLine
from swalekit.design.plan.design import Design, Swale
from swalekit.design.plan.table import stage_of
from swalekit.earthwork.cost import Rates
from swalekit.section.apron import laid_below


def works_bill(design: Design) -> Bill:
    """What digging the swales and laying their sills takes, season by season.

    Parameters
    ----------
    design : Design
        The plan, built at once or in stages.

    Returns
    -------
    Bill
        Lines of earthworks and of sills; year 1 is the first season. Those with a price come to the cost of the
        design, with the machine brought once a season.

    Examples
    --------
    >>> from swalekit.earthwork.cost import Rates
    >>> priced = design.with_rates(Rates(machine_per_h=65.0, mobilisation=300.0))
    >>> bill = works_bill(priced)
    >>> [line.item for line in bill.lines], round(bill.cost - priced.cost, 6)
    (['machine', 'bringing the machine', 'stone'], 0.0)
    """
    by_season: dict[int, list[Swale]] = {}
    for swale in design.swales:
        by_season.setdefault(stage_of(swale) or 1, []).append(swale)
    lines = [line for season, swales in sorted(by_season.items()) for line in _of_season(season, swales, design.rates)]
    return Bill(tuple(line for line in lines if line.quantity))


def _of_season(season: int, swales: Sequence[Swale], rates: Rates) -> list[BillLine]:
    """What the swales of a season take; what is laid is told without a price too."""
    dug_m3 = sum(swale.quantities.dug_m3 + swale.trenches_m3 for swale in swales)
    ways = [crossing for swale in swales for crossing in swale.crossings]
    laid = [laid_below(swale.sill.apron) for swale in swales]

    def line(
        item: str, quantity: float, unit: str, price: float | None, basis: str, heading: str = "earthworks"
    ) -> BillLine:
        return BillLine(item, quantity, unit, heading, season, basis=basis, price=price)

    def priced(quantity: float, price: float | None) -> float:
        return 0.0 if price is None else quantity

    dug = f"soil dug for {len(swales)} swale{'s' if len(swales) != 1 else ''}"
    brought_m3 = sum(swale.quantities.lacking_m3 for swale in swales)
    length_m = sum(swale.line.length_m for swale in swales)
    sill_m = sum(swale.sill.length_m for swale in swales)
    hours = sum(swale.machine_h(rates) for swale in swales)
    return [
        line("machine", hours, "h", rates.machine_per_h, f"{dug}, by what the machine does an hour"),
        line("digging", priced(dug_m3, rates.dig_per_m3), "m3", rates.dig_per_m3, dug),
        line("soil brought", priced(brought_m3, rates.bring_per_m3), "m3", rates.bring_per_m3, "what berms lack"),
        line("swales by length", priced(length_m, rates.swale_per_m), "m", rates.swale_per_m, "length of the lines"),
        line("bringing the machine", priced(1.0, rates.mobilisation or None), "time", rates.mobilisation, "a season"),
        line(
            "sill, made level",
            priced(sill_m, rates.sill_per_m),
            "m",
            rates.sill_per_m,
            "as long as the check storm asks",
            "sills",
        ),
        line("stone", sum(each.get("stone_m3", 0.0) for each in laid), "m3", rates.stone_per_m3, "aprons", "sills"),
        line("pipe", sum(way.pipe_length_m for way in ways), "m", rates.pipe_per_m, "under banks", "crossings"),
        line("stone in fords", sum(way.stone_m3 for way in ways), "m3", rates.stone_per_m3, "paving", "crossings"),
        line("sod", sum(each.get("grass_m2", 0.0) for each in laid), "m2", rates.grass_per_m2, "aprons", "sills"),
    ]
