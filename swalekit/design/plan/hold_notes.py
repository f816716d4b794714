"""What is told of a layout that is to hold its storm with a chance."""

from swalekit.design.brief.settings import asked_storm_of
from swalekit.design.brief.site import Site
from swalekit.units import with_unit


def hold_notes(site: Site) -> tuple[str, ...]:
    """Which storm the works are sized for, and with which chance they hold the one that was asked for.

    Parameters
    ----------
    site : Site
        What was asked.

    Returns
    -------
    tuple of str
        None where no chance is asked for.

    Examples
    --------
    >>> found = {"conditions.hold_chance": 0.8, "conditions.sized_for_mm": 64.0, "conditions.sized_chance": 0.83}
    >>> print(*hold_notes(site.with_values(found)))
    sized for a storm of 64.0 mm: 83 % of the draws hold the storm of 50.0 mm that is asked for (hold_chance 80 %)
    """
    part, units = site.brief.conditions, site.brief.site.units
    asked = with_unit(asked_storm_of(site).depth_mm, "mm", units=units, decimals=1)
    wanted = "" if part.hold_chance is None else f" (hold_chance {100.0 * part.hold_chance:.3g} %)"
    if part.sized_for_mm is None:
        if part.hold_chance is None:
            return ()
        return (f"sized for the storm of {asked} itself{wanted}: sized_to_hold finds the one to size for",)
    sized = with_unit(part.sized_for_mm, "mm", units=units, decimals=1)
    if part.sized_chance is None:
        return (f"sized for a storm of {sized}, where one of {asked} is asked for{wanted}",)
    share = f"{100.0 * part.sized_chance:.0f} % of the draws"
    told = f"sized for a storm of {sized}: {share} hold the storm of {asked} that is asked for{wanted}"
    short = part.hold_chance is not None and part.sized_chance < part.hold_chance
    return (f"{told}; no size within the limits of the brief holds it more surely" if short else told,)
