"""The plan of one site of many, as any process on any machine makes it."""

from collections.abc import Generator, Mapping, Sequence
from dataclasses import dataclass
from functools import partial
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock

from swalekit.design.brief.brief import Brief
from swalekit.design.plan.pipeline import plan
from swalekit.design.processes import ProcessPool, cores
from swalekit.design.reliability.hold import sized_to_hold
from swalekit.errors import SwalekitError
from swalekit.formats.inputs.site import site_of, terrain_of
from swalekit.results.plan.write import write_plan_files

Outcome = Mapping[str, bytes] | str
"""Files of a plan by name, or in one line why there is none."""

_ONE_AT_A_TIME = Lock()
"""The threads of one process take turns: drawing and compiled kernels don't bear company."""


@dataclass(frozen=True)
class SiteWork:
    """A site to plan.

    Parameters
    ----------
    site : str
        Its name.
    brief : Brief
        Its brief, with absolute paths.
    folder : Path
        Absolute path of the folder that its plan will lie in.
    """

    site: str
    brief: Brief
    folder: Path


def plan_site(work: SiteWork, scratch: str) -> Outcome:
    """Plan a site; nothing that it writes stays.

    Parameters
    ----------
    work : SiteWork
        The site.
    scratch : str
        Folder of this machine for files on the way; whoever made it clears it if this process dies.

    Returns
    -------
    Outcome
        Its files and totals, or the line that says why there are none.

    Examples
    --------
    >>> plan_site(SiteWork("north", site.brief, folder / "north"), str(folder))
    "terrain 'tile.tif' does not exist; check the path"
    """
    try:
        with _ONE_AT_A_TIME, TemporaryDirectory(dir=scratch) as folder:
            site = site_of(work.brief)
            terrain = terrain_of(site)
            write_plan_files(plan(sized_to_hold(site, terrain), terrain), Path(folder), folder=work.folder)
            files = sorted(file for file in Path(folder).rglob("*") if file.is_file())
            return {file.relative_to(folder).as_posix(): file.read_bytes() for file in files}
    except Exception as error:  # whatever it is, the other sites go on
        return error_words(error)


def plan_in_processes(
    works: Sequence[SiteWork], workers: int | None
) -> Generator[tuple[SiteWork, Outcome], None, None]:
    """Plan sites by processes on this machine, and give each as it is done.

    Parameters
    ----------
    works : sequence of SiteWork
        The sites.
    workers : int or None
        Processes; as many as there are cores when not given.

    Yields
    ------
    work, outcome : SiteWork, Outcome
        A site and what became of it.
    """
    count = min(workers or cores(), len(works))
    with (
        TemporaryDirectory(prefix="swalekit-") as scratch,
        ProcessPool[SiteWork, Outcome](partial(plan_site, scratch=scratch), count) as pool,
    ):
        for number, outcome in pool.outcomes(works):
            yield works[number], error_words(outcome) if isinstance(outcome, Exception) else outcome


def error_words(error: Exception) -> str:
    """What ended the work on a site, in one line.

    Parameters
    ----------
    error : Exception
        What was raised.

    Returns
    -------
    str
        Its message, with its kind before it where it is none of ours.

    Examples
    --------
    >>> error_words(SwalekitError("no swale fits")), error_words(KeyError("id"))
    ('no swale fits', "KeyError: 'id'")
    """
    if isinstance(error, MemoryError):
        return "not enough memory; coarsen the tile with cell_m or ask for fewer workers"
    words = str(error) if isinstance(error, SwalekitError) else f"{type(error).__name__}: {error}"
    return " ".join(words.split())
