"""The terrain beside points measured on it: a row a point, and the figures of all."""

from collections.abc import Iterator

from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.terrain.control import TerrainControl

TERRAIN_POINT_COLUMNS: tuple[Column, ...] = (
    Column("name", "", "name of the measured point, or its number in the file"),
    Column("easting_m", "m", "easting in the CRS of the project", 3),
    Column("northing_m", "m", "northing in the CRS of the project", 3),
    Column("measured_m", "m", "its height as measured", 3),
    Column("tile_m", "m", "height of the tile there before any correction, empty where it shows none", 3),
    Column("error_m", "m", "tile less measured height", 3),
    Column("left_m", "m", "what is left of that after the correction", 3),
    Column("verdict", "", "used, outlier, or outside: beyond the tile, beside a void or on ground drawn across"),
)


def terrain_point_rows(control: TerrainControl) -> list[dict[str, Entry]]:
    """Figures of every measured point by the names of `TERRAIN_POINT_COLUMNS`.

    Parameters
    ----------
    control : TerrainControl
        Tile and points.

    Returns
    -------
    list of dict
        A row a point, in the order of their file.

    Examples
    --------
    >>> import numpy as np
    >>> from swalekit.terrain import SurveyPoints, control_of
    >>> place = np.array([500050.0]), np.array([3999940.0])
    >>> control = control_of(terrain, SurveyPoints(np.arange(1), *place, np.array([106.02]), ("gate",)))
    >>> terrain_point_rows(control)[0]["error_m"], terrain_point_rows(control)[0]["verdict"]
    (-0.02, 'used')
    """
    points = control.points
    series = (points.easting_m, points.northing_m, points.height_m, control.tile_m, control.error_m, control.left_m)
    names = [column.name for column in TERRAIN_POINT_COLUMNS]
    rows = zip(points.description, *(part.tolist() for part in series), _verdicts(control), strict=True)
    return [row_of(dict(zip(names, row, strict=True)), TERRAIN_POINT_COLUMNS) for row in rows]


def terrain_figures(control: TerrainControl | None) -> dict[str, Entry]:
    """What the summary tells of a terrain's points: number, errors before, and what was taken out.

    Parameters
    ----------
    control : TerrainControl or None
        Tile and points, None where there are none.

    Returns
    -------
    dict of str to Entry
        By name; empty where there are no points.

    Examples
    --------
    >>> terrain_figures(None)
    {}
    """
    if control is None:
        return {}
    return {
        "points": control.used,
        "bias_m": round(control.bias_m, 3),
        "rmse_m": round(control.rmse_m, 3),
        "correction": "none" if control.taken_out is None else control.taken_out.kind,
    }


def _verdicts(control: TerrainControl) -> Iterator[str]:
    for used, outlier in zip(control.judged.tolist(), control.outlier.tolist(), strict=True):
        yield "used" if used else "outlier" if outlier else "outside"
