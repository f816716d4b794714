"""Microcatchments as laid on the ground."""

from collections.abc import Sequence
from dataclasses import dataclass, fields
from functools import cached_property
from typing import Self

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit._checks import check_one_of, check_same_shape
from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.tables.microcatchments import KINDS

LOWEST, LEFT, HIGHEST, RIGHT = range(4)
"""Places of a unit's pegs: its lowest point, that on the left looking uphill, its highest, that on the right."""
_ARC_PARTS = 24

Values = NDArray[np.float64]


@one_line("kind", "size_m", "slope", "bund_m3", "held_m3")
@dataclass(frozen=True, eq=False)
class Units(Frozen):
    """Units of one kind, one after the other.

    Parameters
    ----------
    kind : str
        ``negarim`` or ``semi-circular``.
    size_m : ndarray of float64, shape (n,)
        Side of the square, or radius [m].
    block : ndarray of int64, shape (n,)
        Block that each belongs to, from 1: units of a block lie in straight rows and, if negarim, share their walls.
    pegs_m : ndarray of float64, shape (n, 4, 2)
        Lowest, left, highest and right corner of a square; the foot of the bow, the left tip, the middle between the
        tips and the right tip of a bund: easting and northing [m].
    levels_m : ndarray of float64, shape (n, 4)
        Height of the ground there [m].
    slope : ndarray of float64, shape (n,)
        Fall of the plane through the ground of the unit [m/m].
    unit_m2 : ndarray of float64, shape (n,)
        Ground whose rain each gathers, its own included [m²].
    bund_height_m : ndarray of float64, shape (n,)
        Greatest height of the bund above the ground [m].
    bund_m3, pit_m3 : ndarray of float64, shape (n,)
        Soil in its bund, walls that it shares counted once, and soil from its pit [m³].
    held_m3 : ndarray of float64, shape (n,)
        Water that it holds, with that of the pit [m³].
    trees : ndarray of int64, shape (n,)
        Trees that it waters.
    upper_walls : ndarray of bool, shape (n, 2)
        Whether its left and right upper wall are its own, since no unit above has them for its lower ones.

    Raises
    ------
    InputError
        If there is no such kind, or the arrays aren't of one length.
    """

    kind: str
    size_m: Values
    block: NDArray[np.int64]
    pegs_m: Values
    levels_m: Values
    slope: Values
    unit_m2: Values
    bund_height_m: Values
    bund_m3: Values
    pit_m3: Values
    held_m3: Values
    trees: NDArray[np.int64]
    upper_walls: NDArray[np.bool_]

    def __post_init__(self) -> None:
        check_one_of(KINDS, kind=self.kind)
        arrays = {field.name: getattr(self, field.name) for field in fields(self) if field.name != "kind"}
        check_same_shape(**{name: np.empty(len(array)) for name, array in arrays.items()})
        super().__post_init__()

    def __len__(self) -> int:
        """Number of units."""
        return len(self.size_m)

    @classmethod
    def none(cls, kind: str) -> Self:
        """No unit at all.

        Parameters
        ----------
        kind : str
            The kind.

        Returns
        -------
        Units
            Empty.

        Examples
        --------
        >>> len(Units.none("negarim"))
        0
        """
        empty = np.empty(0)
        whole = empty.astype(np.int64)
        return cls(
            kind, empty, whole, np.empty((0, 4, 2)), np.empty((0, 4)), *(empty,) * 6, whole, np.empty((0, 2), bool)
        )

    @classmethod
    def joined(cls, kind: str, parts: Sequence["Units"]) -> Self:
        """Units of several blocks as one, numbered on.

        Parameters
        ----------
        kind : str
            The kind.
        parts : sequence of Units
            Units of one block each, or of several.

        Returns
        -------
        Units
            All of them.

        Examples
        --------
        >>> len(Units.joined("negarim", [Units.none("negarim"), Units.none("negarim")]))
        0
        """
        if not parts:
            return cls.none(kind)
        names = [field.name for field in fields(cls) if field.name != "kind"]
        return cls(kind, **{name: np.concatenate([getattr(part, name) for part in parts]) for name in names})

    def chosen(self, which: NDArray[np.generic]) -> Self:
        """Some of the units, in the order given.

        Parameters
        ----------
        which : ndarray of bool or int
            Which ones.

        Returns
        -------
        Units
            Those.

        Examples
        --------
        >>> len(Units.none("negarim").chosen(np.empty(0, bool)))
        0
        """
        arrays = {field.name: getattr(self, field.name)[which] for field in fields(self) if field.name != "kind"}
        return type(self)(self.kind, **arrays)

    @cached_property
    def outlines(self) -> NDArray[np.object_]:
        """Square, or half disc, that each encloses, shape (n,)."""
        if self.kind == "negarim":
            return np.asarray(shapely.polygons(self.pegs_m))
        return np.asarray(shapely.polygons(self._arcs))

    @cached_property
    def bunds(self) -> NDArray[np.object_]:
        """Middle line of the bund that is each one's own, shape (n,)."""
        if self.kind == "semi-circular":
            return np.asarray(shapely.linestrings(self._arcs))
        ways = [
            pegs[[*([HIGHEST] if left else []), LEFT, LOWEST, RIGHT, *([HIGHEST] if right else [])]]
            for pegs, (left, right) in zip(self.pegs_m, self.upper_walls, strict=True)
        ]
        return np.array([shapely.LineString(way) for way in ways], dtype=object)

    @property
    def _arcs(self) -> Values:
        """Bow of each bund from the left tip to the right, shape (n, 25, 2)."""
        middle, across = self.pegs_m[:, HIGHEST], self.pegs_m[:, RIGHT] - self.pegs_m[:, HIGHEST]
        down = self.pegs_m[:, LOWEST] - middle
        angle = np.linspace(np.pi, 0.0, _ARC_PARTS + 1)[:, np.newaxis]
        return np.asarray(
            middle[:, np.newaxis] + np.cos(angle) * across[:, np.newaxis] + np.sin(angle) * down[:, np.newaxis]
        )

    @property
    def tip_difference_m(self) -> Values:
        """Level of the left peg less that of the right [m], shape (n,)."""
        return np.asarray(self.levels_m[:, LEFT] - self.levels_m[:, RIGHT])
