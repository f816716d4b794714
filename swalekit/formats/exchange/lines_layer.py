"""The designer's lines as a layer of features: name, state, own settings, and the mark of the shape as laid."""

from pathlib import Path

import geopandas
import shapely

from swalekit.contours.polyline import path_of
from swalekit.design.brief.decided_lines import LINE_STATES, DecidedLine, Lines
from swalekit.design.plan.columns import Column
from swalekit.formats.exchange.layers import feature_layer, write_geojson, write_layers
from swalekit.formats.exchange.line_mark import LineMark

LINES_FILES = ("lines.gpkg", "lines.geojson")
"""Files of them in a plan's folder."""
LINES_LAYER = "lines"
"""Name of the layer in a GeoPackage."""

_EXACT = 20
"""Decimals that leave a number as it is."""
_DECIMALS = 9  # of degrees, a tenth of a millimetre

LINE_COLUMNS = (
    Column("name", "", "lasting name of the line"),
    Column("state", "", f"what is decided: {', '.join(LINE_STATES)}"),
    Column("level_m", "m", "level of the line as laid", _EXACT),
    Column("bottom_width_m", "m", "its own floor width; empty: the brief's", _EXACT, "own.bottom_width_m"),
    Column(
        "uphill_side_slope",
        "",
        "its own uphill ditch side, horizontal : vertical; empty: the brief's",
        _EXACT,
        "own.uphill_side_slope",
    ),
    Column(
        "downhill_side_slope",
        "",
        "its own downhill ditch side, horizontal : vertical; empty: the brief's",
        _EXACT,
        "own.downhill_side_slope",
    ),
    Column("depth_m", "m", "its own dig depth at the stake; empty: sized", _EXACT, "own.depth_m"),
    Column("crest_width_m", "m", "its own crest width; empty: the brief's", _EXACT, "own.crest_width_m"),
    Column("freeboard_m", "m", "its own height of crest above sill; empty: the brief's", _EXACT, "own.freeboard_m"),
    Column("sill_length_m", "m", "its own sill length; empty: sized", _EXACT, "own.sill_length_m"),
    Column("sill_at_m", "m", "chainage of the middle of its sill; empty: found", _EXACT, "own.sill_at_m"),
    Column("planting", "", "whether its berm is planted; empty: it is", of="own.planting"),
    Column("stage", "", "season of building, from 1; empty: none set", of="own.stage"),
    Column("note", "", "the designer's own words", of="own.note"),
    Column("last_number", "", "highest number that any line of the project was given; a new line gets the next", 0),
    Column(
        "as_laid", "", "vertices, length [m], mean longitude and latitude of the shape; one that differs was edited"
    ),
)
"""Columns of the file of lines."""

_KINDS = {"planting": "boolean", "stage": "Int64", "last_number": "Int64"}
"""Kind of the columns that are neither numbers nor text, so that an empty one has the right field in a map program."""


def lines_layer(lines: Lines) -> geopandas.GeoDataFrame:
    """Lines as features, in their CRS.

    Parameters
    ----------
    lines : Lines
        The lines.

    Returns
    -------
    GeoDataFrame
        A LineString a line, with `LINE_COLUMNS`; a ring repeats its first vertex.

    Examples
    --------
    >>> import numpy as np
    >>> from pyproj import CRS
    >>> lines = Lines((), CRS.from_epsg(32630)).draw([[562_000.0, 4_132_000.0], [562_030.0, 4_132_001.0]], stage=2)
    >>> lines_layer(lines)[["name", "state", "stage"]].values.tolist()
    [['S1', 'drawn', 2]]
    """
    rows = [{column.name: _entry(column, line, lines) for column in LINE_COLUMNS} for line in lines.lines]
    shapes = [shapely.LineString(path_of(line.xy, closed=line.closed)) for line in lines.lines]
    names = [column.name for column in LINE_COLUMNS]
    layer = feature_layer(rows, shapes, lines.crs, kind="LineString", columns=names)
    kinds = {
        column.name: "float64" if column.decimals == _EXACT else _KINDS.get(column.name, "object")
        for column in LINE_COLUMNS
    }
    typed = layer.astype(kinds)
    typed.attrs = layer.attrs
    return typed


def write_lines(lines: Lines, path: str | Path) -> None:
    """Write lines to a file that `swalekit.read_lines`, the brief's ``[lines] file`` and any map program read.

    Parameters
    ----------
    lines : Lines
        The lines.
    path : str or Path
        GeoPackage (``.gpkg``), in the CRS of the lines and exact, or GeoJSON, in WGS 84 to a tenth of a millimetre.

    Examples
    --------
    >>> import tempfile, pyogrio
    >>> from pyproj import CRS
    >>> lines = Lines((), CRS.from_epsg(32630)).draw([[562_000.0, 4_132_000.0], [562_030.0, 4_132_001.0]])
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_lines(lines, Path(folder) / "lines.gpkg")
    ...     print(pyogrio.list_layers(Path(folder) / "lines.gpkg").tolist())
    [['lines', 'LineString']]
    """
    path, layer = Path(path), lines_layer(lines)
    if path.suffix.lower() == ".gpkg":
        path.unlink(missing_ok=True)
        write_layers({LINES_LAYER: layer}, path)
    else:
        write_geojson(layer, path, decimals=_DECIMALS)


def _entry(column: Column, line: DecidedLine, lines: Lines) -> object:
    if column.name == "as_laid":
        return LineMark.of(line.xy, closed=line.closed, crs=lines.crs).text
    if column.name == "last_number":
        return lines.next_number - 1
    return column.figure(line) or None if column.name == "note" else column.figure(line)
