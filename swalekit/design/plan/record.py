"""A plan as its folder keeps it: figures, layers, the ground before and after, and the water in time."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit.design.plan.columns import Entry
from swalekit.terrain.terrain import Terrain

Feature = tuple[BaseGeometry, dict[str, Any]]
"""A shapely geometry in the CRS of the project, and its properties."""


@dataclass(frozen=True, eq=False)
class SiteWater:
    """Water of the whole site through the design storm.

    Parameters
    ----------
    time_h : ndarray of float64, shape (t,)
        End of each step since the start of the storm [h].
    brought_m3, held_m3, soaked_total_m3, left_m3, under_way_m3 : ndarray of float64, shape (t,)
        Until or at the end of each step: water brought, held, soaked away, gone, on its way [m³].
    """

    time_h: NDArray[np.float64]
    brought_m3: NDArray[np.float64]
    held_m3: NDArray[np.float64]
    soaked_total_m3: NDArray[np.float64]
    left_m3: NDArray[np.float64]
    under_way_m3: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class GrowthRecord:
    """What a report says of a planting on the plan.

    Parameters
    ----------
    planting : dict
        The part ``planting`` of its summary, in JSON types.
    layers : mapping of str to tuple of (shapely geometry, dict)
        Plants, reed bed, served ground and pipe by the name of their layer, in the CRS of the project.
    """

    planting: dict[str, Any]
    layers: Mapping[str, tuple[Feature, ...]]


@dataclass(frozen=True, eq=False)
class ReliabilityRecord:
    """What a report says of how sure the plan is.

    Parameters
    ----------
    summary : dict
        Chances and what matters most, in JSON types.
    bands : tuple of (shapely geometry, dict)
        Where the lines wander, in the CRS of the project.
    """

    summary: dict[str, Any]
    bands: tuple[Feature, ...]


@dataclass(frozen=True, eq=False)
class PlanRecord:
    """Everything a report says of a plan.

    Parameters
    ----------
    summary : dict
        Totals, swales, cautions, inputs and values used, in JSON types.
    layers : mapping of str to tuple of (shapely geometry, dict)
        Features of every layer by its name, in the CRS of the project.
    ground, built : Terrain
        The ground before and as built, averaged to a size that a page can show.
    profiles : mapping of str to ndarray of float64, shape (n, 2)
        Swale -> chainage and height of the ground before along its line [m]; NaN over a void.
    water : SiteWater or None
        The site's water in time; None without swales and hollows.
    options : tuple of dict
        Figures of each compared layout by the names of `OPTION_COLUMNS`.
    option_lines : mapping of int to shapely MultiLineString
        Number of each option whose lines were kept -> its lines.
    growth : GrowthRecord or None
        The planting, where one was made.
    reliability : ReliabilityRecord or None
        How sure the plan is, where that was worked out.
    """

    summary: dict[str, Any]
    layers: Mapping[str, tuple[Feature, ...]]
    ground: Terrain
    built: Terrain
    profiles: Mapping[str, NDArray[np.float64]]
    water: SiteWater | None
    options: tuple[dict[str, Entry], ...] = ()
    option_lines: Mapping[int, BaseGeometry] = field(default_factory=dict)
    growth: GrowthRecord | None = None
    reliability: ReliabilityRecord | None = None

    @property
    def units(self) -> str:
        """Units that the brief asks for: ``metric`` or ``us``."""
        return str(self.summary["brief"]["site"]["units"])

    @property
    def swales(self) -> list[dict[str, Any]]:
        """Figures of every swale by the names of `SWALE_COLUMNS`."""
        return list(self.summary["swales"])
