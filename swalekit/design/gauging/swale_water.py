"""Which runoff put so much water into a swale: the plan's own stores, filled by a runoff depth that is sought."""

from dataclasses import dataclass
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.optimize import brentq

from swalekit._one_line import one_line
from swalekit.design.brief.settings import course_of, duration_h
from swalekit.design.plan.design import Design
from swalekit.design.plan.storm_run import StormRun
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.event_curve_number import storm_curve_number
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.routing.cascade import pass_down
from swalekit.hydrology.routing.pond import Pond, Weir, route_pond
from swalekit.hydrology.routing.routing import prepare_inflow
from swalekit.hydrology.routing.stores import Stores
from swalekit.hydrology.routing.unit_hydrograph import storm_inflow_m3s
from swalekit.hydrology.storm.hyetograph import Hyetograph, uniform_storm

_M_PER_MM, _SECONDS_PER_HOUR = 0.001, 3600.0
_SHORT_H = 6.0
_ABOVE_ALL_M = 1000.0  # a sill that nothing goes over
_LEAST_NUMBER = 1e-3
_NEAR_MM = 1e-4


@one_line("received_m3", "from_swales_m3", "soaked_m3", "stored_m3", "peak_level_m")
@dataclass(frozen=True)
class Filling:
    """What a runoff depth brings to a swale, and what is there when it is read.

    Parameters
    ----------
    received_m3 : float
        Water that comes, with the rain on the ditch and what swales and hollows above pass on [m³].
    from_swales_m3 : float
        Part of it that comes over sills above [m³].
    soaked_m3, stored_m3 : float
        Water that has soaked away, and that stands, at the reading [m³].
    peak_level_m : float
        Highest level by then if nothing left over the sill [m].
    """

    received_m3: float
    from_swales_m3: float
    soaked_m3: float
    stored_m3: float
    peak_level_m: float


@dataclass(frozen=True, eq=False)
class SwaleWater(Frozen):
    """A swale of a plan and one rain.

    Parameters
    ----------
    design : Design
        The plan.
    run : StormRun
        Its stores.
    place : int
        The swale among them.
    rain_mm : float
        Rain [mm].
    rain_h : float or None
        How long it fell, evenly; None for the course of the brief's storm [h].
    ratio : float
        Ia / S by which runoff begins [-].
    intake_mm_h : float
        Rate at which the ditch soaks away [mm/h].
    before_m : float
        Water above the floor before the rain [m].
    """

    design: Design
    run: StormRun
    place: int
    rain_mm: float
    rain_h: float | None
    ratio: float
    intake_mm_h: float
    before_m: float = 0.0

    @property
    def own_m2(self) -> float:
        """Ground that drains first to it, its own works included [m²]."""
        return float(self.run.stores.area_m2[self.place].sum())

    @property
    def lasts_h(self) -> float:
        """How long the rain lasts [h]."""
        return duration_h(self.design.site) if self.rain_h is None else self.rain_h

    @cached_property
    def _capacity_m3(self) -> NDArray[np.float64]:
        return np.array([float(pond.stage.volume_m3_at(pond.sill.level_m)) for pond in self.run.ponds])

    @cached_property
    def _course(self) -> Hyetograph:
        if self.rain_h is None:
            return course_of(self.design.site, self.rain_mm)
        return uniform_storm(self.rain_mm, self.rain_h)

    def received_m3(self, runoff_mm: float) -> tuple[float, float]:
        """Water that comes to it if all ground sheds as much, and the part that comes over sills above.

        Parameters
        ----------
        runoff_mm : float
            Runoff of the ground [mm].

        Returns
        -------
        tuple of float
            Both [m³].

        Examples
        --------
        >>> water = SwaleWater(design, design.run, 0, 40.0, None, 0.2, 0.0)
        >>> water.received_m3(10.0)[0] > 0.01 * water.own_m2, water.received_m3(10.0)[1]
        (True, 0.0)
        """
        stores, swales = self.run.stores, len(self.design.swales)
        ground_m2 = stores.area_m2.sum(axis=1)
        local = (ground_m2 * runoff_mm + stores.strip_area_m2 * (self.rain_mm - runoff_mm)) * _M_PER_MM
        unspilt = np.where(np.arange(ground_m2.size) < swales, np.inf, self._capacity_m3)
        received, without = (
            float(pass_down(stores, local, capacity).received_m3[self.place])
            for capacity in (self._capacity_m3, unspilt)
        )
        return received, received - without

    def filling(self, runoff_mm: float, after_h: float) -> Filling:
        """What stands in it some time after the rain, for a runoff depth.

        Parameters
        ----------
        runoff_mm : float
            Runoff of the ground [mm].
        after_h : float
            Hours from the end of the rain [h].

        Returns
        -------
        Filling
            As if nothing left over the sill.

        Examples
        --------
        >>> water = SwaleWater(design, design.run, 0, 40.0, None, 0.2, 0.0)
        >>> water.filling(10.0, after_h=2.0).soaked_m3
        0.0
        """
        received, from_swales = self.received_m3(runoff_mm)
        pond, step_min = self._pond, 1.0 if self.lasts_h <= _SHORT_H else 5.0
        alone = Stores(np.array([[self.own_m2]]), self.run.stores.strip_area_m2[[self.place]], np.array([-1], np.int32))
        number = storm_curve_number(self.rain_mm, runoff_mm, initial_abstraction_ratio=self.ratio)
        soil = Soil((CurveNumberLoss(max(float(number), _LEAST_NUMBER), self.ratio),))
        hours = self.run.concentration_h[[self.place]]
        flow = storm_inflow_m3s(alone, soil, self._course, hours, step_min=step_min)
        at_s = (self.lasts_h + after_h) * _SECONDS_PER_HOUR
        edge_s, inflow = prepare_inflow(alone, [pond], flow, step_min=step_min, longest_h=at_s / _SECONDS_PER_HOUR)
        came = float(inflow.sum())
        passage = route_pond(pond, inflow[0] * (received / came if came > 0 else 0.0), np.diff(edge_s))
        stored, soaked = (
            float(np.interp(at_s, edge_s, np.append(first, each)))
            for first, each in ((pond.stored_m3, passage.stored_m3), (0.0, np.cumsum(passage.soaked_m3)))
        )
        by_then = edge_s[1:] <= at_s + 1.0
        peak_m = float(passage.level_m[by_then].max(initial=float(pond.stage.level_m[0])))
        return Filling(received, from_swales, soaked, stored, peak_m)

    @cached_property
    def _pond(self) -> Pond:
        own = self.run.ponds[self.place]
        weir = Weir(own.stage.level_m[-1] + _ABOVE_ALL_M, own.sill.length_m, own.sill.coefficient)
        floor_m = self.design.swales[self.place].sized.shape.floor_level_m
        stood_m3 = float(own.stage.volume_m3_at(floor_m + self.before_m)) if self.before_m else 0.0
        return Pond(own.stage, weir, intake_mm_h=self.intake_mm_h, stored_m3=stood_m3)

    def stood_m3(self, level_m: float) -> float:
        """Water in the ditch at a level [m³].

        Parameters
        ----------
        level_m : float
            The level [m].

        Returns
        -------
        float
            By its stages along the line.

        Examples
        --------
        >>> water = SwaleWater(design, design.run, 0, 40.0, None, 0.2, 0.0)
        >>> bool(water.stood_m3(design.swales[0].sized.shape.sill_level_m) > 0.0)
        True
        """
        return float(self._pond.stage.volume_m3_at(level_m))

    def runoff_mm(self, stood_m3: float, after_h: float) -> float | None:
        """Runoff of the ground that leaves so much water in the ditch.

        Parameters
        ----------
        stood_m3 : float
            Water at the reading [m³].
        after_h : float
            Hours from the end of the rain [h].

        Returns
        -------
        float or None
            Depth [mm], 0 where the rain on the ditch itself brings as much or more; None where all of the rain
            wouldn't.
        """

        def over_m3(depth_mm: float) -> float:
            return self.filling(depth_mm, after_h).stored_m3 - stood_m3

        if over_m3(0.0) >= 0.0:
            return 0.0
        if over_m3(self.rain_mm) <= 0.0:
            return None
        return float(brentq(over_m3, 0.0, self.rain_mm, xtol=_NEAR_MM))
