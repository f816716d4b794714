"""How sure a layout is, in a folder."""

from pathlib import Path

import geopandas
import shapely

from swalekit.contours.wander import wander_band
from swalekit.design.brief.issue import title_of
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.sizes import SIZE_COLUMNS, Sizes, size_rows, sizes_summary
from swalekit.design.reliability.table import RELIABILITY_COLUMNS, reliability_rows, reliability_summary
from swalekit.formats.exchange.layers import feature_layer, write_layers
from swalekit.formats.table import write_table
from swalekit.reporting.charts.reliability.chances import reliability_sheet
from swalekit.reporting.charts.reliability.map import reliability_content
from swalekit.reporting.charts.reliability.sizes import sizes_sheet
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import made_from
from swalekit.results.folder.provenance import belongs_to, whole_summary, write_json


def write_reliability(
    reliability: Reliability, folder: str | Path, *, sizes: Sizes | None = None, overwrite: bool = False
) -> None:
    """Write table, layers, chart, map and summary to a folder, whole or not at all.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    folder : str or Path
        Where the results go.
    sizes : Sizes, optional
        Layouts of other sizes, which get a table and a chart of their own.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> write_reliability(reliability, folder / "reliability")
    >>> sorted(file.name for file in (folder / "reliability").iterdir())
    ['map.pdf', 'map.png', 'reliability.csv', 'reliability.gpkg', 'reliability.png', 'summary.json']
    """
    site, columns = reliability.layout.site, {"swales": RELIABILITY_COLUMNS}
    columns |= {} if sizes is None else {"sizes": SIZE_COLUMNS}
    made_of = made_from(site.brief, {**site.hashes, **reliability.ground.terrain.hashes}, folder)
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(reliability_rows(reliability), RELIABILITY_COLUMNS, results / "reliability.csv")
        write_layers(
            _reliability_layers(reliability),
            results / "reliability.gpkg",
            about=title_of(site),
        )
        save_png(reliability_sheet(reliability), results / "reliability.png")
        sheet = map_sheet(reliability_content(reliability))
        save_png(sheet, results / "map.png")
        save_pdf([sheet], results / "map.pdf", title=title_of(site))
        if sizes is not None:
            write_table(size_rows(sizes), SIZE_COLUMNS, results / "sizes.csv")
            save_png(sizes_sheet(sizes), results / "sizes.png")
        told = reliability_summary(reliability) | belongs_to(site)
        told |= {} if sizes is None else {"sizes": sizes_summary(sizes)}
        write_json(whole_summary(told, made_of, columns), results / "summary.json")


def _reliability_layers(reliability: Reliability) -> dict[str, geopandas.GeoDataFrame]:
    """Layers ``swales``, lines with how sure they are, and ``bands``, in which the lines may lie."""
    swales, spreads = reliability.layout.swales, reliability.spreads
    *rows, _ = reliability_rows(reliability)
    names = ("swale", "wander_m", "greatest_wander_m")
    lines = [shapely.LineString(swale.line.path) for swale in swales]
    bands = [wander_band(swale.line, spreads.height_sigma_m(swale.drawn_sigma_m)) for swale in swales]
    crs = reliability.ground.terrain.grid.crs
    return {
        "swales": feature_layer(rows, lines, crs, kind="LineString"),
        "bands": feature_layer([{name: row[name] for name in names} for row in rows], bands, crs, kind="Unknown"),
    }
