"""Layers of features: made of rows and shapes or of cells, written as GeoPackage and GeoJSON."""

import json
from collections.abc import Mapping, Sequence
from pathlib import Path
from types import MappingProxyType
from typing import Any

import geopandas
import numpy as np
import pyogrio
import rasterio.features
import shapely
from numpy.typing import NDArray
from pyproj import CRS
from shapely.geometry.base import BaseGeometry

from swalekit.grid import Grid

_FIXED_DATE = "2000-01-01T00:00:00.000Z"
"""Written in place of the time of day, so that the same design gives the same bytes."""
_DECIMALS = 7  # of degrees, about a centimetre


def feature_layer(
    rows: Sequence[Mapping[str, Any]] | None,
    shapes: Sequence[BaseGeometry],
    crs: CRS | str,
    *,
    kind: str,
    columns: Sequence[str] | None = None,
) -> geopandas.GeoDataFrame:
    """Features of one kind, which may be none.

    Parameters
    ----------
    rows : sequence of mapping or None
        Properties of each; None where they have none.
    shapes : sequence of shapely geometry
        Where each lies.
    crs : CRS or str
        Coordinate reference system.
    kind : str
        Their kind of geometry as a layer declares it, ``Unknown`` where it may be any.
    columns : sequence of str, optional
        Names of the properties; those of the rows when not given, of which there may be none.

    Returns
    -------
    GeoDataFrame
        Properties and geometries; its ``attrs`` name the kind of geometry.

    Examples
    --------
    >>> layer = feature_layer([{"swale": "S1"}], [shapely.Point(1.0, 2.0)], "EPSG:32630", kind="Point")
    >>> list(layer.columns), len(layer)
    (['swale', 'geometry'], 1)
    """
    frame = geopandas.GeoDataFrame(rows and list(rows), columns=columns, geometry=list(shapes), crs=crs)
    frame.attrs["geometry_type"] = kind
    return frame


def outlines_on(grid: Grid, numbers: NDArray[np.integer]) -> dict[int, shapely.MultiPolygon]:
    """Outlines of the cells of each number above zero, along the edges of cells.

    Parameters
    ----------
    grid : Grid
        Where the cells lie.
    numbers : ndarray of int, shape (rows, columns)
        Number of each cell.

    Returns
    -------
    dict of int to MultiPolygon
        Outlines by number, in the CRS of the grid.

    Examples
    --------
    >>> grid = Grid.from_corner((2, 2), cell_m=5.0)
    >>> {number: shape.area for number, shape in outlines_on(grid, np.array([[1, 1], [0, 2]], np.int32)).items()}
    {1: 50.0, 2: 25.0}
    """
    parts: dict[int, list[BaseGeometry]] = {}
    cells = {"mask": numbers > 0, "connectivity": 4, "transform": grid.transform}
    for ring, number in rasterio.features.shapes(numbers, **cells):
        parts.setdefault(int(number), []).append(shapely.geometry.shape(ring))
    return {number: _polygons(shapely.union_all(rings)) for number, rings in parts.items()}


def write_layers(frames: Mapping[str, geopandas.GeoDataFrame], path: str | Path, *, about: str = "") -> None:
    """Write layers by their names to a GeoPackage, empty ones too.

    Parameters
    ----------
    frames : mapping
        Name -> features, as from `feature_layer`.
    path : str or Path
        File to write.
    about : str
        What each layer says of itself, as the description in the table of contents.

    Examples
    --------
    >>> import tempfile
    >>> layer = feature_layer([{"swale": "S1"}], [shapely.Point(1.0, 2.0)], "EPSG:32630", kind="Point")
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     write_layers({"stakes": layer}, Path(folder) / "site.gpkg")
    ...     print(pyogrio.list_layers(Path(folder) / "site.gpkg").tolist())
    [['stakes', 'Point']]
    """
    pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": _FIXED_DATE})
    try:
        for name, frame in frames.items():
            pyogrio.write_dataframe(
                frame,
                path,
                layer=name,
                driver="GPKG",
                geometry_type=frame.attrs["geometry_type"],
                append=Path(path).exists(),
                promote_to_multi=False,
                layer_options={"DESCRIPTION": about} if about else {},
            )
    finally:
        pyogrio.set_gdal_config_options({"OGR_CURRENT_DATE": None})


def write_geojson(
    frame: geopandas.GeoDataFrame,
    path: str | Path,
    *,
    decimals: int = _DECIMALS,
    about: Mapping[str, str] = MappingProxyType({}),
) -> None:
    """Write a layer as GeoJSON by RFC 7946: WGS 84 longitude and latitude, for any web map or phone.

    Parameters
    ----------
    frame : GeoDataFrame
        Features, as from `feature_layer`.
    path : str or Path
        File to write.
    decimals : int
        Of the degrees; the seventh is about a centimetre.
    about : mapping of str to str
        What the file says of itself, as foreign members of the collection.

    Examples
    --------
    >>> layer = feature_layer([{"swale": "S1"}], [shapely.Point(1.0, 2.0)], "EPSG:4326", kind="Point")
    >>> write_geojson(layer, folder / "swales.geojson", about={"revision": "B"})
    >>> (folder / "swales.geojson").read_text(encoding="utf-8").splitlines()[:3]
    ['{', '"type": "FeatureCollection",', '"revision": "B",']
    """
    pyogrio.write_dataframe(
        frame,
        path,
        driver="GeoJSON",
        geometry_type=frame.attrs["geometry_type"],
        layer_options={"RFC7946": "YES", "COORDINATE_PRECISION": str(decimals), "WRITE_NAME": "NO"},
    )
    if about:
        first = '"type": "FeatureCollection",\n'
        said = "".join(f"{json.dumps(key)}: {json.dumps(text, ensure_ascii=False)},\n" for key, text in about.items())
        text = Path(path).read_text(encoding="utf-8")
        Path(path).write_text(text.replace(first, first + said, 1), encoding="utf-8")


def _polygons(geometry: BaseGeometry) -> shapely.MultiPolygon:
    parts = [part for part in shapely.get_parts(geometry) if isinstance(part, shapely.Polygon)]
    return shapely.MultiPolygon(parts)
