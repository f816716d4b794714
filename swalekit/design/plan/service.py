"""What the years do to every swale: how far its berm settles, and how fast silt fills its ditch."""

from dataclasses import replace

import numpy as np

from swalekit.design.brief.silt_part import SiltPart
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.design.plan.design import Swale
from swalekit.flow.accumulation import longest_paths
from swalekit.hydrology.silt.service_life import ServiceLife
from swalekit.hydrology.silt.soil_loss import rain_erosivity, silt_m3, slope_factor, soil_loss_t_ha


def with_service(site: Site, ground: Ground, layout: Layout, swales: tuple[Swale, ...]) -> tuple[Swale, ...]:
    """Tell how far each swale's berm settles, and how fast its ditch silts up.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, the ground, the lines on it.
    swales : tuple of Swale
        The swales.

    Returns
    -------
    tuple of Swale
        The same, with both.

    Notes
    -----
    Slope length is the catchment over the length of the line, slope that of the longest path to it, which stays clear
    of the noise of single cells. What overflow brings from above, gullies and what wind brings are not in it.

    Examples
    --------
    >>> first, _ = with_service(site, ground, layout, design.swales)
    >>> 0.0 < first.service.silt_m3_y < 0.1 * first.storage_m3
    True
    """
    if not swales:
        return ()
    drainage, n_labels = layout.drainage, 1 + layout.stores.downstream.size
    length_m, fall_m = longest_paths(ground.network, ground.terrain, drainage.stops, drainage.labels, n_labels=n_labels)
    slopes = np.divide(fall_m, length_m, out=np.full(n_labels, np.nan), where=length_m > 0)
    return tuple(
        replace(
            swale,
            settles_m=site.brief.allowances.settlement * swale.berm_height_m,
            service=_service(site.brief.silt, swale, float(slopes[label])),
        )
        for label, swale in enumerate(swales, start=1)
    )


def _service(part: SiltPart, swale: Swale, path_slope: float) -> ServiceLife:
    erosivity = rain_erosivity(part.value("rain_year_mm")) if part.erosivity is None else part.erosivity
    steepness = slope_factor(
        swale.catchment_m2 / swale.line.length_m, path_slope if path_slope > 0 else swale.line.mean_slope
    )
    lost_t_ha = soil_loss_t_ha(erosivity, part.value("erodibility"), steepness, cover_factor=part.value("cover_factor"))
    return ServiceLife(
        silt_m3(lost_t_ha, swale.catchment_m2, density_t_m3=part.value("density_t_m3")),
        swale.storage_m3,
        swale.held_m3,
        part.value("clean_at_share"),
    )
