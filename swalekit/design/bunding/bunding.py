"""The value of microcatchments on a site."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.settings import rates_of
from swalekit.design.brief.site import Site
from swalekit.design.bunding.records import BundRecords
from swalekit.design.bunding.site_ground import BETWEEN, LAID, AskedGround
from swalekit.design.bunding.size import UnitSize
from swalekit.design.layout.ground import Ground
from swalekit.design.plan.design import Caution, Design
from swalekit.earthwork.cost import Rates, bund_cost
from swalekit.frozen import Frozen
from swalekit.microcatchments.units import Units

Values = NDArray[np.float64]


@one_line("site.brief.site.name", "units", "trees", "bund_m3", "spilling")
@dataclass(frozen=True, eq=False)
class Bunding(Frozen):
    """Microcatchments laid on a site.

    Parameters
    ----------
    site : Site
        What was asked, in the CRS of the ground.
    ground : Ground
        The ground without any works.
    design : Design or None
        The swales that they keep off; None where there are none.
    records : BundRecords
        Ground asked for and rain of the years.
    size : UnitSize
        The size, and the tree that it is for.
    asked : AskedGround
        The ground asked for, and what of it is open.
    units : Units
        Where they lie; none at all is a result.
    runoff_m3 : ndarray of float64, shape (n,)
        Water that the design storm brings to each [m³].
    notes : tuple of str
        What was assumed.
    cautions : tuple of Caution
        Those that figures raise, and those for every site.
    """

    site: Site
    ground: Ground
    design: Design | None
    records: BundRecords
    size: UnitSize
    asked: AskedGround
    units: Units
    runoff_m3: Values
    notes: tuple[str, ...] = ()
    cautions: tuple[Caution, ...] = ()

    @property
    def rates(self) -> Rates:
        """Prices of the brief."""
        return rates_of(self.site)

    @property
    def trees(self) -> int:
        """Trees of all units."""
        return int(self.units.trees.sum())

    @property
    def bund_m3(self) -> float:
        """Soil in all bunds [m³]: the sum of the units'."""
        return float(self.units.bund_m3.sum())

    @cached_property
    def spilled_m3(self) -> Values:
        """What each can't hold of the design storm [m³], shape (n,)."""
        return np.asarray(np.maximum(self.runoff_m3 - self.units.held_m3, 0.0))

    @property
    def spilling(self) -> int:
        """Units that spill in the design storm."""
        return int(np.count_nonzero(self.spilled_m3))

    @property
    def cost(self) -> float | None:
        """Cost of bunds and pits at the brief's rates; None where they name no price, or nothing is laid."""
        return bund_cost(self.bund_m3, self.trees, self.rates) if len(self.units) else None

    @property
    def ground_m2(self) -> dict[str, float]:
        """What becomes of the ground asked for: area by reason, that of the units last [m²]."""
        laid_m2 = float(sum(outline.area for outline in self.units.outlines))
        refused = dict(self.asked.refused_m2)
        left_m2 = self.asked.asked.area - sum(refused.values()) - laid_m2
        return refused | {BETWEEN: max(left_m2, 0.0), LAID: laid_m2}


def unit_names(units: Units) -> list[str]:
    """Names of units: that of the block and the number in it.

    Parameters
    ----------
    units : Units
        The units.

    Returns
    -------
    list of str
        One each.

    Examples
    --------
    >>> unit_names(Units.none("negarim"))
    []
    """
    seen: dict[int, int] = {}
    names = []
    for block in units.block.tolist():
        seen[block] = seen.get(block, 0) + 1
        names.append(f"M{block}-{seen[block]}")
    return names
