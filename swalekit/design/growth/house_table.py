"""The tables of the house's water besides its bed: outlets, basins of a branched drain, compost toilet."""

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column, row_of

OUTLET_COLUMNS: tuple[Column, ...] = (
    Column("outlet", "", "what it is called; empty where there is one alone"),
    Column("flow_l_d", "L/d", "greywater that leaves there", 1),
    Column("level_m", "m", "level of the pipe where it leaves the house", 2),
    Column("led", "", "yes where it is led to the bed or drain"),
    Column("easting_m", "m", "easting of the place that its water alone would serve most from; empty where none", 2),
    Column("northing_m", "m", "its northing", 2),
    Column("ground_m", "m", "height of the ground there", 2),
    Column("commanded_m2", "m2", "planted ground that it alone would serve", 0),
    Column("gain_m2", "m2", "what half a metre higher would serve more", 0),
)
"""Columns of ``outlets.csv``, a row an outlet."""

BASIN_COLUMNS: tuple[Column, ...] = (
    Column("basin", "", "number of the basin"),
    Column("tree", "", "swale and species of its tree"),
    Column("easting_m", "m", "easting of its middle", 2),
    Column("northing_m", "m", "its northing", 2),
    Column("ground_m", "m", "height of the ground", 2),
    Column("arrival_m", "m", "level at which its pipe ends", 2),
    Column("area_m2", "m2", "ground of the basin", 2),
    Column("water_l_d", "L/d", "greywater that comes to it", 1),
)
"""Columns of ``basins.csv``, a row a basin."""

TOILET_COLUMNS: tuple[Column, ...] = (
    Column("figure", "", "what is told"),
    Column("value", "", "how much", 2),
    Column("unit", "", "of what"),
)
"""Columns of ``toilet.csv``, a row a figure."""


def outlet_rows(growth: Growth) -> list[Row]:
    """Every outlet by the names of `OUTLET_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row an outlet; none without greywater.

    Examples
    --------
    >>> [(row["outlet"], row["led"]) for row in outlet_rows(growth)]
    [('', 'yes')]
    """
    found = growth.greywater
    if found is None:
        return []
    return [
        row_of(
            {
                "outlet": reach.outlet.name,
                "flow_l_d": 1000.0 * reach.outlet.flow_m3_d,
                "level_m": reach.outlet.level_m,
                "led": "yes" if reach.outlet in found.led else "no",
                "easting_m": None if reach.xy is None else reach.xy[0],
                "northing_m": None if reach.xy is None else reach.xy[1],
                "ground_m": reach.ground_m,
                "commanded_m2": reach.commanded_m2,
                "gain_m2": reach.gain_m2,
            },
            OUTLET_COLUMNS,
        )
        for reach in found.reaches
    ]


def basin_rows(growth: Growth) -> list[Row]:
    """Every basin of a branched drain by the names of `BASIN_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a basin; none without a branched drain.

    Examples
    --------
    >>> basin_rows(growth)
    []
    """
    found = growth.greywater
    if found is None or found.drain is None:
        return []
    drain = found.drain
    return [
        row_of(
            {
                "basin": number,
                "tree": tree,
                "easting_m": x,
                "northing_m": y,
                "ground_m": ground_m,
                "arrival_m": arrival_m,
                "area_m2": drain.basin_m2,
                "water_l_d": drain.litres_each,
            },
            BASIN_COLUMNS,
        )
        for number, (tree, (x, y), ground_m, arrival_m) in enumerate(
            zip(
                found.basin_trees,
                drain.basins_m.tolist(),
                drain.ground_m.tolist(),
                drain.arrival_m.tolist(),
                strict=True,
            ),
            start=1,
        )
    ]


def toilet_rows(growth: Growth) -> list[Row]:
    """Figures of a compost toilet by the names of `TOILET_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a figure; none without a toilet.

    Examples
    --------
    >>> toilet_rows(growth)
    []
    """
    toilet = growth.design.site.brief.toilet.toilet()
    if toilet is None:
        return []
    figures = (
        ("people", toilet.people, ""),
        ("chambers", 2, ""),
        ("volume of each chamber", toilet.chamber_m3, "m3"),
        ("months to fill, and to rest", toilet.rest_months, "months"),
        ("dry cover a year, loose", toilet.cover_m3_yr, "m3"),
        ("compost a year", toilet.compost_m3_yr, "m3"),
        ("ground below trees for it", toilet.spread_m2, "m2"),
    )
    return [row_of({"figure": name, "value": value, "unit": unit}, TOILET_COLUMNS) for name, value, unit in figures]
