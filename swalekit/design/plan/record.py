"""A plan as everything that shows it reads it: figures, layers, ground, sections, profiles, and the water in time."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.design.brief.soil_part import LOSS_METHODS
from swalekit.design.plan.breach_run import Failure
from swalekit.design.plan.columns import Entry
from swalekit.design.plan.design import Caution
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.routing.outcome import StormOutcome
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.section.profile import profile
from swalekit.section.section import Section
from swalekit.terrain.terrain import Terrain

Feature = tuple[BaseGeometry, dict[str, Any]]
"""A shapely geometry in the CRS of the project, and its properties."""


@one_line("time_h", "brought_m3", "held_m3", "left_m3")
@dataclass(frozen=True, eq=False)
class SiteWater(Frozen):
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


@one_line("swale", "slope", "sill_m")
@dataclass(frozen=True, eq=False)
class SwaleSection(Frozen):
    """The section of a swale at its depth, crest and mean slope.

    Parameters
    ----------
    swale : str
        The swale.
    xy : ndarray of float64, shape (8, 2)
        Uphill lip, floor's ends, downhill lip, berm's uphill toe, crest's edges, downhill toe: distance downhill of
        the stake, and height above the ground there [m].
    slope : float
        Slope of the ground across the line [m/m].
    sill_m : float
        Height of the sill above the ground at the stake [m].
    """

    swale: str
    xy: NDArray[np.float64]
    slope: float
    sill_m: float

    @classmethod
    def standing(
        cls, swale: str, section: Section, *, depth_m: float, crest_m: float, sill_m: float, slope: float
    ) -> Self:
        """Make the section of a swale that is dug so deep.

        Parameters
        ----------
        swale : str
            The swale.
        section : Section
            Widths and side slopes.
        depth_m, crest_m, sill_m : float
            Dig depth, and height of crest and sill above the ground, at the stake [m].
        slope : float
            Slope of the ground across the line [m/m].

        Returns
        -------
        SwaleSection
            Its corners.

        Examples
        --------
        >>> section = SwaleSection.standing("S1", Section(), depth_m=0.5, crest_m=0.6, sill_m=0.45, slope=0.1)
        >>> section.xy.shape, section.sill_m
        ((8, 2), 0.45)
        """
        x, y = profile(section, depth_m, crest_m, slope, reach_m=0.0)
        return cls(swale, np.column_stack([x, y])[1:], slope, sill_m)


@one_line("layers")
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


@one_line("bands")
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


@one_line("bunding")
@dataclass(frozen=True, eq=False)
class BundingRecord:
    """What a report says of microcatchments on the plan.

    Parameters
    ----------
    bunding : dict
        The part ``bunding`` of its summary, in JSON types.
    map_png : bytes
        Their map.
    """

    bunding: dict[str, Any]
    map_png: bytes


@one_line("swales", "units")
@dataclass(frozen=True, eq=False)
class PlanRecord(Frozen):
    """A plan as map, report, sheets and tables read it, whether it was just made or is read back from its folder.

    Parameters
    ----------
    summary : dict
        Totals, swales, cautions, inputs and values used, in JSON types and rounded as they are written.
    layers : mapping of str to tuple of (shapely geometry, dict)
        Features of every layer by its name, in the CRS of the project.
    ponds : tuple of (str, shapely geometry)
        Water that stands in the hollows without swales: numbers of the hollows, '' where they aren't known, and area.
    ground : Terrain
        The ground before; from a folder averaged to a size that a page can show.
    sections : mapping of str to SwaleSection
        The section of each swale; from a folder at its rounded figures.
    profiles : mapping of str to ndarray of float64, shape (n, 2)
        Swale -> chainage and height of the ground before along its line [m]; NaN over a void.
    water : SiteWater, StormOutcome or None
        The site's water in time; None without swales and hollows.
    options : tuple of dict
        Figures of each compared layout by the names of `OPTION_COLUMNS`.
    option_lines : mapping of int to shapely MultiLineString
        Number of each option whose lines were kept -> its lines.
    growth : GrowthRecord or None
        The planting, where one was made.
    reliability : ReliabilityRecord or None
        How sure the plan is, where that was worked out.
    bunding : BundingRecord or None
        Microcatchments beside the swales, where they were laid.
    budget : dict or None
        The summary of its budget, in JSON types, where one was made.
    bare_ground_png : bytes
        Picture of what was taken off the surface; empty where nothing was, or the plan was just made.
    stages : tuple of dict of str to str
        Rows of ``stages.csv`` as they are written; none where all is built at once, or the plan was just made.
    stages_png : bytes
        Picture of the site after each stage; empty likewise.
    """

    summary: dict[str, Any]
    layers: Mapping[str, tuple[Feature, ...]]
    ponds: tuple[tuple[str, BaseGeometry], ...]
    ground: Terrain
    sections: Mapping[str, SwaleSection]
    profiles: Mapping[str, NDArray[np.float64]]
    water: SiteWater | StormOutcome | None
    options: tuple[dict[str, Entry], ...] = ()
    option_lines: Mapping[int, BaseGeometry] = field(default_factory=dict)
    growth: GrowthRecord | None = None
    reliability: ReliabilityRecord | None = None
    bunding: BundingRecord | None = None
    budget: dict[str, Any] | None = None
    bare_ground_png: bytes = b""
    stages: tuple[dict[str, str], ...] = ()
    stages_png: bytes = b""

    @property
    def brief(self) -> dict[str, Any]:
        """The whole brief, defaults included, by part and key."""
        return dict(self.summary["brief"])

    @property
    def units(self) -> str:
        """Units that the brief asks for: ``metric`` or ``us``."""
        return str(self.brief["site"]["units"])

    @property
    def totals(self) -> dict[str, Any]:
        """Totals by the names of `TOTAL_COLUMNS`."""
        return dict(self.summary["totals"])

    @property
    def values_used(self) -> dict[str, Any]:
        """Storm, losses and other values that the figures rest on."""
        return dict(self.summary["values_used"])

    @property
    def swales(self) -> list[dict[str, Any]]:
        """Figures of every swale by the names of `SWALE_COLUMNS`."""
        return list(self.summary["swales"])

    @property
    def account(self) -> dict[str, Any] | None:
        """Where the water of both storms is when they are poured over the ground as built; None without swales."""
        return self.summary["water_account"]  # type: ignore[no-any-return]

    @property
    def largest(self) -> SwaleSection | None:
        """The section of the swale that stores most; None without swales."""
        row = max(self.swales, key=lambda row: float(row["storage_m3"]), default=None)
        return None if row is None else self.sections[row["swale"]]

    @property
    def cautions(self) -> tuple[Caution, ...]:
        """Cautions of the swales and those that stand for every site."""
        given = self.summary["cautions"]
        return tuple(
            Caution(caution["caution"], caution["text"], caution["swale"], caution["advice"]) for caution in given
        )

    @property
    def failures(self) -> tuple[Failure, ...]:
        """What the failure of each swale does below in the design storm."""
        return _failures(self.summary["breach"]["swales"])

    @property
    def check_failures(self) -> tuple[Failure, ...]:
        """The same in the check storm."""
        return _failures(self.summary["breach"]["check_swales"])

    @property
    def failures_shown(self) -> tuple[Failure, ...]:
        """The failures that the map shows, the most harmful first."""
        by_swale = {failure.swale: failure for failure in self.failures}
        return tuple(by_swale[swale] for swale in self.summary["breach"]["shown"])

    @property
    def losses(self) -> tuple[Loss, ...]:
        """What the ground keeps of a storm, a method a soil class."""
        methods = {method.method: method for method in LOSS_METHODS}
        used = (dict(loss) for loss in self.values_used["losses"])
        return tuple(methods[loss.pop("method")](**loss) for loss in used)

    @property
    def course(self) -> Hyetograph:
        """Course of the design storm."""
        storm = self.summary["storm"]
        return Hyetograph(np.array(storm["time_h"], np.float64), np.array(storm["cumulative_mm"], np.float64))


def _failures(rows: Iterable[dict[str, Any]]) -> tuple[Failure, ...]:
    """Failures from the rows of a summary."""
    locked: Iterable[dict[str, Any]] = (
        {name: tuple(value) if isinstance(value, list) else value for name, value in row.items()} for row in rows
    )
    return tuple(Failure(**row) for row in locked)
