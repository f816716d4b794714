"""The results of a plan in a folder."""

from dataclasses import replace
from pathlib import Path

from swalekit.design.brief.issue import about_of, issue_words, plan_number, title_of
from swalekit.design.brief.site import Site
from swalekit.design.plan.account_table import ACCOUNT_COLUMNS, account_rows
from swalekit.design.plan.columns import Column, Entry
from swalekit.design.plan.crossings import CROSSING_COLUMNS, crossing_table
from swalekit.design.plan.design import Design
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import MOST_FINE_CELLS
from swalekit.design.plan.storm_table import WATER_COLUMNS, water_rows
from swalekit.design.plan.table import SWALE_COLUMNS, swale_row, totals
from swalekit.design.plan.terrain_table import TERRAIN_POINT_COLUMNS, terrain_point_rows
from swalekit.design.stages.staged import STAGE_COLUMNS, Staged, build_in_stages, in_stages
from swalekit.formats.exchange.layers import write_geojson, write_layers
from swalekit.formats.exchange.lines_layer import LINE_COLUMNS, LINES_FILES, write_lines
from swalekit.formats.table import write_table
from swalekit.formats.terrain.cog import write_terrain
from swalekit.reporting.charts.stages.maps import stage_maps
from swalekit.reporting.charts.storm.water import water_sheet
from swalekit.reporting.charts.surface.bare_ground import bare_ground_sheet
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.results.folder.folder import result_folder, whole_file
from swalekit.results.folder.inputs import keep_inputs
from swalekit.results.folder.provenance import extended_summary, write_json
from swalekit.results.folder.seal import seal
from swalekit.results.plan.layers import BARE_GROUND_PICTURE, STAGE_PICTURE, STAGE_TABLE, frames, proposed_keep_outs
from swalekit.results.plan.record import plan_record

_PICTURE_DPI = 120
"""Enough to see a shrub on a site of some hectares, and little enough for a page."""


def write_plan(
    design: Design,
    folder: str | Path,
    *,
    staged: Staged | None = None,
    overwrite: bool = False,
    report: bool = False,
) -> None:
    """Write lines, layers, design surface, tables, map and summary of a design to a folder, whole or not at all.

    Parameters
    ----------
    design : Design
        The design.
    folder : str or Path
        Where the results go.
    staged : Staged, optional
        The same design in its seasons, where it was built in stages already; found here where the design asks for them
        and it isn't given.
    overwrite : bool
        Replace an earlier result there.
    report : bool
        Write the report too.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> write_plan(design, folder / "plan")
    >>> sorted(file.name for file in (folder / "plan").iterdir())
    ['brief.toml', 'cut_fill.tif', 'design_surface.tif', 'design_surface_fine.tif', 'earthwork.csv',
    'lines.geojson', 'lines.gpkg', 'map.pdf', 'map.png', 'site.gpkg', 'site_water.csv', 'site_water.png',
    'summary.json', 'swales.geojson', 'water_account.csv']
    """
    with result_folder(folder, overwrite=overwrite, carried=carried_lines(design.site)) as results:
        write_plan_files(design, results, folder=folder, staged=staged)
        if report:
            write_report(results)


def carried_lines(site: Site) -> dict[Path, str]:
    """The file of lines that a site's brief names, if it is called as that of a plan.

    Parameters
    ----------
    site : Site
        The site.

    Returns
    -------
    dict of Path to str
        Its SHA-256 as it was read, by its path: it may be edited in the folder of a plan that is replaced, since the
        new plan carries every decision on.

    Examples
    --------
    >>> carried_lines(site)
    {}
    """
    file, lines = site.brief.lines.file, site.lines
    if file is None or lines is None or Path(file).name not in LINES_FILES:
        return {}
    return {Path(file): lines.sha256}


def write_plan_files(design: Design, results: Path, *, folder: str | Path, staged: Staged | None = None) -> None:
    """Write the files of a plan to a folder that is there.

    Parameters
    ----------
    design : Design
        The design.
    results : Path
        Where they are written.
    folder : str or Path
        Where they will lie, from which the summary gives the paths of the inputs.
    staged : Staged, optional
        As for `write_plan`.
    """
    if staged is None and in_stages(design):
        staged = build_in_stages(design)
    design = design if staged is None else staged.design
    record = plan_record(design, folder=folder)
    design = replace(design, site=replace(design.site, of_plan=plan_number(record.summary)))
    layers = frames(record.layers, design.ground.terrain.grid.crs)
    about = about_of(design.site)
    write_geojson(layers["swales"], results / "swales.geojson", about=about)
    write_layers(layers, results / "site.gpkg", about=title_of(design.site))
    for name in LINES_FILES:
        write_lines(lines_of(design), results / name)
    write_table(_earthwork_rows(design), SWALE_COLUMNS, results / "earthwork.csv")
    ground, built_m, fine = design.ground.terrain, design.surface.cell_heights, design.surface.fine_grid
    write_terrain(results / "design_surface.tif", built_m, ground.grid)
    if fine is not None and fine.n_cells <= MOST_FINE_CELLS:
        write_terrain(results / "design_surface_fine.tif", design.surface.fine_heights(), fine)
    write_terrain(results / "cut_fill.tif", built_m, ground.grid, above=ground.heights)
    told: dict[str, tuple[Column, ...]] = {"lines": LINE_COLUMNS}
    if staged is not None:
        told["stages"] = STAGE_COLUMNS
        write_table(staged.rows, STAGE_COLUMNS, results / STAGE_TABLE)
        save_png(stage_maps(staged), results / STAGE_PICTURE)
    if design.site.crossings:
        told["crossings"] = CROSSING_COLUMNS
        write_table(crossing_table(design), CROSSING_COLUMNS, results / "crossings.csv")
    if design.account is not None:
        told["water_account"] = ACCOUNT_COLUMNS
        write_table(account_rows(design), ACCOUNT_COLUMNS, results / "water_account.csv")
    if design.run is not None:
        told["site_water"] = WATER_COLUMNS
        write_table(water_rows(design.run.design), WATER_COLUMNS, results / "site_water.csv")
        save_png(water_sheet(design), results / "site_water.png")
    if ground.control is not None:
        told["terrain_points"] = TERRAIN_POINT_COLUMNS
        write_table(terrain_point_rows(ground.control), TERRAIN_POINT_COLUMNS, results / "terrain_points.csv")
    if ground.taken_off is not None:
        save_png(bare_ground_sheet(design), results / BARE_GROUND_PICTURE, dpi=_PICTURE_DPI)
        write_geojson(proposed_keep_outs(design), results / "proposed_keep_outs.geojson")
    sheet = map_sheet(plan_content(record))
    save_png(sheet, results / "map.png")
    save_pdf([sheet], results / "map.pdf", title=title_of(design.site))
    keep_inputs(design.site, record.summary["inputs"], results)
    write_json(extended_summary(record.summary, {}, told), results / "summary.json")
    seal(results)


def _earthwork_rows(design: Design) -> list[dict[str, Entry]]:
    """A row a swale, one for mobilisation where there are prices, and the totals of those columns that have one."""
    rows, total = [swale_row(swale, design.rates) for swale in design.swales], totals(design)
    if design.cost is not None:
        rows.append({"swale": "mobilisation", "cost": round(design.site.brief.rates.mobilisation)})
    summed = {column.name: total[column.name] for column in SWALE_COLUMNS if column.name in total}
    return [*rows, {"swale": "total", **summed}]


def write_report(
    folder: str | Path,
    *,
    options: str | Path | None = None,
    growth: str | Path | None = None,
    reliability: str | Path | None = None,
    bunding: str | Path | None = None,
    budget: str | Path | None = None,
    pdf: bool = False,
) -> None:
    """Write the report of a plan's folder into that folder, in place of an older one, whole or not at all.

    Parameters
    ----------
    folder : str or Path
        Folder that a plan was written to.
    options : str or Path, optional
        Folder that a comparison was written to, shown beside the plan.
    growth, reliability : str or Path, optional
        Folders that a planting, and how sure the plan is, were written to.
    bunding : str or Path, optional
        Folder that microcatchments beside the swales were written to.
    budget : str or Path, optional
        Folder that a budget was written to.
    pdf : bool
        Write it as sheets for printing too.

    Raises
    ------
    InputError
        If a folder lacks what a report needs.
    OutputError
        If the report can't be written.

    Examples
    --------
    >>> write_report(plan_folder)
    >>> (plan_folder / "report.html").exists()
    True
    """
    from swalekit.reporting.report.page import report_html
    from swalekit.reporting.report.sheets import report_sheets
    from swalekit.results.plan.beside import (
        read_budget_folder,
        read_bunding_folder,
        read_growth_folder,
        read_reliability_folder,
    )
    from swalekit.results.plan.read import read_plan_folder

    record, folder = read_plan_folder(folder, options=options), Path(folder)
    record = replace(
        record,
        growth=None if growth is None else read_growth_folder(growth, record),
        reliability=None if reliability is None else read_reliability_folder(reliability, record),
        bunding=None if bunding is None else read_bunding_folder(bunding, record),
        budget=None if budget is None else read_budget_folder(budget, record),
    )
    with whole_file(folder / "report.html") as page:
        page.write_text(report_html(record), encoding="utf-8")
        if pdf:
            with whole_file(folder / "report.pdf") as sheets:
                title = f"{record.summary['site']} · {issue_words(record.summary)}"
                save_pdf(report_sheets(record), sheets, title=title)
