"""A first look through the points of a survey."""

from collections.abc import Sequence
from dataclasses import dataclass

from pyproj import CRS

from swalekit.errors import TerrainError
from swalekit.formats.terrain.footprint import Footprint, filled_squares
from swalekit.formats.terrain.las_file import open_cloud
from swalekit.formats.terrain.las_header import CloudHeader, read_cloud_header
from swalekit.formats.terrain.las_points import points_of

_SQUARE_M, _METRES_A_DEGREE = 0.25, 111_320.0

_NEVER_CLASSED = frozenset({0, 1})
"""Classes of points that nobody has classed."""


@dataclass(frozen=True, eq=False)
class Survey:
    """What a first look at all points found.

    Parameters
    ----------
    name : str
        File or folder as the user gave it.
    clouds : tuple of CloudHeader
        Its files.
    ground : Footprint
        Of the points classed as ground, or of all that may be where none is.
    classed : bool
        Whether points are classed as ground.
    """

    name: str
    clouds: tuple[CloudHeader, ...]
    ground: Footprint
    classed: bool

    @property
    def n_points(self) -> int:
        """Points of every class."""
        return sum(cloud.n_points for cloud in self.clouds)


def survey_clouds(name: str, files: Sequence[str], *, crs: CRS | None, vertical_unit: str | None) -> Survey:
    """Look once through all points: where they lie, and whether some are classed as ground.

    Parameters
    ----------
    name : str
        File or folder as the user gave it.
    files : sequence of str
        Its LAS or LAZ files.
    crs : CRS or None
        Taken for files that name none.
    vertical_unit : str or None
        ``m``, ``ft`` or ``us-ft``; goes before what a file says.

    Returns
    -------
    Survey
        What was found.

    Raises
    ------
    TerrainError
        If a file can't be read, the files don't go together, or no point can be used.

    Examples
    --------
    >>> survey_clouds("hill.laz", ["hill.laz"], crs=None, vertical_unit=None).classed
    Traceback (most recent call last):
        ...
    swalekit.errors.TerrainError: terrain 'hill.laz' does not exist; check the path
    """
    clouds = _headers(files, crs=crs, vertical_unit=vertical_unit)
    own = clouds[0].crs
    unit_m = own.axis_info[0].unit_conversion_factor if own.is_projected else _METRES_A_DEGREE
    ground = rest = Footprint(_SQUARE_M / unit_m)
    unclassed = []
    for cloud in clouds:
        classes_seen: set[int] = set()
        with open_cloud(cloud.name) as reader:
            for points in points_of(reader, cloud):
                ground = ground.with_points(points.x[points.ground], points.y[points.ground])
                if not ground.n_points:
                    rest = rest.with_points(points.x, points.y)
                classes_seen.update(points.classes)
        if classes_seen and classes_seen <= _NEVER_CLASSED:
            unclassed.append(cloud.name)
    if ground.n_points and unclassed:
        message = (
            f"terrain '{unclassed[0]}' is not classified, and other files of '{name}' are: classify its ground "
            "(class 2) too, or leave it out"
        )
        raise TerrainError(message)
    if not ground.n_points and not rest.n_points:
        message = (
            f"terrain '{name}' holds no usable point: all {sum(cloud.n_points for cloud in clouds):,} are noise, "
            "withheld or at no possible height; check its classes and vertical_unit"
        )
        raise TerrainError(message)
    return Survey(name, clouds, filled_squares(ground if ground.n_points else rest), ground.n_points > 0)


def _headers(files: Sequence[str], *, crs: CRS | None, vertical_unit: str | None) -> tuple[CloudHeader, ...]:
    """What the files say about themselves, which has to go together."""
    headers = []
    for file in files:
        with open_cloud(file) as reader:
            headers.append(read_cloud_header(reader, file, crs=crs, vertical_unit=vertical_unit))
    first = headers[0]
    for header in headers[1:]:
        if not header.crs.equals(first.crs, ignore_axis_order=True):
            message = (
                f"terrain '{header.name}' is in {header.crs.name}, '{first.name}' in {first.crs.name}; point clouds of "
                "one folder must share their CRS: bring them to one first"
            )
            raise TerrainError(message)
    return tuple(headers)
