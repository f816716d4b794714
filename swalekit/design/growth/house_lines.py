"""What the house's water and the annual beds take besides plants, as lines of a bill."""

from swalekit.design.budget.bill import BillLine
from swalekit.design.growth.garden import GardenBeds
from swalekit.design.growth.greywater import Greywater
from swalekit.design.plan.design import Design
from swalekit.greywater.branched_drain import drain_practice

HOUSE_MATERIALS = (
    "gravel", "pipe", "bed soil", "bed wall", "bed liner", "tank", "split", "basin", "toilet", "toilet chamber",
)  # fmt: skip
"""What is priced of it; compost for beds is priced as compost."""


def house_lines(design: Design, greywater: Greywater | None, garden: GardenBeds | None) -> list[BillLine]:
    """What reed bed or branched drain, toilet, annual beds and tank take.

    Parameters
    ----------
    design : Design
        With the brief.
    greywater : Greywater or None
        The reed bed and its pipe.
    garden : GardenBeds or None
        The beds.

    Returns
    -------
    list of BillLine
        Gravel and pipe, or pipes, splits and basins of a branched drain; the toilet and its chambers; compost, soil
        moved, low walls and liners of the beds; the tank by its volume; without prices.

    Examples
    --------
    >>> [(line.item, line.unit) for line in house_lines(design, growth.greywater, None)]
    [('gravel', 'm3'), ('pipe', 'm')]
    """
    brief, lines = design.site.brief, list[BillLine]()
    if greywater is not None and greywater.route is not None:
        bed, drain = greywater.bed, greywater.drain
        if drain is None:
            lines.append(BillLine("gravel", bed.area_m2 * bed.depth_m, "m3", "greywater", basis="the reed bed"))
        lines.append(BillLine("pipe", greywater.route.length_m, "m", "greywater", basis="its route"))
        if drain is not None:
            mulch_m3 = drain.need.area_m2 * drain_practice("basin depth")
            lines += [
                BillLine("pipe, branches", drain.length_m, "m", "greywater", 1, "pipe", "from split to basin"),
                BillLine("split", float(drain.splits), "pieces", "greywater", basis="fittings that halve the flow"),
                BillLine("basin", mulch_m3, "m3", "greywater", basis="basins dug at their depth"),
                BillLine("mulch, basins", mulch_m3, "m3", "greywater", 1, "mulch", "basins filled to the brim"),
            ]
    toilet = brief.toilet.toilet()
    if toilet is not None:
        lines.append(BillLine("toilet", 1.0, "pieces", "toilet", basis="seat, vent and hatches"))
        lines.append(BillLine("toilet chamber", 2.0 * toilet.chamber_m3, "m3", "toilet", basis="two by their volume"))
    if garden is None:
        return lines
    lines += [
        BillLine("compost, beds", brief.beds.compost_m * garden.area_m2, "m3", "beds", 1, "compost", "a depth on all"),
        BillLine("bed soil", garden.moved_m3, "m3", "beds", basis="a wedge of each bed that is levelled"),
        BillLine("bed wall", garden.wall_length_m, "m", "beds", basis="the lower edge of each bed that is levelled"),
    ]
    if brief.beds.wicking:
        lines.append(BillLine("bed liner", garden.area_m2, "m2", "beds", basis="ground of the beds"))
    if brief.tank.volume_m3 is not None:
        lines.append(BillLine("tank", brief.tank.volume_m3, "m3", "beds", basis="as given"))
    return lines
