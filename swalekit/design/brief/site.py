"""The site: the brief and the ground it speaks of, everything a plan needs besides the terrain."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Self

import numpy as np
import shapely
from pyproj import CRS, Transformer
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.crossing import Crossing
from swalekit.contours.obstacles import KeepOut
from swalekit.design.brief.brief import PATH_KEYS, SITE_PARTS, Brief
from swalekit.design.brief.decided_lines import Lines
from swalekit.design.brief.values import brief_with
from swalekit.errors import BriefError, GeometryError, InputError
from swalekit.hydrology.losses.infiltration_test import InfiltrationFit
from swalekit.hydrology.losses.soil import SoilZone
from swalekit.hydrology.storm.depth_table import DepthTable
from swalekit.hydrology.storm.frequency import FrequencyAnalysis
from swalekit.hydrology.storm.hyetograph import Hyetograph

WGS84 = CRS.from_epsg(4326)

_READ_WITH_SITE = tuple(place for place in PATH_KEYS if place[0] in SITE_PARTS)
"""Part and key of the files whose contents a site holds."""


@one_line("brief.site.name", "keep_outs", "soil_zones", "crs.name")
@dataclass(frozen=True, eq=False)
class Site:
    """The brief with its polygons.

    Parameters
    ----------
    brief : Brief
        Every setting.
    boundary : shapely polygon or multipolygon, optional
        The land that may be worked; the whole tile when None.
    keep_outs : tuple of KeepOut
        Where ditches may not run, each with its setback.
    soil_zones : tuple of SoilZone
        Ground whose loss differs from the brief's.
    rain : DepthTable or FrequencyAnalysis, optional
        Where the brief gives return periods: the table of an atlas, or the analysis of a daily record.
    course : Hyetograph, optional
        The measured storm that the brief names.
    infiltration : InfiltrationFit, optional
        What the infiltration test that the brief names says.
    crossings : tuple of Crossing
        Where people, stock and machines pass the lines.
    lines : Lines, optional
        What the designer decided about the lines; all are proposed by the brief when None.
    crs : CRS
        Of the polygons; WGS 84 longitude and latitude as read from files. Lines have one of their own.
    notes : tuple of str
        What was repaired or assumed on reading.
    hashes : mapping of str to str
        SHA-256 of the files that it was read from, by ``part.key`` of the brief.
    text : bytes, optional
        The brief as its author wrote it; None where its values come from elsewhere.
    of_plan : str
        Number of the plan that it is read back from.

    Raises
    ------
    BriefError
        If the brief names a table, a record, a course, a test or lines, and what it says isn't given.
    InputError
        If a line has less freeboard than the water over its sill needs.
    """

    brief: Brief
    boundary: BaseGeometry | None = None
    keep_outs: tuple[KeepOut, ...] = ()
    soil_zones: tuple[SoilZone, ...] = ()
    rain: DepthTable | FrequencyAnalysis | None = None
    course: Hyetograph | None = None
    infiltration: InfiltrationFit | None = None
    crossings: tuple[Crossing, ...] = ()
    lines: Lines | None = None
    crs: CRS = WGS84
    notes: tuple[str, ...] = field(default=())
    hashes: Mapping[str, str] = field(default_factory=dict)
    text: bytes | None = None
    of_plan: str = ""

    def __post_init__(self) -> None:
        storm, soil = self.brief.storm, self.brief.soil
        named = (
            ("[storm] table", storm.table, self.rain),
            ("[storm] record", storm.record, self.rain),
            ("[storm] course_file", storm.course_file, self.course),
            ("[soil] infiltration_test", soil.infiltration_test, self.infiltration),
            ("[lines] file", self.brief.lines.file, self.lines),
        )
        for key, file, read in named:
            if file is not None and read is None:
                message = (
                    f"{key} names '{file}', but the site is made without what it says; read the site from its brief"
                )
                raise BriefError(message)
        for line in () if self.lines is None else self.lines.lines:
            freeboard_m, head_m = line.own.freeboard_m, self.brief.sill.head_m
            if freeboard_m is not None and freeboard_m <= head_m:
                message = (
                    f"line {line.name} has a freeboard_m of {freeboard_m:g} and [sill] head_m is {head_m:g}; give the "
                    "line more freeboard, so that the water over its sill stays below its crest"
                )
                raise InputError(message)

    def in_crs(self, crs: CRS) -> Self:
        """Bring the polygons and lines to another CRS.

        Parameters
        ----------
        crs : CRS
            The CRS.

        Returns
        -------
        Site
            A new one, or this one where its polygons and lines are in that CRS.

        Raises
        ------
        GeometryError
            If one lies where that CRS has no place.

        Examples
        --------
        >>> site.in_crs(WGS84).crs.name, site.in_crs(site.crs) is site
        ('WGS 84', True)
        """
        lines = None if self.lines is None else self.lines.in_crs(crs)
        if crs == self.crs:
            return self if lines is self.lines else replace(self, lines=lines)
        move = _mover(self.crs, crs)
        return replace(
            self,
            boundary=None if self.boundary is None else move(self.boundary, "the boundary"),
            keep_outs=tuple(
                replace(keep_out, geometry=move(keep_out.geometry, keep_out.label)) for keep_out in self.keep_outs
            ),
            soil_zones=tuple(replace(zone, geometry=move(zone.geometry, "a soil zone")) for zone in self.soil_zones),
            crossings=tuple(
                replace(crossing, geometry=move(crossing.geometry, f"the {crossing.title}"))
                for crossing in self.crossings
            ),
            lines=lines,
            crs=crs,
        )

    def with_lines(self, lines: Lines | None) -> Self:
        """The site with other decisions about its lines.

        Parameters
        ----------
        lines : Lines or None
            The decisions, in any CRS, in which they stay until the site is brought to another: those of `lines_of` are
            in that of the terrain, and held to the last bit. None to propose all lines by the brief.

        Returns
        -------
        Site
            A new one.

        Raises
        ------
        InputError
            If a line has less freeboard than the water over its sill needs.

        Examples
        --------
        >>> from swalekit import lines_of, plan
        >>> widened = lines_of(design).decide("S2", "held", bottom_width_m=1.2)
        >>> [swale.sized.shape.section.bottom_width_m for swale in plan(site.with_lines(widened), terrain).swales]
        [1.8, 1.2]
        """
        return replace(self, lines=lines)

    def with_values(self, values: Mapping[str, Any], *, source: str = "values given") -> Self:
        """Put other values in the brief, which is checked anew.

        Parameters
        ----------
        values : mapping
            Part -> key -> value, or ``part.key`` -> value, as for `swalekit.design.brief.values.brief_with`.
        source : str
            Named in errors.

        Returns
        -------
        Site
            A new one, with the polygons and files of this one.

        Raises
        ------
        BriefError
            If a value breaks a rule, or names another file than the one that was read for this site; in one line.

        Examples
        --------
        >>> from swalekit.design.brief.values import check_brief
        >>> site = Site(check_brief({"terrain.file": "t.tif", "storm.depth_mm": 60, "soil.curve_number": 81,
        ...     "levels.interval_m": 2}))
        >>> site.with_values({"levels.spacing_ft": 100, "section.bottom_width_m": 0.8}).brief.levels.spacing_m
        30.48
        """
        brief = brief_with(self.brief, values, source=source)
        for part, key in _READ_WITH_SITE:
            if getattr(getattr(brief, part), key) != getattr(getattr(self.brief, part), key):
                message = (
                    f"{source}: [{part}] {key} names a file, and this site was made from another; change the brief "
                    "and read the site anew"
                )
                raise BriefError(message)
        return replace(self, brief=brief, text=self.text if brief == self.brief else None)


def _mover(source: CRS, target: CRS) -> Callable[[BaseGeometry, str], BaseGeometry]:
    """Brings a geometry, named for the message, from one CRS to another."""
    transformer = Transformer.from_crs(source, target, always_xy=True)

    def move(geometry: BaseGeometry, name: str) -> BaseGeometry:
        moved = shapely.transform(geometry, transformer.transform, interleaved=False)
        if not np.isfinite(moved.bounds).all():
            west, south, east, north = geometry.bounds
            message = (
                f"{name} reaches from ({west:.6g}, {south:.6g}) to ({east:.6g}, {north:.6g}), too far from the tile "
                f"for {target.name}; check the CRS of its file"
            )
            raise GeometryError(message)
        return moved

    return move
