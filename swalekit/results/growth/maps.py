"""The map of a planting in a notebook's cell."""

from matplotlib.axes import Axes

from swalekit.design.growth.growth import Growth
from swalekit.reporting.map.cell import draw_content
from swalekit.results.growth.layers import growth_content
from swalekit.results.plan.record import plan_record


def draw_planting(growth: Growth, ax: Axes | None = None) -> Axes:
    """Draw the map of a planting: trees, pioneers and ground cover, the reed bed and the ground that it serves.

    Parameters
    ----------
    growth : Growth
        The planting.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.

    Examples
    --------
    >>> draw_planting(growth).get_title(loc="left")
    'Unnamed site'
    """
    return draw_content(growth_content(growth, plan_record(growth.design)), ax)
