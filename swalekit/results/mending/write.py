"""A mended layout, or what mending would do, in a folder."""

from pathlib import Path

from swalekit.design.mending.mend import Mended
from swalekit.design.mending.table import MENDING_COLUMNS, mending_rows, mending_summary
from swalekit.formats.table import write_table
from swalekit.results.folder.folder import result_folder
from swalekit.results.folder.provenance import extended_summary, whole_summary, write_json
from swalekit.results.folder.seal import seal
from swalekit.results.plan.read import read_summary
from swalekit.results.plan.record import plan_record
from swalekit.results.plan.write import carried_lines, write_plan_files, write_report

COLUMNS = {"mending": MENDING_COLUMNS}


def write_mended(mended: Mended, folder: str | Path, *, overwrite: bool = False, report: bool = False) -> None:
    """Write the mended layout: a plan's folder, all of its lines held, with what was tried, whole or not at all.

    Parameters
    ----------
    mended : Mended
        Before and after.
    folder : str or Path
        Where the results go.
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
    >>> from swalekit.design.mending import mend
    >>> write_mended(mend(design), folder / "mended")
    >>> (folder / "mended" / "mending.csv").exists(), (folder / "mended" / "lines.gpkg").exists()
    (True, True)
    """
    with result_folder(folder, overwrite=overwrite, carried=carried_lines(mended.after.site)) as results:
        write_plan_files(mended.after, results, folder=folder)
        write_table(mending_rows(mended), MENDING_COLUMNS, results / "mending.csv")
        told = {"mending": mending_summary(mended)}
        write_json(extended_summary(read_summary(results, ()), told, COLUMNS), results / "summary.json")
        seal(results)
        if report:
            write_report(results)


def write_trials(mended: Mended, folder: str | Path, *, overwrite: bool = False) -> None:
    """Write what was tried and what the mended layout would be, and nothing of the layout itself.

    Parameters
    ----------
    mended : Mended
        Before and after.
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
    >>> from swalekit.design.mending import mend
    >>> write_trials(mend(design), folder / "trials")
    >>> sorted(file.name for file in (folder / "trials").iterdir())
    ['mending.csv', 'summary.json']
    """
    plan = plan_record(mended.before, folder=folder).summary
    made_of = {"brief": plan["brief"], "inputs": plan["inputs"]}
    told = {"site": plan["site"], "mending": mending_summary(mended)}
    with result_folder(folder, overwrite=overwrite) as results:
        write_table(mending_rows(mended), MENDING_COLUMNS, results / "mending.csv")
        write_json(whole_summary(told, made_of, COLUMNS), results / "summary.json")
