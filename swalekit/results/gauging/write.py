"""Gauge notes read back, in a folder."""

from pathlib import Path

from swalekit.design.gauging.gauging import Gauging
from swalekit.design.gauging.table import GAUGE_COLUMNS, gauge_rows, gauge_summary
from swalekit.formats.table import write_table
from swalekit.reporting.charts.gauging.runoff import gauge_chart
from swalekit.reporting.paper.save import save_png
from swalekit.reporting.words.gauge_words import gauge_words
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import input_file
from swalekit.results.folder.provenance import belongs_to, whole_summary, write_json
from swalekit.results.plan.record import plan_record

COLUMNS = {"readings": GAUGE_COLUMNS}


def write_gauging(
    gauging: Gauging, folder: str | Path, *, notes: str | Path | None = None, overwrite: bool = False
) -> None:
    """Write readings, chart and summary to a folder, whole or not at all.

    Parameters
    ----------
    gauging : Gauging
        Notes read back.
    folder : str or Path
        Where the results go.
    notes : str or Path, optional
        File of the notes, which the summary then names with its hash.
    overwrite : bool
        Replace an earlier result there.

    Raises
    ------
    OutputError
        If the folder is taken or can't be written.

    Examples
    --------
    >>> from swalekit.design.gauging import GaugeNote, gauge
    >>> write_gauging(gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, depth_m=0.2)]), folder / "gauge")
    >>> sorted(file.name for file in (folder / "gauge").iterdir())
    ['gauge.csv', 'gauge.png', 'summary.json']
    """
    plan = plan_record(gauging.design, folder=folder).summary
    inputs = [*plan["inputs"], *([] if notes is None else [input_file("notes", notes, folder)])]
    site = gauging.design.site
    told = {"site": site.brief.site.name, **belongs_to(site), "gauging": gauge_summary(gauging)}
    told |= {"said": gauge_words(gauging)}
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(gauge_rows(gauging), GAUGE_COLUMNS, results / "gauge.csv")
        save_png(gauge_chart(gauging), results / "gauge.png")
        made_of = {"brief": plan["brief"], "inputs": inputs}
        write_json(whole_summary(told, made_of, COLUMNS), results / "summary.json")
