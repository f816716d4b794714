"""The site: the brief and the ground it speaks of, everything a plan needs besides the terrain."""

from collections.abc import Callable
from dataclasses import dataclass, field, replace
from typing import Any, Self

import numpy as np
import shapely
from numpy.typing import NDArray
from pyproj import CRS, Transformer
from shapely.geometry.base import BaseGeometry

from swalekit.contours.keep_outs import KeepOut
from swalekit.design.brief import Brief, LevelsPart
from swalekit.hydrology.soil_zones import SoilZone

WGS84 = CRS.from_epsg(4326)


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
        Ground whose curve number differs from the brief's.
    crs : CRS
        Of the polygons; WGS 84 longitude and latitude as read from files.
    notes : tuple of str
        What was repaired or assumed on reading.
    """

    brief: Brief
    boundary: BaseGeometry | None = None
    keep_outs: tuple[KeepOut, ...] = ()
    soil_zones: tuple[SoilZone, ...] = ()
    crs: CRS = WGS84
    notes: tuple[str, ...] = field(default=())

    def in_crs(self, crs: CRS) -> Self:
        """The same site with its polygons in another CRS."""
        if crs == self.crs:
            return self
        move = _mover(self.crs, crs)
        return replace(
            self,
            boundary=None if self.boundary is None else move(self.boundary),
            keep_outs=tuple(replace(each, geometry=move(each.geometry)) for each in self.keep_outs),
            soil_zones=tuple(replace(each, geometry=move(each.geometry)) for each in self.soil_zones),
            crs=crs,
        )

    def with_levels(self, **values: Any) -> Self:
        """The same site with other levels asked for: keys of the brief's ``levels`` part, checked anew.

        A start level stays unless another is given.

        Examples
        --------
        >>> site = Site(Brief.model_validate({"terrain": {"file": "t.tif"}, "storm": {"depth_mm": 60},
        ...     "soil": {"curve_number": 81}, "levels": {"interval_m": 2, "start_m": 50}}))
        >>> site.with_levels(spacing_m=20).brief.levels
        LevelsPart(interval_m=None, spacing_m=20.0, levels_m=None, start_m=50.0)
        """
        levels = LevelsPart.model_validate({"start_m": self.brief.levels.start_m} | values)
        return replace(self, brief=self.brief.model_copy(update={"levels": levels}))


def _mover(source: CRS, target: CRS) -> Callable[[BaseGeometry], BaseGeometry]:
    transformer = Transformer.from_crs(source, target, always_xy=True)

    def move_points(xy: NDArray[np.float64]) -> NDArray[np.float64]:
        return np.column_stack(transformer.transform(xy[:, 0], xy[:, 1]))

    return lambda geometry: shapely.transform(geometry, move_points)
