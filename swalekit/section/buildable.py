"""Whether a section can be built along a line at all."""

import numpy as np

from swalekit.contours.line import LevelLine
from swalekit.errors import InputError
from swalekit.section.section import Section
from swalekit.section.shape import shape_swale
from swalekit.section.stations import Stations


def section_fault(line: LevelLine, section: Section, *, depth_m: float, fill_factor: float) -> str:
    """Why a section can't be built along a line at a dig depth, '' if it can.

    Parameters
    ----------
    line : LevelLine
        The line.
    section : Section
        The cross-section.
    depth_m : float
        Dig depth [m], best the greatest allowed: it gives the most spoil and the highest berm.
    fill_factor : float
        Compacted volume per bank volume [-].

    Returns
    -------
    str
        A side too flat to meet steep ground; no room for the berm inside a tight bend; or a berm so low for its
        freeboard that the sill would lie below the ditch's floor.
    """
    try:
        shape = shape_swale(Stations.of_line(line, np.zeros(len(line.xy))), depth_m, section, fill_factor=fill_factor)
    except InputError as error:
        return str(error)
    if shape.sill_level_m <= shape.floor_level_m:
        crest_above_floor_m = shape.crest_level_m - shape.floor_level_m
        return (
            f"at {depth_m:g} m depth the crest stands {crest_above_floor_m:.2f} m above the floor, less than the "
            f"freeboard of {section.freeboard_m:g} m: it would hold no water"
        )
    return ""
