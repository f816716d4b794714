"""What tells whether a line was edited since it was laid: a few figures of its shape that outlast a change of CRS."""

from dataclasses import dataclass
from math import cos, hypot, isfinite, radians, sqrt
from typing import Self

import numpy as np
from numpy.typing import NDArray
from pyproj import CRS, Geod, Transformer

from swalekit._one_line import one_line

_WGS84 = CRS.from_epsg(4326)
_ELLIPSOID = Geod(ellps="WGS84")
_DEGREE_M = 111_320.0
_ROUNDING_M = 0.02
"""A vertex written in degrees to seven decimals, as many programs do, is off by up to a centimetre."""
_LENGTH_SHARE = 1e-4
"""Such vertices lengthen a line a little."""


@one_line("vertices", "length_m", "longitude", "latitude")
@dataclass(frozen=True)
class LineMark:
    """Figures of a line that stay when it is written in another CRS, to fewer digits, or the other way round.

    Parameters
    ----------
    vertices : int
        Their number; a closed line's first counts once.
    length_m : float
        Length on the ellipsoid [m].
    longitude, latitude : float
        Means over the vertices [°].
    """

    vertices: int
    length_m: float
    longitude: float
    latitude: float

    @classmethod
    def of(cls, xy: NDArray[np.float64], *, closed: bool, crs: CRS) -> Self:
        """The mark of a line.

        Parameters
        ----------
        xy : ndarray of float64, shape (n, 2)
            Easting and northing, or longitude and latitude; a closed line doesn't repeat its first vertex.
        closed : bool
            Whether the last vertex is joined to the first.
        crs : CRS
            Of the vertices.

        Returns
        -------
        LineMark
            Its figures; the position isn't finite where the CRS has no such place.

        Examples
        --------
        >>> LineMark.of(np.array([[-2.0, 37.0], [-2.0, 37.001]]), closed=False, crs=CRS.from_epsg(4326)).text
        '2 110.978 -2.0000000000 37.0005000000'
        """
        degrees = np.column_stack(Transformer.from_crs(crs, _WGS84, always_xy=True).transform(*xy.T))
        walked = np.vstack([degrees, degrees[:1]]) if closed else degrees
        length_m = round(float(_ELLIPSOID.line_length(*walked.T)), 3)
        longitude, latitude = (round(float(mean), 10) for mean in degrees.mean(axis=0))
        return cls(len(xy), length_m, longitude, latitude)

    @classmethod
    def from_text(cls, text: object) -> Self | None:
        """The mark that a text holds.

        Parameters
        ----------
        text : object
            As `text` gives it.

        Returns
        -------
        LineMark or None
            None where it isn't one.

        Examples
        --------
        >>> LineMark.from_text("2 111.0 -2.0000000000 37.0005000000")
        LineMark(vertices 2, length 111 m, longitude -2, latitude 37)
        >>> LineMark.from_text("laid by hand") is None
        True
        """
        words = text.split() if isinstance(text, str) else []
        try:
            vertices, (length_m, longitude, latitude) = int(words[0]), map(float, words[1:])
        except (IndexError, ValueError):
            return None
        return cls(vertices, length_m, longitude, latitude)

    @property
    def text(self) -> str:
        """The figures one after the other."""
        return f"{self.vertices} {self.length_m:.3f} {self.longitude:.10f} {self.latitude:.10f}"

    def is_of(self, other: Self) -> bool:
        """Whether two marks are those of one shape, but for the rounding of its vertices.

        Parameters
        ----------
        other : LineMark
            The other.

        Returns
        -------
        bool
            False from about a hand's breadth at one vertex of a hundred.

        Notes
        -----
        Rounding errors of n vertices move their mean by 1/√n of one, and an edit of one vertex moves it by 1/n of that.

        Examples
        --------
        >>> utm, xy = CRS.from_epsg(32630), np.array([[562_000.0, 4_132_000.0], [562_030.0, 4_132_001.0]])
        >>> laid = LineMark.of(xy, closed=False, crs=utm)
        >>> [laid.is_of(LineMark.of(xy + [[by, 0.0], [0.0, 0.0]], closed=False, crs=utm)) for by in (0.005, -1.0)]
        [True, False]
        """
        east_m = (self.longitude - other.longitude) * _DEGREE_M * cos(radians(self.latitude))
        moved_m = hypot(east_m, (self.latitude - other.latitude) * _DEGREE_M)
        near = isfinite(moved_m) and moved_m <= _ROUNDING_M / sqrt(max(self.vertices, 1))
        like = abs(self.length_m - other.length_m) <= _ROUNDING_M + _LENGTH_SHARE * self.length_m
        return self.vertices == other.vertices and near and like
