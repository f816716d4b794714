"""The results of a plan in a folder."""

from pathlib import Path

from swalekit.design.design import Design
from swalekit.design.options import Comparison
from swalekit.design.site import Site
from swalekit.design.storm_table import storm_summary
from swalekit.formats.cog import write_terrain
from swalekit.formats.earthwork_csv import write_earthwork
from swalekit.formats.geojson import write_geojson
from swalekit.formats.geopackage import write_geopackage
from swalekit.formats.layers import catchment_polygons, pond_polygons
from swalekit.formats.options_csv import write_options
from swalekit.formats.result_folder import result_folder
from swalekit.formats.storm_csv import write_storm_table
from swalekit.formats.summary import write_json, write_summary
from swalekit.formats.water_csv import write_water
from swalekit.reporting.comparison_sheet import comparison_sheet
from swalekit.reporting.map_sheet import map_sheet
from swalekit.reporting.plan_map import plan_content
from swalekit.reporting.save import save_pdf, save_png
from swalekit.reporting.storm_sheet import storm_sheet
from swalekit.reporting.water_chart import water_sheet


def write_plan(design: Design, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write lines, layers, design surface, tables, map and summary of a design to a folder, whole or not at all.

    Parameters
    ----------
    design : Design
        The design.
    folder : str or Path
        Where the results go.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.
    """
    with result_folder(folder, overwrite=overwrite) as results:
        write_geojson(design, results / "swales.geojson")
        write_geopackage(design, results / "site.gpkg")
        write_earthwork(design, results / "earthwork.csv")
        grid, moved_m = design.ground.terrain.grid, design.surface.heights - design.ground.terrain.heights
        write_terrain(results / "design_surface.tif", design.surface.heights, grid)
        write_terrain(results / "cut_fill.tif", moved_m, grid)
        if design.run is not None:
            write_water(design.run.design, results / "storm.csv")
            part = design.site.brief.site
            save_png(water_sheet(design.run.design, title=part.name, units=part.units), results / "storm.png")
        content = plan_content(design, catchments=catchment_polygons(design), ponds=pond_polygons(design))
        sheet = map_sheet(content)
        save_png(sheet, results / "map.png")
        save_pdf(sheet, results / "map.pdf")
        write_summary(design, results / "summary.json")


def write_storm(site: Site, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write the storm analysis of a site to a folder, whole or not at all.

    Parameters
    ----------
    site : Site
        The site.
    folder : str or Path
        Where the results go.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.
    """
    with result_folder(folder, overwrite=overwrite) as results:
        write_storm_table(site, results / "storm.csv")
        save_png(storm_sheet(site), results / "storm.png")
        write_json(storm_summary(site), results / "summary.json")


def write_comparison(comparison: Comparison, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write the table of options, its chart and a summary to a folder, whole or not at all.

    Parameters
    ----------
    comparison : Comparison
        The options, one or more.
    folder : str or Path
        Where the results go.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.
    """
    with result_folder(folder, overwrite=overwrite) as results:
        write_options(comparison, results / "options.csv")
        save_png(comparison_sheet(comparison), results / "options.png")
        write_json({"options": [option.figures for option in comparison.options]}, results / "summary.json")
