"""The results of a planting in a folder."""

from collections.abc import Callable, Mapping, Sequence
from pathlib import Path
from typing import Any

from swalekit.design.brief.issue import title_of
from swalekit.design.budget.bill import BILL_COLUMNS, bill_rows
from swalekit.design.growth.bed_table import (
    BED_COLUMNS,
    BED_GROUND_COLUMNS,
    BED_STAKE_COLUMNS,
    BED_WATER_COLUMNS,
    bed_ground_rows,
    bed_rows,
    bed_stake_rows,
    bed_water_rows,
)
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.guilds import GUILD_COLUMNS, guild_rows
from swalekit.design.growth.house_table import (
    BASIN_COLUMNS,
    OUTLET_COLUMNS,
    TOILET_COLUMNS,
    basin_rows,
    outlet_rows,
    toilet_rows,
)
from swalekit.design.growth.palette_table import PALETTE_COLUMNS, palette_rows
from swalekit.design.growth.plant_table import (
    CALENDAR_COLUMNS,
    NURSERY_COLUMNS,
    SCHEDULE_COLUMNS,
    SPECIES_COLUMNS,
    calendar_rows,
    nursery_rows,
    schedule_rows,
    species_rows,
)
from swalekit.design.growth.table import (
    GROW_COLUMNS,
    GROW_TOTALS,
    MONTH_COLUMNS,
    STAND_COLUMNS,
    WATERING_COLUMNS,
    YEAR_COLUMNS,
    Row,
    grow_row,
    grow_totals,
    month_rows,
    stand_rows,
    watering_rows,
    year_rows,
)
from swalekit.design.plan.columns import Column
from swalekit.formats.exchange.layers import write_geojson, write_layers
from swalekit.formats.table import write_table
from swalekit.reporting.charts.growth.dry_months import dry_months_sheet
from swalekit.reporting.charts.growth.water_year import water_year_sheet
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.reporting.report.text_sheets import text_sheets
from swalekit.reporting.words.planting_words import growth_words, planting_chapters
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import keep_inputs
from swalekit.results.folder.provenance import extended_summary, write_json
from swalekit.results.growth.layers import TREE_COLUMNS, growth_content, growth_layers, place_figures, tree_rows
from swalekit.results.plan.layers import frames
from swalekit.results.plan.record import plan_record


def _bill_rows(growth: Growth) -> list[Row]:
    return bill_rows(growth.bill, first_year=growth.design.site.brief.planting.calendar_year(1))


TABLES: dict[str, tuple[Callable[[Growth], list[Row]], tuple[Column, ...]]] = {
    "planting": (lambda growth: [grow_row(swale) for swale in growth.swales], GROW_COLUMNS),
    "watering": (watering_rows, WATERING_COLUMNS),
    "trees": (tree_rows, TREE_COLUMNS),
    "water_year": (month_rows, MONTH_COLUMNS),
    "years": (year_rows, YEAR_COLUMNS),
    "stand": (stand_rows, STAND_COLUMNS),
    "guilds": (guild_rows, GUILD_COLUMNS),
    "palette": (palette_rows, PALETTE_COLUMNS),
    "species": (species_rows, SPECIES_COLUMNS),
    "schedule": (schedule_rows, SCHEDULE_COLUMNS),
    "nursery": (nursery_rows, NURSERY_COLUMNS),
    "calendar": (calendar_rows, CALENDAR_COLUMNS),
    "bill": (_bill_rows, BILL_COLUMNS),
}
"""Name of each table -> its rows and columns: a row a swale, a plant, a month of the mean year, of the record, …"""

HOUSE_TABLES: dict[str, tuple[Callable[[Growth], list[Row]], tuple[Column, ...]]] = {
    "outlets": (outlet_rows, OUTLET_COLUMNS),
    "basins": (basin_rows, BASIN_COLUMNS),
    "toilet": (toilet_rows, TOILET_COLUMNS),
}
"""The tables that are written where the house has several outlets, a branched drain, a compost toilet."""

BED_TABLES: dict[str, tuple[Callable[[Growth], list[Row]], tuple[Column, ...]]] = {
    "beds": (bed_rows, BED_COLUMNS),
    "bed_stakes": (bed_stake_rows, BED_STAKE_COLUMNS),
    "bed_water": (bed_water_rows, BED_WATER_COLUMNS),
    "bed_ground": (bed_ground_rows, BED_GROUND_COLUMNS),
}
"""The tables that are written where the brief asks for annual beds."""

COLUMNS = {"planting": GROW_COLUMNS, "planting totals": GROW_TOTALS} | {
    name: columns for name, (_, columns) in (TABLES | BED_TABLES | HOUSE_TABLES).items()
}


def write_growth(growth: Growth, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write tables, layers, map, charts and summary of a planting to a folder, whole or not at all.

    Parameters
    ----------
    growth : Growth
        The planting.
    folder : str or Path
        Where the results go. No charts are written where no tree is planted.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> write_growth(growth, folder / "grow")
    >>> sorted(file.name for file in (folder / "grow").iterdir())
    ['bill.csv', 'brief.toml', 'calendar.csv', 'dry_months.png', 'guilds.csv', 'nursery.csv', 'palette.csv',
    'planting.csv', 'planting.pdf', 'planting.png', 'schedule.csv', 'site.gpkg', 'species.csv', 'stand.csv',
    'summary.json', 'trees.csv', 'water_year.csv', 'water_year.png', 'watering.csv', 'years.csv']
    """
    plan = plan_record(growth.design, folder=folder, hashes=growth.hashes)
    asked = TABLES if growth.garden is None else TABLES | BED_TABLES
    tables = {name: rows_of(growth) for name, (rows_of, _) in asked.items()}
    house = {name: rows_of(growth) for name, (rows_of, _) in HOUSE_TABLES.items()}
    with result_folder(folder, overwrite=overwrite) as results:
        for name, rows in tables.items():
            write_table(rows, COLUMNS[name], results / f"{name}.csv")
        for name, rows in house.items():
            if len(rows) > (name == "outlets"):
                write_table(rows, COLUMNS[name], results / f"{name}.csv")
        layers = frames(plan.layers, plan.ground.grid.crs) | growth_layers(growth)
        write_layers(layers, results / "site.gpkg", about=title_of(growth.design.site))
        if growth.garden is not None:
            write_geojson(layers["beds"], results / "beds.geojson")
        if tables["water_year"]:
            save_png(water_year_sheet(growth), results / "water_year.png")
            save_png(dry_months_sheet(growth), results / "dry_months.png")
        sheet = map_sheet(growth_content(growth, plan))
        save_png(sheet, results / "planting.png")
        sheets = [sheet, *text_sheets(planting_chapters(growth), "A4")]
        save_pdf(sheets, results / "planting.pdf", title=title_of(growth.design.site))
        keep_inputs(growth.design.site, plan.summary["inputs"], results)
        told = {"planting": _planting_summary(growth, tables)}
        write_json(extended_summary(plan.summary, told, COLUMNS), results / "summary.json")


def _planting_summary(growth: Growth, tables: Mapping[str, Sequence[Row]]) -> dict[str, Any]:
    """The planting, with what it comes to in sentences, in JSON types."""
    place, mulch = growth.weather.place, growth.mulch
    return {
        "totals": grow_totals(growth),
        "swales": tables["planting"],
        "least_ratio": growth.design.site.brief.planting.least_ratio,
        "trees_by_least_ratio": {f"{ratio:g}": trees for ratio, trees in growth.trees_at.items()},
        "trees_by_root_spread": {f"{spread:g}": trees for spread, trees in growth.trees_at_spread.items()},
        "watering": [row for row in tables["watering"] if row["swale"] == "all"],
        "species": {species.name: plants for species, plants in growth.counts.items()},
        "station": {"latitude_deg": place.latitude_deg, "elevation_m": place.elevation_m},
        "days_by_way": growth.reference.air.days_by_way,
        "root_zone_mm": round(growth.zone.total_mm, 1),
        "water_year": tables["water_year"],
        "wet_months": list(growth.season.months),
        **{name: tables[name] for name in ("stand", "schedule")},
        "mulch_m3_by_year": {
            "needed": [round(volume, 1) for volume in mulch.needed_m3.tolist()],
            "grown": [round(volume, 1) for volume in mulch.grown_m3.tolist()],
        },
        **{name: tables[name] for name in ("nursery", "calendar", "bill")},
        "unpriced": list(growth.bill.unpriced),
        "greywater": None if growth.greywater is None else _greywater(growth),
        "toilet": toilet_rows(growth) or None,
        "beds": None if growth.garden is None else _beds(growth, tables),
        "notes": list(growth.notes),
        "cautions": growth.cautions,
        "words": list(growth_words(growth)),
    }


def _beds(growth: Growth, tables: Mapping[str, Sequence[Row]]) -> dict[str, Any]:
    """Annual beds and their water, in JSON types."""
    garden, water = growth.garden, growth.bed_water
    assert garden is not None
    assert water is not None
    return {
        "beds": len(garden.beds),
        "area_m2": round(garden.area_m2, 1),
        "length_m": round(garden.length_m, 1),
        "levelled": sum(bed.levelled for bed in garden.beds),
        "wall_length_m": round(garden.wall_length_m, 1),
        "moved_m3": round(garden.moved_m3, 2),
        "ground": tables["bed_ground"],
        "thirstiest_month": water.thirstiest,
        "carried_m2": round(water.carried_m2, 1),
        "tank_m3": water.tank_m3,
        "months": tables["bed_water"],
    }


def _greywater(growth: Growth) -> dict[str, Any]:
    found = growth.greywater
    assert found is not None
    house, bed, pipe, drain = found.house, found.bed, found.route, found.drain
    places = [(water, place_figures(water)) for water in found.places]
    return {
        "flow_l_d": found.household.flow_l_d(),
        "outlets": outlet_rows(growth),
        "outlet": {"xy": [round(value, 2) for value in house.xy], "level_m": round(house.level_m, 2)},
        "kind": growth.design.site.brief.greywater.kind,
        "basins": basin_rows(growth),
        "branches_m": None if drain is None else round(drain.length_m, 1),
        "loading_mm_d": None if drain is None else round(drain.need.loading_mm_d, 1),
        "bed": None
        if drain is not None
        else {
            "area_m2": round(bed.area_m2, 1),
            "width_m": round(bed.width_m, 2),
            "length_m": round(bed.length_m, 2),
            "depth_m": bed.depth_m,
            "residence_d": round(bed.residence_d, 2),
            "second_area_m2": round(bed.second_area_m2, 1),
            "notes": list(bed.notes),
        },
        "places": [
            {
                "xy": [round(value, 2) for value in water.place.xy],
                "outlet_level_m": figures["outlet_level_m"],
                "commanded_m2": figures["commanded_m2"],
                "served_ha": round(water.served.area_ha, 2),
            }
            for water, figures in places
        ],
        "reason": found.reason,
        "thirstiest_month": found.month,
        "left_l_d": round(1000.0 * found.left_m3_d),
        "pipe": None if pipe is None else {"length_m": round(pipe.length_m, 1), "deepest_m": round(pipe.deepest_m, 2)},
    }
