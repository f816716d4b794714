"""How sure a layout is, in a folder."""

from pathlib import Path
from typing import Any

from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import RELIABILITY_COLUMNS, reliability_summary
from swalekit.formats.exchange.geopackage import write_layers
from swalekit.reporting.charts.reliability.reliability_map import reliability_content
from swalekit.reporting.charts.reliability.reliability_sheet import reliability_sheet
from swalekit.reporting.map.sheet import map_sheet
from swalekit.reporting.paper.save import save_pdf, save_png
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.provenance import made_from, meanings, versions, write_json
from swalekit.results.reliability.csv import write_reliability_table
from swalekit.results.reliability.layers import reliability_layers


def write_reliability(reliability: Reliability, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write table, layers, chart, map and summary to a folder, whole or not at all.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
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
        write_reliability_table(reliability, results / "reliability.csv")
        write_layers(reliability_layers(reliability), results / "reliability.gpkg")
        save_png(reliability_sheet(reliability), results / "reliability.png")
        sheet = map_sheet(reliability_content(reliability))
        save_png(sheet, results / "map.png")
        save_pdf([sheet], results / "map.pdf")
        write_json(reliability_record(reliability, folder), results / "summary.json")


def reliability_record(reliability: Reliability, folder: str | Path) -> dict[str, Any]:
    """How sure a layout is and what was drawn from, as its summary holds it.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    folder : str or Path
        Folder of the results, from which the paths of the inputs are given.
    """
    record = {"versions": versions(), "columns": {"swales": meanings(RELIABILITY_COLUMNS)}}
    return reliability_summary(reliability) | made_from(reliability.layout.site.brief, folder) | record
