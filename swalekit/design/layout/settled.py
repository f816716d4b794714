"""Lines and sizes that agree: each swale sized for what drains to its works, which are as large as it is sized."""

import numpy as np

from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout, relaid
from swalekit.design.layout.water import Water, pour

_ROUNDS = 4
_SETTLED = 0.005
_TRIFLE_M3 = 0.01


def settle(site: Site, ground: Ground, layout: Layout) -> tuple[Layout, Water]:
    """Size the swales for what drains to their works, and see what drains to the works as sized, until both agree.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, the ground, and the lines on it.

    Returns
    -------
    layout : Layout
        The same lines; what drains to the ditch, bench and inner berm face of each drains to it.
    water : Water
        Sizes, and what each store receives, holds and spills.

    Notes
    -----
    At most four rounds, fewer once no swale's water changes by more than half a percent (our choice): on even ground
    the second changes nothing, since the works grow by centimetres.

    Examples
    --------
    >>> settled, water = settle(site, ground, layout)
    >>> [swale.shape.depth_m for swale in water.sized] == [swale.sized.shape.depth_m for swale in design.swales]
    True
    """
    water, n_lines = pour(site, ground, layout), len(layout.lines)
    for _ in range(_ROUNDS if n_lines else 0):
        layout = relaid(site, ground, layout, layout.lines, shapes=[swale.shape for swale in water.sized])
        before, water = water.design.received_m3[:n_lines], pour(site, ground, layout)
        if np.allclose(water.design.received_m3[:n_lines], before, rtol=_SETTLED, atol=_TRIFLE_M3):
            break
    return layout, water
