"""The reed bed that cleans a house's greywater."""

import math
from dataclasses import dataclass

from swalekit._checks import check_between, check_positive
from swalekit._one_line import one_line
from swalekit.greywater.first_order import (
    bed_constant,
    cross_section_m2,
    first_order_area_m2,
    plug_flow_area_m2,
    rate_per_day,
)

_GREATEST_ASPECT = 3.0
"""Length over width of a small bed; common practice."""


@dataclass(frozen=True)
class BedRules:
    """What a bed is sized for; the table's where not given.

    Parameters
    ----------
    temperature_c : float
        Water in the coldest month, near the air's mean [°C].
    inflow_mg_l : float
        BOD of the greywater as it leaves the house [mg/L].
    settled_share : float
        Share of it that a settling tank takes off before the bed, below 1 [-].
    outflow_mg_l : float
        BOD behind the bed [mg/L].
    depth_m : float
        Depth of the wet gravel [m].
    porosity : float
        Share of the gravel's volume that water fills [-].
    conductivity_m_s : float
        Conductivity of the gravel [m/s].
    bed_slope : float
        Fall of the bed's floor [m/m].

    Raises
    ------
    InputError
        If a value lies outside its range.
    """

    temperature_c: float
    inflow_mg_l: float = bed_constant("inflow BOD")
    settled_share: float = bed_constant("primary removal")
    outflow_mg_l: float = bed_constant("outflow BOD")
    depth_m: float = bed_constant("depth")
    porosity: float = bed_constant("porosity")
    conductivity_m_s: float = bed_constant("conductivity")
    bed_slope: float = bed_constant("bed slope")

    def __post_init__(self) -> None:
        check_between(0.0, 40.0, temperature_c=self.temperature_c)
        check_between(0.0, 0.95, settled_share=self.settled_share)
        check_between(0.1, 0.9, depth_m=self.depth_m)
        check_between(0.2, 0.6, porosity=self.porosity)
        check_positive(conductivity_m_s=self.conductivity_m_s)
        check_between(0.001, 0.05, bed_slope=self.bed_slope)

    @property
    def entering_mg_l(self) -> float:
        """BOD that comes into the bed [mg/L]."""
        return self.inflow_mg_l * (1.0 - self.settled_share)


@one_line("flow_m3_d", "area_m2", "width_m", "length_m", "depth_m", "notes")
@dataclass(frozen=True)
class ReedBed:
    """A sized bed.

    Parameters
    ----------
    flow_m3_d : float
        Mean flow [m³/d].
    area_m2 : float
        Plan area [m²].
    width_m, length_m : float
        Across the flow and along it [m].
    depth_m : float
        Depth of the wet gravel [m].
    residence_d : float
        Time that water takes through [d].
    load_g_m2_d : float
        BOD on the bed [g/m² d].
    second_area_m2 : float
        Area by the model with a background, as a check of order [m²].
    notes : tuple of str
        What the checks found.
    """

    flow_m3_d: float
    area_m2: float
    width_m: float
    length_m: float
    depth_m: float
    residence_d: float
    load_g_m2_d: float
    second_area_m2: float
    notes: tuple[str, ...]


def size_reed_bed(flow_m3_d: float, rules: BedRules) -> ReedBed:
    """Size a bed of gravel with flow below its surface.

    Parameters
    ----------
    flow_m3_d : float
        Mean flow [m³/d].
    rules : BedRules
        What it is sized for.

    Returns
    -------
    ReedBed
        Wide enough for its water to pass below the surface, and no more than three times as long as wide.

    Raises
    ------
    InputError
        If the flow isn't positive or the outflow isn't below what enters.

    Notes
    -----
    Area by first-order removal with the rate of the coldest month times depth and porosity. Section by Darcy. Sized for
    BOD alone: germs are thinned by a few powers of ten at best, and the water stays unfit to drink or to spray.

    References
    ----------
    .. [1] UN-HABITAT (2008). Constructed Wetlands Manual. .. [2] Kadlec & Knight (1996). Treatment Wetlands.

    Examples
    --------
    >>> bed = size_reed_bed(0.6, BedRules(temperature_c=12.0))
    >>> round(bed.area_m2, 1), round(bed.width_m, 1), round(bed.length_m, 1), round(bed.residence_d, 1)
    (11.0, 1.9, 5.7, 2.6)
    """
    areal_rate = rate_per_day(rules.temperature_c) * rules.depth_m * rules.porosity
    area = first_order_area_m2(flow_m3_d, rules.entering_mg_l, rules.outflow_mg_l, areal_rate_m_d=areal_rate)
    section = cross_section_m2(flow_m3_d, conductivity_m_s=rules.conductivity_m_s, bed_slope=rules.bed_slope)
    width = max(section / rules.depth_m, math.sqrt(area / _GREATEST_ASPECT))
    load = flow_m3_d * rules.entering_mg_l / area
    second = plug_flow_area_m2(
        flow_m3_d,
        rules.entering_mg_l,
        rules.outflow_mg_l,
        rate_m_yr=bed_constant("areal rate, plug flow"),
        background_mg_l=bed_constant("background BOD") + bed_constant("background BOD slope") * rules.entering_mg_l,
    )
    return ReedBed(
        flow_m3_d,
        area,
        width,
        area / width,
        rules.depth_m,
        area * rules.depth_m * rules.porosity / flow_m3_d,
        load,
        second,
        _notes(flow_m3_d, area, width, load, rules),
    )


def _notes(flow_m3_d: float, area_m2: float, width_m: float, load: float, rules: BedRules) -> tuple[str, ...]:
    notes = []
    greatest = bed_constant("greatest load")
    if load > greatest:
        gentle_m2 = flow_m3_d * rules.entering_mg_l / greatest
        notes.append(
            f"BOD load of {load:.0f} g/m2 a day is above {greatest:g}: {gentle_m2:.0f} m2 "
            "would keep to it; settle the water well and watch the inlet for clogging"
        )
    if area_m2 / width_m < 1.0:
        notes.append("the bed is wider than long: spread the inflow over its whole width, or take coarser gravel")
    if rules.temperature_c < 5.0:
        notes.append(f"water of {rules.temperature_c:g} °C hardly cleans; cover the bed with mulch in winter")
    return tuple(notes)
