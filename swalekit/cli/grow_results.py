"""The results of a planting in a folder."""

from pathlib import Path
from typing import Any

from swalekit.design.greywater_plan import bed_outline
from swalekit.design.growth import Growth
from swalekit.design.growth_table import month_rows, year_rows
from swalekit.formats.geopackage import write_layers
from swalekit.formats.growth_csv import write_growth_tables
from swalekit.formats.growth_layers import growth_layers, served_polygon
from swalekit.formats.growth_summary import growth_summary
from swalekit.formats.layers import layers
from swalekit.formats.result_folder import result_folder
from swalekit.formats.summary import write_json
from swalekit.reporting.dry_months_chart import dry_months_sheet
from swalekit.reporting.map_sheet import map_sheet
from swalekit.reporting.planting_sheet import planting_content
from swalekit.reporting.planting_words import growth_words, planting_chapters
from swalekit.reporting.save import save_pages, save_png
from swalekit.reporting.text_sheets import text_sheets
from swalekit.reporting.water_year_chart import water_year_sheet


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
    bed = bed_outline(terrain, found.places[0], found.bed) if found is not None and found.places else None
    with result_folder(folder, overwrite=overwrite) as results:
        write_growth_tables(growth, results)
        write_layers(layers(growth.design) | growth_layers(growth), results / "site.gpkg")
        rows = month_rows(growth)
        if rows:
            title, least = site.site.name, site.planting.least_ratio
            chart = water_year_sheet(rows, title=title, least_ratio=least, units=site.site.units)
            save_png(chart, results / "water_year.png")
            chart = dry_months_sheet(year_rows(growth), title=title, least_ratio=least)
            save_png(chart, results / "dry_months.png")
        sheet = map_sheet(planting_content(growth, served=served_polygon(growth, 1), bed=bed))
        save_png(sheet, results / "planting.png")
        save_pages([sheet, *text_sheets(planting_chapters(growth), "A4")], results / "planting.pdf")
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
