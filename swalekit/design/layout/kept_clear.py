"""All that lines and works keep off on a site: keep-outs, and the ground of its crossings."""

from swalekit.contours.crossing import Crossing, kept_clear_for
from swalekit.contours.obstacles import KeepOut
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground


def kept_clear(site: Site, ground: Ground) -> tuple[KeepOut, ...]:
    """What lines and works keep off.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.

    Returns
    -------
    tuple of KeepOut
        The keep-outs, then the strip of every crossing.

    Examples
    --------
    >>> kept_clear(site, ground) == site.keep_outs
    True
    """
    return (*site.keep_outs, *(strip for _, strip in crossing_strips(site, ground)))


def crossing_strips(site: Site, ground: Ground) -> tuple[tuple[Crossing, KeepOut], ...]:
    """Every crossing with the ground that is kept clear for it.

    Parameters
    ----------
    site, ground : Site, Ground
        As for `kept_clear`.

    Returns
    -------
    tuple of (Crossing, KeepOut)
        In the order of the brief.

    Examples
    --------
    >>> import shapely
    >>> from dataclasses import replace
    >>> gate = Crossing("gap", shapely.Point(ground.area.centroid), 4.0, "Gate")
    >>> [round(strip.geometry.area) for _, strip in crossing_strips(replace(site, crossings=(gate,)), ground)]
    [80]
    """
    return tuple((crossing, kept_clear_for(crossing, ground.terrain)) for crossing in site.crossings)
