"""The site's storm in figures: what is asked for, and depth by return period where the rain is analysed."""

from typing import Any

from swalekit.design.brief.settings import course_of, course_words, duration_h, rain_mm, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.hydrology.routing.outcome import StormOutcome
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.frequency import FrequencyAnalysis
from swalekit.hydrology.storm.hyetograph import Hyetograph

RETURN_PERIODS_Y = (2.0, 5.0, 10.0, 25.0, 50.0, 100.0)

STORM_COLUMNS: tuple[Column, ...] = (
    Column("return_period_y", "y", "mean time between years with a greater depth", 2),
    Column("depth_mm", "mm", "depth of rain by the chosen distribution or the table"),
    Column("low_mm", "mm", "lower end of the 90 % band, empty for a table"),
    Column("high_mm", "mm", "upper end of the 90 % band, empty for a table"),
)

WATER_COLUMNS: tuple[Column, ...] = (
    Column("time_h", "h", "time since the start of the design storm", 4),
    Column("brought_m3", "m3", "water that the storm has brought to the site by then, from uphill and on it", 3),
    Column("held_m3", "m3", "of it, what stands in swales and hollows", 3),
    Column("soaked_m3", "m3", "of it, what has soaked away in the ditches", 3, "soaked_total_m3"),
    Column("left_m3", "m3", "of it, what has left the site", 3),
    Column("under_way_m3", "m3", "of it, what flows between swales", 3),
)


def storm_rows(site: Site) -> list[dict[str, Entry]]:
    """Depth by return period at the brief's duration; no row where the brief gives a depth.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    list of dict
        A row a return period, by the names of `STORM_COLUMNS`.

    Raises
    ------
    BriefError
        If the table or the record has no depth for that duration.

    Examples
    --------
    >>> storm_rows(site)
    []
    """
    if site.rain is None:
        return []
    rows = ((years, rain_mm(site, years), *_band(site, years)) for years in _years(site.rain))
    names = [column.name for column in STORM_COLUMNS]
    return [row_of(dict(zip(names, row, strict=True)), STORM_COLUMNS) for row in rows]


def water_rows(outcome: StormOutcome) -> list[dict[str, Entry]]:
    """Water of the site through a routed storm, a row a step, by the names of `WATER_COLUMNS`.

    Parameters
    ----------
    outcome : StormOutcome
        The storm as it was routed.

    Returns
    -------
    list of dict
        A row a step.

    Examples
    --------
    >>> list(water_rows(design.run.design)[0])
    ['time_h', 'brought_m3', 'held_m3', 'soaked_m3', 'left_m3', 'under_way_m3']
    """
    series = [getattr(outcome, str(column.of or column.name)).tolist() for column in WATER_COLUMNS]
    names = [column.name for column in WATER_COLUMNS]
    return [row_of(dict(zip(names, step, strict=True)), WATER_COLUMNS) for step in zip(*series, strict=True)]


def storm_course(site: Site) -> Hyetograph:
    """Course of the design storm.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    Hyetograph
        Depth that has fallen by each time.

    Examples
    --------
    >>> storm_course(site).duration_h
    24.0
    """
    return course_of(site, storm_of(site).depth_mm)


def storm_summary(site: Site) -> dict[str, Any]:
    """The storm in JSON types.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    dict
        Depths, duration, course, and where the rain is analysed the distribution and its maxima.

    Examples
    --------
    >>> storm_summary(site)["depth_mm"]
    50.0
    """
    storm = storm_of(site)
    summary: dict[str, Any] = {
        "site": site.brief.site.name,
        "depth_mm": round(storm.depth_mm, 1),
        "check_depth_mm": round(storm.check_depth_mm, 1),
        "duration_h": round(duration_h(site), 3),
        "course": course_words(site),
        "by_return_period": storm_rows(site),
        "notes": list(site.notes),
    }
    if isinstance(site.rain, FrequencyAnalysis):
        summary["distribution"] = site.rain.chosen.name
        summary["reason"] = site.rain.reason
        summary["years"] = [int(year) for year in site.rain.maxima.year]
        summary["annual_maxima_mm"] = [round(float(depth), 1) for depth in site.rain.maxima.depth_mm]
    return summary


def _years(rain: DepthTable | FrequencyAnalysis) -> tuple[float, ...]:
    if isinstance(rain, DepthTable):
        return tuple(float(years) for years in rain.return_periods_y)
    return RETURN_PERIODS_Y


def _band(site: Site, years: float) -> tuple[float | None, float | None]:
    if not isinstance(site.rain, FrequencyAnalysis):
        return None, None
    share = rain_mm(site, years) / float(site.rain.depth_mm(years))
    low, high = site.rain.band_mm(years)
    return share * float(low), share * float(high)
