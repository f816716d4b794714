"""The design: every swale with its figures, what was refused, what the water does, and the cautions."""

from dataclasses import dataclass
from typing import Any

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.laid_spacing import LaidSpacing
from swalekit.contours.line import RefusedLine
from swalekit.contours.polyline import stretch
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.sized_layout import DugSwale, SizedLayout
from swalekit.design.plan.breach_run import Failure, failures_shown
from swalekit.design.plan.built_crossings import BuiltCrossing
from swalekit.design.plan.storm_run import StormRun
from swalekit.earthwork.built_ground import BuiltGround
from swalekit.frozen import Frozen
from swalekit.hydrology.silt.service_life import ServiceLife
from swalekit.kernels.section_nodes import DOWNHILL_TOE
from swalekit.section.apron import Apron, laid_below
from swalekit.section.apron_area import apron_area
from swalekit.section.outlet import Outlet
from swalekit.verification.water_account import SwaleWater, WaterAccount


@one_line("name", "swale", "text")
@dataclass(frozen=True)
class Caution:
    """A warning of a hazard, raised by a figure or standing for every site.

    Parameters
    ----------
    name : str
        A few words, used in tables.
    text : str
        The figure, the hazard, and whom to ask.
    swale : str
        The swale it speaks of, '' for the site.
    advice : str
        What to do, the same for every swale.
    """

    name: str
    text: str
    swale: str = ""
    advice: str = ""


@one_line("level_m", "length_m", "flow_m3s", "spills_to", "harms")
@dataclass(frozen=True, eq=False)
class Sill(Frozen):
    """The level overflow sill of a swale.

    Parameters
    ----------
    xy : tuple of float
        Its place on the line [m].
    chainage_m : float
        Distance from the line's first station [m].
    level_m : float
        Level of the sill [m].
    length_m, head_m : float
        Length, and depth of water over it at ``flow_m3s`` [m].
    flow_m3s : float
        Peak of the check storm over the sill [m³/s].
    path : ndarray of float64, shape (k, 2)
        Way of the overflow over the ground as built; it begins at the sill, or where water first leaves instead [m].
    spills_to : str
        The swale or hollow that the way ends in, 'a hollow' that is none of the numbered ones, or 'off the tile'.
    harms : tuple of str
        Kind and name of all that stands in its way, the worst first.
    apron : Apron or None
        What is laid on and below it; None where soil and ground bear the flow, or no stone was tested for it.
    lacking : str
        What its flow digs for all that, and what it would take; '' where it digs nothing.
    """

    xy: tuple[float, float]
    chainage_m: float
    level_m: float
    length_m: float
    head_m: float
    flow_m3s: float
    path: NDArray[np.float64]
    spills_to: str
    harms: tuple[str, ...]
    apron: Apron | None = None
    lacking: str = ""


@one_line("peak_level_m", "freeboard_m", "overtopped", "soaked_m3", "empty_after_h")
@dataclass(frozen=True, eq=False)
class RoutedSwale:
    """What the storms do in a swale over time.

    Parameters
    ----------
    peak_level_m : float
        Highest level of the water in the design storm [m].
    freeboard_m : float
        Crest above the highest level of the check storm, negative where water goes over the berm [m].
    overtopped : bool
        Whether the check storm goes over the berm.
    soaked_m3 : float
        Water of the design storm that soaks away in the ditch [m³].
    empty_after_h : float or None
        Time from the end of the design storm's rain until the ditch is dry [h], infinite where it is not within ten
        days; None without an intake rate.
    outlet : Outlet
        The check storm's peak at the sill's low end and on the steepest ground below that stays bare; on the last that
        is laid where none does.
    """

    peak_level_m: float
    freeboard_m: float
    overtopped: bool
    soaked_m3: float
    empty_after_h: float | None
    outlet: Outlet


@one_line("id", "line.level_m", "line.length_m", "sized.shape.depth_m", "storage_m3", "held_storm_mm")
@dataclass(frozen=True, eq=False)
class Swale(DugSwale):
    """A swale as `DugSwale`, with its sill, what the storms do in it over time, and the cautions it raises.

    Parameters
    ----------
    sill : Sill
        Where it spills.
    routed : RoutedSwale
        What the storms do in it.
    failure, check_failure : Failure or None
        What its own failure does in the design storm and in the check storm; None where it was not looked at, among a
        great many.
    poured : SwaleWater or None
        What the design storm does to it when it is poured over the ground as built; its deepest storm is
        ``held_storm_mm``. None before that.
    sized_storm_mm : float
        Deepest storm that it holds by its section and catchment as they were sized [mm].
    fill_m : float
        Greatest height of its fill above the ground, as where the end of a berm meets a gully [m].
    settles_m : float
        How much higher its crest is built where the berm is highest, since it settles [m].
    service : ServiceLife or None
        How fast it silts up; None before that is reckoned.
    cautions : tuple of Caution
        What its figures and its place raise.
    stage : int or None
        Season of building, from 1; None where all is built at once.
    crossings : tuple of BuiltCrossing
        Banks over pipes, and fords, beneath which it goes on.
    """

    sill: Sill
    routed: RoutedSwale
    failure: Failure | None
    check_failure: Failure | None = None
    poured: SwaleWater | None = None
    sized_storm_mm: float = 0.0
    fill_m: float = 0.0
    settles_m: float = 0.0
    service: ServiceLife | None = None
    cautions: tuple[Caution, ...] = ()
    stage: int | None = None
    crossings: tuple[BuiltCrossing, ...] = ()

    @property
    def trenches_m3(self) -> float:
        """Soil dug for pipes under crossings and put back [m³]."""
        return sum(crossing.trench_m3 for crossing in self.crossings)

    @property
    def _laid_below(self) -> dict[str, Any]:
        laid = {"sill_m": self.sill.length_m, **laid_below(self.sill.apron)}
        if self.crossings:
            laid["pipe_m"] = sum(crossing.pipe_length_m for crossing in self.crossings)
            laid["stone_m3"] = laid.get("stone_m3", 0.0) + sum(crossing.stone_m3 for crossing in self.crossings)
        return laid

    @property
    def apron_area(self) -> BaseGeometry | None:
        """Ground that the apron of its sill covers, in the CRS of the terrain."""
        apron, shape = self.sill.apron, self.sized.shape
        if apron is None:
            return None
        station = int(np.argmin(np.abs(self.line.chainage_m - self.sill.chainage_m)))
        foot_m = float(shape.nodes[0][DOWNHILL_TOE, station])
        drop_m = self.sill.level_m - (shape.stations.ground_m[station] - shape.stations.slope[station] * foot_m)
        face_m = max(float(drop_m), 0.0) * shape.section.berm_downhill_side_slope
        return apron_area(apron, self.sill_line, self.sill.path, foot_m=foot_m, face_m=face_m)

    @property
    def sill_line(self) -> NDArray[np.float64]:
        """The part of its line that is the sill, shape (n, 2) [m]; a ring's may pass the ring's first station."""
        half_m = min(self.sill.length_m, self.line.length_m) / 2.0
        start_m = self.sill.chainage_m - half_m
        start_m = start_m % self.line.length_m if self.line.closed else start_m
        return stretch(self.line.path, start_m, start_m + 2.0 * half_m)


@one_line("id", "depth_m", "volume_m3", "received_m3", "passed_m3")
@dataclass(frozen=True)
class HollowFate:
    """What the design storm does to a hollow of the ground once the swales are there.

    Parameters
    ----------
    id : str
        Number of the hollow.
    xy : tuple of float
        Its lowest cell [m].
    spill_level_m, water_level_m : float
        Level at which it runs over, and level to which it fills [m].
    depth_m, area_m2, volume_m3 : float
        Depth, surface and volume at the spill level.
    received_m3, held_m3, passed_m3 : float
        Water that reaches it, stays, and leaves at its spill point [m³].
    spills_to : str
        The swale or hollow that its surplus would reach, or 'off the tile'.
    drowned_in : str
        The hollow whose pond it has become part of, '' for none.
    """

    id: str
    xy: tuple[float, float]
    spill_level_m: float
    water_level_m: float
    depth_m: float
    area_m2: float
    volume_m3: float
    received_m3: float
    held_m3: float
    passed_m3: float
    spills_to: str
    drowned_in: str

    @property
    def fate(self) -> str:
        """In words: stays dry, keeps its water, fills and passes on the surplus, or drowns in a wider pond."""
        if self.drowned_in:
            return f"is part of the pond of {self.drowned_in}"
        if self.received_m3 <= 0:
            return "stays dry"
        return "fills and passes on the surplus" if self.passed_m3 > 0 else "keeps its water"


@one_line("site.brief.site.name", "swales", "dug_m3", "held_storm_mm", "cost")
@dataclass(frozen=True, eq=False)
class Design(SizedLayout):
    """A whole layout: a `SizedLayout` with what the storms do to it in time, the ground as built, and cautions.

    Parameters
    ----------
    swales : tuple of Swale
        From the top of the site downward.
    ground : Ground
        What the terrain does without swales.
    hollows : tuple of HollowFate
        Hollows of the ground deeper than its noise.
    refused : tuple of RefusedLine
        Level lines that were not laid, each with its reason.
    catchments : ndarray of int16 or int32, shape (rows, columns)
        Number of the swale that catches each cell's water in the design storm, 0 for none, -1 at void cells.
    surface : BuiltGround
        The ground as built.
    run : StormRun or None
        Both storms in time; None without swales and hollows.
    warnings : tuple of str
        What the reader must know of the input and the result.
    cautions : tuple of Caution
        Those of the swales and those that stand for every site.
    account, check_account : WaterAccount or None
        Where the water of the design storm and of the check storm is once they are poured over the ground as built;
        None without swales.
    spacing : LaidSpacing or None
        How far apart the levels came to lie; None where lines were given in place of levels.
    """

    swales: tuple[Swale, ...]
    ground: Ground
    hollows: tuple[HollowFate, ...]
    refused: tuple[RefusedLine, ...]
    catchments: NDArray[np.signedinteger]
    surface: BuiltGround
    run: StormRun | None
    warnings: tuple[str, ...]
    cautions: tuple[Caution, ...]
    account: WaterAccount | None = None
    check_account: WaterAccount | None = None
    spacing: LaidSpacing | None = None

    @property
    def failures_shown(self) -> tuple[Failure, ...]:
        """The failures in the design storm that the map shows: the one asked for, else the three most harmful."""
        failures = [swale.failure for swale in self.swales if swale.failure is not None]
        return failures_shown(failures, self.site.brief.breach)
