"""Machine hours and cost."""

from collections.abc import Sequence
from dataclasses import dataclass, fields

from swalekit._checks import check_not_negative, check_positive


@dataclass(frozen=True)
class Rates:
    """What work costs, in the client's currency. A price that isn't known is None.

    Parameters
    ----------
    machine_m3_per_h : float
        Bank volume that the machine digs and places [m³/h]; 25 is common practice for a small excavator.
    machine_per_h : float, optional
        Price of a machine hour [1/h].
    dig_per_m3 : float, optional
        Price of a bank cubic metre [1/m³].
    bring_per_m3 : float, optional
        Price of a compacted cubic metre of soil brought for berms that lack it [1/m³].
    swale_per_m : float, optional
        Price of a metre of swale, for staking, seeding and mulch [1/m].
    mobilisation : float
        Price of bringing the machine, once a job.
    topsoil_m3_per_h : float, optional
        Topsoil that the machine sets aside and spreads again [m³/h]; its hours are not counted if None.
    sill_h : float
        Machine hours to form and level a sill with its apron [h].
    sill_per_m : float, optional
        Price of a metre of sill, made level and compacted [1/m].
    stone_per_m3, grass_per_m2 : float, optional
        Price of stone [1/m³] and of sod [1/m²] laid below sills.
    bund_per_m3 : float, optional
        Price of bund round a tree built by hand [1/m³].
    pit_each : float, optional
        Price of a planting pit.
    pipe_per_m : float, optional
        Price of a metre of pipe under a crossing, laid [1/m].

    Raises
    ------
    InputError
        If the machine's rate isn't positive or a price is negative.
    """

    machine_m3_per_h: float = 25.0
    machine_per_h: float | None = None
    dig_per_m3: float | None = None
    bring_per_m3: float | None = None
    swale_per_m: float | None = None
    mobilisation: float = 0.0
    topsoil_m3_per_h: float | None = None
    sill_h: float = 0.0
    sill_per_m: float | None = None
    stone_per_m3: float | None = None
    grass_per_m2: float | None = None
    bund_per_m3: float | None = None
    pit_each: float | None = None
    pipe_per_m: float | None = None

    def __post_init__(self) -> None:
        check_positive(machine_m3_per_h=self.machine_m3_per_h)
        if self.topsoil_m3_per_h is not None:
            check_positive(topsoil_m3_per_h=self.topsoil_m3_per_h)
        for field in fields(self):
            price = getattr(self, field.name)
            if price is not None:
                check_not_negative(**{field.name: price})


def machine_hours(dug_m3: float, rates: Rates, *, topsoil_m3: float = 0.0, sills: int = 0) -> float:
    """Hours that the machine works.

    Parameters
    ----------
    dug_m3 : float
        Bank volume [m³].
    rates : Rates
        What the machine does in an hour.
    topsoil_m3 : float
        Topsoil set aside and spread again [m³]; counted where the rates say how fast.
    sills : int
        Sills formed.

    Returns
    -------
    float
        Time [h].

    Examples
    --------
    >>> machine_hours(100.0, Rates())
    4.0
    """
    topsoil_h = 0.0 if rates.topsoil_m3_per_h is None else topsoil_m3 / rates.topsoil_m3_per_h
    return dug_m3 / rates.machine_m3_per_h + topsoil_h + sills * rates.sill_h


def swale_cost(
    dug_m3: float,
    length_m: float,
    rates: Rates,
    *,
    brought_m3: float = 0.0,
    topsoil_m3: float = 0.0,
    sills: int = 0,
    sill_m: float = 0.0,
    stone_m3: float = 0.0,
    grass_m2: float = 0.0,
    pipe_m: float = 0.0,
) -> float | None:
    """Cost of one swale, without mobilisation: the sum over every price that is known.

    Parameters
    ----------
    dug_m3 : float
        Bank volume [m³].
    length_m : float
        Length of the line [m].
    rates : Rates
        Prices.
    brought_m3 : float
        Compacted soil brought for the berm [m³].
    topsoil_m3 : float
        Topsoil set aside and spread again [m³].
    sills : int
        Sills formed.
    sill_m : float
        Their length [m].
    stone_m3, grass_m2 : float
        Stone [m³] and sod [m²] laid below sills and in fords.
    pipe_m : float
        Length of pipe under crossings [m].

    Returns
    -------
    float or None
        Cost; None if no price is known.

    Examples
    --------
    >>> swale_cost(100.0, 80.0, Rates(machine_per_h=90.0, swale_per_m=2.0))
    520.0
    >>> swale_cost(100.0, 80.0, Rates()) is None
    True
    """
    priced = (
        (machine_hours(dug_m3, rates, topsoil_m3=topsoil_m3, sills=sills), rates.machine_per_h),
        (dug_m3, rates.dig_per_m3),
        (brought_m3, rates.bring_per_m3),
        (length_m, rates.swale_per_m),
        (sill_m, rates.sill_per_m),
        (stone_m3, rates.stone_per_m3),
        (grass_m2, rates.grass_per_m2),
        (pipe_m, rates.pipe_per_m),
    )
    parts = [amount * price for amount, price in priced if price is not None]
    return sum(parts) if parts else None


def sill_cost(length_m: float, rates: Rates, *, stone_m3: float = 0.0, grass_m2: float = 0.0) -> float | None:
    """What of a swale's cost depends on how long its sill is and what is laid below it.

    Parameters
    ----------
    length_m : float
        Length of the sill [m].
    rates : Rates
        Prices.
    stone_m3, grass_m2 : float
        Stone [m³] and sod [m²] laid below it.

    Returns
    -------
    float or None
        Cost, 0 for a sill alone whose length has no price; None if what is laid has none.

    Examples
    --------
    >>> sill_cost(8.0, Rates(sill_per_m=5.0)), sill_cost(2.0, Rates(stone_per_m3=60.0), stone_m3=1.5)
    (40.0, 90.0)
    >>> sill_cost(2.0, Rates(sill_per_m=5.0), stone_m3=1.5) is None
    True
    """
    if (stone_m3 > 0.0 and rates.stone_per_m3 is None) or (grass_m2 > 0.0 and rates.grass_per_m2 is None):
        return None
    priced = ((length_m, rates.sill_per_m), (stone_m3, rates.stone_per_m3), (grass_m2, rates.grass_per_m2))
    return sum((amount * price for amount, price in priced if price is not None), 0.0)


def job_cost(swale_costs: Sequence[float | None], rates: Rates) -> float | None:
    """Cost of all swales with mobilisation once.

    Parameters
    ----------
    swale_costs : sequence of (float or None)
        Cost of each swale in the currency of the rates; None where no price is known.
    rates : Rates
        Prices.

    Returns
    -------
    float or None
        The cost, in the currency of the rates; None if no price is known or there is no swale.

    Examples
    --------
    >>> job_cost([520.0, 300.0], Rates(machine_per_h=90.0, mobilisation=400.0))
    1220.0
    """
    known = [cost for cost in swale_costs if cost is not None]
    return sum(known) + rates.mobilisation if known else None


def bund_cost(bund_m3: float, pits: int, rates: Rates) -> float | None:
    """Cost of bunds round trees and of their pits: by hand where that has a price, else by machine, with mobilisation.

    Parameters
    ----------
    bund_m3 : float
        Soil in the bunds [m³].
    pits : int
        Planting pits.
    rates : Rates
        Prices.

    Returns
    -------
    float or None
        Cost; None if no price is known.

    Examples
    --------
    >>> bund_cost(100.0, 50, Rates(bund_per_m3=6.0, pit_each=2.0, mobilisation=300.0))
    700.0
    >>> bund_cost(100.0, 50, Rates(machine_per_h=90.0, mobilisation=300.0))
    660.0
    """
    pit_cost = None if rates.pit_each is None else pits * rates.pit_each
    if rates.bund_per_m3 is not None:
        return bund_m3 * rates.bund_per_m3 + (pit_cost or 0.0)
    by_machine = swale_cost(bund_m3, 0.0, Rates(rates.machine_m3_per_h, rates.machine_per_h, rates.dig_per_m3))
    known = [cost for cost in (pit_cost, by_machine) if cost is not None]
    moved = 0.0 if by_machine is None or not bund_m3 else rates.mobilisation
    return sum(known) + moved if known else None
