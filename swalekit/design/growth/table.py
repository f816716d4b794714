"""The tables of a planting's water: by swale, of the whole, by month, of each year."""

from collections.abc import Sequence
from typing import Any

import numpy as np
from numpy.typing import NDArray

from swalekit.design.growth.growth import Growth, SwaleGrowth, TreeWater, plants_of, pockets_m3
from swalekit.design.growth.plant_groups import HARDY, PIONEER
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.planting.water.measures import MEASURES
from swalekit.planting.water.months import MonthTable, mean_year

Row = dict[str, Entry]


GROW_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale"),
    Column("kind", "", "what it carries: fruit tree, hardy tree that lives on without bearing, pioneer, ground cover"),
    Column("catchment_m2", "m2", "ground whose runoff it harvests", 0),
    Column("harvested_m3", "m3", "runoff that reaches it in a mean year"),
    Column("reached_share", "", "share of the ditch, pockets apart, whose water the trees' roots reach", 2),
    Column("soaked_m3", "m3", "of the harvest, what soaks in within reach of the trees' roots in a mean year"),
    Column("beyond_m3", "m3", "of the harvest, what soaks in beyond their reach in a mean year"),
    Column("evaporated_m3", "m3", "of the harvest, what evaporates from the ditch in a mean year"),
    Column("spilled_m3", "m3", "of the harvest, what leaves over the sill in a mean year"),
    Column("room", "", "plants of that kind, or trees, that there is room for in the rows asked for", 0),
    Column("trees", "", "trees that its water carries", 0),
    Column("pioneers", "", "pioneers that nurse them, or stand for them where no tree is carried", 0),
    Column("ground_cover", "", "low plants of its berm", 0),
    Column("planted_m2", "m2", "ground that the roots of the trees fill", 0),
    Column("own_m2", "m2", "the same for each of them", 0),
    Column("least_share", "", "share of a year's full want that counts as enough", 2),
    Column("pockets_m3", "m3", "pockets in the ditch's floor, one beside each of them", 0),
    Column("ratio", "", "catchment over planted ground"),
    Column(
        "limited_by",
        "",
        "water; room; reach, where too little soaks in within that of a tree; root zone, where soil holds too little; "
        "rain, where plants live on it so far apart that their roots don't meet",
    ),
    Column(
        "reliability",
        "",
        "share of years, from January or the rains, in which the trees get the least share of their want",
        2,
    ),
    Column("share", "", "what they transpire in all years over what they would without want", 2),
    Column("share_without_swale", "", "the same where no ditch gathers runoff, mulched as planned", 2),
    Column("suffering_years", "", "years in which they get less than the least share"),
    Column("hard_months", "", "months, 1 to 12, in which they do in most years"),
    Column("given_m3", "m3", "water given in a mean year, as far as the brief allows", 0),
    Column("trees_unwatered", "", "trees that its water carries where none is given", 0),
    Column("least_l_week", "L/week", "water by hand in the dry months with which one tree lives, 0: without any", 0),
    Column("mulch_saved_m3", "m3", "what mulch keeps from evaporating in a mean year"),
    Column("irrigation_m3", "m3", "water that would meet their whole want in a mean year", 0),
    Column("greatest_irrigation_m3", "m3", "the same in the driest year", 0),
)

GROW_TOTALS: tuple[Column, ...] = (
    Column("trees", "", "trees that the swales' water carries", 0),
    Column("hardy_trees", "", "of those, trees that live on without bearing", 0),
    Column("pioneers", "", "pioneers that nurse them", 0),
    Column("lasting_pioneers", "", "pioneers that stand where no tree is carried", 0),
    Column("plants", "", "plants in all, ground cover too", 0),
    Column("planted_m2", "m2", "ground that the roots of trees and lasting pioneers fill", 0),
    Column("catchment_m2", "m2", "ground whose runoff the planted swales harvest", 0),
    Column("harvested_m3", "m3", "runoff that reaches the planted swales in a mean year", 0),
    Column("harvested_of_all_m3", "m3", "runoff that reaches all swales in a mean year, those without trees too", 0),
    Column("ratio", "", "catchment over planted ground of the planted swales"),
    Column("needed_ratio", "", "the same by the manual's formula, for trees that want for nothing"),
    Column("given_m3", "m3", "water given in a mean year, as far as the brief allows", 0),
    Column("trees_unwatered", "", "trees that the swales' water carries where none is given", 0),
    Column("irrigation_m3", "m3", "water that would meet the trees' whole want in a mean year", 0),
    Column("rain_mm", "mm", "rain of a mean year", 0),
    Column("reference_et_mm", "mm", "reference evapotranspiration of a mean year", 0),
    Column("tree_want_m3", "m3", "transpiration of a grown tree in a mean year if it wanted for nothing", 1),
    Column("mulch_saved_m3", "m3", "what mulch keeps from evaporating in a mean year, full-grown", 0),
    Column("mulch_m3", "m3", "mulch where the ground had none, of all years"),
    Column("compost_m3", "m3", "compost at planting"),
    Column("pockets_m3", "m3", "pockets in the floors of ditches, one beside each plant of swales that need them", 0),
    Column("first_water_m3", "m3", "water to hold ready for young plants in the dry season that asks for most", 0),
    Column("raised", "", "seedlings and grafts to start in the nursery, and seed places sown", 0),
    Column("greywater_l_d", "L/d", "the house's greywater, empty without a house", 0),
    Column("reed_bed_m2", "m2", "area of the reed bed; empty for a branched drain", 1),
    Column("commanded_m2", "m2", "planted ground that its best place serves by gravity", 0),
    Column("watered_m2", "m2", "planted ground whose whole want the greywater meets in the thirstiest month", 0),
    Column("cost", "", "cost of the bill's priced lines, empty where none is priced", 0, "bill.cost"),
)

MONTH_COLUMNS: tuple[Column, ...] = (
    Column("measure", "", "bare, mulch, swale, or swale and mulch"),
    Column("month", "", "month, 1 to 12", 0),
    Column("rain_mm", "mm", "rain of a mean year"),
    Column("harvested_mm", "mm", "water that soaks in from the ditches within reach of roots, over the planted ground"),
    Column("transpiration_mm", "mm", "what the trees transpire"),
    Column("demand_mm", "mm", "what they would transpire without want"),
    Column("share", "", "transpiration over demand", 2),
)

YEAR_COLUMNS: tuple[Column, ...] = (
    Column("year", "", "calendar year of the record; made years are counted from 1", 0),
    Column("month", "", "month, 1 to 12", 0),
    Column("rain_mm", "mm", "rain"),
    Column(
        "harvested_mm", "mm", "water that soaked in from the ditches within reach of roots, over the planted ground"
    ),
    Column("transpiration_mm", "mm", "what the grown trees would have transpired"),
    Column("demand_mm", "mm", "the same without want"),
    Column("share", "", "transpiration over demand", 2),
    Column("suffers", "", "1 where that is below the least share, else 0", 0),
    Column("given_mm", "mm", "water given, as far as the brief allows"),
    Column("irrigation_mm", "mm", "water that would have met their whole want"),
)

STAND_COLUMNS: tuple[Column, ...] = (
    Column("year", "", "calendar year of the schedule", 0),
    Column("pioneers", "", "pioneers that stand at its end", 0),
    Column("trees", "", "trees that stand at its end", 0),
    Column("lost", "", "trees and pioneers that die in it", 0),
    Column("replaced", "", "trees and pioneers set in the gaps of the year before", 0),
    Column("first_water_m3", "m3", "water carried to them in their first dry seasons", 1),
    Column("cover", "", "share of the planted ground under canopies of pioneers and trees", 2),
    Column("root_depth_m", "m", "depth of their roots", 2),
    Column("reached_share", "", "share of what soaks in from the ditches that their roots reach", 2),
    Column("want_m3", "m3", "what they would transpire in a mean year without want", 0),
    Column("met", "", "share of it that they get, the brief's irrigation counted; water given by hand comes on top", 2),
    Column("short_share", "", "share of years of the record in which they get less than the least share", 2),
    Column("hand_l_week", "L/week", "water by hand, a plant in dry months, with which enough years give it", 0),
)


WATERING_COLUMNS: tuple[Column, ...] = (
    Column("swale", "", "lasting name of the swale; all of them together in the last rows"),
    Column("l_week", "L/week", "water that each tree is given by hand in the dry months, every year", 0),
    Column("fruit_trees", "", "fruit trees that are then carried", 0, "fruit"),
    Column("hardy_trees", "", "where no fruit tree is, hardy ones that live on without bearing", 0, "hardy"),
    Column("hand_m3", "m3", "water by hand that all of them take in a year at most"),
)


def watering_rows(growth: Growth) -> list[Row]:
    """Trees by the water that each is given by hand, by the names of `WATERING_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row an amount, from none on, for each swale and for all.

    Examples
    --------
    >>> rows = watering_rows(growth)
    >>> rows[-5]["swale"], rows[-5]["l_week"], rows[-5]["fruit_trees"] == growth.trees
    ('all', 0, True)
    """
    weeks = (12 - len(growth.season.months)) * 365.25 / 12.0 / 7.0
    return [
        row_of(found, WATERING_COLUMNS, swale=name, hand_m3=found.trees * found.l_week * weeks / 1000.0)
        for name, curve in (*((swale.swale, swale.by_hand) for swale in growth.swales), ("all", growth.by_hand))
        for found in curve
    ]


def grow_row(swale: SwaleGrowth) -> Row:
    """Figures of one swale by the names of `GROW_COLUMNS`.

    Parameters
    ----------
    swale : SwaleGrowth
        What a swale carries.

    Returns
    -------
    dict of str to Entry
        A figure a column; those of trees are empty where none is carried.

    Examples
    --------
    >>> grow_row(growth.swales[0])["trees"]
    14
    """
    figures: Row = {
        "swale": swale.swale,
        "kind": swale.kind,
        "catchment_m2": swale.catchment_m2,
        "harvested_m3": swale.harvested_m3,
        "room": swale.capacity.room,
        "trees": swale.trees,
        "pioneers": plants_of(swale, "pioneer"),
        "ground_cover": plants_of(swale, "ground cover"),
        "least_l_week": swale.least_l_week,
        "pockets_m3": pockets_m3([swale]),
        "trees_unwatered": swale.trees_unwatered,
        "limited_by": swale.capacity.limited_by,
    }
    if (water := swale.water) is not None:
        budget, table = water.budget, water.table
        figures |= {
            "reached_share": budget.reached_share,
            "soaked_m3": water.mean_year(budget.soaked_m3 - budget.beyond_m3),
            "beyond_m3": water.mean_year(budget.beyond_m3),
            "evaporated_m3": water.mean_year(budget.ditch_evaporation_m3),
            "spilled_m3": water.mean_year(budget.spilled_m3),
            "planted_m2": budget.planted_m2,
            "own_m2": budget.planted_m2 / swale.capacity.trees,
            "least_share": table.least_ratio,
            "mulch_saved_m3": water.mulch_saved_m3,
            "ratio": swale.catchment_m2 / budget.planted_m2,
            "reliability": swale.capacity.reliability,
            "share": table.share,
            "share_without_swale": water.months["mulch"].share,
            "suffering_years": ", ".join(map(str, table.suffering_years)),
            "hard_months": ", ".join(map(str, table.hard_months)),
            "given_m3": water.given_m3,
            "irrigation_m3": float(water.irrigation_m3.mean()),
            "greatest_irrigation_m3": float(water.irrigation_m3.max()),
        }
    return row_of(figures, GROW_COLUMNS)


def grow_totals(growth: Growth) -> Row:
    """Totals by the names of `GROW_TOTALS`: sums of the unrounded figures, then rounded.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    dict of str to Entry
        A figure a column.

    Examples
    --------
    >>> grow_totals(growth)["trees"]
    28
    """
    waters = _waters(growth)
    dates, greywater = growth.weather.dates, growth.greywater
    catchment_m2 = sum(swale.catchment_m2 for swale in growth.planted)
    return row_of(
        growth,
        GROW_TOTALS,
        trees=sum(swale.trees for swale in growth.planted),
        hardy_trees=sum(swale.trees for swale in growth.swales_of(HARDY)),
        pioneers=sum(plants_of(swale, "pioneer") for swale in growth.planted if swale.kind != PIONEER),
        lasting_pioneers=sum(plants_of(swale, "pioneer") for swale in growth.swales_of(PIONEER)),
        plants=sum(growth.counts.values()),
        catchment_m2=catchment_m2,
        harvested_m3=sum(swale.harvested_m3 for swale in growth.planted),
        harvested_of_all_m3=sum(swale.harvested_m3 for swale in growth.swales),
        ratio=catchment_m2 / growth.planted_m2 if waters else None,
        given_m3=sum(water.given_m3 for water in waters),
        trees_unwatered=sum(swale.trees_unwatered for swale in growth.swales),
        irrigation_m3=sum(float(water.irrigation_m3.mean()) for water in waters),
        rain_mm=mean_year(growth.weather.rain_mm, dates),
        reference_et_mm=mean_year(growth.reference.et_mm, dates),
        tree_want_m3=_tree_want_m3(growth),
        pockets_m3=pockets_m3(growth.swales),
        mulch_saved_m3=sum(water.mulch_saved_m3 for water in waters),
        mulch_m3=float(growth.mulch.new_m3.sum()),
        first_water_m3=max(growth.first_water_m3.values(), default=0.0),
        raised=sum(line.raised for line in growth.nursery),
        reed_bed_m2=None if greywater is None or greywater.drain is not None else greywater.bed.area_m2,
        greywater_l_d=None if greywater is None else 1000.0 * greywater.flow_m3_d,
        commanded_m2=greywater.places[0].place.commanded_m2 if greywater and greywater.places else None,
        watered_m2=greywater.watered_m2 if greywater and greywater.places else None,
    )


def month_rows(growth: Growth) -> list[Row]:
    """The mean year by measure and month, over all planted ground, by the names of `MONTH_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        Twelve rows a measure; none where nothing is planted.

    Examples
    --------
    >>> [row["measure"] for row in month_rows(growth)[::12]]
    ['bare', 'mulch', 'swale', 'swale and mulch']
    """
    rows: list[Row] = []
    for measure in MEASURES if growth.planted else ():
        tables = [water.months[measure] for water in _waters(growth)]
        figures = _over_ground(growth, tables)
        for month in range(1, 13):
            of_month = tables[0].month == month
            sums = {name: float(values[of_month].sum()) / len(tables[0].years) for name, values in figures.items()}
            share = sums["transpiration_mm"] / sums["demand_mm"] if sums["demand_mm"] > 0.0 else 1.0
            rows.append(row_of({"measure": measure, "month": month, "share": share, **sums}, MONTH_COLUMNS))
    return rows


def year_rows(growth: Growth) -> list[Row]:
    """Every month of the record over all planted ground, as planned, by the names of `YEAR_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a month; none where nothing is planted.

    Examples
    --------
    >>> [row["year"] for row in year_rows(growth)[::12]]
    [2001, 2002, 2003, 2004]
    """
    waters = _waters(growth)
    if not waters:
        return []
    table, sums = waters[0].table, _over_ground(growth, [water.table for water in waters])
    sums["given_mm"] = sums["irrigation_mm"]
    sums["irrigation_mm"] = _over_ground(growth, [water.irrigated for water in waters])["irrigation_mm"]
    wants = sums["demand_mm"] > 0.0
    sums["share"] = np.divide(sums["transpiration_mm"], sums["demand_mm"], out=np.ones(wants.size), where=wants)
    least = growth.design.site.brief.planting.least_ratio
    sums["suffers"] = (sums["share"] < least).astype(np.int64)
    columns = {"year": table.year, "month": table.month} | sums
    return [
        row_of({name: values[place].item() for name, values in columns.items()}, YEAR_COLUMNS)
        for place in range(table.year.size)
    ]


def stand_rows(growth: Growth) -> list[Row]:
    """The stand of each year by the names of `STAND_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a year in which a canopy stands.

    Examples
    --------
    >>> stand_rows(growth)[0]["year"]
    2031
    """
    part, season = growth.design.site.brief.planting, growth.season
    first, rows = part.calendar_year(1 + (season.first > season.last)), list[Row]()
    for stand in growth.stand_years:
        place = stand.year - first
        standing = {role: int(canopy.plants[place]) for role, canopy in growth.canopies.items()}
        replaced = sum(
            work.plants
            for work in growth.schedule
            if work.year == place + 1 and work.task == "replace losses" and work.species.role in ("pioneer", "fruit")
        )
        rows.append(
            row_of(
                stand,
                STAND_COLUMNS,
                pioneers=standing.get("pioneer", 0),
                trees=standing.get("fruit", 0),
                lost=growth.lost_by_year[place],
                replaced=replaced,
                first_water_m3=growth.first_water_m3.get(place + 1, 0.0),
            )
        )
    return rows


def _tree_want_m3(growth: Growth) -> float:
    """What a grown tree would transpire in a mean year without want; that of an orchard where none is planted [m³]."""
    carried = [swale for swale in growth.planted if swale.kind != PIONEER]
    if not carried:
        return mean_year(growth.stand.kcb * growth.reference.et_mm, growth.weather.dates) * (
            growth.chosen.tree_area_m2 / 1000.0
        )
    want_m3 = sum(
        water.mean_year(water.budget.demand_mm) * water.budget.planted_m2 / 1000.0
        for water in (swale.water for swale in carried)
        if water is not None
    )
    return want_m3 / sum(swale.trees for swale in carried)


def _waters(growth: Growth) -> list[TreeWater]:
    return [swale.water for swale in growth.swales if swale.water is not None]


def _over_ground(growth: Growth, tables: Sequence[MonthTable]) -> dict[str, NDArray[Any]]:
    """Water of every month over all planted ground, from the tables of the planted swales [mm]."""
    weight = np.array([water.budget.planted_m2 for water in _waters(growth)]) / growth.planted_m2
    names = ("rain_mm", "harvested_mm", "transpiration_mm", "demand_mm", "irrigation_mm")
    return {name: weight @ np.array([getattr(table, name) for table in tables]) for name in names}
