"""Negarim laid out over open ground."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_not_negative
from swalekit.frozen import Frozen
from swalekit.microcatchments.clash import without_clashes
from swalekit.microcatchments.fall import fall_blocks, fall_of
from swalekit.microcatchments.negarim import bund_half_base_m, bund_height_m, corner_water_m3, steepest_slope, wall_m3
from swalekit.microcatchments.open_ground import OpenGround
from swalekit.microcatchments.places import Pattern, Planes, axes_of, outlines_at, place_rows, planes_at, spread
from swalekit.microcatchments.units import HIGHEST, LEFT, LOWEST, RIGHT, Units
from swalekit.tables.microcatchments import NegarimRow
from swalekit.terrain.sample import sample_heights

_WINDOW = 2.0
"""Width over which the fall is read, in diagonals of a unit: our choice."""
_GREATEST_SKEW = np.radians(40.0)
"""The plane of a unit falls no further than this off its diagonal, so that the pit is at the lowest corner."""

Values = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class _Laid(Frozen):
    """Places of the units of one block."""

    middles: Values
    places: NDArray[np.int64]
    axes: Values
    planes: Planes


def lay_negarim(ground: OpenGround, size: NegarimRow, *, turn_deg: float = 15.0, freeboard_m: float = 0.10) -> Units:
    """Lay squares on their corner over open ground, in blocks that each fall one way.

    Parameters
    ----------
    ground : OpenGround
        Where they may lie.
    size : NegarimRow
        Their published size.
    turn_deg : float
        Greatest turn of the fall from a block's own, beyond which another begins [°]: 5 to 30.
    freeboard_m : float
        Crest of the bund at the lowest corner above the water held [m].

    Returns
    -------
    Units
        Block by block from the highest, row by row within a block.

    Raises
    ------
    InputError
        If the turn or the freeboard can't be.

    Notes
    -----
    In a block the squares stand edge to edge, their diagonals along its mean fall, so that neighbours share their
    walls; a wall that no neighbour has is the unit's own, so that each is banked all round. A unit is left out where it
    touches what the ground doesn't hold, where its own plane is steeper or gentler than the ground's limits or falls
    more than 40° off the diagonal, and where its bund would be higher than any published.

    Water is counted below a level of ``freeboard_m`` under the crest, over the ground as read at the points of each
    unit, and exactly on a plane.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, negarim; from memory.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.tables.microcatchments import negarim_sizes
    >>> ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool), greatest_slope=0.15)
    >>> units = lay_negarim(ground, negarim_sizes()[0])
    >>> len(units) > 900, float(units.bund_height_m[0]), units.block.max()
    (True, 0.45, np.int64(1))
    """
    check_between(5.0, 30.0, turn_deg=turn_deg)
    check_not_negative(freeboard_m=freeboard_m)
    pattern, laid = _pattern(size, ground), list[_Laid]()
    if 0 in (part.stop - part.start for part in ground.window):
        return Units.none("negarim")
    fall = fall_of(ground, width_m=_WINDOW * np.sqrt(2.0) * size.side_m)
    suits = (fall.slope >= ground.least_slope) & (fall.slope <= ground.greatest_slope) & ~ground.taken[ground.window]
    for block in fall_blocks(fall, suits, turn_rad=np.radians(turn_deg), least_m2=size.side_m**2):
        middles, places = place_rows(ground, fall.grid, block, pattern)
        if len(middles):
            axes = axes_of(block[2])
            planes = planes_at(ground.terrain, middles, pattern.points, axes)
            fit = _fits(planes, ground, size)
            laid.append(_Laid(middles[fit], places[fit], axes, _chosen(planes, fit)))
    return _units(ground, size, pattern, [block for block in laid if len(block.middles)], freeboard_m)


def _pattern(size: NegarimRow, ground: OpenGround) -> Pattern:
    half = np.sqrt(0.5)
    at = spread(size.side_m, ground.terrain.grid.cell_m)
    one, other = (part.ravel() for part in np.meshgrid(at, at, indexing="ij"))
    highest_m = float(bund_height_m(size.side_m, min(ground.greatest_slope, steepest_slope(size.side_m))))
    reach = (size.side_m / 2.0 + bund_half_base_m(highest_m)) / half
    rim = reach * np.array([[1.0, 0.0], [0.0, -1.0], [-1.0, 0.0], [0.0, 1.0]])
    points = half * np.column_stack([one + other, one - other])
    return Pattern(size.side_m * half, size.side_m / half, points, rim)


def _fits(planes: Planes, ground: OpenGround, size: NegarimRow) -> NDArray[np.bool_]:
    """Whether the plane of each unit suits: known, neither too steep nor too gentle, falling to the pit's corner."""
    slope, skew = planes.slope, np.abs(np.arctan2(planes.across, planes.down))
    within = (slope >= ground.least_slope) & (slope <= ground.greatest_slope) & (skew <= _GREATEST_SKEW)
    return np.asarray(within & (planes.down <= steepest_slope(size.side_m)))


def _chosen(planes: Planes, which: NDArray[np.bool_]) -> Planes:
    return Planes(**{name: value[which] for name, value in vars(planes).items()})


def _units(ground: OpenGround, size: NegarimRow, pattern: Pattern, laid: list[_Laid], freeboard_m: float) -> Units:
    """Blocks from the highest, without units that clash, with what each takes and holds."""
    if not laid:
        return Units.none("negarim")
    group = np.repeat(np.arange(len(laid)), [len(block.middles) for block in laid])
    rims = np.concatenate([outlines_at(block.middles, pattern.rim @ block.axes) for block in laid])
    kept = np.split(without_clashes(rims, group), np.cumsum([len(block.middles) for block in laid])[:-1])
    pairs = zip(laid, kept, strict=True)
    left = [
        replace(block, middles=block.middles[own], places=block.places[own], planes=_chosen(block.planes, own))
        for block, own in pairs
        if own.any()
    ]
    left.sort(key=lambda block: -float(block.planes.middle_m.max()))
    return Units.joined(
        "negarim",
        [_block(ground, size, pattern, block, number, freeboard_m) for number, block in enumerate(left, start=1)],
    )


def _block(
    ground: OpenGround, size: NegarimRow, pattern: Pattern, block: _Laid, number: int, freeboard_m: float
) -> Units:
    """The units of one block."""
    planes, count, half_m = block.planes, len(block.middles), size.side_m * np.sqrt(0.5)
    corners = np.empty((4, 2))
    corners[[LOWEST, LEFT, HIGHEST, RIGHT]] = half_m * np.array([[1.0, 0.0], [0.0, -1.0], [-1.0, 0.0], [0.0, 1.0]])
    pegs = block.middles[:, np.newaxis] + corners @ block.axes
    height = bund_height_m(size.side_m, planes.down)
    upper = _upper_walls(block.places)
    return Units(
        kind="negarim",
        size_m=np.full(count, size.side_m),
        block=np.full(count, number, np.int64),
        pegs_m=pegs,
        levels_m=sample_heights(ground.terrain, pegs[..., 0].ravel(), pegs[..., 1].ravel()).reshape(count, 4),
        slope=planes.slope,
        unit_m2=np.full(count, size.side_m**2),
        bund_height_m=height,
        bund_m3=_bund_m3(size, planes.level_m(corners), height, upper),
        pit_m3=np.full(count, size.pit_m3),
        held_m3=size.pit_m3 + _held_m3(size, pattern, planes, height - freeboard_m),
        trees=np.ones(count, np.int64),
        upper_walls=upper,
    )


def _upper_walls(places: NDArray[np.int64]) -> NDArray[np.bool_]:
    """Whether a unit has no neighbour above its left and its right upper wall."""
    taken = set(map(tuple, places.tolist()))
    return np.array([[(row - 1, at - 1) not in taken, (row - 1, at + 1) not in taken] for row, at in places.tolist()])


def _bund_m3(size: NegarimRow, corner_m: Values, height: Values, upper: NDArray[np.bool_]) -> Values:
    """Soil in both lower walls of each unit and in upper ones of its own."""
    rise = corner_m - corner_m[:, [LOWEST]]
    lower = sum(wall_m3(size.side_m, height, rise[:, LOWEST], rise[:, side]) for side in (LEFT, RIGHT))
    above = np.column_stack([wall_m3(size.side_m, height, rise[:, side], rise[:, HIGHEST]) for side in (LEFT, RIGHT)])
    return np.asarray(lower + (above * upper).sum(axis=1))


def _held_m3(size: NegarimRow, pattern: Pattern, planes: Planes, depth_m: Values) -> Values:
    """Water above the ground of each unit: that on an even slope, and what its own ground makes of it."""
    half_m, down = size.side_m * np.sqrt(0.5), planes.down
    lowest = planes.middle_m - half_m * down
    level = (lowest + depth_m)[:, np.newaxis]
    even = planes.middle_m[:, np.newaxis] - down[:, np.newaxis] * pattern.points[:, 0]
    more = np.maximum(level - planes.heights_m, 0.0) - np.maximum(level - even, 0.0)
    water = corner_water_m3(depth_m, size.side_m, down) + size.side_m**2 * more.mean(axis=1)
    return np.asarray(np.where(depth_m > 0.0, np.maximum(water, 0.0), 0.0))
