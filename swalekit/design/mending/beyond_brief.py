"""What would remove a caution if the brief allowed it."""

from dataclasses import replace

from swalekit.design.brief.settings import depths_of, limits_of, section_of
from swalekit.design.plan.design import Design, Swale
from swalekit.section.sizing import size_swale

WIDEST_FLOOR_M = 12.0
"""A wider floor is a basin, not a ditch: our choice."""


def floor_that_dries_m(design: Design, swale: Swale) -> float | None:
    """The narrowest floor, wider than the brief allows, on which water soaks away in time by its depth.

    Parameters
    ----------
    design : Design
        The layout.
    swale : Swale
        Of the layout.

    Returns
    -------
    float or None
        Width [m]; None where none up to 12 m does. The storm's run in time may ask for a little more.

    Examples
    --------
    >>> print(floor_that_dries_m(design, design.swales[0]))
    None
    """
    site, part = design.site, design.site.brief.section
    limits = replace(limits_of(site, swale.id), widest_floor_m=WIDEST_FLOOR_M, most_fill_m=float("inf"))
    sized = size_swale(
        swale.sized.shape.stations,
        lambda _: swale.sized.need_m3,
        section=section_of(site, swale.id),
        depths=depths_of(site),
        fill_factor=site.brief.soil.fill_factor,
        limits=limits,
    )
    floor_m = sized.shape.section.bottom_width_m
    return floor_m if floor_m > part.greatest_bottom_width_m else None  # else the narrowest that holds: none dries
