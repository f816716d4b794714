"""The results of a storm analysis in a folder."""

from pathlib import Path

from swalekit.design.brief.site import Site
from swalekit.design.plan.storm_table import STORM_COLUMNS, storm_rows, storm_summary
from swalekit.formats.table import write_table
from swalekit.reporting.charts.storm.rain import storm_sheet
from swalekit.reporting.paper.save import save_png
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.inputs import made_from
from swalekit.results.folder.provenance import whole_summary, write_json


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

    Examples
    --------
    >>> write_storm(site, folder / "storm")
    >>> sorted(file.name for file in (folder / "storm").iterdir())
    ['storm.csv', 'storm.png', 'summary.json']
    """
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(storm_rows(site), STORM_COLUMNS, results / "storm.csv")
        save_png(storm_sheet(site), results / "storm.png")
        made_of, columns = made_from(site.brief, site.hashes, folder), {"by_return_period": STORM_COLUMNS}
        write_json(whole_summary(storm_summary(site), made_of, columns), results / "summary.json")
