"""From swales to stakes, and to the numbered points that an instrument takes."""

from collections import Counter
from collections.abc import Iterator, Sequence

import numpy as np
import shapely
from numpy.typing import NDArray

from swalekit.errors import InputError
from swalekit.kernels.section_nodes import DOWNHILL_TOE, UPHILL_LIP
from swalekit.section.footprint import works_footprint
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.places import StakeRules, stake_places
from swalekit.staking.stake import Benchmark, OffsetStake, Stake, Stakeout, downhill_number, stake_number, uphill_number
from swalekit.terrain.sample import sample_heights
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.terrain.terrain import Terrain

Values = NDArray[np.float64]

_ON_ROADWAY_M = 0.05
"""A stake so near its edge stands on it."""


def stake_out(
    swales: Sequence[LaidSwale],
    terrain: Terrain,
    *,
    rules: StakeRules | None = None,
    benchmark: Benchmark | None = None,
) -> Stakeout:
    """Stake every swale of a site.

    Parameters
    ----------
    swales : sequence of LaidSwale
        What is to be built.
    terrain : Terrain
        The natural ground, in the CRS of the lines.
    rules : StakeRules, optional
        Where stakes go.
    benchmark : Benchmark, optional
        What heights are also given against.

    Returns
    -------
    Stakeout
        Stakes by swale and along each line, with their offset stakes.

    Raises
    ------
    InputError
        If two swales have one number or name, or a line has more stakes than there are numbers.

    Notes
    -----
    Heights at a stake lie between those of the line's stations. The offset stakes stand on the normal to the line: a
    margin above the ditch's uphill lip, and a margin below the berm's downhill toe, on the plane ground of the section.
    On the roadway of a crossing the floor is a ford's, or the ground's, which isn't dug under a bank, and the crest the
    bank's top. A stake's place is uncertain by σ_z / s, with s the cross slope there.

    Examples
    --------
    >>> from swalekit.contours import LevelLine
    >>> from swalekit.grid import Grid
    >>> from swalekit.section import Section, ShapedSwale, Stations
    >>> grid = Grid.from_corner((40, 40), cell_m=1.0, west_m=-10.0, north_m=20.0)
    >>> ground = Terrain.from_heights(np.repeat(11.95 - 0.1 * np.arange(40.0)[:, None], 40, axis=1), grid)
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> swale = LaidSwale("S1", 1, line, shape, sill_chainage_m=15.0, sill_length_m=4.0)
    >>> [stake.chainage_m for stake in stake_out([swale], ground).stakes]
    [0.0, 10.0, 13.0, 15.0, 17.0, 20.0]
    """
    for what, names in (("number", [str(swale.number) for swale in swales]), ("name", [swale.id for swale in swales])):
        name, count = Counter(names).most_common(1)[0] if names else ("", 0)
        if count > 1:
            message = f"{count} swales have the {what} '{name}'; give each its own, since point numbers follow from it"
            raise InputError(message)
    rules = StakeRules() if rules is None else rules
    works = shapely.union_all([works_footprint(swale.line, swale.shape) for swale in swales])
    shapely.prepare(works)
    stakes = [stake for swale in swales for stake in _stakes(swale, terrain, works, rules)]
    return Stakeout(tuple(swales), tuple(stakes), benchmark, terrain.grid.crs)


def _stakes(swale: LaidSwale, terrain: Terrain, works: shapely.Geometry, rules: StakeRules) -> list[Stake]:
    """Stakes of one swale."""
    line, shape = swale.line, swale.shape
    places = stake_places(swale, rules)
    chainage = np.array([place for place, _ in places])
    xy = line.at(line.xy.T, chainage).T
    ground = line.at(line.ground_m, chainage)
    floor, crest = ground - np.maximum(ground - shape.floor_level_m, 0.0), np.full(len(places), shape.crest_level_m)
    for crossing in shape.crossings:
        away_m = np.abs(chainage - crossing.place.chainage_m)
        away_m = away_m if swale.round_m is None else np.minimum(away_m, swale.round_m - away_m)
        on_it = away_m <= crossing.place.width_m / 2.0 + _ON_ROADWAY_M
        floor[on_it] = np.minimum(ground[on_it], crossing.floor_m) if crossing.is_ford else ground[on_it]
        crest[on_it] = crossing.top_m
    sigma = terrain.sigma_at(*xy.T) / line.at(line.cross_slope, chainage)
    numbers = [stake_number(swale.number, place + 1) for place in range(len(places))]
    uphill_m, downhill_m = _offsets_m(swale, chainage, rules.margin_m)
    uphill = _offset_stakes(swale, chainage, uphill_m, [uphill_number(number) for number in numbers], terrain, works)
    downhill = _offset_stakes(
        swale, chainage, downhill_m, [downhill_number(number) for number in numbers], terrain, works
    )
    first_m, last_m = swale.sill_span_m
    return [
        Stake(
            number=numbers[k],
            swale=swale.id,
            chainage_m=float(chainage[k]),
            x_m=float(xy[k, 0]),
            y_m=float(xy[k, 1]),
            ground_m=float(ground[k]),
            floor_m=float(floor[k]),
            crest_m=float(crest[k]),
            sill_m=shape.sill_level_m if "sill" in mark or first_m < chainage[k] < last_m else None,
            mark=mark,
            position_sigma_m=float(sigma[k]),
            uphill=uphill[k],
            downhill=downhill[k],
        )
        for k, (_, mark) in enumerate(places)
    ]


def _offsets_m(swale: LaidSwale, chainage_m: Values, margin_m: float) -> tuple[Values, Values]:
    """Distances downhill of the line at which the two rows of offset stakes stand, the first negative."""
    lip, toe = swale.line.at(swale.shape.nodes[0][[UPHILL_LIP, DOWNHILL_TOE]], chainage_m)
    return lip - margin_m, toe + margin_m


def _offset_stakes(
    swale: LaidSwale,
    chainage_m: Values,
    downhill_m: Values,
    numbers: Sequence[int],
    terrain: Terrain,
    works: shapely.Geometry,
) -> list[OffsetStake | None]:
    """Stakes beside the line, none where the works of this or another swale are."""
    line = swale.line
    normal = line.at(line.downhill.T, chainage_m)
    x, y = line.at(line.xy.T, chainage_m) + downhill_m * normal / np.hypot(*normal)
    ground = sample_heights(terrain, x, y)
    in_works = shapely.intersects_xy(works, x, y)
    return [
        None
        if in_works[k]
        else OffsetStake(number, float(x[k]), float(y[k]), abs(float(downhill_m[k])), float(ground[k]))
        for k, number in enumerate(numbers)
    ]


def survey_points(stakeout: Stakeout) -> SurveyPoints:
    """Every stake, followed by its offset stakes, with the height of the natural ground at its foot.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    SurveyPoints
        Described by swale, chainage and mark; a stake on the line also by dig depth, an offset stake by its side and
        distance from the line [m].

    Examples
    --------
    >>> from swalekit.contours import LevelLine
    >>> from swalekit.grid import Grid
    >>> from swalekit.section import Section, ShapedSwale, Stations
    >>> grid = Grid.from_corner((40, 40), cell_m=1.0, west_m=-10.0, north_m=20.0)
    >>> ground = Terrain.from_heights(np.repeat(11.95 - 0.1 * np.arange(40.0)[:, None], 40, axis=1), grid)
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> shape = ShapedSwale(Stations.of_line(line, np.full(2, 10.0)), Section(), 0.5, 10.4)
    >>> swale = LaidSwale("S1", 1, line, shape, sill_chainage_m=15.0, sill_length_m=4.0)
    >>> points = survey_points(stake_out([swale], ground))
    >>> points.number[:3], points.description[0]
    (array([1001, 1301, 1601]), 'S1 0.0 end dig 0.50')
    """
    rows = [row for stake in stakeout.stakes for row in _points(stake)]
    number, x, y, height, description = zip(*rows, strict=True) if rows else ((),) * 5
    return SurveyPoints(
        number=np.array(number, np.int64),
        easting_m=np.array(x, np.float64),
        northing_m=np.array(y, np.float64),
        height_m=np.array(height, np.float64),
        description=tuple(description),
    )


def _points(stake: Stake) -> Iterator[tuple[int, float, float, float, str]]:
    """Number, easting, northing, height and description of a stake and its offset stakes."""
    name = f"{stake.swale} {stake.chainage_m:.1f} {stake.mark}"
    yield stake.number, stake.x_m, stake.y_m, stake.ground_m, f"{name} dig {stake.dig_m:.2f}"
    for side, offset in stake.offsets:
        yield offset.number, offset.x_m, offset.y_m, offset.ground_m, f"{name} {side} {offset.distance_m:.2f}"
