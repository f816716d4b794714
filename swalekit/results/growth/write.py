"""The results of a planting in a folder."""

from pathlib import Path
from typing import Any

from swalekit.design.growth.greywater_plan import bed_outline
from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import month_rows, year_rows
from swalekit.formats.exchange.geopackage import write_layers
from swalekit.reporting.charts.growth.dry_months_chart import dry_months_sheet
from swalekit.reporting.charts.growth.planting_sheet import planting_content
from swalekit.reporting.charts.growth.water_year_chart import water_year_sheet
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.reporting.report.text_sheets import text_sheets
from swalekit.reporting.words.planting_words import growth_words, planting_chapters
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.provenance import write_json
from swalekit.results.growth.csv import write_growth_tables
from swalekit.results.growth.layers import growth_layers, served_polygon
from swalekit.results.growth.summary import growth_summary
from swalekit.results.plan.layers import frames
from swalekit.results.plan.record import plan_record


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
    """
    site, terrain, found = growth.design.site.brief, growth.design.ground.terrain, growth.greywater
    plan = plan_record(growth.design)
    bed = bed_outline(terrain, found.places[0], found.bed) if found is not None and found.places else None
    with result_folder(folder, overwrite=overwrite) as results:
        write_growth_tables(growth, results)
        write_layers(frames(plan.layers, terrain.grid.crs) | growth_layers(growth), results / "site.gpkg")
        rows = month_rows(growth)
        if rows:
            title, least = site.site.name, site.planting.least_ratio
            chart = water_year_sheet(rows, title=title, least_ratio=least, units=site.site.units)
            save_png(chart, results / "water_year.png")
            chart = dry_months_sheet(year_rows(growth), title=title, least_ratio=least)
            save_png(chart, results / "dry_months.png")
        sheet = map_sheet(planting_content(growth, plan, served=served_polygon(growth, 1), bed=bed))
        save_png(sheet, results / "planting.png")
        save_pdf([sheet, *text_sheets(planting_chapters(growth), "A4")], results / "planting.pdf")
        write_json(told_growth(growth, folder=folder), results / "summary.json")


def told_growth(growth: Growth, *, folder: str | Path) -> dict[str, Any]:
    """The summary of a planting with what it comes to in sentences, in JSON types.

    Parameters
    ----------
    growth : Growth
        The planting.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    told = growth_summary(growth, folder=folder)
    return told | {"planting": told["planting"] | {"words": list(growth_words(growth))}}
