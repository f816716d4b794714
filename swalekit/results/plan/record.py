"""A design in memory as the record that map, report, sheets and tables read."""

from collections.abc import Mapping, Sequence
from pathlib import Path

import numpy as np
import shapely
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.plan.design import Design, HollowFate, Swale
from swalekit.design.plan.record import PlanRecord, SwaleSection
from swalekit.reporting.paper.outlines import polygons_of
from swalekit.results.plan.layers import PlanLayers
from swalekit.results.plan.summary import summary
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_STATION_M = 2.0
_MOST_STATIONS = 400
"""Spacing and greatest number of the points of a profile."""


def plan_record(
    design: Design, *, folder: str | Path | None = None, hashes: Mapping[str, str] | None = None
) -> PlanRecord:
    """Describe a design; lines, areas, ground and sections are exact, figures rounded as they are written.

    Parameters
    ----------
    design : Design
        The design.
    folder : str or Path, optional
        Folder of the results, from which the paths of the inputs are given; without one they are left out.
    hashes : mapping of str to str, optional
        SHA-256 of files read besides those of the design.

    Returns
    -------
    PlanRecord
        What map, report and sheets read.

    Examples
    --------
    >>> record = plan_record(design)
    >>> record.summary["totals"]["swales"], list(record.sections)
    (2, ['S1', 'S2'])
    """
    layers, ground = PlanLayers(design), design.ground.terrain
    return PlanRecord(
        summary=summary(design, folder=folder, hashes=hashes),
        layers=layers,
        ponds=_named_ponds([part for area, _ in layers["ponds"] for part in polygons_of(area)], design.hollows),
        ground=ground,
        sections={swale.id: section_of(swale) for swale in design.swales},
        profiles={swale.id: _profile(swale, ground) for swale in design.swales},
        water=None if design.run is None else design.run.design,
    )


def profile_stations(line: BaseGeometry) -> tuple[NDArray[np.float64], NDArray[np.float64]]:
    """Where a profile is measured.

    Parameters
    ----------
    line : shapely LineString
        A swale's line [m].

    Returns
    -------
    chainage_m : ndarray of float64, shape (n,)
        From end to end, about every two metres [m].
    xy : ndarray of float64, shape (n, 2)
        Easting and northing [m].

    Examples
    --------
    >>> chainage_m, xy = profile_stations(shapely.LineString([(0.0, 0.0), (6.0, 0.0)]))
    >>> chainage_m.tolist(), xy[-1].tolist()
    ([0.0, 2.0, 4.0, 6.0], [6.0, 0.0])
    """
    count = int(np.clip(line.length / _STATION_M, 1, _MOST_STATIONS)) + 1
    chainage_m = np.linspace(0.0, line.length, count)
    return chainage_m, shapely.get_coordinates(shapely.line_interpolate_point(line, chainage_m))


def section_of(swale: Swale) -> SwaleSection:
    """The section of a swale at its depth, crest and mean slope.

    Parameters
    ----------
    swale : Swale
        The swale.

    Returns
    -------
    SwaleSection
        What a drawing of it needs.

    Examples
    --------
    >>> section_of(design.swales[0])
    SwaleSection(S1, slope 0.1, sill 0.0672 m)
    """
    shape, level_m = swale.sized.shape, swale.line.level_m
    return SwaleSection.standing(
        swale.id,
        shape.section,
        depth_m=shape.depth_m,
        crest_m=shape.crest_level_m - level_m,
        sill_m=shape.sill_level_m - level_m,
        slope=swale.line.mean_slope,
    )


def _profile(swale: Swale, ground: Terrain) -> NDArray[np.float64]:
    chainage_m, xy = profile_stations(shapely.LineString(swale.line.path))
    return np.column_stack([chainage_m, sample_heights(ground, *xy.T)])


def _named_ponds(ponds: Sequence[BaseGeometry], hollows: Sequence[HollowFate]) -> tuple[tuple[str, BaseGeometry], ...]:
    """Ponds with the numbers of the hollows whose lowest cell lies in each."""
    numbers: list[list[str]] = [[] for _ in ponds]
    lowest = shapely.points(np.reshape([hollow.xy for hollow in hollows], (-1, 2)))
    for hollow, pond in zip(*shapely.STRtree(ponds).query(lowest, predicate="intersects"), strict=True):
        numbers[pond].append(hollows[hollow].id)
    return tuple((", ".join(ids), pond) for ids, pond in zip(numbers, ponds, strict=True))
