"""The plan of one site of many, as any process on any machine makes it."""

from collections.abc import Mapping
from dataclasses import dataclass
from pathlib import Path
from tempfile import TemporaryDirectory
from threading import Lock

from swalekit.design.brief.brief import Brief
from swalekit.design.plan.pipeline import plan
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
    """
    try:
        with _ONE_AT_A_TIME, TemporaryDirectory(dir=scratch) as folder:
            site = site_of(work.brief)
            write_plan_files(plan(site, terrain_of(site)), Path(folder), folder=work.folder)
            return {file.name: file.read_bytes() for file in sorted(Path(folder).iterdir())}
    except Exception as error:  # whatever it is, the other sites go on
        return error_words(error)


def error_words(error: Exception) -> str:
    """What ended the work on a site, in one line."""
    if isinstance(error, MemoryError):
        return "not enough memory; coarsen the tile with cell_m or ask for fewer workers"
    words = str(error) if isinstance(error, SwalekitError) else f"{type(error).__name__}: {error}"
    return " ".join(words.split())
