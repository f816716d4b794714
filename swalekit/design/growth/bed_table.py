"""The tables of annual beds: each bed, its stakes, the water of the months, what becomes of the ground."""

import numpy as np

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column, row_of
from swalekit.planting.work.work_calendar import MONTHS
from swalekit.staking.places import sharp_bends_m
from swalekit.terrain.sample import sample_heights

BED_COLUMNS: tuple[Column, ...] = (
    Column("bed", "", "row from the top, and the place in it from the west", of="name"),
    Column("level_m", "m", "level of its middle", 2, "line.level_m"),
    Column("length_m", "m", "length along its middle", 1),
    Column("width_m", "m", "width", 2),
    Column("area_m2", "m2", "ground", 1),
    Column("slope", "m/m", "mean fall of the ground across it", 3),
    Column("fall_m", "m", "fall of the ground from its upper edge to its lower", 2),
    Column(
        "levelled", "", "yes where it is levelled between low walls", of=lambda bed: "yes" if bed.levelled else "no"
    ),
    Column("wall_m", "m", "height of the low wall at its lower edge, and of the cut at its upper one", 2),
    Column("moved_m3", "m3", "soil moved from its upper half to its lower", 2),
    Column("off_level_m", "m", "greatest difference between the ground along its middle and its level", 3),
)
"""Columns of ``beds.csv``, a row a bed."""

BED_STAKE_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "number of the stake"),
    Column("bed", "", "bed that it belongs to"),
    Column("mark", "", "end, bend or line"),
    Column("easting_m", "m", "easting of the bed's middle", 2),
    Column("northing_m", "m", "its northing", 2),
    Column("ground_m", "m", "height of the ground there", 2),
    Column("level_m", "m", "level of the bed", 2),
)
"""Columns of ``bed_stakes.csv``, a row a stake."""

BED_WATER_COLUMNS: tuple[Column, ...] = (
    Column("month", "", "month, 1 to 12"),
    Column("name", "", "its name"),
    Column("rain_mm", "mm", "rain", 1),
    Column("et_mm", "mm", "reference evapotranspiration", 1),
    Column("want_mm", "mm", "what a square metre of bed wants besides rain", 1),
    Column("want_m3", "m3", "what all beds want besides rain", 2),
    Column("greywater_m3", "m3", "greywater behind the reed bed", 2),
    Column("greywater_used_m3", "m3", "what of it the beds use that it reaches", 2),
    Column("roof_m3", "m3", "rain of the roof that comes to the tank", 2),
    Column("tank_given_m3", "m3", "what the tank gives", 2),
    Column("tank_spilled_m3", "m3", "what the tank spills", 2),
    Column("short_m3", "m3", "what nothing meets", 2),
    Column("by_greywater_m2", "m2", "ground whose want greywater meets; empty where rain is enough", 0),
    Column("by_tank_m2", "m2", "ground whose want the tank meets besides, all beds drawing on it", 0),
)
"""Columns of ``bed_water.csv``, a row a month of the mean year."""

BED_GROUND_COLUMNS: tuple[Column, ...] = (
    Column("ground", "", "what becomes of the ground asked for"),
    Column("area_m2", "m2", "area", 0),
)
"""Columns of ``bed_ground.csv``, a row a reason."""


def bed_rows(growth: Growth) -> list[Row]:
    """Every bed by the names of `BED_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a bed, from the top down; none without beds.

    Examples
    --------
    >>> bed_rows(growth)
    []
    """
    return [] if growth.garden is None else [row_of(bed, BED_COLUMNS) for bed in growth.garden.beds]


def bed_stake_rows(growth: Growth) -> list[Row]:
    """Stakes along the middles of the beds by the names of `BED_STAKE_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a stake: both ends, bends, and as far apart as the brief's stakes.

    Examples
    --------
    >>> bed_stake_rows(growth)
    []
    """
    if growth.garden is None:
        return []
    part, terrain, rows = growth.design.site.brief.stakes, growth.design.ground.terrain, list[Row]()
    for bed in growth.garden.beds:
        line = bed.line
        count = max(1, int(np.ceil(line.length_m / part.spacing_m)))
        places = {float(at): "line" for at in line.length_m * np.arange(count + 1) / count}
        support_m = min(4.0, 0.5 * line.length_m)
        for bend_m in sharp_bends_m(line, bend_degrees=part.bend_degrees, support_m=support_m):
            near = min(places, key=lambda at: abs(at - bend_m))
            if abs(near - bend_m) >= 1.0:
                places[bend_m] = "bend"
        places |= {0.0: "end", line.length_m: "end"}
        at = sorted(places)
        xy = line.at(line.xy.T, at).T
        for (x, y), ground_m, chainage_m in zip(xy.tolist(), sample_heights(terrain, *xy.T).tolist(), at, strict=True):
            stake: Row = {
                "number": len(rows) + 1,
                "bed": bed.name,
                "mark": places[chainage_m],
                "easting_m": x,
                "northing_m": y,
                "ground_m": ground_m,
                "level_m": line.level_m,
            }
            rows.append(row_of(stake, BED_STAKE_COLUMNS))
    return rows


def bed_water_rows(growth: Growth) -> list[Row]:
    """Water of the beds in the months of a mean year by the names of `BED_WATER_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a month; none without beds.

    Examples
    --------
    >>> bed_water_rows(growth)
    []
    """
    water = growth.bed_water
    if water is None:
        return []
    tank = water.tank
    nothing = np.zeros(water.dates.size)
    daily = {
        "rain_mm": water.rain_mm,
        "et_mm": water.et_mm,
        "want_mm": water.want_mm,
        "want_m3": water.want_m3,
        "greywater_m3": water.greywater_m3,
        "greywater_used_m3": water.greywater_used_m3,
        "roof_m3": nothing if tank is None else tank.inflow_m3,
        "tank_given_m3": water.given_m3,
        "tank_spilled_m3": nothing if tank is None else tank.spilled_m3,
        "short_m3": water.short_m3,
    }
    sums = {name: water.months(values).tolist() for name, values in daily.items()}
    areas = {"by_greywater_m2": water.by_greywater_m2.tolist(), "by_tank_m2": water.by_tank_m2.tolist()}
    return [
        row_of(
            {"month": month + 1, "name": name}
            | {key: values[month] for key, values in sums.items()}
            | {key: None if np.isnan(values[month]) else values[month] for key, values in areas.items()},
            BED_WATER_COLUMNS,
        )
        for month, name in enumerate(MONTHS)
    ]


def bed_ground_rows(growth: Growth) -> list[Row]:
    """What becomes of the ground asked for beds.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a reason, the beds last; none without beds.

    Examples
    --------
    >>> bed_ground_rows(growth)
    []
    """
    if growth.garden is None:
        return []
    return [row_of({"ground": why, "area_m2": m2}, BED_GROUND_COLUMNS) for why, m2 in growth.garden.ground_m2.items()]
