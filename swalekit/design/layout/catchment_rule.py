"""Catchments by two rules of routing: where they differ, what drains to a line hangs on the rule."""

from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.flow.catchments import label_cells
from swalekit.flow.dispersed import disperse_flow, dispersed_areas_m2
from swalekit.frozen import Frozen

UNSURE = 0.10
"""Share by which the two may differ before it is told; our choice."""
_FEW_CELLS = 20.0
"""Cells by which they may differ in any case."""
_MOST_TOLD = 8


@one_line("single_m2", "parted_m2")
@dataclass(frozen=True, eq=False)
class CatchmentsByRule(Frozen):
    """Ground that meets each line first, by one direction a cell and by flow that parts.

    Parameters
    ----------
    single_m2 : ndarray of float64, shape (lines,)
        Each cell drains to the steepest of its eight neighbours, as everywhere in a plan [m²].
    parted_m2 : ndarray of float64, shape (lines,)
        Each cell's water parts between the two that its slope points between [m²].
    cell_area_m2 : float
        Area of a cell [m²].
    """

    single_m2: NDArray[np.float64]
    parted_m2: NDArray[np.float64]
    cell_area_m2: float

    @property
    def unsure(self) -> NDArray[np.bool_]:
        """Lines of which the two differ by more than a tenth of the first and by more than a few cells."""
        apart_m2 = np.abs(self.parted_m2 - self.single_m2)
        return (apart_m2 > UNSURE * self.single_m2) & (apart_m2 > _FEW_CELLS * self.cell_area_m2)

    def notes(self, names: Sequence[str]) -> tuple[str, ...]:
        """What a designer must know of lines whose catchment hangs on the rule.

        Parameters
        ----------
        names : sequence of str
            Name of each line.

        Returns
        -------
        tuple of str
            One sentence with the figures of all of them, the worst first; none where there is no such line.

        Examples
        --------
        >>> CatchmentsByRule(np.array([900.0, 400.0]), np.array([905.0, 520.0]), 1.0).notes(["S1", "S2"])[0][:61]
        'catchment unsure: S2 400 or 520 m2, by the rule of routing th'
        """
        unsure = np.flatnonzero(self.unsure)
        if not unsure.size:
            return ()
        apart = np.abs(np.log(np.maximum(self.parted_m2, 1.0) / np.maximum(self.single_m2, 1.0)))
        worst = unsure[np.argsort(-apart[unsure], kind="stable")]
        told = [f"{names[k]} {self.single_m2[k]:,.0f} or {self.parted_m2[k]:,.0f} m2" for k in worst.tolist()]
        more = f" and {len(told) - _MOST_TOLD} more" if len(told) > _MOST_TOLD else ""
        return (
            f"catchment unsure: {', '.join(told[:_MOST_TOLD])}{more}, by the rule of routing that is taken (steepest "
            "of eight directions, or parted flow): look on the ground after rain where its water comes from, or give "
            "more freeboard",
        )


def catchments_by_rule(ground: Ground, layout: Layout) -> CatchmentsByRule:
    """Find what drains to each line by two rules.

    Parameters
    ----------
    ground : Ground
        The ground without swales.
    layout : Layout
        Lines on it.

    Returns
    -------
    CatchmentsByRule
        Ground whose water meets no hollow on the way, by both.

    Notes
    -----
    See `swalekit.flow.dispersed.disperse_flow`. Where both agree the answer isn't sure for that: both take the tile for
    right, and its errors are what `swalekit reliability` draws.

    Examples
    --------
    >>> catchments_by_rule(ground, layout).unsure
    array([False, False])
    """
    stops, n_lines, network = layout.drainage.stops, len(layout.lines), ground.network
    cells = label_cells(layout.drainage.labels, n_labels=1 + n_lines + len(network.hollows))
    parted_m2 = dispersed_areas_m2(disperse_flow(ground.terrain, network), network, stops, n_stops=n_lines)
    cell_area_m2 = network.grid.cell_area_m2
    single_m2 = cells[1 : 1 + n_lines, 0].astype(np.float64) * cell_area_m2
    return CatchmentsByRule(single_m2, parted_m2[:n_lines], cell_area_m2)
