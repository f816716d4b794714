"""A layout sized for the design storm: all that options are compared by, before any storm is passed through in time."""

from dataclasses import asdict, dataclass, replace
from typing import Any, Self

import numpy as np
from numpy.typing import NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.design.brief.decided_lines import PROPOSED, OwnSettings
from swalekit.design.brief.settings import own_of, rates_of, swell_percent
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.design.layout.water import Water
from swalekit.earthwork.cost import Rates, job_cost, machine_hours, swale_cost
from swalekit.earthwork.quantities import Quantities, measure_quantities
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.cascade import GREATEST_STORM_MM, passed_to
from swalekit.section.footprint import works_footprint
from swalekit.section.sizing import SizedSwale


@one_line("id", "line.level_m", "line.length_m", "sized.shape.depth_m", "storage_m3", "held_storm_mm")
@dataclass(frozen=True, eq=False)
class DugSwale(Frozen):
    """A level line with its catchment, the design storm's water, section and volumes.

    Parameters
    ----------
    id : str
        Lasting name of the swale and its line.
    line : LevelLine
        Where it runs.
    sized : SizedSwale
        Its section along the line.
    catchment_m2 : float
        Ground whose water meets it first, its own works included; of ground whose water comes by way of a hollow the
        share that the hollow passes on [m²].
    kept_uphill_m2 : float
        The other share: ground uphill whose water stays in hollows [m²].
    strip_rain_m3 : float
        Rain of the design storm on ditch, pond, bench and inner berm face beyond what that ground would shed [m³]. On
        one soil it makes up ``runoff_m3`` with the runoff from the catchment.
    runoff_m3, spill_in_m3, spill_m3 : float
        Water of the design storm from that ground and on the ditch, from swales above, and over the sill [m³].
    held_storm_mm : float
        Deepest storm that it holds [mm].
    quantities : Quantities
        Soil.
    height_sigma_m : float
        Standard error of the terrain's heights [m].
    drawn_sigma_m : ndarray of float64, shape (n,)
        Part of it at each station that comes from ground that wasn't seen [m].
    state : str
        Whether its line is proposed, held or drawn.
    own : OwnSettings
        What differs from the brief along it.
    """

    id: str
    line: LevelLine
    sized: SizedSwale
    catchment_m2: float
    kept_uphill_m2: float
    strip_rain_m3: float
    runoff_m3: float
    spill_in_m3: float
    spill_m3: float
    held_storm_mm: float
    quantities: Quantities
    height_sigma_m: float
    drawn_sigma_m: NDArray[np.float64]
    state: str
    own: OwnSettings

    @property
    def position_sigma_m(self) -> float:
        """Standard error of the line's place [m]."""
        seen = not self.drawn_sigma_m.any()
        return self.line.position_sigma_m(
            self.height_sigma_m if seen else np.hypot(self.height_sigma_m, self.drawn_sigma_m)
        )

    @property
    def unseen_m(self) -> float:
        """Length on ground that wasn't seen and is less sure for it than what the terrain's own error says [m]."""
        return float(self.line.width_m[self.drawn_sigma_m > self.height_sigma_m].sum())

    @property
    def works(self) -> BaseGeometry:
        """Ground that ditch and berm take, in the CRS of the terrain."""
        return works_footprint(self.line, self.sized.shape)

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

    def machine_h(self, rates: Rates) -> float:
        """Machine hours at given rates [h].

        Parameters
        ----------
        rates : Rates
            Machine output and prices.

        Returns
        -------
        float
            Hours [h].

        Examples
        --------
        >>> rates = Rates(machine_m3_per_h=10.0)
        >>> design.swales[0].machine_h(rates) == design.swales[0].quantities.dug_m3 / 10.0
        True
        """
        return machine_hours(self.quantities.dug_m3 + self.trenches_m3, rates, **self._besides_digging)

    def cost(self, rates: Rates) -> float | None:
        """Cost at given rates, without mobilisation; None where they name no price.

        Parameters
        ----------
        rates : Rates
            Machine output and prices.

        Returns
        -------
        float or None
            Cost in the currency of the prices.

        Examples
        --------
        >>> design.swales[0].cost(Rates()) is None
        True
        """
        quantities = self.quantities
        return swale_cost(
            quantities.dug_m3 + self.trenches_m3,
            self.line.length_m,
            rates,
            brought_m3=quantities.lacking_m3,
            **self._besides_digging,
            **self._laid_below,
        )

    @property
    def trenches_m3(self) -> float:
        """Soil dug for pipes and put back; unknown before they are chosen for the storms [m³]."""
        return 0.0

    @property
    def _besides_digging(self) -> dict[str, Any]:
        """What takes machine hours besides: topsoil, and the sill."""
        return {"topsoil_m3": self.quantities.topsoil_m3, "sills": 1}

    @property
    def _laid_below(self) -> dict[str, Any]:
        """Length of the sill and what is laid below it; unknown before it is chosen for the storms."""
        return {}


@one_line("site.brief.site.name", "swales", "dug_m3", "held_storm_mm", "cost")
@dataclass(frozen=True, eq=False)
class SizedLayout(Frozen):
    """Swales with the figures of the whole.

    Parameters
    ----------
    site : Site
        What was asked, in the CRS of the terrain.
    swales : tuple of DugSwale
        From the top of the site downward.
    held_dry_mm, held_wet_mm : float
        Deepest storm that leaves every swale without spilling on ground that was dry or wet before, antecedent runoff
        condition I and III [mm]; 0 without swales.
    site_runoff_m3, kept_m3 : float
        Water that the design storm brings to the site, and what stays in its swales and hollows [m³].
    """

    site: Site
    swales: tuple[DugSwale, ...]
    held_dry_mm: float
    held_wet_mm: float
    site_runoff_m3: float
    kept_m3: float

    @property
    def dug_m3(self) -> float:
        """Soil dug for all swales, bank measure [m³]."""
        return sum(swale.quantities.dug_m3 for swale in self.swales)

    @property
    def held_storm_mm(self) -> float:
        """Deepest storm that leaves every swale without spilling [mm]; 0 without swales."""
        return min((swale.held_storm_mm for swale in self.swales), default=0.0)

    @property
    def left_swales_m3(self) -> float:
        """Water of the design storm that goes over sills and is not caught again [m³]."""
        return sum(swale.spill_m3 - swale.spill_in_m3 for swale in self.swales)

    @property
    def kept_share(self) -> float:
        """Share of the site's runoff that stays in its swales and hollows [-]; 1 where none runs off."""
        return self.kept_m3 / self.site_runoff_m3 if self.site_runoff_m3 > 0 else 1.0

    @property
    def rates(self) -> Rates:
        """Machine output and prices, as the brief has them."""
        return rates_of(self.site)

    @property
    def machine_h(self) -> float:
        """Machine hours of all swales [h]."""
        return sum(swale.machine_h(self.rates) for swale in self.swales)

    @property
    def cost(self) -> float | None:
        """Cost of all swales with mobilisation; None where the brief names no price."""
        return job_cost([swale.cost(self.rates) for swale in self.swales], self.rates)

    def with_rates(self, rates: Rates) -> Self:
        """Price the same layout at other rates, which its brief then has.

        Parameters
        ----------
        rates : Rates
            Machine output and prices.

        Returns
        -------
        SizedLayout or Design
            With the lines, volumes and water of this one; hours and cost follow from the rates.

        Raises
        ------
        BriefError
            If a rate is larger than a brief may name.

        Examples
        --------
        >>> import numpy as np
        >>> from swalekit import Grid, Site, Terrain, check_brief, plan
        >>> from swalekit.earthwork import Rates
        >>> heights = np.repeat(np.arange(60.0, 0.0, -1.0)[:, np.newaxis] / 10.0, 40, axis=1)
        >>> terrain = Terrain.from_heights(heights, Grid.from_corner((60, 40), cell_m=1.0))
        >>> site = Site(check_brief({"terrain.file": "plane.tif", "storm.depth_mm": 40, "soil.curve_number": 80,
        ...     "levels.levels_m": [3.0]}), crs=terrain.grid.crs)
        >>> design = plan(site, terrain)
        >>> print(design.cost)
        None
        >>> dear = design.with_rates(Rates(machine_m3_per_h=20.0, dig_per_m3=5.0, mobilisation=300.0))
        >>> round(dear.cost - 300.0, 6) == round(5.0 * design.swales[0].quantities.dug_m3, 6)
        True
        >>> dear.site.brief.rates.dig_per_m3
        5.0
        """
        return replace(self, site=self.site.with_values({"rates": asdict(rates)}, source="rates"))


def measure_layout(site: Site, ground: Ground, layout: Layout, water: Water) -> SizedLayout:
    """Figures of every swale and of the whole.

    Parameters
    ----------
    site, ground, layout, water : Site, Ground, Layout, Water
        What was asked, the ground, the lines on it, and what the design storm does to them once they are sized.

    Returns
    -------
    SizedLayout
        Swales, and what the whole holds and keeps.

    Examples
    --------
    >>> from swalekit.design.layout.sized_apart import sized_apart
    >>> measure_layout(site, ground, *sized_apart(site, ground, layout)).held_storm_mm >= 50.0
    True
    """
    n_lines, ground_m2 = len(layout.lines), water.stores.area_m2.sum(axis=1)
    below, share = passed_to(water.stores, water.unspilt, n_lines)
    caught_m2, kept_m2 = (
        np.bincount(below, weights=ground_m2 * part, minlength=1 + n_lines)[1:] for part in (share, 1.0 - share)
    )
    swales = tuple(
        _dug_swale(
            site, ground, layout, water, number=number, ground_m2=(float(caught_m2[number]), float(kept_m2[number]))
        )
        for number in range(n_lines)
    )
    held_m3, hollow_inside = water.design.held_m3, ground.inside.ravel()[ground.network.hollows.pit]
    return SizedLayout(
        site=site,
        swales=swales,
        held_dry_mm=_least_mm(water.held_dry_mm[:n_lines]),
        held_wet_mm=_least_mm(water.held_wet_mm[:n_lines]),
        site_runoff_m3=ground.site_runoff_m3 + float((water.local_m3 - water.ground_runoff_m3).sum()),
        kept_m3=float(held_m3[:n_lines].sum() + held_m3[n_lines:][hollow_inside].sum()),
    )


def _dug_swale(
    site: Site, ground: Ground, layout: Layout, water: Water, *, number: int, ground_m2: tuple[float, float]
) -> DugSwale:
    line, sized = layout.lines[number], water.sized[number]
    quantities = measure_quantities(
        line,
        sized.shape,
        swell_percent=swell_percent(site),
        fill_factor=site.brief.soil.fill_factor,
        topsoil_depth_m=site.brief.rates.topsoil_depth_m,
        soil_ratio=sized.soil_ratio,
    )
    return DugSwale(
        id=line.name,
        state=PROPOSED if site.lines is None else site.lines.state(line.name),
        own=own_of(site, line.name),
        line=line,
        sized=sized,
        catchment_m2=ground_m2[0],
        kept_uphill_m2=ground_m2[1],
        strip_rain_m3=float(water.local_m3[number] - water.ground_runoff_m3[number]),
        runoff_m3=float(water.unspilt.received_m3[number]),
        spill_in_m3=float(water.design.received_m3[number] - water.unspilt.received_m3[number]),
        spill_m3=float(water.design.spilled_m3[number]),
        held_storm_mm=float(water.held_storm_mm[number]),
        quantities=quantities,
        height_sigma_m=ground.terrain.vertical_sigma_m,
        drawn_sigma_m=ground.terrain.drawn_sigma_at(*line.xy.T),
    )


def _least_mm(held_mm: NDArray[np.float64]) -> float:
    return float(held_mm.min(initial=GREATEST_STORM_MM)) if held_mm.size else 0.0
