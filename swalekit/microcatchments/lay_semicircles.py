"""Semi-circular bunds laid out over open ground."""

from collections.abc import Sequence
from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_positive
from swalekit.frozen import Frozen
from swalekit.microcatchments.clash import without_clashes
from swalekit.microcatchments.fall import fall_blocks, fall_of
from swalekit.microcatchments.open_ground import OpenGround
from swalekit.microcatchments.places import (
    Block,
    Pattern,
    Planes,
    axes_of,
    is_open,
    outlines_at,
    place_rows,
    planes_at,
    spread,
)
from swalekit.microcatchments.semicircle import (
    half_base_m,
    half_disc_water_m3,
    row_pitch_m,
    semi_circular_height_m,
    semi_circular_m3,
    steepest_slope,
    tip_pitch_m,
)
from swalekit.microcatchments.sizing import trees_of_bund
from swalekit.microcatchments.units import HIGHEST, LEFT, LOWEST, RIGHT, Units
from swalekit.tables.microcatchments import SemiCircularRow
from swalekit.tables.values import site_limit
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.terrain import Terrain

_WINDOW = 3.0
"""Width over which the fall is read, in radii: our choice."""
_TURN_BEYOND = 10.0
"""A bund may be turned further than the fall of its block by this, to bring its tips on one level [°]."""
_TRIED = 41
_HALVINGS = 40
_RIM_PARTS = 24

Values = NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class _Laid(Frozen):
    """Bunds of one block and size."""

    size: SemiCircularRow
    pattern: Pattern
    middles: Values
    axes: Values
    planes: Planes


def lay_semicircles(
    ground: OpenGround,
    sizes: Sequence[SemiCircularRow],
    *,
    catchment_m2: float,
    turn_deg: float = 15.0,
    tip_tolerance_m: float = 0.02,
) -> Units:
    """Lay half moons over open ground in staggered rows, the tips of each on one level.

    Parameters
    ----------
    ground : OpenGround
        Where they may lie.
    sizes : sequence of SemiCircularRow
        Their published sizes, one at least, from that for the gentlest ground on: each takes the ground that is too
        steep for those before it. What is steeper than any is published for, if the ground's limit allows it, the
        first takes, whose bund is the lowest there, up to 1 m.
    catchment_m2 : float
        Catchment that a tree needs besides the ground that a bund encloses [m²].
    turn_deg : float
        Greatest turn of the fall from a block's own, beyond which another begins [°]: 5 to 30.
    tip_tolerance_m : float
        Greatest difference of level between the tips of a bund [m].

    Returns
    -------
    Units
        Block by block from the highest.

    Raises
    ------
    InputError
        If the turn or the tolerance can't be.

    Notes
    -----
    Rows lie across the mean fall of their block, as far apart as the published ratio of catchment to enclosed ground
    asks for. Each bund is then turned about the middle between its tips until both are on one level, read between
    cells. It is left out where that takes too much of a turn, where it would stand on another or on what the ground
    doesn't hold, and where its ground departs from a plane by more than 0.15 m, since these bunds want even ground.

    References
    ----------
    .. [1] Critchley & Siegert (1991). Water Harvesting, FAO AGL/MISC/17/91, semi-circular bunds; from memory.

    Examples
    --------
    >>> import shapely
    >>> from swalekit.microcatchments.sizing import semi_circular_choices
    >>> ground = OpenGround(terrain, shapely.box(*terrain.grid.bounds), terrain.grid.zeros(bool), greatest_slope=0.15)
    >>> units = lay_semicircles(ground, semi_circular_choices(70.0), catchment_m2=70.0)
    >>> set(units.size_m.tolist()), bool(np.abs(units.tip_difference_m).max() < 0.02)
    ({6.0}, True)
    """
    check_between(5.0, 30.0, turn_deg=turn_deg)
    check_positive(tip_tolerance_m=tip_tolerance_m)
    laid, gentlest = list[_Laid](), ground.least_slope
    if 0 in (part.stop - part.start for part in ground.window):
        return Units.none("semi-circular")
    for size, published in [*((size, size.greatest_slope_percent / 100.0) for size in sizes), (sizes[0], np.inf)]:
        steepest = min(published, ground.greatest_slope, steepest_slope(size))
        if gentlest < steepest:
            laid += _blocks(ground, size, (gentlest, steepest), turn_deg, tip_tolerance_m)
            gentlest = steepest
    laid = [block for block in laid if len(block.middles)]
    return _units(ground.terrain, laid, catchment_m2)


def _blocks(
    ground: OpenGround, size: SemiCircularRow, slopes: tuple[float, float], turn_deg: float, tolerance_m: float
) -> list[_Laid]:
    """Bunds of one size, block by block."""
    pattern = _pattern(size, ground.terrain.grid.cell_m, slopes[1])
    fall = fall_of(ground, width_m=_WINDOW * size.radius_m)
    suits = (fall.slope >= slopes[0]) & (fall.slope <= slopes[1]) & ~ground.taken[ground.window]
    least_m2 = np.pi * size.radius_m**2 / 2.0
    blocks = fall_blocks(fall, suits, turn_rad=np.radians(turn_deg), least_m2=least_m2)
    reach = np.radians(turn_deg + _TURN_BEYOND)
    return [_bunds(ground, size, pattern, place_rows(ground, fall.grid, block, pattern)[0], block, slopes=slopes,
                   reach=reach, tolerance_m=tolerance_m) for block in blocks]  # fmt: skip


def _pattern(size: SemiCircularRow, cell_m: float, steepest: float) -> Pattern:
    radius_m, at = size.radius_m, spread(2.0 * size.radius_m, cell_m)
    down, across = (part.ravel() for part in np.meshgrid(at, at, indexing="ij"))
    inside = (down > 0.0) & (np.hypot(down, across) <= radius_m)
    base_m = half_base_m(float(semi_circular_height_m(size, steepest)))
    angle = np.linspace(0.0, np.pi, _RIM_PARTS + 1)
    # the rim has as many corners as parts and lies wholly outside the bund
    bow = (radius_m + base_m) / np.cos(np.pi / _RIM_PARTS / 2.0) * np.column_stack([np.sin(angle), np.cos(angle)])
    rim = np.vstack([[-base_m, radius_m + base_m], bow, [-base_m, -radius_m - base_m]])
    return Pattern(row_pitch_m(size), tip_pitch_m(size), np.column_stack([down, across])[inside], rim)


def _bunds(
    ground: OpenGround,
    size: SemiCircularRow,
    pattern: Pattern,
    middles: Values,
    block: Block,
    *,
    slopes: tuple[float, float],
    reach: float,
    tolerance_m: float,
) -> _Laid:
    """Bunds of a block, each turned until its tips are level."""
    turned, level = _level_turn(ground.terrain, middles, size.radius_m, axes_of(block[2]), reach)
    axes = np.array([axes_of(block[2] + turn) for turn in turned]).reshape(-1, 2, 2)
    tips = _tips(middles, size.radius_m, axes)
    left, right = (sample_heights(ground.terrain, *tip.T) for tip in tips)
    planes = planes_at(ground.terrain, middles, pattern.points, axes)
    fit = level & (np.abs(left - right) <= tolerance_m) & (planes.rough_m <= site_limit("roughness").value)
    fit &= (planes.down >= slopes[0]) & (planes.slope <= slopes[1])
    fit[fit] = is_open(ground, middles[fit], pattern, axes[fit])
    return _Laid(size, pattern, middles[fit], axes[fit], Planes(**{k: value[fit] for k, value in vars(planes).items()}))


def _tips(middles: Values, radius_m: float, axes: Values) -> tuple[Values, Values]:
    """Left and right tip, looking uphill."""
    across = radius_m * axes[..., 1, :]
    return middles - across, middles + across


def _level_turn(
    terrain: Terrain, middles: Values, radius_m: float, axes: Values, reach: float
) -> tuple[Values, NDArray[np.bool_]]:
    """The least turn that brings both tips on one level, and whether there is one within reach."""
    if not len(middles):
        return np.empty(0), np.empty(0, bool)

    def difference(turn: Values) -> Values:
        """Left tip above the right one, for a turn of each."""
        cos, sin = np.cos(turn), np.sin(turn)
        across = radius_m * (cos[:, np.newaxis] * axes[1] - sin[:, np.newaxis] * axes[0])
        left, right = (sample_heights(terrain, *(middles + side * across).T) for side in (-1.0, 1.0))
        return np.asarray(left - right)

    tried = reach * np.linspace(-1.0, 1.0, _TRIED)
    found = np.column_stack([difference(np.full(len(middles), turn)) for turn in tried])
    crosses = found[:, :-1] * found[:, 1:] <= 0.0
    near = np.where(crosses, np.abs(tried[:-1] + tried[1:]), np.inf)
    at, some = near.argmin(axis=1), np.asarray(crosses.any(axis=1))
    low, high, start = tried[at], tried[at + 1], found[np.arange(len(middles)), at]
    for _ in range(_HALVINGS):
        middle = (low + high) / 2.0
        same = difference(middle) * start > 0.0
        low, high = np.where(same, middle, low), np.where(same, high, middle)
    return (low + high) / 2.0, some


def _units(terrain: Terrain, laid: list[_Laid], catchment_m2: float) -> Units:
    """Blocks from the highest, without bunds that clash, with what each takes and holds."""
    if not laid:
        return Units.none("semi-circular")
    rims = np.concatenate([outlines_at(block.middles, block.pattern.rim @ block.axes) for block in laid])
    kept = without_clashes(rims, np.arange(len(rims)))
    own = np.split(kept, np.cumsum([len(block.middles) for block in laid])[:-1])
    pairs = zip(laid, own, strict=True)
    blocks = [_block(terrain, block, catchment_m2).chosen(stays) for block, stays in pairs if stays.any()]
    blocks.sort(key=lambda units: -float(units.levels_m[:, HIGHEST].max()))
    numbered = [
        replace(units, block=np.full(len(units), number, np.int64)) for number, units in enumerate(blocks, start=1)
    ]
    return Units.joined("semi-circular", numbered)


def _block(terrain: Terrain, block: _Laid, catchment_m2: float) -> Units:
    """The bunds of one block, its number still to be given."""
    size, planes, count = block.size, block.planes, len(block.middles)
    left, right = _tips(block.middles, size.radius_m, block.axes)
    pegs = np.empty((count, 4, 2))
    pegs[:, LEFT], pegs[:, RIGHT], pegs[:, HIGHEST] = left, right, block.middles
    pegs[:, LOWEST] = block.middles + size.radius_m * block.axes[:, 0]
    levels = sample_heights(terrain, pegs[..., 0].ravel(), pegs[..., 1].ravel()).reshape(count, 4)
    height = semi_circular_height_m(size, planes.slope)
    half_disc_m2 = np.pi * size.radius_m**2 / 2.0
    return Units(
        kind="semi-circular",
        size_m=np.full(count, size.radius_m),
        block=np.zeros(count, np.int64),
        pegs_m=pegs,
        levels_m=levels,
        slope=planes.slope,
        unit_m2=np.full(count, (1.0 + size.catchment_ratio) * half_disc_m2),
        bund_height_m=height,
        bund_m3=semi_circular_m3(size.radius_m, height),
        pit_m3=np.zeros(count),
        held_m3=_held_m3(block, np.minimum(levels[:, LEFT], levels[:, RIGHT])),
        trees=np.full(count, trees_of_bund(size, catchment_m2), np.int64),
        upper_walls=np.zeros((count, 2), bool),
    )


def _held_m3(block: _Laid, spill_m: Values) -> Values:
    """Water below the lower tip: that on an even slope, and what the ground of each bund makes of it."""
    planes, points = block.planes, block.pattern.points
    even = planes.down[:, np.newaxis] * points[:, 0]
    more = np.maximum(spill_m[:, np.newaxis] - planes.heights_m, 0.0) - np.maximum(even, 0.0)
    half_disc_m2 = np.pi * block.size.radius_m**2 / 2.0
    water = half_disc_water_m3(block.size.radius_m, planes.down) + half_disc_m2 * more.mean(axis=1)
    return np.asarray(np.maximum(water, 0.0))
