"""The brief's parts as the values that each room works with."""

from dataclasses import fields
from math import floor
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

import numpy as np

from swalekit.contours.line import LevelLine
from swalekit.design.brief.decided_lines import DRAWN, HELD, OwnSettings
from swalekit.design.brief.part import Part
from swalekit.design.brief.site import Site
from swalekit.design.brief.soil_part import soil_loss
from swalekit.earthwork.cost import Rates
from swalekit.errors import BriefError, InputError
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.storm.daily_record import GREATEST_DAY_MM
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.hyetograph import Hyetograph, uniform_storm
from swalekit.hydrology.storm.storm import Storm, alternating_block, duration_ratio, nrcs_storm, published_ratios
from swalekit.section.section import DepthRules, Section, SizeLimits
from swalekit.tables.values import soil_intake, swell, weir_coefficient
from swalekit.terrain.terrain import Terrain

if TYPE_CHECKING:
    from _typeshed import DataclassInstance

Value = TypeVar("Value", bound="DataclassInstance")

DAY_H = 24.0
DEFAULT_COURSE = "II"
"""NRCS type where the brief names no course."""

_BLOCK_MIN = 30.0
_ANY_RETURN_PERIOD_Y = 2.0  # a table of one depth needs one
_ANY_DEPTH_MM = 1.0  # a course is scaled to every depth
_ROUNDING = 1e-9
_FULL_AT = 0.75  # share of the rain after which a ditch is taken as full

EARTH_SILL = "grass or earth"
"""The row of the weir table taken where the brief names no coefficient."""


def storm_of(site: Site) -> Storm:
    """Storms that the works are made for: those asked for, or a deeper one that holds them surely enough.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Storm
        Both depths [mm]; the check storm is never the smaller.

    Raises
    ------
    BriefError, InputError
        As `asked_storm_of`.

    Examples
    --------
    >>> storm_of(site.with_values({"conditions.sized_for_mm": 80.0})).depth_mm
    80.0
    """
    storm, sized_mm = asked_storm_of(site), site.brief.conditions.sized_for_mm
    return storm if sized_mm is None else Storm(sized_mm, max(storm.check_depth_mm, sized_mm))


def asked_storm_of(site: Site) -> Storm:
    """Design and check storm: the depths given, or those of the return periods.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Storm
        Both depths [mm].

    Raises
    ------
    BriefError
        If the table or the record has no such depth.
    InputError
        If the check storm is deeper than any rain on earth.

    Examples
    --------
    >>> asked_storm_of(site).depth_mm, asked_storm_of(site).check_depth_mm
    (50.0, 75.0)
    """
    part = site.brief.storm
    depth = rain_mm(site, part.return_period_y or 0.0) if part.depth_mm is None else part.depth_mm
    check = part.check_depth_mm if part.check_return_period_y is None else rain_mm(site, part.check_return_period_y)
    storm = Storm(depth, check)
    if storm.check_depth_mm > GREATEST_DAY_MM:
        message = (
            f"[storm] the check storm is {storm.check_depth_mm:g} mm and more than {GREATEST_DAY_MM:g} mm never fell "
            "in a day; give a smaller one, or check the unit of the table or record"
        )
        raise InputError(message)
    return storm


def duration_h(site: Site) -> float:
    """Duration of both storms: the measured storm's, the brief's, or a day [h].

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    float
        The duration [h].

    Examples
    --------
    >>> duration_h(site)
    24.0
    """
    given = site.brief.storm.duration_h
    if site.course is not None:
        return site.course.duration_h
    return DAY_H if given is None else given


def rain_mm(site: Site, return_period_y: float) -> float:
    """Depth of the site's rain in the duration of the storms, from its table or its record [mm].

    Parameters
    ----------
    site : Site
        The site, with a table or a record.
    return_period_y : float
        Mean time between years with more rain [years].

    Returns
    -------
    float
        The depth [mm].

    Raises
    ------
    BriefError
        If the table or the record has no depth for that duration, or the brief gives a depth alone.

    Notes
    -----
    A day's rain of the record may all have fallen in a measured storm that is shorter; it is never made less for it.
    """
    hours = duration_h(site)
    if isinstance(site.rain, DepthTable):
        try:
            return site.rain.depth_mm_at(hours, return_period_y)
        except InputError as error:
            message = f"[storm] depth table '{site.brief.storm.table}': {error}"
            raise BriefError(message) from error
    if site.rain is None:
        message = "[storm] gives a depth, not rain by return period; give a table or a record"
        raise BriefError(message)
    if hours > DAY_H:
        message = f"[storm] the course file lasts {hours:g} h and the record gives the rain of a day; give depth_mm"
        raise BriefError(message)
    day_mm, measured = float(site.rain.depth_mm(return_period_y)), site.course is not None
    return day_mm if measured or hours == DAY_H else day_mm * duration_ratio(hours, published_ratios(_nrcs_kind(site)))


def course_words(site: Site) -> str:
    """Course of the rain, in a word or two.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    str
        The words.

    Examples
    --------
    >>> course_words(site)
    'II'
    """
    part = site.brief.storm
    return f"as in {Path(part.course_file).name}" if part.course_file is not None else part.course or DEFAULT_COURSE


def course_of(site: Site, depth_mm: float) -> Hyetograph:
    """Course of a storm: measured, uniform, an NRCS day, or alternating blocks of a table or of a day's shares.

    Parameters
    ----------
    site : Site
        The site.
    depth_mm : float
        Depth of the storm [mm].

    Returns
    -------
    Hyetograph
        Depth that has fallen by each time.

    Raises
    ------
    BriefError
        If the storm is shorter than the record's day and its course names no NRCS type.

    Examples
    --------
    >>> course_of(site, 50.0).duration_h
    24.0
    """
    part, hours = site.brief.storm, duration_h(site)
    if site.course is not None:
        return site.course.scaled_to(depth_mm)
    if part.course == "uniform":
        return uniform_storm(depth_mm, hours)
    if part.course == "alternating block" and isinstance(site.rain, DepthTable):
        return _blocks_of_table(site.rain, part.return_period_y or 0.0, hours).scaled_to(depth_mm)
    if hours == DAY_H:
        return nrcs_storm(depth_mm, _nrcs_kind(site))
    ratios = published_ratios(_nrcs_kind(site))
    day_mm = depth_mm / duration_ratio(hours, ratios)
    table = DepthTable.from_ratios(day_mm, ratios, return_period_y=_ANY_RETURN_PERIOD_Y)
    return alternating_block(table, return_period_y=_ANY_RETURN_PERIOD_Y, duration_h=hours, step_min=_BLOCK_MIN)


def _blocks_of_table(table: DepthTable, return_period_y: float, hours: float) -> Hyetograph:
    """Blocks as short as the table's shortest duration allows."""
    blocks = max(1, floor(hours / float(table.durations_h[0]) + _ROUNDING))
    return alternating_block(table, return_period_y=return_period_y, duration_h=hours, step_min=60.0 * hours / blocks)


def _nrcs_kind(site: Site) -> str:
    part = site.brief.storm
    if part.course == "uniform":
        message = f"duration_h is {duration_h(site):g}, shorter than the record's day; name an NRCS type as course"
        raise BriefError(message)
    return part.course or DEFAULT_COURSE


def soil_of(site: Site) -> Soil:
    """Losses by class, the brief's own first, then each zone's; the intake rate; and the course that losses follow.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Soil
        What runs off and what soaks in.

    Raises
    ------
    BriefError, InputError
        If a key names no row of its table, or the lag formula is asked for where a class has no curve number.

    Examples
    --------
    >>> print(*soil_of(site).losses)
    curve number 85
    """
    part, tested = site.brief.soil, site.infiltration
    own = soil_loss(part.loss_keys, tested_mm_h=None if tested is None else tested.conductivity_mm_h)
    soil = Soil(
        (own, *(zone.loss for zone in site.soil_zones)), _intake_mm_h(site), storm_shape=course_of(site, _ANY_DEPTH_MM)
    )
    number = next((k for k, loss in enumerate(soil.losses) if not isinstance(loss, CurveNumberLoss)), None)
    if part.travel == "lag" and number is not None:
        where = f"soil zone {number}" if number else "the soil"
        method = soil.losses[number].method
        message = f"[soil] travel 'lag' needs curve numbers, but the method of {where} is {method}; take 'velocity'"
        raise BriefError(message)
    return soil


def limits_of(site: Site, name: str = "") -> SizeLimits:
    """What swales must keep besides holding the storm, and how far their floors may be widened for it.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        Of a line: the floor that the designer gave it stays.

    Returns
    -------
    SizeLimits
        Where an intake rate is known a full ditch soaks away within ``empty_within_h`` of the rain.

    Notes
    -----
    The level of a ditch falls at the intake rate whatever its shape, since water soaks down through its plan area. It
    is taken as full when three quarters of the design storm have fallen: our choice, on the safe side in the storms
    looked at. The storm's run in time says how long each stands.

    Examples
    --------
    >>> limits_of(site).most_fill_m, limits_of(site).widest_floor_m
    (1.0, 3.0)
    """
    part, intake_mm_h = site.brief.section, soil_of(site).design_intake_mm_h
    most_water_m = float("inf")
    if intake_mm_h:
        course = course_of(site, _ANY_DEPTH_MM)
        full_h = float(np.interp(_FULL_AT * course.depth_mm, course.cumulative_mm, course.time_h))
        most_water_m = intake_mm_h * (site.brief.soil.empty_within_h + course.duration_h - full_h) / 1000.0
    return SizeLimits(
        widest_floor_m=part.greatest_bottom_width_m if own_of(site, name).bottom_width_m is None else 0.0,
        floor_step_m=part.bottom_width_step_m,
        most_water_m=most_water_m,
        most_fill_m=part.greatest_fill_m,
    )


def section_of(site: Site, name: str = "") -> Section:
    """The cross-section, or that of one line.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        Name of a line, whose own settings go before the brief's; '' for the brief's alone.

    Returns
    -------
    Section
        Widths and side slopes of ditch and berm.

    Examples
    --------
    >>> section_of(site).bottom_width_m
    0.6
    """
    return of_part(Section, site.brief.section, **own_of(site, name).of_section)


def depths_of(site: Site, name: str = "") -> DepthRules:
    """The depths that may be dug, or those of one line: a single one where its own is given.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        Name of a line, '' for the brief's alone.

    Returns
    -------
    DepthRules
        Least, greatest and step [m].

    Examples
    --------
    >>> depths_of(site).greatest_m
    1.0
    """
    part, own_m = site.brief.section, own_of(site, name).depth_m
    if own_m is not None:
        return DepthRules(own_m, own_m, part.depth_step_m)
    return DepthRules(part.least_depth_m, part.greatest_depth_m, part.depth_step_m)


def own_of(site: Site, name: str) -> OwnSettings:
    """What differs from the brief along a line.

    Parameters
    ----------
    site : Site
        The site.
    name : str
        Name of the line.

    Returns
    -------
    OwnSettings
        Nothing where the site has no decisions or no such line.

    Examples
    --------
    >>> own_of(site, "S1").none_given
    True
    """
    return OwnSettings() if site.lines is None else site.lines.own(name)


def given_name(site: Site, line: LevelLine) -> str:
    """Name of a line that the designer gave, held or drawn; '' for one that the brief asks for.

    Parameters
    ----------
    site : Site
        The site.
    line : LevelLine
        The line.

    Returns
    -------
    str
        The line's name, or none.

    Examples
    --------
    >>> [given_name(site, line) for line in layout.lines]
    ['', '']
    """
    return line.name if site.lines is not None and site.lines.state(line.name) in (HELD, DRAWN) else ""


def rates_of(site: Site) -> Rates:
    """Machine output and prices.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Rates
        Output [m³/h], and prices where the brief names them.

    Examples
    --------
    >>> rates_of(site).machine_m3_per_h
    25.0
    """
    return of_part(Rates, site.brief.rates)


def of_part(kind: type[Value], part: Part, **others: Any) -> Value:
    """A value of the work whose fields are keys of a part of the brief, but for others given.

    Parameters
    ----------
    kind : type
        Dataclass of the value.
    part : Part
        Part of the brief.
    **others
        Fields that are no keys, or go before them.

    Returns
    -------
    object
        The value, of that kind.

    Examples
    --------
    >>> from swalekit.design.brief.brief import SectionPart
    >>> of_part(Section, SectionPart(bottom_width_m=0.8)).bottom_width_m
    0.8
    """
    keys = type(part).model_fields
    taken = {field.name: getattr(part, field.name) for field in fields(kind) if field.name in keys}
    return kind(**taken | others)


def swell_percent(site: Site) -> float:
    """Swell from bank to loose [%].

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    float
        Volume that the soil gains when it is dug [%].

    Examples
    --------
    >>> swell_percent(site.with_values({"soil.swell": 0.25}))
    25.0
    """
    given = site.brief.soil.swell
    return swell(site.brief.soil.material).value if given is None else 100.0 * given


def sill_coefficient(site: Site) -> float:
    """Weir coefficient of the sills [m^½/s].

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    float
        C in Q = C L H^1.5 [m^½/s].

    Examples
    --------
    >>> sill_coefficient(site.with_values({"sill.coefficient": 1.5}))
    1.5
    """
    given = site.brief.sill.coefficient
    return weir_coefficient(EARTH_SILL).value if given is None else given


def noise_depth_m(site: Site, terrain: Terrain) -> float:
    """Depth below which a hollow counts as noise: the brief's, or twice the error of a height [m].

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its ground, with the error of its heights.

    Returns
    -------
    float
        The depth [m].

    Examples
    --------
    >>> noise_depth_m(site, terrain) == 2.0 * terrain.vertical_sigma_m
    True
    """
    given = site.brief.terrain.hollow_noise_m
    return 2.0 * terrain.vertical_sigma_m if given is None else given


def _intake_mm_h(site: Site) -> float | None:
    """Given, else tested, else by texture."""
    part, tested = site.brief.soil, site.infiltration
    if part.intake_mm_h is None and tested is not None:
        return tested.conductivity_mm_h
    if part.intake_mm_h is not None or part.texture is None:
        return part.intake_mm_h
    return soil_intake(part.texture).value
