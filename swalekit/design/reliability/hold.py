"""The storm to size for so that the one asked for is held surely enough, found before a plan is laid out."""

from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.reliability.reliability import how_sure
from swalekit.design.reliability.sizes import size_chances
from swalekit.terrain.terrain import Terrain


def sized_to_hold(site: Site, terrain: Terrain, *, workers: int = 1, stage: Stage = silent) -> Site:
    """The site with the storm that its works must be sized for, where its brief asks for a chance to hold.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        The conditioned tile.
    workers : int
        Processes that the draws of a layout are shared among; the result is the same for any number.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Site
        The same where no chance is asked for, or the storm was found before; else with ``[conditions] sized_for_mm``
        and the chance that goes with it: the least that holds surely enough, or of those tried within the limits of
        the brief the one that holds most surely.

    Raises
    ------
    InputError
        As `how_sure`.

    Notes
    -----
    Up to six layouts are made, each met by the draws of the brief's ``[uncertainty]``: the search of `size_chances`.

    Examples
    --------
    >>> asked = {"conditions.hold_chance": 0.6, "uncertainty.draws": 20}
    >>> sized = sized_to_hold(site.with_values(asked), terrain)
    >>> sized.brief.conditions.sized_for_mm > 50.0, sized.brief.conditions.sized_chance >= 0.6
    (True, True)
    >>> sized_to_hold(site, terrain) is site
    True
    """
    part = site.brief.conditions
    if part.hold_chance is None or part.sized_for_mm is not None:
        return site
    drawn = how_sure(site, terrain, workers=workers, influences=False, stage=stage)
    sizes = size_chances(drawn, target=part.hold_chance, workers=workers, stage=stage)
    found = sizes.sure_enough or max(sizes.sizes, key=lambda size: (size.chance, -size.factor))
    kept = {"sized_for_mm": round(found.sized_for_mm, 3), "sized_chance": round(found.chance, 3)}
    return site.with_values({f"conditions.{key}": value for key, value in kept.items()}, source="plan")
