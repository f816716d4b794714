"""A layout sized for the design storm: all that options are compared by, before any storm is passed through in time."""

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import rates_of, swell_percent
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.design.layout.water import Water
from swalekit.earthwork.cost import job_cost, machine_hours, swale_cost
from swalekit.earthwork.quantities import Quantities, measure_quantities
from swalekit.hydrology.routing.cascade import GREATEST_STORM_MM
from swalekit.section.sizing import SizedSwale


@dataclass(frozen=True, eq=False)
class DugSwale:
    """A level line with its catchment, the design storm's water, section and volumes.

    Parameters
    ----------
    id : str
        Number of the swale, from the top of the site downward.
    line : LevelLine
        Where it runs.
    sized : SizedSwale
        Its section along the line.
    catchment_m2 : float
        Ground whose water meets it first [m²].
    runoff_m3, spill_in_m3, spill_m3 : float
        Water of the design storm from that ground and on the ditch, from swales above, and over the sill [m³].
    held_storm_mm : float
        Deepest storm that it holds [mm].
    quantities : Quantities
        Soil.
    machine_h : float
        Machine hours [h].
    cost : float or None
        None where the brief names no price.
    position_sigma_m : float
        Standard error of the line's place [m].
    """

    id: str
    line: LevelLine
    sized: SizedSwale
    catchment_m2: float
    runoff_m3: float
    spill_in_m3: float
    spill_m3: float
    held_storm_mm: float
    quantities: Quantities
    machine_h: float
    cost: float | None
    position_sigma_m: float

    @property
    def water_depth_m(self) -> float:
        """Depth of the water in a full ditch, floor to sill [m]."""
        return self.sized.shape.sill_level_m - self.sized.shape.floor_level_m

    @property
    def berm_height_m(self) -> float:
        """Greatest height of the crest above the ground beneath it [m]."""
        return self.sized.shape.berm_height_m

    @property
    def storage_m3(self) -> float:
        """Water held below the sill [m³]."""
        return self.sized.shape.storage_m3

    @property
    def held_m3(self) -> float:
        """Water of the design storm that stays in the swale [m³]."""
        return self.runoff_m3 + self.spill_in_m3 - self.spill_m3


@dataclass(frozen=True, eq=False)
class SizedLayout:
    """Swales with the figures of the whole.

    Parameters
    ----------
    site : Site
        What was asked, in the CRS of the terrain.
    swales : tuple of DugSwale
        From the top of the site downward.
    held_storm_mm : float
        Deepest storm that leaves every swale without spilling [mm]; 0 without swales.
    held_dry_mm, held_wet_mm : float
        The same on ground that was dry or wet before: antecedent runoff condition I and III [mm].
    left_swales_m3 : float
        Water of the design storm that goes over sills and is not caught again [m³].
    site_runoff_m3, kept_m3 : float
        Water that the design storm brings to the site, and what stays in its swales and hollows [m³].
    cost : float or None
        With mobilisation; None where the brief names no price.
    """

    site: Site
    swales: tuple[DugSwale, ...]
    held_storm_mm: float
    held_dry_mm: float
    held_wet_mm: float
    left_swales_m3: float
    site_runoff_m3: float
    kept_m3: float
    cost: float | None

    def __repr__(self) -> str:
        name, held = self.site.brief.site.name, f"holds {self.held_storm_mm:.1f} mm"
        return f"SizedLayout({name!r}: {len(self.swales)} swales, {held})"


def measure_layout(site: Site, ground: Ground, layout: Layout, water: Water) -> SizedLayout:
    """Figures of every swale and of the whole.

    Parameters
    ----------
    site, ground, layout, water : Site, Ground, Layout, Water
        What was asked, the ground, the lines on it, and what the design storm does to them once they are sized.
    """
    n_lines = len(layout.lines)
    area_m2 = np.bincount(
        catching_swale(water, n_lines), weights=water.stores.area_m2.sum(axis=1), minlength=1 + n_lines
    )
    swales = tuple(
        _dug_swale(site, ground, layout, water, number=number, catchment_m2=float(area_m2[1 + number]))
        for number in range(n_lines)
    )
    held_m3, hollow_inside = water.design.held_m3, ground.inside.ravel()[ground.network.hollows.pit]
    return SizedLayout(
        site=site,
        swales=swales,
        held_storm_mm=_least_mm(water.held_storm_mm[:n_lines]),
        held_dry_mm=_least_mm(water.held_dry_mm[:n_lines]),
        held_wet_mm=_least_mm(water.held_wet_mm[:n_lines]),
        left_swales_m3=sum(swale.spill_m3 - swale.spill_in_m3 for swale in swales),
        site_runoff_m3=ground.site_runoff_m3 + float((water.local_m3 - water.ground_runoff_m3).sum()),
        kept_m3=float(held_m3[:n_lines].sum() + held_m3[n_lines:][hollow_inside].sum()),
        cost=job_cost([swale.cost for swale in swales], rates_of(site)),
    )


def catching_swale(water: Water, n_lines: int) -> NDArray[np.int32]:
    """Swale (1 …) that catches each store's water in the design storm, through hollows that fill; 0 for none."""
    catching = np.zeros(water.stores.downstream.size, np.int32)
    for store in water.stores.order[::-1].tolist():
        if store < n_lines:
            catching[store] = store + 1
        elif water.design.spilled_m3[store] > 0 and water.stores.downstream[store] >= 0:
            catching[store] = catching[water.stores.downstream[store]]
    return catching


def _dug_swale(
    site: Site, ground: Ground, layout: Layout, water: Water, *, number: int, catchment_m2: float
) -> DugSwale:
    line, sized, rates = layout.lines[number], water.sized[number], rates_of(site)
    quantities = measure_quantities(
        line,
        sized.shape,
        swell_percent=swell_percent(site),
        fill_factor=site.brief.soil.fill_factor,
        topsoil_depth_m=site.brief.rates.topsoil_depth_m,
    )
    return DugSwale(
        id=f"S{number + 1}",
        line=line,
        sized=sized,
        catchment_m2=catchment_m2,
        runoff_m3=float(water.unspilt_m3[number]),
        spill_in_m3=float(water.design.received_m3[number] - water.unspilt_m3[number]),
        spill_m3=float(water.design.spilled_m3[number]),
        held_storm_mm=float(water.held_storm_mm[number]),
        quantities=quantities,
        machine_h=machine_hours(quantities.dug_m3, rates),
        cost=swale_cost(quantities.dug_m3, line.length_m, rates),
        position_sigma_m=line.position_sigma_m(ground.terrain.vertical_sigma_m),
    )


def _least_mm(held_mm: NDArray[np.float64]) -> float:
    return float(held_mm.min(initial=GREATEST_STORM_MM)) if held_mm.size else 0.0
