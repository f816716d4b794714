"""The bill of microcatchments."""

from swalekit.design.budget.bill import Bill, BillLine
from swalekit.design.bunding.bunding import Bunding
from swalekit.earthwork.cost import machine_hours

_HEADING = "microcatchments"


def bund_bill(found: Bunding) -> Bill:
    """Bunds and pits: by hand where that has a price, else by machine.

    Parameters
    ----------
    found : Bunding
        The microcatchments.

    Returns
    -------
    Bill
        Lines that come to the cost of the microcatchments where they have a price; none where nothing is laid.

    Examples
    --------
    >>> bill = bund_bill(bunding)
    >>> [line.item for line in bill.lines], bill.cost == bunding.cost
    (['bunds by machine', 'planting pit', 'tree of a basin'], True)
    """
    if not len(found.units):
        return Bill(())
    rates, soil = found.rates, f"bunds round {len(found.units):,} units"
    if rates.bund_per_m3 is not None:
        lines = [BillLine("bunds by hand", found.bund_m3, "m3", _HEADING, basis=soil, price=rates.bund_per_m3)]
    else:
        hours, by_machine = machine_hours(found.bund_m3, rates), rates.machine_per_h or rates.dig_per_m3
        lines = [BillLine("bunds by machine", hours, "h", _HEADING, basis=soil, price=rates.machine_per_h)]
        if rates.dig_per_m3 is not None:
            lines.append(BillLine("digging bunds", found.bund_m3, "m3", _HEADING, basis=soil, price=rates.dig_per_m3))
        if by_machine is not None and rates.mobilisation:
            lines.append(BillLine("bringing the machine", 1.0, "time", _HEADING, price=rates.mobilisation))
    pits = BillLine("planting pit", float(found.trees), "pits", _HEADING, basis="one a tree", price=rates.pit_each)
    trees = BillLine("tree of a basin", float(found.trees), "plants", basis="the species is the planter's choice")
    return Bill((*(line for line in lines if line.quantity), pits, trees))
