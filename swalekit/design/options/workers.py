"""Options on many cores with one shared copy of the ground."""

import mmap
import pickle
import tempfile
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from functools import partial
from pathlib import Path

from swalekit._checks import check_positive
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.options.option import Option, OptionMaker
from swalekit.design.options.variations import Variation
from swalekit.design.processes import cores, process_pool, results_in_order
from swalekit.kernels.jit import use_threads

_SMALL_WORK_CELLS = 100_000_000
"""Cells times options below which starting other processes takes longer than the work."""

_PAGE = 4096

Numbered = tuple[int, Variation]
Layer = Callable[[Sequence[Numbered]], Iterator[Option]]
"""Lays out variations by their numbers; the options come in the order given."""


def worker_count(workers: int | None, *, n_options: int, n_cells: int) -> int:
    """Processes to work in: as asked, else all cores, or one where the work is small.

    Parameters
    ----------
    workers : int or None
        As asked.
    n_options, n_cells : int
        Options to lay out, and cells of the terrain.

    Raises
    ------
    InputError
        If fewer than one is asked for.

    Examples
    --------
    >>> worker_count(3, n_options=2, n_cells=100), worker_count(None, n_options=4, n_cells=1_000_000)
    (3, 1)
    """
    if workers is not None:
        check_positive(workers=workers)
        return workers
    return 1 if n_options * n_cells < _SMALL_WORK_CELLS else min(cores(), n_options)


@contextmanager
def option_layer(site: Site, ground: Ground, workers: int) -> Iterator[Layer]:
    """Give a function that lays out options of a site, in this process or in several.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    workers : int
        Processes; with one the work is done in this process.

    Raises
    ------
    InputError
        If a process dies.

    Notes
    -----
    The arrays of the ground are written once to a temporary file, which every process maps into its memory: the pages
    are shared, so memory hardly grows with the processes. Each option is laid by the same function from the same
    values, so the results don't depend on their number.
    """
    if workers == 1:
        maker = OptionMaker(site, ground)
        yield lambda numbered: (maker.option(each, number=number) for number, each in numbered)
        return
    with tempfile.TemporaryDirectory(prefix="swalekit-") as folder:
        arrays = Path(folder) / "ground"
        pickled, lengths = _shared(site, ground, arrays)
        threads = max(cores() // workers, 1)
        with process_pool(workers, initializer=_take_ground, initargs=(arrays, pickled, lengths, threads)) as executor:
            yield partial(results_in_order, executor, _lay)


def _shared(site: Site, ground: Ground, path: Path) -> tuple[bytes, list[int]]:
    """Site and ground pickled without their arrays, which go to the file page by page; length of each [bytes]."""
    arrays: list[pickle.PickleBuffer] = []
    pickled = pickle.dumps((site, ground), protocol=5, buffer_callback=arrays.append)
    lengths = []
    with path.open("wb") as file:
        for array in arrays:
            with array.raw() as raw:
                file.write(raw)
                file.write(bytes(-raw.nbytes % _PAGE))
                lengths.append(raw.nbytes)
    return pickled, lengths


_taken: list[OptionMaker] = []
"""In a worker process: what lays out options on the shared ground."""


def _take_ground(path: Path, pickled: bytes, lengths: Sequence[int], threads: int) -> None:
    """Map the arrays into a worker's memory; what it would write to them stays its own."""
    use_threads(threads)
    with path.open("rb") as file:
        mapped = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_COPY))
    arrays, start = [], 0
    for length in lengths:
        arrays.append(mapped[start : start + length])
        start += length + -length % _PAGE
    _taken[:] = [OptionMaker(*pickle.loads(pickled, buffers=arrays))]


def _lay(numbered: Numbered) -> Option:
    number, variation = numbered
    return _taken[0].option(variation, number=number)
