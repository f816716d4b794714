"""Options and spacing rules side by side, in a folder."""

from pathlib import Path
from typing import Any

from swalekit.design.brief.site import Site
from swalekit.design.options.comparison import OPTION_COLUMNS, Comparison
from swalekit.design.options.spacing_table import SPACING_COLUMNS, SpacingTable
from swalekit.formats.exchange.geopackage import write_layers
from swalekit.reporting.charts.options.comparison import comparison_sheet
from swalekit.reporting.charts.options.maps import option_maps
from swalekit.reporting.paper.save import save_png
from swalekit.reporting.words.option_words import comparison_summary
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.provenance import made_from, meanings, versions, write_json
from swalekit.results.options.layers import option_layers
from swalekit.results.options.options_csv import write_options
from swalekit.results.options.spacing_csv import write_spacing


def write_comparison(comparison: Comparison, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write the table of options, its chart, lines and maps of some, and a summary to a folder, whole or not at all.

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
        write_layers(option_layers(comparison), results / "options.gpkg")
        if comparison.kept:
            save_png(option_maps(comparison), results / "options_maps.png")
        write_json(option_record(comparison, folder), results / "summary.json")


def option_record(comparison: Comparison, folder: str | Path) -> dict[str, Any]:
    """What a comparison says and what it was made from, as its summary holds it.

    Parameters
    ----------
    comparison : Comparison
        The options.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    record = {"versions": versions(), "columns": {"options": meanings(OPTION_COLUMNS)}}
    return comparison_summary(comparison) | made_from(comparison.site.brief, folder) | record


def write_spacing_rules(table: SpacingTable, site: Site, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write the table of spacing rules and a summary to a folder, whole or not at all.

    Parameters
    ----------
    table : SpacingTable
        Rules side by side.
    site : Site
        The site that they stand for.
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
        write_spacing(table, results / "spacing_rules.csv")
        write_json(spacing_record(table, site, folder), results / "summary.json")


def spacing_record(table: SpacingTable, site: Site, folder: str | Path) -> dict[str, Any]:
    """Spacing rules and what they were worked from, as their summary holds it; see `option_record`."""
    record = {"versions": versions(), "columns": {"rules": meanings(SPACING_COLUMNS)}}
    return table.summary | made_from(site.brief, folder) | record
