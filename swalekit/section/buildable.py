"""Whether a berm fits beside a line at all."""

import numpy as np

from swalekit.contours.line import LevelLine
from swalekit.errors import BermError
from swalekit.section.section import Section
from swalekit.section.shape import shape_swale
from swalekit.section.stations import Stations


def berm_fault(line: LevelLine, section: Section, *, depth_m: float, fill_factor: float) -> str:
    """Why the spoil of a line makes no berm at a dig depth, '' if it does.

    Parameters
    ----------
    line : LevelLine
        The line.
    section : Section
        The cross-section.
    depth_m : float
        Dig depth [m], best the greatest allowed: it gives the most spoil.
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    str
        On the inside of a bend tighter than the berm is wide there is no room for it.
    """
    try:
        shape_swale(Stations.of_line(line, np.zeros(len(line.xy))), depth_m, section, fill_factor=fill_factor)
    except BermError as error:
        return str(error)
    return ""
