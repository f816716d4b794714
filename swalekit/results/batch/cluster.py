"""Many sites planned on a running Dask cluster."""

import asyncio
import importlib.metadata
import logging
from collections.abc import Generator, Iterable, Sequence
from concurrent.futures import CancelledError, ThreadPoolExecutor
from typing import Any

from swalekit.errors import InputError
from swalekit.results.batch.work import Outcome, SiteWork, error_words, plan_site
from swalekit.results.folder.provenance import versions

_ANSWER_S = 5
"""Seconds in which a scheduler must answer."""

_LOOK_S = 10
"""Seconds between looks whether there are workers; one that dies is mostly started anew in between."""

_NO_WORKERS = "the cluster has no workers left; start some with: dask worker ADDRESS, and run the same command again"


def check_cluster(address: str) -> None:
    """Check that a scheduler answers at an address, and has workers of this version of swalekit.

    Parameters
    ----------
    address : str
        Address of the scheduler, as ``tcp://host:8786``.

    Raises
    ------
    InputError
        If it doesn't within seconds, or a worker would plan otherwise than this machine.

    Examples
    --------
    >>> check_cluster("nowhere")
    Traceback (most recent call last):
        ...
    swalekit.errors.InputError: the cluster at 'nowhere' can't be reached (missing port number in address 'nowhere');
    give the address that its scheduler printed, as tcp://host:8786
    """
    try:
        from distributed import Client
    except ImportError as error:
        message = "--cluster needs the package distributed; install swalekit[cluster]"
        raise InputError(message) from error
    where = f"the cluster at '{address}'"
    try:
        with ThreadPoolExecutor(1) as thread:  # which has no event loop yet, as a notebook has
            scheduler = thread.submit(asyncio.run, _identity(address)).result()
    except (OSError, TypeError, ValueError, MemoryError) as error:  # what else listens there answers in another tongue
        reason = str(error) or f"no answer of a scheduler in {_ANSWER_S} s"
        message = (
            f"{where} can't be reached ({reason}); give the address that its scheduler printed, as tcp://host:8786"
        )
        raise InputError(message) from error
    if scheduler["type"] != "Scheduler" or not scheduler["workers"]:
        message = (
            f"{where} has no workers; give the address of its scheduler, and start workers with: dask worker ADDRESS"
        )
        raise InputError(message)
    own = versions()["swalekit"]
    with Client(address, timeout=_ANSWER_S, set_as_default=False) as client:
        found = client.run(importlib.metadata.version, "swalekit", on_error="return")
    for worker, version in found.items():
        if version != own:
            message = f"{where}: worker {worker} has swalekit '{version}' and this machine '{own}'; install the same"
            raise InputError(message)


def plan_on_cluster(works: Sequence[SiteWork], address: str) -> Generator[tuple[SiteWork, Outcome], None, None]:
    """Plan sites on a cluster, and give each as it is done.

    Parameters
    ----------
    works : sequence of SiteWork
        The sites; workers read their files by the same paths, and send back what they made.
    address : str
        Address of the scheduler.

    Yields
    ------
    work, outcome : SiteWork, Outcome
        A site and what became of it.

    Notes
    -----
    The scheduler gives the site of a worker that dies to another one, and gives it up when three have died of it. When
    none is left, the sites that wait are given up.
    """
    from distributed import Client

    log = logging.getLogger("distributed.client")
    level = log.level
    log.setLevel(logging.CRITICAL)  # a cluster that is lost is told once for each site that waits for it
    try:
        with Client(address, timeout=_ANSWER_S, set_as_default=False) as client:
            futures = {client.submit(_plan_there, work, pure=False): work for work in works}
            while futures:
                done = _some_done(client, futures)
                for future in done or list(futures):
                    yield futures.pop(future), _outcome(future) if done else _NO_WORKERS
    finally:
        log.setLevel(level)


def _some_done(client: Any, futures: Iterable[Any]) -> set[Any]:
    """Futures that are done; none where no worker is left to do them."""
    from distributed import wait

    deserted = False
    while True:
        try:
            with client.as_current():
                return set(wait(list(futures), timeout=_LOOK_S, return_when="FIRST_COMPLETED").done)
        except CancelledError:  # the scheduler is lost, and all with it
            return set(futures)
        except TimeoutError:
            if not client.scheduler_info()["workers"]:
                if deserted:
                    return set()
                deserted = True
            else:
                deserted = False


def _plan_there(work: SiteWork) -> Outcome:
    """Plan a site in a worker, whose own folder is cleared even if it dies."""
    from distributed import get_worker

    return plan_site(work, get_worker().local_directory)


def _outcome(future: Any) -> Outcome:
    from distributed import KilledWorker

    try:
        files: Outcome = future.result()
    except KilledWorker:
        return "every worker that planned the site died, mostly for want of memory; coarsen the tile with cell_m"
    except CancelledError:
        return "the cluster was lost before the site was planned; start it and run the same command again"
    except Exception as error:  # a worker that can't read what it was sent, or send what it made
        return error_words(error)
    return files


async def _identity(address: str) -> dict[str, Any]:
    """What a scheduler or worker says of itself."""
    from distributed import rpc

    async def ask() -> dict[str, Any]:
        async with rpc(address, timeout=_ANSWER_S) as server:
            said: dict[str, Any] = await server.identity()
            return said

    return await asyncio.wait_for(ask(), _ANSWER_S + 1)
