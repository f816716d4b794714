"""Options on many cores with one shared copy of the ground."""

import mmap
import pickle
import tempfile
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from functools import cached_property, partial
from pathlib import Path
from typing import Self

from swalekit._checks import check_positive
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.options.option import Option, OptionMaker
from swalekit.design.options.variations import Variation
from swalekit.design.processes import ProcessPool, cores

_SMALL_WORK_CELLS = 100_000_000
"""Cells times options below which starting other processes takes longer than the work."""

_PAGE = 4096

Numbered = tuple[int, Variation]
Layer = Callable[[Iterable[Numbered]], Iterator[Option]]
"""Lays out variations by their numbers; the options come in the order given."""


def worker_count(workers: int | None, *, n_options: int, n_cells: int) -> int:
    """Processes to work in: as asked, else all cores, or one where the work is small.

    Parameters
    ----------
    workers : int or None
        As asked.
    n_options, n_cells : int
        Options to lay out, and cells of the terrain.

    Returns
    -------
    int
        Processes, at least one.

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

    Yields
    ------
    callable
        Takes numbered variations, gives their options in the order given.

    Raises
    ------
    InputError
        If a process dies.

    Notes
    -----
    The arrays of the ground are written once to a temporary file, which every process maps into its memory: the pages
    are shared, so memory hardly grows with the processes. Each option is laid by the same function from the same
    values, so the results don't depend on their number.

    Examples
    --------
    >>> with option_layer(site, ground, 1) as lay:
    ...     [option.number for option in lay([(1, Variation("interval 3 m", {"levels.interval_m": 3.0}))])]
    [1]
    """
    if workers == 1:
        yield partial(map, partial(_lay, OptionMaker(site, ground)))
        return
    with tempfile.TemporaryDirectory(prefix="swalekit-") as folder:
        shared = _SharedGround.written(site, ground, Path(folder) / "ground")
        with ProcessPool[Numbered, Option](shared, workers) as pool:
            yield pool.in_order


def _lay(maker: OptionMaker, numbered: Numbered) -> Option:
    number, variation = numbered
    return maker.option(variation, number=number)


@dataclass(frozen=True)
class _SharedGround:
    """What lays out options of a site whose arrays lie in a file.

    Parameters
    ----------
    path : Path
        Arrays of the ground, each from the beginning of a page.
    pickled : bytes
        Site and ground without their arrays.
    lengths : tuple of int
        Length of each array [bytes].
    """

    path: Path
    pickled: bytes
    lengths: tuple[int, ...]

    @classmethod
    def written(cls, site: Site, ground: Ground, path: Path) -> Self:
        """Write the arrays of the ground to a file."""
        arrays: list[pickle.PickleBuffer] = []
        pickled = pickle.dumps((site, ground), protocol=5, buffer_callback=arrays.append)
        lengths = []
        with path.open("wb") as file:
            for array in arrays:
                with array.raw() as raw:
                    file.write(raw)
                    file.write(bytes(-raw.nbytes % _PAGE))
                    lengths.append(raw.nbytes)
        return cls(path, pickled, tuple(lengths))

    def __call__(self, numbered: Numbered) -> Option:
        """Lay out a numbered variation."""
        return _lay(self._maker, numbered)

    @cached_property
    def _maker(self) -> OptionMaker:
        """Maker on arrays mapped into the memory of this process; what it would write to them stays its own."""
        with self.path.open("rb") as file:
            mapped = memoryview(mmap.mmap(file.fileno(), 0, access=mmap.ACCESS_COPY))
        arrays, start = [], 0
        for length in self.lengths:
            arrays.append(mapped[start : start + length])
            start += length + -length % _PAGE
        return OptionMaker(*pickle.loads(self.pickled, buffers=arrays))
