"""Many sites planned, each into its folder, and gathered in one table and one GeoPackage."""

from collections.abc import Generator, Mapping
from contextlib import closing
from dataclasses import dataclass
from pathlib import Path

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.design.brief.brief import DESIGN_PARTS
from swalekit.design.brief.values import brief_with
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.columns import Entry
from swalekit.errors import InputError, OutputError, SwalekitError
from swalekit.formats.inputs.brief import read_brief
from swalekit.formats.inputs.file_hash import hashes_of
from swalekit.formats.inputs.sites_csv import SiteRow, read_sites
from swalekit.results.batch.cluster import check_cluster, plan_on_cluster
from swalekit.results.batch.work import Outcome, SiteWork, error_words, plan_in_processes
from swalekit.results.batch.write import LAYERS, TABLE, is_batch, write_batch
from swalekit.results.folder.folder import is_taken, result_folder
from swalekit.results.folder.inputs import made_from
from swalekit.results.folder.provenance import versions
from swalekit.results.folder.seal import is_as_written
from swalekit.results.plan.read import read_summary

_NOT_PLANNED = "not planned yet"


@one_line("rows", "stopped")
@dataclass(frozen=True)
class Batch:
    """What became of many sites.

    Parameters
    ----------
    rows : tuple of dict
        Figures of each site by the names of `BATCH_COLUMNS`, in the order of the table.
    stopped : bool
        Whether an interrupt ended the work early.
    """

    rows: tuple[dict[str, Entry], ...]
    stopped: bool


def plan_sites(
    table: str | Path,
    folder: str | Path,
    *,
    workers: int | None = None,
    cluster: str | None = None,
    overwrite: bool = False,
    stage: Stage = silent,
) -> Batch:
    r"""Plan every site of a table, each into a folder of its name, and gather totals and swales of all.

    Parameters
    ----------
    table : str or Path
        CSV of sites, as `swalekit.formats.inputs.sites_csv.read_sites` takes it.
    folder : str or Path
        Where the folders of the sites go, with ``batch.csv`` and ``batch.gpkg`` (layer ``swales``, WGS 84).
    workers : int, optional
        Processes on this machine; as many as it has cores when not given. Guard the call of a script by
        ``if __name__ == "__main__":``, as for any other processes that Python starts.
    cluster : str, optional
        Address of a running Dask scheduler, whose workers plan in place of such processes.
    overwrite : bool
        Plan finished sites again.
    stage : callable
        Told how many sites are done.

    Returns
    -------
    Batch
        The table; the same whatever the number of workers or machines.

    Raises
    ------
    InputError
        If the table or the cluster can't be used. A site that fails is a row with its error.
    OutputError
        If the folder holds something else than a batch, or can't be written.

    Notes
    -----
    A site is finished when its folder records the brief, the hashes of the input files and the version of swalekit
    that planning it now would record.

    Examples
    --------
    A site whose brief can't be read doesn't stop the others:
    >>> _ = (folder / "sites.csv").write_text("site,brief\nnorth,north.toml\n")
    >>> batch = plan_sites(folder / "sites.csv", folder / "batch")
    >>> batch.rows[0]["site"], batch.rows[0]["error"]  # doctest: +ELLIPSIS
    ('north', "brief '...north.toml' does not exist; check the path")
    """
    sites, folder = read_sites(table), Path(folder).absolute()
    if is_taken(folder) and not is_batch(folder):
        message = f"{folder}: the folder holds files that are no earlier batch; name another folder with --out"
        raise OutputError(message)
    names = [site.site for site in sites]
    if taken := {TABLE, LAYERS}.intersection(names):
        message = f"{table}: a site is named '{min(taken)}', as a file of the batch is; give it another name"
        raise InputError(message)
    if workers is not None:
        check_positive(workers=workers)
    if cluster is not None:
        if workers is not None:
            message = "--workers counts processes of this machine, and a cluster has its own; give --cluster alone"
            raise InputError(message)
        check_cluster(cluster)
    errors: dict[str, str] = {}
    works = [work for site in sites if (work := _work(site, folder, errors)) is not None]
    waiting = [work for work in works if overwrite or not _is_finished(work)]
    errors |= {work.site: _NOT_PLANNED for work in waiting}
    folder.mkdir(parents=True, exist_ok=True)
    write_batch(names, folder, errors)
    stopped = False
    try:
        planned = plan_in_processes(waiting, workers) if cluster is None else plan_on_cluster(waiting, cluster)
        _keep(planned, errors, stage, len(waiting))
    except KeyboardInterrupt:
        stopped = True
    return Batch(write_batch(names, folder, errors), stopped)


def _work(site: SiteRow, folder: Path, errors: dict[str, str]) -> SiteWork | None:
    """The work on a site; None where its brief can't be used, which is noted."""
    try:
        brief = brief_with(read_brief(site.brief), site.given, source=f"{site.brief} with the sites table")
    except InputError as error:
        errors[site.site] = str(error)
        return None
    return SiteWork(site.site, brief, folder / site.site)


def _is_finished(work: SiteWork) -> bool:
    """Whether a site's folder holds the plan that would be made now."""
    now = made_from(work.brief, hashes_of(work.brief, DESIGN_PARTS), work.folder, keeps=True)
    try:
        then = read_summary(work.folder, (*now, "totals", "versions"))
    except InputError:
        return False
    alike = then["versions"]["swalekit"] == versions()["swalekit"] and all(then[key] == now[key] for key in now)
    return alike and all(is_as_written(work.folder / name, then, folder=work.folder) for name in then["files"])


def _keep(
    planned: Generator[tuple[SiteWork, Outcome], None, None], errors: dict[str, str], stage: Stage, count: int
) -> None:
    """Write each plan to its folder as it comes."""
    with closing(planned):
        stage(f"planning sites: 0 of {count}")
        for done, (work, outcome) in enumerate(planned, start=1):
            if isinstance(outcome, str):
                errors[work.site] = outcome
            else:
                _write(work, outcome, errors)
            stage(f"planning sites: {done} of {count}")


def _write(work: SiteWork, files: Mapping[str, bytes], errors: dict[str, str]) -> None:
    try:
        with result_folder(work.folder, overwrite=True) as results:
            for name, content in files.items():
                (results / name).parent.mkdir(exist_ok=True)
                (results / name).write_bytes(content)
    except SwalekitError as error:
        errors[work.site] = error_words(error)
    else:
        del errors[work.site]
