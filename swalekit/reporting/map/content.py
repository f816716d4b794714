"""What a map shows, as plain values."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from functools import cached_property
from typing import Any

from swalekit._checks import check_one_of
from swalekit.contours.polyline import Polyline
from swalekit.design.plan.record import SwaleSection
from swalekit.frozen import Frozen
from swalekit.reporting.map.bund_marks import MapBunds
from swalekit.reporting.map.plant_marks import MapPlanting
from swalekit.reporting.paper.outlines import tint_numbers
from swalekit.reporting.paper.palette import CATCHMENT_TINTS
from swalekit.terrain.terrain import Terrain

Geometry = Any
"""A shapely geometry in the terrain's CRS."""
KeptClear = tuple[str, str, Geometry, Geometry | None]
"""Kind, name or '', what is kept clear of, and the same with its setback."""


@dataclass(frozen=True, eq=False)
class MapContent(Frozen):
    """Everything on a map sheet.

    Parameters
    ----------
    title, subtitle : str
        Head of the sheet.
    terrain : Terrain
        Ground for relief and reference contours.
    boundary : shapely geometry or None
        The site; the sheet is framed on it, or on the whole tile.
    lines : mapping of str to ndarray of float64, shape (k, 2)
        Path of every level line by its name [m]; a ring comes back to its first vertex.
    stages : mapping of str to int
        Season in which each line's swale is built, lettered beside its name; empty where all are built at once.
    new, unchanged : tuple of str
        Names of lines that an earlier plan hasn't, and of those that are as there, where two plans are shown.
    former : mapping of str to ndarray of float64, shape (k, 2)
        Where lines of an earlier plan ran that are gone or run elsewhere now [m].
    workable : shapely geometry or None
        The site less the setback from its property line.
    bands : tuple of shapely geometry
        Area in which the line of the same place may lie.
    catchments : mapping of str to shapely geometry
        Area that drains to a line, by its name.
    ponds : tuple of (str, shapely geometry)
        Name and area; a pond without a name is not lettered.
    sills : mapping of str to ndarray of float64, shape (k, 2)
        Stretch of line that is its overflow sill, by its name [m].
    aprons : tuple of shapely geometry
        What is laid at sills.
    banks, fords : tuple of shapely geometry
        Roadways over swales that go on beneath them: on a bank over a pipe, and through a ford.
    failing, overtopped : tuple of str
        Names of the lines whose berm fails, and of those that water then goes over.
    sill_paths, watercourses : tuple of ndarray of float64, shape (k, 2)
        Lines of water, downhill [m].
    keep_outs : tuple of KeptClear
        Places that lines keep clear of.
    refused : tuple of (str, ndarray of float64)
        Reason and stretch of each refused line [m].
    table : tuple of tuple of str
        Rows of the table of lines, as printed.
    header : tuple of str
        Heads of its columns.
    cautions_file : str
        Where the cautions stand that the sheet has no room for.
    table_heading : str
        What stands above it.
    table_file : str
        Where rows are that the sheet has no room for.
    facts : tuple of (str, str)
        Totals: label and value, as printed.
    section : SwaleSection or None
        The cross-section that is drawn where there is room.
    section_words : str
        Dimensions of the sections in one phrase.
    cautions, credits : tuple of str
        Sentences printed below the table and at the foot.
    planting : MapPlanting or None
        Plants, reed bed and the ground it serves.
    bunds : MapBunds or None
        Microcatchments.
    units : str
        ``metric`` or ``us``; decides the scale bar, the contours and the choice of round scales.

    Raises
    ------
    InputError
        If the unit system is unknown.
    """

    title: str
    terrain: Terrain
    subtitle: str = ""
    boundary: Geometry | None = None
    workable: Geometry | None = None
    lines: Mapping[str, Polyline] = field(default_factory=dict)
    stages: Mapping[str, int] = field(default_factory=dict)
    new: tuple[str, ...] = ()
    unchanged: tuple[str, ...] = ()
    former: Mapping[str, Polyline] = field(default_factory=dict)
    bands: tuple[Geometry, ...] = ()
    catchments: Mapping[str, Geometry] = field(default_factory=dict)
    sills: Mapping[str, Polyline] = field(default_factory=dict)
    sill_paths: tuple[Polyline, ...] = ()
    aprons: tuple[Geometry, ...] = ()
    banks: tuple[Geometry, ...] = ()
    fords: tuple[Geometry, ...] = ()
    failing: tuple[str, ...] = ()
    overtopped: tuple[str, ...] = ()
    keep_outs: tuple[KeptClear, ...] = ()
    watercourses: tuple[Polyline, ...] = ()
    ponds: tuple[tuple[str, Geometry], ...] = ()
    refused: tuple[tuple[str, Polyline], ...] = ()
    table: tuple[tuple[str, ...], ...] = ()
    header: tuple[str, ...] = ()
    table_heading: str = "SWALES"
    table_file: str = "earthwork.csv"
    cautions_file: str = "summary.json"
    facts: tuple[tuple[str, str], ...] = ()
    section: SwaleSection | None = None
    section_words: str = ""
    cautions: tuple[str, ...] = ()
    credits: tuple[str, ...] = ()
    planting: MapPlanting | None = None
    bunds: MapBunds | None = None
    units: str = "metric"

    def __post_init__(self) -> None:
        check_one_of(("metric", "us"), units=self.units)
        super().__post_init__()

    @cached_property
    def tint_numbers(self) -> list[int]:
        """Number of the tint of each catchment."""
        return tint_numbers(list(self.catchments.values()), len(CATCHMENT_TINTS))

    @property
    def framed_bounds(self) -> tuple[float, float, float, float]:
        """West, south, east and north edge of what must fit on the map [m]."""
        if self.boundary is None or self.boundary.is_empty:
            return self.terrain.grid.bounds
        west, south, east, north = map(float, self.boundary.bounds)
        return west, south, east, north
