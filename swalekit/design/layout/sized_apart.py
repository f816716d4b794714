"""A layout of works that can all be built: sized, trimmed where works meet what they must not, and sized again."""

from itertools import count

from swalekit.design.brief.site import Site
from swalekit.design.layout.apart import WorksApart
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout, relaid
from swalekit.design.layout.settled import settle
from swalekit.design.layout.water import Water, pour

_ROUNDS = 6
"""Rounds in which stretches are taken out; in later ones a line that still meets something is refused whole."""


def sized_apart(site: Site, ground: Ground, layout: Layout) -> tuple[Layout, Water]:
    """Size the swales of a layout and take out what can't be built, until all that is left can.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, in the CRS of the ground, the ground, and the lines on it, as from `make_layout`.

    Returns
    -------
    layout : Layout
        What is left of the lines, with what drains to each, and all that was refused.
    water : Water
        Sizes, and what each store receives, holds and spills.

    Notes
    -----
    Where a stretch is taken out, its water goes on to the line below, which may then need deeper works: so lines are
    trimmed by `kept_apart`, drained and sized again, at last for what drains to their works (`settle`). Every round
    only takes stations away, so the rounds end.

    Examples
    --------
    >>> fitted, water = sized_apart(site, ground, layout)
    >>> len(fitted.lines), len(water.sized)
    (2, 2)
    """
    works, agreed = WorksApart(site, ground), False
    for turn in count():
        layout, water = settle(site, ground, layout) if agreed else (layout, pour(site, ground, layout))
        shapes = (swale.shape for swale in water.sized)
        lines, taken = works.kept(zip(layout.lines, shapes, strict=True), whole=turn >= _ROUNDS)
        if agreed and not taken:
            break
        agreed = not taken
        layout = relaid(site, ground, layout, lines, taken) if taken else layout
    return layout, water
