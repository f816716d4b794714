"""What the water of a swale would reach if its berm failed anywhere along the line."""

from collections.abc import Sequence

import shapely

from swalekit.contours.keep_outs import KeepOut
from swalekit.contours.line import LevelLine
from swalekit.section.drainage import Drainage
from swalekit.section.way_down import way_down

EXPOSED_KINDS: tuple[str, ...] = ("building", "septic field", "well")
"""Things that a failed berm must not reach without being named (common practice)."""

_STATION_STEP_M = 4.0


def exposed_below(
    line: LevelLine, label: int, *, drainage: Drainage, keep_outs: Sequence[KeepOut]
) -> tuple[KeepOut, ...]:
    """Buildings, septic fields and wells on the way of the water from any station of a line to the next line.

    Parameters
    ----------
    line : LevelLine
        The line.
    label : int
        Its label.
    drainage : Drainage
        Where the water goes.
    keep_outs : sequence of KeepOut
        In the CRS of the lines.

    Returns
    -------
    tuple of KeepOut
        Those met, in the order given; each with half its setback around it, since water spreads.
    """
    exposed = [each for each in keep_outs if each.kind in EXPOSED_KINDS]
    if not exposed:
        return ()
    step = max(1, round(_STATION_STEP_M / line.spacing_m))
    ways = shapely.multilinestrings(
        [
            shapely.LineString(way_down(line, station, drainage, label=label)[0])
            for station in range(0, len(line.xy), step)
        ]
    )
    return tuple(each for each in exposed if shapely.distance(ways, each.geometry) <= each.setback_m / 2.0)
