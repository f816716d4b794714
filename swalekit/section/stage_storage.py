"""What a shaped swale holds at each level of its water."""

import math

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_ordered, check_positive
from swalekit.hydrology.routing.stage_storage import StageStorage
from swalekit.kernels.section_ponds import pond_table
from swalekit.section.profile import at_stations
from swalekit.section.shape import ShapedSwale

_FILM_M = 1e-6  # water this deep wets a floor


def stage_storage(shape: ShapedSwale, *, step_m: float = 0.01) -> StageStorage:
    """Volume and plan area of a swale's pond by level, from the lowest bed to the crest.

    Parameters
    ----------
    shape : ShapedSwale
        The swale.
    step_m : float
        Greatest height between two levels [m].

    Returns
    -------
    StageStorage
        Levels at even steps from the bed to the sill and from there to the crest. The volume at the sill's level is
        ``shape.storage_m3``.

    Raises
    ------
    InputError
        If the step isn't positive or the sill lies below the bed.

    Notes
    -----
    Real section at every station, each with its own ground, slope and bend. Water soaks straight down, so the area is
    the plan area of the water; the wetted surface of the sides is a few percent more. Where the water comes over the
    ditch's downhill lip, the hollow before the berm fills within one step of the table.

    Examples
    --------
    >>> from swalekit.section.section import Section
    >>> from swalekit.section.shape import shape_swale
    >>> from swalekit.section.stations import Stations
    >>> level = Stations(100.0, np.full(11, 100.0), np.full(11, 0.1), np.full(11, 5.0), np.full(11, 20.0))
    >>> swale = shape_swale(level, 0.5, Section())
    >>> table = stage_storage(swale)
    >>> [round(float(table.volume_m3_at(swale.sill_level_m)), 2), round(swale.storage_m3, 2)]
    [46.24, 46.24]
    >>> round(float(table.area_m2[0]), 2)
    33.0
    """
    check_positive(step_m=step_m)
    stations, crest_m, sill_m = shape.stations, shape.crest_level_m, shape.sill_level_m
    bed_m = min(shape.floor_level_m, float(stations.ground_m.min()))
    check_ordered("bed_level_m", bed_m, "sill_level_m", sill_m)
    levels = np.unique(np.append(_even_levels(bed_m, sill_m, step_m), _even_levels(sill_m, crest_m, step_m)))
    rows, _ = at_stations(
        stations.ground_m,
        shape.station_depth_m,
        stations.slope,
        stations.reach_m,
        stations.curvature_per_m,
        stations.width_m,
    )
    volume, area = pond_table(shape.section.dimensions, levels, _FILM_M, crest_m, *rows)
    for crossing in shape.crossings:
        lost_m3, lost_m2 = crossing.lost(levels)
        volume, area = volume - lost_m3, area - lost_m2
    if shape.crossings:  # added up in columns, so that a level may lack a little
        volume, area = (np.maximum.accumulate(np.maximum(values, 0.0)) for values in (volume, area))
    return StageStorage(levels, volume - volume[0], area)


def _even_levels(low_m: float, high_m: float, step_m: float) -> NDArray[np.float64]:
    """Levels from one to another, both included, no farther apart than a step."""
    return np.linspace(low_m, high_m, 1 + math.ceil((high_m - low_m) / step_m))
