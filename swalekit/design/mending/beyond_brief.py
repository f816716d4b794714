"""What would remove a caution if the brief allowed it."""

from dataclasses import replace

from swalekit.design.brief.settings import depths_of, limits_of, section_of
from swalekit.design.plan.design import Design, Swale
from swalekit.section.sizing import size_swale

WIDEST_FLOOR_M = 12.0
"""A wider floor is a basin, not a ditch: our choice."""


def what_it_takes(design: Design, swale: Swale, caution: str) -> str:
    """What the brief would have to allow for a caution to go, in words; '' where that isn't known.

    Parameters
    ----------
    design : Design
        The layout.
    swale : Swale
        Of the layout.
    caution : str
        Name of one of its cautions.

    Returns
    -------
    str
        For water that stands long the narrowest floor on which it doesn't; for a swale that is too small its cure.

    Examples
    --------
    >>> what_it_takes(design, design.swales[0], "steep ground")
    ''
    """
    if caution == "too small":
        return swale.sized.cure
    if caution != "stands long":
        return ""
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
    floor_m, water_m = sized.shape.section.bottom_width_m, sized.shape.sill_level_m - sized.shape.floor_level_m
    if water_m > limits.most_water_m or floor_m <= part.greatest_bottom_width_m:
        return ""
    return f"a floor {floor_m:.1f} m wide would do (greatest_bottom_width_m is {part.greatest_bottom_width_m:g})"
