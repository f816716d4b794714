"""Stakes as rows of figures: the columns, declared once for CSV, GeoPackage and documentation."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np

from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.formats.exchange.wgs84 import DEGREE_COLUMNS, longitude_latitude
from swalekit.staking.stake import Benchmark, OffsetStake, Stake, Stakeout

_PLACE = (
    Column("easting_m", "m", "easting in the CRS of the project", 3, "x_m"),
    Column("northing_m", "m", "northing in the CRS of the project", 3, "y_m"),
    *DEGREE_COLUMNS,
)

STAKE_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "point number: the swale's number x 1000 + the stake's place along the line", 0),
    Column("swale", "", "lasting name of the swale"),
    Column("stage", "", "season of building of the swale, from 1; empty where all is built at once", 0),
    Column("chainage_m", "m", "distance from the end with downhill on the right hand looking along", 2),
    Column("mark", "", "why it stands here: end, sill end, sill, crossing edge, pipe end, bend, grade, or line"),
    *_PLACE,
    Column("ground_m", "m", "height of the ground", 3),
    Column("floor_m", "m", "height of the ditch's floor; of the ground where nothing is dug", 3),
    Column("dig_m", "m", "dig depth, ground to floor", 3),
    Column("crest_m", "m", "level of the berm's crest", 3),
    Column("sill_m", "m", "level of the sill, to which the berm is built here; empty beside the sill", 3),
    Column("benchmark", "", "name of the benchmark; empty without one, as are the four heights above it"),
    Column("ground_above_m", "m", "ground above the benchmark, negative below it", 3),
    Column("floor_above_m", "m", "floor above the benchmark", 3),
    Column("crest_above_m", "m", "crest above the benchmark", 3),
    Column("sill_above_m", "m", "sill above the benchmark", 3),
    Column("position_sigma_m", "m", "standard error of the stake's place across the slope, height error over slope", 2),
)

OFFSET_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "point number: that of the stake on the line + 300 uphill, + 600 downhill", 0),
    Column("stake", "", "number of the stake on the line", 0),
    Column("swale", "", "lasting name of the swale"),
    Column("side", "", "uphill or downhill"),
    *_PLACE,
    Column("distance_m", "m", "distance from the stake on the line", 2),
    Column("ground_m", "m", "height of the ground; empty off the tile", 3),
    Column("to_floor_m", "m", "from the ground here to the ditch's floor at the stake, negative down", 3),
    Column("to_crest_m", "m", "from the ground here to the berm's crest, negative down", 3),
)

_BESIDE = tuple(column for column in OFFSET_COLUMNS if column.name not in {"stake", "swale", "side"})

TABLE_COLUMNS: tuple[Column, ...] = STAKE_COLUMNS + tuple(
    replace(column, name=f"{side}_{column.name}", meaning=f"{side} offset stake: {column.meaning}")
    for side in ("uphill", "downhill")
    for column in _BESIDE
)
"""A row a stake, with its offset stakes; theirs are empty where one would stand in the works."""


def stake_rows(stakeout: Stakeout) -> list[dict[str, Entry]]:
    """Figures of every stake by the names of `STAKE_COLUMNS`.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    list of dict
        A row a stake.

    Examples
    --------
    >>> row = stake_rows(stakeout)[0]
    >>> row["number"], row["swale"], row["mark"], row["dig_m"]
    (1001, 'S1', 'end', 0.35)
    """
    stakes, benchmark = stakeout.stakes, stakeout.benchmark
    stages = {swale.id: swale.stage for swale in stakeout.swales}
    return [
        row_of(stake, STAKE_COLUMNS, stage=stages[stake.swale], **degrees, **_above(stake, benchmark))
        for stake, degrees in zip(stakes, _degrees(stakes, stakeout), strict=True)
    ]


def offset_rows(stakeout: Stakeout) -> list[dict[str, Entry]]:
    """Figures of every offset stake by the names of `OFFSET_COLUMNS`.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    list of dict
        A row an offset stake.

    Examples
    --------
    >>> row = offset_rows(stakeout)[0]
    >>> row["number"], row["stake"], row["side"], row["distance_m"]
    (1301, 1001, 'uphill', 2.68)
    """
    found = [(stake, side, offset) for stake in stakeout.stakes for side, offset in stake.offsets]
    return [
        row_of(
            offset,
            OFFSET_COLUMNS,
            **degrees,
            stake=stake.number,
            swale=stake.swale,
            side=side,
            to_floor_m=stake.floor_m - offset.ground_m,
            to_crest_m=stake.crest_m - offset.ground_m,
        )
        for (stake, side, offset), degrees in zip(found, _degrees([row[2] for row in found], stakeout), strict=True)
    ]


def table_rows(stakeout: Stakeout) -> list[dict[str, Entry]]:
    """Figures of every stake and its offset stakes by the names of `TABLE_COLUMNS`.

    Parameters
    ----------
    stakeout : Stakeout
        The stakes.

    Returns
    -------
    list of dict
        A row a stake.

    Examples
    --------
    >>> row = table_rows(stakeout)[0]
    >>> row["number"], row["uphill_number"], row["downhill_number"]
    (1001, 1301, 1601)
    """
    rows = {row["number"]: row for row in stake_rows(stakeout)}
    for offset in offset_rows(stakeout):
        rows[offset["stake"]] |= {f"{offset['side']}_{column.name}": offset[column.name] for column in _BESIDE}
    return list(rows.values())


def _degrees(stakes: Sequence[Stake | OffsetStake], stakeout: Stakeout) -> list[dict[str, float]]:
    """Longitude and latitude of stakes, by the names of their columns."""
    xy = np.array([(stake.x_m, stake.y_m) for stake in stakes], np.float64).reshape(-1, 2)
    places = longitude_latitude(xy, stakeout.crs).tolist()
    return [{"longitude": longitude, "latitude": latitude} for longitude, latitude in places]


def _above(stake: Stake, benchmark: Benchmark | None) -> dict[str, Entry]:
    """The benchmark's name, and heights above it, by the names of their columns."""
    heights = {"ground": stake.ground_m, "floor": stake.floor_m, "crest": stake.crest_m, "sill": stake.sill_m}
    above = {
        f"{name}_above_m": None if benchmark is None or height is None else benchmark.above_m(height)
        for name, height in heights.items()
    }
    return {"benchmark": None if benchmark is None else benchmark.name, **above}
