"""The error of a height that is usual for terrain of its kind."""

from swalekit.tables.load import TableRow
from swalekit.tables.values import terrain_accuracy

_KIND_BY_CELL = ((2.0, "lidar"), (12.0, "national model"), (45.0, "glo-30"), (float("inf"), "srtm"))
"""Widest cell [m], and the kind of terrain model that cells up to that width are taken for; common practice."""

_KIND_BY_SPACING = ((2.0, "lidar"), (float("inf"), "lidar ql3"))
"""Distance between the points of a cloud [m], and the kind of survey that it is taken for; common practice."""


def usual_error(spacing_m: float, *, clouds: bool = False) -> tuple[str, TableRow]:
    """Standard error of a height that is usual for cells or points so far apart.

    Parameters
    ----------
    spacing_m : float
        Side of the cells, or distance between the points [m].
    clouds : bool
        Whether they are points of a cloud.

    Returns
    -------
    kind : str
        The kind of terrain model or survey that they are taken for.
    row : TableRow
        The standard error [m], with its source.

    Examples
    --------
    >>> kind, row = usual_error(1.0)
    >>> kind, row.value
    ('lidar', 0.1)
    """
    kinds = _KIND_BY_SPACING if clouds else _KIND_BY_CELL
    kind = next(kind for widest_m, kind in kinds if spacing_m <= widest_m)
    return kind, terrain_accuracy(kind)
