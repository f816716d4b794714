"""The map of microcatchments in a notebook's cell."""

from matplotlib.axes import Axes

from swalekit.design.bunding.bunding import Bunding
from swalekit.reporting.map.bund_map import bund_content
from swalekit.reporting.map.cell import draw_content


def draw_bunding(found: Bunding, ax: Axes | None = None) -> Axes:
    """Draw the map of microcatchments: each one's ground, bund and trees, beside swales and what is kept clear.

    Parameters
    ----------
    found : Bunding
        The microcatchments.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.

    Examples
    --------
    >>> draw_bunding(bunding).get_title(loc="left")
    'Unnamed site'
    """
    return draw_content(bund_content(found), ax)
