"""The brief's parts as the values that each room works with."""

from swalekit.contours.rules import DEFAULT_RULES, LineRules
from swalekit.design.brief import Brief, StormPart
from swalekit.design.site import Site
from swalekit.earthwork.cost import Rates
from swalekit.errors import BriefError, InputError
from swalekit.hydrology.alternating_block import alternating_block
from swalekit.hydrology.depth_table import DepthTable
from swalekit.hydrology.duration_ratios import duration_ratio, published_ratios
from swalekit.hydrology.hyetograph import Hyetograph, uniform_storm
from swalekit.hydrology.nrcs_storm import nrcs_storm
from swalekit.hydrology.soil import Soil
from swalekit.hydrology.storm import Storm
from swalekit.section.section import DepthRules, Section
from swalekit.tables.curve_numbers import curve_number
from swalekit.tables.values import soil_intake, swell, weir_coefficient
from swalekit.terrain.terrain import Terrain

DAY_H = 24.0
_BLOCK_MIN = 30.0
_GREATEST_RAIN_MM = 2000.0
_ANY_RETURN_PERIOD_Y = 2.0  # a table of one depth needs one

EARTH_SILL = "grass or earth"
"""The row of the weir table taken where the brief names no coefficient."""


def storm_of(site: Site) -> Storm:
    """Design and check storm: the depths given, or those of the return periods.

    Raises
    ------
    InputError
        If the check storm is deeper than any rain on earth.
    """
    part = site.brief.storm
    depth = rain_mm(site, part.return_period_y or 0.0) if part.depth_mm is None else part.depth_mm
    check = part.check_depth_mm if part.check_return_period_y is None else rain_mm(site, part.check_return_period_y)
    storm = Storm(depth, check)
    if storm.check_depth_mm > _GREATEST_RAIN_MM:
        message = (
            f"[storm] the check storm is {storm.check_depth_mm:g} mm and more than {_GREATEST_RAIN_MM:g} mm never fell "
            "in a day; give a smaller one, or check the unit of the table or record"
        )
        raise InputError(message)
    return storm


def rain_mm(site: Site, return_period_y: float) -> float:
    """Depth of the site's rain at the brief's duration, from its table or its record [mm]."""
    part = site.brief.storm
    if isinstance(site.rain, DepthTable):
        return site.rain.depth_mm_at(part.duration_h, return_period_y)
    if site.rain is None:
        message = "the brief's storm names a table or a record, but the site was made without reading it"
        raise BriefError(message)
    day_mm = float(site.rain.depth_mm(return_period_y))
    share = 1.0 if part.duration_h == DAY_H else duration_ratio(part.duration_h, published_ratios(_course_type(part)))
    return day_mm * share


def course_of(site: Site, depth_mm: float) -> Hyetograph:
    """Course of a storm: uniform, an NRCS day, or alternating blocks of its shares where it is shorter."""
    part = site.brief.storm
    if part.course == "uniform":
        return uniform_storm(depth_mm, part.duration_h)
    if part.duration_h == DAY_H:
        return nrcs_storm(depth_mm, part.course)
    ratios = published_ratios(part.course)
    day_mm = depth_mm / duration_ratio(part.duration_h, ratios)
    table = DepthTable.from_ratios(day_mm, ratios, return_period_y=_ANY_RETURN_PERIOD_Y)
    return alternating_block(
        table, return_period_y=_ANY_RETURN_PERIOD_Y, duration_h=part.duration_h, step_min=_BLOCK_MIN
    )


def _course_type(part: StormPart) -> str:
    if part.course == "uniform":
        message = f"duration_h is {part.duration_h:g}, shorter than the record's day; name an NRCS type as course"
        raise BriefError(message)
    return part.course


def soil_of(site: Site) -> Soil:
    """Curve numbers by class, the brief's own first, then each zone's; and the intake rate."""
    return Soil.from_curve_numbers(
        (_curve_number(site.brief), *(zone.curve_number for zone in site.soil_zones)),
        site.brief.soil.initial_abstraction_ratio,
        intake_mm_h=_intake_mm_h(site.brief),
    )


def section_of(site: Site) -> Section:
    """The cross-section."""
    part = site.brief.section
    return Section(
        bottom_width_m=part.bottom_width_m,
        uphill_side_slope=part.uphill_side_slope,
        downhill_side_slope=part.downhill_side_slope,
        bench_m=part.bench_m,
        berm_uphill_side_slope=part.berm_uphill_side_slope,
        berm_downhill_side_slope=part.berm_downhill_side_slope,
        crest_width_m=part.crest_width_m,
        freeboard_m=part.freeboard_m,
    )


def depths_of(site: Site) -> DepthRules:
    """The depths that may be dug."""
    part = site.brief.section
    return DepthRules(part.least_depth_m, part.greatest_depth_m, part.depth_step_m)


def line_rules_of(site: Site, terrain: Terrain) -> LineRules:
    """Where a level line is fit to dig; its slope is measured over 6 m, or over two cells where these are wider."""
    part = site.brief.lines
    return LineRules(
        tolerance_m=part.tolerance_m,
        bend_radius_m=part.bend_radius_m,
        least_length_m=part.least_length_m,
        least_ring_m=part.least_ring_m,
        least_slope=part.least_slope,
        greatest_slope=part.greatest_slope,
        slope_support_m=max(DEFAULT_RULES.slope_support_m, 2.0 * terrain.grid.cell_m),
        watercourse_gap_m=part.watercourse_gap_m,
    )


def rates_of(site: Site) -> Rates:
    """Machine output and prices."""
    part = site.brief.rates
    return Rates(part.machine_m3_per_h, part.machine_per_h, part.dig_per_m3, part.swale_per_m, part.mobilisation)


def swell_percent(site: Site) -> float:
    """Swell from bank to loose [%]."""
    given = site.brief.soil.swell
    return swell(site.brief.soil.material).value if given is None else 100.0 * given


def sill_coefficient(site: Site) -> float:
    """Weir coefficient of the sills [m^½/s]."""
    given = site.brief.sill.coefficient
    return weir_coefficient(EARTH_SILL).value if given is None else given


def noise_depth_m(site: Site, terrain: Terrain) -> float:
    """Depth below which a hollow counts as noise: the brief's, or twice the error of a height [m]."""
    given = site.brief.terrain.hollow_noise_m
    return 2.0 * terrain.vertical_sigma_m if given is None else given


def _curve_number(brief: Brief) -> float:
    soil = brief.soil
    if soil.curve_number is not None:
        return soil.curve_number
    return curve_number(soil.cover or "", soil.condition, soil.group or "").curve_number


def _intake_mm_h(brief: Brief) -> float | None:
    if brief.soil.intake_mm_h is not None or brief.soil.texture is None:
        return brief.soil.intake_mm_h
    return soil_intake(brief.soil.texture).value
