"""What a plan tells of its crossings: which swales end beside each, and which are long without one."""

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any

import shapely
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.crossing import Crossing
from swalekit.contours.line import RefusedLine
from swalekit.contours.obstacles import CROSSING
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground, first_few
from swalekit.design.layout.kept_clear import crossing_strips
from swalekit.design.layout.sized_layout import DugSwale

LONG_M = 150.0
"""A swale that is longer is a long way round for stock and machines: our choice."""

_BESIDE_M = 5.0
"""Works that end so near the ground of a crossing were cut back for it."""


@one_line("crossing", "ends")
@dataclass(frozen=True, eq=False)
class CrossingRow:
    """A crossing on the plan.

    Parameters
    ----------
    crossing : Crossing
        The crossing.
    strip : shapely polygon
        Ground that is kept clear for it, in the CRS of the terrain.
    ends : tuple of str
        Swales that end beside it.
    """

    crossing: Crossing
    strip: BaseGeometry
    ends: tuple[str, ...]

    def figures(self) -> dict[str, Any]:
        """What is written of it.

        Returns
        -------
        dict
            Kind, name, width and swales.

        Examples
        --------
        >>> gate = Crossing("gap", shapely.Point(0.0, 0.0), 4.0, "Gate")
        >>> CrossingRow(gate, gate.geometry.buffer(2.0), ("S1", "S2")).figures()
        {'kind': 'gap', 'name': 'Gate', 'width_m': 4.0, 'ends': 'S1, S2'}
        """
        crossing = self.crossing
        return {
            "kind": crossing.kind,
            "name": crossing.name,
            "width_m": crossing.width_m,
            "ends": ", ".join(self.ends),
        }


def crossing_rows(site: Site, ground: Ground, swales: Sequence[DugSwale]) -> tuple[CrossingRow, ...]:
    """Every crossing with the swales that end beside it.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    swales : sequence of DugSwale
        All swales.

    Returns
    -------
    tuple of CrossingRow
        In the order of the brief.

    Examples
    --------
    >>> crossing_rows(site, ground, design.swales)
    ()
    """
    works = [swale.works for swale in swales]
    return tuple(
        CrossingRow(
            crossing,
            strip.geometry,
            tuple(
                swale.id
                for swale, ground_taken in zip(swales, works, strict=True)
                if shapely.dwithin(strip.geometry, ground_taken, _BESIDE_M)
            ),
        )
        for crossing, strip in crossing_strips(site, ground)
    )


def crossing_notes(
    site: Site, ground: Ground, swales: Sequence[DugSwale], refused: Sequence[RefusedLine]
) -> tuple[str, ...]:
    """Crossings that cut no line, and swales that are long without one.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    swales : sequence of DugSwale
        All swales.
    refused : sequence of RefusedLine
        Stretches that were not laid.

    Returns
    -------
    tuple of str
        A sentence for each crossing, and one for all long swales.

    Examples
    --------
    >>> crossing_notes(site, ground, design.swales, design.refused)
    ()
    """
    cut = shapely.MultiLineString([line.xy for line in refused if line.reason == CROSSING and len(line.xy) > 1])
    idle = tuple(
        f"{crossing.title} cuts no line: none comes to it"
        for crossing, strip in crossing_strips(site, ground)
        if not strip.geometry.intersects(cut)
    )
    long = [swale.id for swale in swales if swale.line.length_m > LONG_M]
    if not long:
        return idle
    return (
        *idle,
        f"{first_few(long)}: longer than {LONG_M:g} m without a way across for stock and machines; name gateways and "
        "tracks under [area] crossings",
    )
