"""The designer's lines from a file: one that a plan wrote, edited or not, or strokes from a map program or a phone."""

import hashlib
from collections.abc import Iterable, Sequence
from dataclasses import replace
from pathlib import Path

import numpy as np
import shapely
from pyproj import CRS

from swalekit.design.brief.decided_lines import DRAWN, DROPPED, HELD, Lines
from swalekit.errors import GeometryError
from swalekit.formats.exchange.lines_layer import LINES_LAYER
from swalekit.formats.inputs.layer_file import read_layer
from swalekit.formats.inputs.line_feature import LineFeature, columns_read, line_feature
from swalekit.formats.local_file import local_file

_POINTS = (0, 4)
"""Numbers of the types of geometry that are points, one and several."""
_LISTED = 8


def read_lines(path: str | Path) -> tuple[Lines, tuple[str, ...]]:
    """Read the designer's lines.

    Parameters
    ----------
    path : str or Path
        GeoPackage, GeoJSON (WGS 84 where it names no CRS), Shapefile, KML, KMZ or GPX file on this machine; of several
        layers the one called ``lines``. Its columns are those that `swalekit.write_lines` writes; any may be missing.

    Returns
    -------
    lines : Lines
        In the CRS of the file, vertices to the bit. A line without a state was added by hand and is drawn; one without
        a name gets the next number. One that was proposed, and has another shape than it was laid in, is drawn. Of the
        pieces of a line that was split the longest keeps the name.
    notes : tuple of str
        What was taken for edited, added or split, one sentence each.

    Raises
    ------
    GeometryError
        If the file can't be used: in one line which feature, why, and the way out.

    Examples
    --------
    >>> import tempfile
    >>> stroke = shapely.to_geojson(shapely.LineString([(-3.0, 40.0), (-3.0, 40.001)]))
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     path = Path(folder) / "strokes.geojson"
    ...     _ = path.write_text(f'{{"type": "Feature", "properties": {{"stage": 2}}, "geometry": {stroke}}}')
    ...     lines, notes = read_lines(path)
    >>> lines.lines
    (DecidedLine(S1, drawn, OwnSettings(stage 2)),)
    >>> [note.partition(": ")[2] for note in notes]
    ['taken as drawn, since without a state: S1']
    """
    file = f"lines '{path}'"
    features, crs, notes = _features(path, file)
    digest = hashlib.sha256(Path(path).read_bytes()).hexdigest()
    titled, more = _titled(features, file)
    lines = Lines((), crs, file, digest, last_number=max(feature.last_number for feature in features))
    for feature, name in titled:  # a name that isn't there yet is the next number, above all that are
        lines = replace(lines, lines=(*lines.lines, replace(feature.line, name=name)))
    return lines, (*notes, *more, *_told(file, titled))


def _features(path: str | Path, file: str) -> tuple[list[LineFeature], CRS, tuple[str, ...]]:
    """Features of a file that have a shape, their CRS, and what was left out."""
    layer = read_layer(local_file(path, what="lines", error=GeometryError), file, LINES_LAYER)
    if layer.crs is None:
        message = f"{file} has no coordinate reference system; export it with one, or as GeoJSON in WGS 84"
        raise GeometryError(message)
    crs, columns = CRS(layer.crs), columns_read(layer.columns)
    shapes = layer.geometries
    shaped = ~(shapely.is_missing(shapes) | shapely.is_empty(shapes))
    points = shaped & np.isin(shapely.get_type_id(shapes), _POINTS)
    wanted = np.flatnonzero(shaped & ~points)
    if not wanted.size:
        held = "points and no lines" if points.any() else "no lines"
        message = f"{file} holds {held}; draw at least one line, or take [lines] file out of the brief"
        raise GeometryError(message)
    notes = [
        f"{file}: {np.sum(left)} of {len(shapes)} features {why} and were left out"
        for left, why in ((~shaped, "have no geometry"), (points, "are points"))
        if left.any()
    ]
    features = [
        line_feature(
            int(i) + 1,
            shapes[i],
            {ours: layer.columns[theirs][i] for ours, theirs in columns.items()},
            crs=crs,
            file=file,
        )
        for i in wanted
    ]
    return features, crs, tuple(notes)


def _titled(features: Sequence[LineFeature], file: str) -> tuple[list[tuple[LineFeature, str]], tuple[str, ...]]:
    """Features with the name of each, no name twice, and what is told of names that were."""
    keepers, notes = {}, []
    for name in dict.fromkeys(feature.name for feature in features if feature.name):
        alike = [feature for feature in features if feature.name == name]
        keepers[name] = _keeper(alike, file)
    known = tuple(keeper.line for keeper in keepers.values())
    last_number = max(feature.last_number for feature in features)
    next_number = Lines(known, CRS.from_epsg(4326), last_number=last_number).next_number
    titled = []
    for feature in features:
        keeps = keepers.get(feature.name) is feature
        titled.append((feature, feature.name if keeps else f"S{next_number}"))
        next_number += not keeps
    for name, keeper in keepers.items():
        others = [title for feature, title in titled if feature.name == name and feature is not keeper]
        if others and keeper.marked:
            notes.append(f"{file}: {name} was split; the longest piece keeps the name, the rest is {_listed(others)}")
        elif others:
            notes.append(
                f"{file}: several lines are called '{name}'; the first keeps the name, the rest is {_listed(others)}"
            )
    return titled, tuple(notes)


def _keeper(alike: Sequence[LineFeature], file: str) -> LineFeature:
    """Which of the features of one name keeps it: the longest piece of a line that was split, the first of strokes."""
    if all(feature.edited for feature in alike):
        return max(alike, key=lambda feature: feature.length)
    if len(alike) > 1 and any(feature.stated or feature.marked for feature in alike):
        numbers = " and ".join(str(feature.number) for feature in alike)
        message = (
            f"{file}: features {numbers} are both called {alike[0].name}; empty the name of the one that isn't, which "
            "then gets the next number"
        )
        raise GeometryError(message)
    return alike[0]


def _told(file: str, titled: Sequence[tuple[LineFeature, str]]) -> Iterable[str]:
    """What was made of features that say no state, or whose shape is another than their line was laid in."""
    drawn = [(feature, name) for feature, name in titled if feature.line.state == DRAWN]
    changed = [name for feature, name in drawn if feature.edited]
    added = [name for feature, name in drawn if not (feature.stated or feature.edited)]
    kept = [name for feature, name in titled if feature.edited and feature.line.state in (HELD, DROPPED)]
    if changed:
        yield f"{file}: taken as drawn, since edited after they were laid: {_listed(changed)}"
    if kept:
        yield f"{file}: edited after they were laid, and {HELD} or {DROPPED} all the same: {_listed(kept)}"
    if added:
        yield f"{file}: taken as drawn, since without a state: {_listed(added)}"
    for feature, name in titled:
        place_m = feature.line.own.sill_at_m
        if feature.edited and place_m is not None:
            yield f"{file}: {name} was edited, and its sill_at_m of {place_m:g} m counts from where it begins now"


def _listed(names: Sequence[str]) -> str:
    """Names, the first of many."""
    more = len(names) - _LISTED
    return ", ".join(names[:_LISTED]) + (f" and {more} more" if more > 0 else "")
