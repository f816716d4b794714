"""The chance of a year: how the site's greatest storm of a year is distributed."""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit.design.brief.settings import duration_h, rain_mm
from swalekit.design.brief.site import Site
from swalekit.errors import InputError
from swalekit.hydrology.storm.depth_table import DepthTable

YearChance = Callable[[ArrayLike], NDArray[np.float64]]
"""Depth [mm] -> probability that no storm of a year brings more."""

NEEDS_RAIN = "needs a record or a table of rain in [storm]"


def year_chance_of(site: Site) -> tuple[YearChance | None, str]:
    """Distribution of the greatest storm of a year, of the duration of the site's storms.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    chance : callable or None
        Probability that no storm of a year brings more than a depth [mm]; None where the brief doesn't say.
    lack : str
        What is missing where it is None; else empty.

    Notes
    -----
    Of a record it is the distribution fitted to its annual maxima, of a table that between and beyond its return
    periods. A record's day is scaled to a shorter storm as its depths are.

    Examples
    --------
    >>> year_chance_of(site)
    (None, 'needs a record or a table of rain in [storm]')
    """
    rain, part = site.rain, site.brief.storm
    if rain is None or part.return_period_y is None:
        return None, NEEDS_RAIN
    if isinstance(rain, DepthTable):
        hours = duration_h(site)
        try:
            rain.cdf(1.0, hours)
        except InputError as error:
            return None, str(error)
        return lambda depth_mm: rain.cdf(depth_mm, hours), ""
    share = rain_mm(site, part.return_period_y) / float(rain.depth_mm(part.return_period_y))
    least_mm = np.finfo(float).tiny
    return lambda depth_mm: rain.chosen.cdf(np.maximum(np.asarray(depth_mm) / share, least_mm)), ""
