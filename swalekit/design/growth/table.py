"""The figures of a planting by column, rounded once, so that every output says the same."""

import numpy as np

from swalekit.design.growth.columns import (
    BILL_COLUMNS,
    GROW_COLUMNS,
    GROW_TOTALS,
    MONTH_COLUMNS,
    PLANT_COLUMNS,
    STAND_COLUMNS,
    YEAR_COLUMNS,
)
from swalekit.design.growth.growth import Growth, SwaleGrowth
from swalekit.design.plan.columns import Entry, row_of
from swalekit.planting.water.measures import MEASURES
from swalekit.planting.water.months import MonthTable, mean_year

Row = dict[str, Entry]


def grow_row(swale: SwaleGrowth) -> Row:
    """Figures of one swale by the names of `GROW_COLUMNS`."""
    figures: Row = dict.fromkeys((column.name for column in GROW_COLUMNS), None) | {
        "swale": swale.swale,
        "catchment_m2": swale.catchment_m2,
        "harvested_m3": swale.harvested_m3,
        "room": swale.capacity.room,
        "trees": swale.trees,
        "pioneers": _of_role(swale, "pioneer"),
        "trees_unwatered": swale.trees_unwatered,
        "limited_by": swale.capacity.limited_by,
    }
    if swale.water is not None:
        water, table, budget = swale.water, swale.water.table, swale.water.budget
        dates = budget.water.dates
        figures |= {
            "reached_share": budget.reached_share,
            "soaked_m3": mean_year(budget.soaked_m3 - budget.beyond_m3, dates),
            "beyond_m3": mean_year(budget.beyond_m3, dates),
            "evaporated_m3": mean_year(budget.ditch_evaporation_m3, dates),
            "spilled_m3": mean_year(budget.spilled_m3, dates),
            "planted_m2": budget.planted_m2,
            "ratio": swale.catchment_m2 / budget.planted_m2,
            "reliability": swale.capacity.reliability,
            "share": _share(table),
            "share_without_swale": _share(water.months["mulch"]),
            "suffering_years": ", ".join(map(str, table.suffering_years)),
            "hard_months": ", ".join(map(str, _hard_months(table))),
            "given_m3": water.given_m3,
            "irrigation_m3": float(water.irrigation_m3.mean()),
            "greatest_irrigation_m3": float(water.irrigation_m3.max()),
        }
    return row_of(figures, GROW_COLUMNS)


def grow_totals(growth: Growth) -> Row:
    """Totals by the names of `GROW_TOTALS`: sums of the unrounded figures, then rounded."""
    planted = [each for each in growth.swales if each.water is not None]
    waters = [each.water for each in planted if each.water is not None]
    counts, greywater = growth.counts, growth.greywater
    catchment_m2 = sum(each.catchment_m2 for each in planted)
    figures: Row = {
        "trees": sum(each.trees for each in planted),
        "pioneers": sum(_of_role(each, "pioneer") for each in planted),
        "plants": sum(counts.values()),
        "planted_m2": growth.planted_m2,
        "catchment_m2": catchment_m2,
        "harvested_m3": sum(each.harvested_m3 for each in planted),
        "harvested_of_all_m3": sum(each.harvested_m3 for each in growth.swales),
        "ratio": catchment_m2 / growth.planted_m2 if planted else None,
        "needed_ratio": growth.needed_ratio,
        "given_m3": sum(each.given_m3 for each in waters),
        "trees_unwatered": sum(each.trees_unwatered for each in growth.swales),
        "irrigation_m3": sum(float(each.irrigation_m3.mean()) for each in waters),
        "rain_mm": mean_year(growth.weather.rain_mm, growth.weather.dates),
        "reference_et_mm": mean_year(growth.reference.et_mm, growth.weather.dates),
        "tree_want_mm": mean_year(growth.stand.kcb * growth.reference.et_mm, growth.weather.dates),
        "mulch_m3": float(growth.mulch.needed_m3[0]),
        "compost_m3": growth.compost_m3,
        "first_water_m3": max(growth.first_water_m3.values(), default=0.0),
        "raised": sum(line.raised for line in growth.nursery),
        "greywater_l_d": None if greywater is None else 1000.0 * greywater.household.flow_m3_d,
        "reed_bed_m2": None if greywater is None else greywater.bed.area_m2,
        "commanded_m2": greywater.places[0].place.commanded_m2 if greywater and greywater.places else None,
        "watered_m2": greywater.watered_m2 if greywater and greywater.places else None,
        "cost": growth.bill.cost,
    }
    return row_of(figures, GROW_TOTALS)


def plant_rows(growth: Growth) -> list[Row]:
    """Every plant by the names of `PLANT_COLUMNS`."""
    part = growth.design.site.brief.planting
    years = {each.role: part.calendar_year(each.plant_year) for each in part.years_by_role}
    rows: list[Row] = []
    for swale in growth.swales:
        plants = swale.planting
        for (x, y), species, row in zip(plants.xy.tolist(), plants.species, plants.row, strict=True):
            figures: Row = {
                "number": len(rows) + 1,
                "swale": swale.swale,
                "row": row,
                "species": species.name,
                "binomial": species.binomial,
                "role": species.role,
                "plant_year": years[species.role],
                "easting_m": x,
                "northing_m": y,
            }
            rows.append(row_of(figures, PLANT_COLUMNS))
    return rows


def month_rows(growth: Growth) -> list[Row]:
    """The mean year by measure and month, over all planted ground, by the names of `MONTH_COLUMNS`."""
    rows: list[Row] = []
    for measure in MEASURES:
        for month in range(1, 13):
            sums = _mean_month(growth, measure, month)
            share = sums["transpiration_mm"] / sums["demand_mm"] if sums["demand_mm"] > 0.0 else 1.0
            figures: Row = {"measure": measure, "month": month, "share": share, **sums}
            rows.append(row_of(figures, MONTH_COLUMNS))
    return rows if growth.planted_m2 else []


def year_rows(growth: Growth) -> list[Row]:
    """Every month of the record over all planted ground, as planned, by the names of `YEAR_COLUMNS`."""
    waters = [each.water for each in growth.swales if each.water is not None]
    if not waters:
        return []
    weight = np.array([each.budget.planted_m2 for each in waters]) / growth.planted_m2
    table = waters[0].table
    sums = {
        name: weight @ np.array([getattr(each.table, name) for each in waters])
        for name in ("rain_mm", "harvested_mm", "transpiration_mm", "demand_mm")
    }
    sums["given_mm"] = weight @ np.array([each.table.irrigation_mm for each in waters])
    sums["irrigation_mm"] = weight @ np.array([each.irrigated.irrigation_mm for each in waters])
    wants = sums["demand_mm"] > 0.0
    sums["share"] = np.divide(sums["transpiration_mm"], sums["demand_mm"], out=np.ones(wants.size), where=wants)
    sums["suffers"] = (sums["share"] < table.least_ratio).astype(np.int64)
    columns = {"year": table.year, "month": table.month} | sums
    return [
        row_of({name: values[place].item() for name, values in columns.items()}, YEAR_COLUMNS)
        for place in range(table.year.size)
    ]


def stand_rows(growth: Growth) -> list[Row]:
    """The stand of each year by the names of `STAND_COLUMNS`."""
    return [row_of(dict(vars(each)), STAND_COLUMNS) for each in growth.stand_years]


def schedule_rows(growth: Growth) -> list[Row]:
    """Work of each year by the names of `SCHEDULE_COLUMNS`."""
    part = growth.design.site.brief.planting
    return [
        {"year": part.calendar_year(work.year), "task": work.task, "species": work.species.name, "plants": work.plants}
        for work in growth.schedule
    ]


def nursery_rows(growth: Growth) -> list[Row]:
    """Stock by the names of `NURSERY_COLUMNS`."""
    return [
        {
            "species": line.species.name,
            "sow": str(line.sow_month),
            "plant": str(line.plant_month),
            "raised": line.raised,
            "planted": line.planted,
            "replacements": line.replacements,
        }
        for line in growth.nursery
    ]


def calendar_rows(growth: Growth) -> list[Row]:
    """Work of each month by the names of `CALENDAR_COLUMNS`."""
    return [
        {"month": month.month, "name": month.name, "task": task} for month in growth.calendar for task in month.tasks
    ]


def bill_rows(growth: Growth) -> list[Row]:
    """Lines of the bill by the names of `BILL_COLUMNS`."""
    return [
        row_of(
            {"item": line.item, "quantity": line.quantity, "unit": line.unit, "price": line.price, "cost": line.cost},
            BILL_COLUMNS,
        )
        for line in growth.bill.lines
    ]


def _mean_month(growth: Growth, measure: str, month: int) -> dict[str, float]:
    """Sums of one month of a mean year over all planted ground [mm]."""
    names = ("rain_mm", "harvested_mm", "transpiration_mm", "demand_mm")
    sums = dict.fromkeys(names, 0.0)
    for swale in growth.swales:
        if swale.water is not None:
            table, weight = swale.water.months[measure], swale.water.budget.planted_m2 / growth.planted_m2
            for name in names:
                sums[name] += weight * float(getattr(table, name)[table.month == month].sum()) / len(table.years)
    return sums


def _of_role(swale: SwaleGrowth, role: str) -> int:
    return sum(plants for species, plants in swale.planting.counts.items() if species.role == role)


def _share(table: MonthTable) -> float:
    """Transpiration over demand of all years."""
    return float(table.transpiration_mm.sum() / table.demand_mm.sum())


def _hard_months(table: MonthTable) -> list[int]:
    """Months in which trees suffer in more than half of the years."""
    return [month for month in range(1, 13) if table.suffering[table.month == month].mean() > 0.5]
