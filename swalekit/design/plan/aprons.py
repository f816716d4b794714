"""The apron below each sill whose berm or ground doesn't bear the check storm's flow."""

from dataclasses import replace

import numpy as np

from swalekit.design.brief.site import Site
from swalekit.design.plan.design import Swale
from swalekit.kernels.section_nodes import DOWNHILL_TOE
from swalekit.section.apron import Apron, size_apron
from swalekit.section.outlet import check_outlet


def with_aprons(site: Site, swales: tuple[Swale, ...]) -> tuple[Swale, ...]:
    """Lay an apron below each sill where the face of the berm, or the ground at its foot, doesn't bear the flow.

    Parameters
    ----------
    site : Site
        What was asked.
    swales : tuple of Swale
        With the outlets of their sills.

    Returns
    -------
    tuple of Swale
        The same, with the aprons.

    Examples
    --------
    >>> [swale.sill.apron is None for swale in with_aprons(site, design.swales)]
    [False, False]
    """
    return tuple(replace(swale, sill=replace(swale.sill, apron=_apron(site, swale))) for swale in swales)


def _apron(site: Site, swale: Swale) -> Apron | None:
    outlet, sill, drop_m = swale.routed.outlet, swale.sill, _drop_m(swale)
    face_slope = 1.0 / site.brief.section.berm_downhill_side_slope
    face = check_outlet(sill.flow_m3s, sill.length_m, face_slope, cover=site.brief.sill.cover)
    if outlet.cure == "" and (drop_m == 0 or face.cure == ""):
        return None
    return size_apron(
        sill.flow_m3s,
        sill.length_m,
        drop_m=drop_m,
        face_slope=face_slope,
        ground_slope=outlet.slope,
        kind=site.brief.sill.apron,
    )


def _drop_m(swale: Swale) -> float:
    """Height of the sill above the ground at the foot of the berm below it."""
    line, shape = swale.line, swale.sized.shape
    station = int(np.argmin(np.abs(line.chainage_m[: len(shape.stations.ground_m)] - swale.sill.chainage_m)))
    toe_x = shape.nodes[0][DOWNHILL_TOE, station]
    foot_m = shape.stations.ground_m[station] - shape.stations.slope[station] * toe_x
    return max(float(shape.sill_level_m - foot_m), 0.0)
