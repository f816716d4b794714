"""What a reader must know of where the soil zones lie."""

from collections.abc import Sequence

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.losses.soil import SoilZone

_LEAST_SHARE = 0.001
_SHOWN = 12


def soil_zone_notes(
    zones: Sequence[SoilZone],
    own: Loss,
    *,
    area: BaseGeometry,
    inside: NDArray[np.bool_],
    soil_class: NDArray[np.uint8],
) -> tuple[str, ...]:
    """Share of the site without a zone and what counts there, and zones that lie wholly outside the site.

    Parameters
    ----------
    zones : sequence of SoilZone
        In the CRS of the area.
    own : Loss
        The brief's own, which counts where there is no zone.
    area : shapely geometry
        The site.
    inside : ndarray of bool, shape (rows, columns)
        Cells of the site that hold ground.
    soil_class : ndarray of uint8, shape (rows, columns)
        Zone of each cell, 0 for none.
    """
    notes = []
    open_share = float(np.mean(soil_class[inside] == 0))
    if open_share > _LEAST_SHARE:
        notes.append(
            f"no soil zone covers {100 * open_share:.1f} % of the site: there the brief's own soil counts, {own}"
        )
    outside = [str(number) for number, zone in enumerate(zones, start=1) if not zone.geometry.intersects(area)]
    if outside:
        more = f" and {len(outside) - _SHOWN} more" if len(outside) > _SHOWN else ""
        named = f"zone {outside[0]} lies" if len(outside) == 1 else f"zones {', '.join(outside[:_SHOWN])}{more} lie"
        notes.append(f"soil {named} wholly outside the site")
    return tuple(notes)
