"""Options and spacing rules side by side, in a folder."""

from pathlib import Path
from typing import Any

import geopandas
import shapely

from swalekit.design.brief.site import Site
from swalekit.design.options.comparison import OPTION_COLUMNS, Comparison
from swalekit.design.options.spacing_table import SPACING_COLUMNS, SpacingTable
from swalekit.formats.exchange.layers import feature_layer, write_layers
from swalekit.formats.table import write_table
from swalekit.reporting.charts.options.comparison import comparison_sheet
from swalekit.reporting.charts.options.maps import option_maps
from swalekit.reporting.paper.save import save_png
from swalekit.reporting.words.option_words import comparison_summary
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import made_from
from swalekit.results.folder.provenance import whole_summary, write_json
from swalekit.terrain.terrain import Terrain


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

    Examples
    --------
    >>> write_comparison(comparison, folder / "compare")
    >>> sorted(file.name for file in (folder / "compare").iterdir())
    ['options.csv', 'options.gpkg', 'options.png', 'options_maps.png', 'summary.json']
    """
    columns, hashes = {"options": OPTION_COLUMNS}, {**comparison.site.hashes, **comparison.terrain.hashes}
    made_of = made_from(comparison.site.brief, hashes, folder)
    with result_folder(folder, overwrite=overwrite) as results:
        write_table([option.figures for option in comparison.options], OPTION_COLUMNS, results / "options.csv")
        save_png(comparison_sheet(comparison), results / "options.png")
        write_layers(option_layers(comparison), results / "options.gpkg")
        if comparison.kept:
            save_png(option_maps(comparison), results / "options_maps.png")
        write_json(whole_summary(comparison_summary(comparison), made_of, columns), results / "summary.json")


def option_layers(comparison: Comparison) -> dict[str, geopandas.GeoDataFrame]:
    """Lines of the options that stand out.

    Parameters
    ----------
    comparison : Comparison
        The options; those without lines are left out.

    Returns
    -------
    dict
        ``swales``, a line each with number and words of its option, and ``options``, all lines of one with its figures.

    Examples
    --------
    >>> {name: len(layer) for name, layer in option_layers(comparison).items()}
    {'swales': 5, 'options': 2}
    """
    crs, rows, lines, gathered = comparison.terrain.grid.crs, list[dict[str, Any]](), [], []
    for option in comparison.kept:
        own = [shapely.LineString(line.xy) for line in option.lines]
        gathered.append(shapely.MultiLineString(own))
        lines += own
        for line, shape in zip(option.lines, own, strict=True):
            row = {"number": option.number, "option": option.label, "swale": line.swale}
            rows.append(row | {"level_m": round(line.level_m, 2), "length_m": round(shape.length, 1)})
    figures = [option.figures for option in comparison.kept]
    return {
        "swales": feature_layer(rows, lines, crs, kind="LineString"),
        "options": feature_layer(figures, gathered, crs, kind="MultiLineString"),
    }


def write_spacing_rules(
    table: SpacingTable,
    site: Site,
    folder: str | Path,
    *,
    terrain: Terrain | None = None,
    overwrite: bool = False,
) -> None:
    """Write the table of spacing rules and a summary to a folder, whole or not at all.

    Parameters
    ----------
    table : SpacingTable
        Rules side by side.
    site : Site
        The site that they stand for.
    folder : str or Path
        Where the results go.
    terrain : Terrain, optional
        The conditioned tile that they were worked out on, for the record.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> from swalekit.design.options import spacing_rules_of
    >>> write_spacing_rules(spacing_rules_of(site, terrain), site, folder / "rules")
    >>> sorted(file.name for file in (folder / "rules").iterdir())
    ['spacing_rules.csv', 'summary.json']
    """
    hashes = {**site.hashes, **({} if terrain is None else terrain.hashes)}
    made_of, columns = made_from(site.brief, hashes, folder), {"rules": SPACING_COLUMNS}
    with result_folder(folder, overwrite=overwrite) as results:
        write_table([table.figures(row) for row in table.rows], SPACING_COLUMNS, results / "spacing_rules.csv")
        write_json(whole_summary(table.summary, made_of, columns), results / "summary.json")
