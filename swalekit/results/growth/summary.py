"""The planting in the summary, for machines and for the record."""

from pathlib import Path
from typing import Any

from swalekit.design.growth.greywater import Greywater
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.plant_table import (
    BILL_COLUMNS,
    CALENDAR_COLUMNS,
    NURSERY_COLUMNS,
    SCHEDULE_COLUMNS,
    SPECIES_COLUMNS,
    bill_rows,
    calendar_rows,
    nursery_rows,
    schedule_rows,
)
from swalekit.design.growth.table import (
    GROW_COLUMNS,
    GROW_TOTALS,
    MONTH_COLUMNS,
    STAND_COLUMNS,
    YEAR_COLUMNS,
    grow_row,
    grow_totals,
    month_rows,
    stand_rows,
)
from swalekit.results.folder.provenance import meanings
from swalekit.results.growth.layers import TREE_COLUMNS
from swalekit.results.plan.summary import summary

_COLUMNS = {
    "planting": GROW_COLUMNS,
    "planting totals": GROW_TOTALS,
    "trees": TREE_COLUMNS,
    "water_year": MONTH_COLUMNS,
    "years": YEAR_COLUMNS,
    "stand": STAND_COLUMNS,
    "species": SPECIES_COLUMNS,
    "schedule": SCHEDULE_COLUMNS,
    "nursery": NURSERY_COLUMNS,
    "calendar": CALENDAR_COLUMNS,
    "bill": BILL_COLUMNS,
}


def growth_summary(growth: Growth, *, folder: str | Path = ".") -> dict[str, Any]:
    """The summary of a design with a part ``planting``, in JSON types.

    Parameters
    ----------
    growth : Growth
        The planting.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    whole, place, part = summary(growth.design, folder=folder), growth.weather.place, growth.design.site.brief.planting
    planting = {
        "totals": grow_totals(growth),
        "swales": [grow_row(each) for each in growth.swales],
        "least_ratio": part.least_ratio,
        "trees_by_least_ratio": {f"{ratio:g}": trees for ratio, trees in growth.trees_at.items()},
        "trees_by_root_spread": {f"{spread:g}": trees for spread, trees in growth.trees_at_spread.items()},
        "species": {species.name: plants for species, plants in growth.counts.items()},
        "station": {"latitude_deg": place.latitude_deg, "elevation_m": place.elevation_m},
        "days_by_way": growth.reference.air.days_by_way,
        "root_zone_mm": round(growth.zone.total_mm, 1),
        "water_year": month_rows(growth),
        "wet_months": list(growth.season.months),
        "stand": stand_rows(growth),
        "schedule": schedule_rows(growth),
        "mulch_m3_by_year": {
            "needed": [round(each, 1) for each in growth.mulch.needed_m3.tolist()],
            "grown": [round(each, 1) for each in growth.mulch.grown_m3.tolist()],
        },
        "nursery": nursery_rows(growth),
        "calendar": calendar_rows(growth),
        "bill": bill_rows(growth),
        "unpriced": list(growth.bill.unpriced),
        "greywater": None if growth.greywater is None else _greywater(growth.greywater),
        "notes": list(growth.notes),
        "cautions": growth.cautions,
    }
    columns = {name: meanings(each) for name, each in _COLUMNS.items()}
    return whole | {"planting": planting, "columns": whole["columns"] | columns}


def _greywater(found: Greywater) -> dict[str, Any]:
    return {
        "flow_l_d": found.household.flow_l_d(),
        "outlet": {"xy": [round(each, 2) for each in found.house.xy], "level_m": round(found.house.level_m, 2)},
        "bed": {
            "area_m2": round(found.bed.area_m2, 1),
            "width_m": round(found.bed.width_m, 2),
            "length_m": round(found.bed.length_m, 2),
            "depth_m": found.bed.depth_m,
            "residence_d": round(found.bed.residence_d, 2),
            "second_area_m2": round(found.bed.second_area_m2, 1),
            "notes": list(found.bed.notes),
        },
        "places": [
            {
                "xy": [round(value, 2) for value in each.place.xy],
                "outlet_level_m": round(each.place.outlet_level_m, 2),
                "commanded_m2": round(each.place.commanded_m2, 0),
                "served_ha": round(each.served.area_ha, 2),
            }
            for each in found.places
        ],
        "reason": found.reason,
        "thirstiest_month": found.month,
        "left_l_d": round(1000.0 * found.left_m3_d),
        "pipe": None
        if found.route is None
        else {"length_m": round(found.route.length_m, 1), "deepest_m": round(found.route.deepest_m, 2)},
    }
