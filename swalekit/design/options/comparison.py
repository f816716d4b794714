"""Layouts side by side on ground that is routed once."""

from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from functools import partial
from math import prod
from typing import Generic, TypeVar

from swalekit._one_line import one_line
from swalekit.design.brief.site import Site
from swalekit.design.layout.fit_ground import check_fit, fitness_of
from swalekit.design.layout.ground import Ground, Stage, silent, study_ground
from swalekit.design.options.grid_search import Choices, search_grid
from swalekit.design.options.limits import NO_LIMITS, STORM, Limits, excesses, within_slopes
from swalekit.design.options.option import OPTION_COLUMNS, Option
from swalekit.design.options.ranks import marked, rank_of, with_lines_kept
from swalekit.design.options.variations import Factor, Variation, variation_of
from swalekit.design.options.workers import Layer, option_layer, worker_count
from swalekit.errors import InputError, TerrainError
from swalekit.terrain.terrain import Terrain

__all__ = ["OPTION_COLUMNS", "Comparison", "Option", "compare", "search"]

Key = TypeVar("Key")

_SEARCHED = 60
"""Options that a search is taken to try, for the number of processes."""


@one_line("site.brief.site.name", "options", "recommended.label", "stopped")
@dataclass(frozen=True, eq=False)
class Comparison:
    """Layouts of one site side by side.

    Parameters
    ----------
    site : Site
        The site, in the CRS of the terrain.
    terrain : Terrain
        The conditioned tile.
    options : tuple of Option
        In the order asked for or tried; those that stand out are marked and have their lines.
    asked : int
        Options asked for, or the size of the grid that was searched.
    limits : Limits
        Limits besides those of the brief.
    by_volume : bool
        Whether the volume dug is taken for the price, whatever the cost.
    seed : int or None
        Of the search that tried them; None where all were laid out.
    stopped : bool
        Whether an interrupt ended the work early.
    """

    site: Site
    terrain: Terrain
    options: tuple[Option, ...]
    asked: int
    limits: Limits = NO_LIMITS
    by_volume: bool = False
    seed: int | None = None
    stopped: bool = False

    @property
    def recommended(self) -> Option | None:
        """The option that `rank_of` puts first of those that keep all limits, the brief's own and those asked for.

        It has the least price / (share of the water kept)^1.25: keeping 1 % more of the water may cost 1.25 % more.
        """
        return next((option for option in self.options if option.recommended), None)

    @property
    def nearest(self) -> Option | None:
        """Where no option keeps all limits: the one that misses them by least; None where none has a swale."""
        return next((option for option in self.options if option.nearest), None)

    @property
    def priced_by_volume(self) -> bool:
        """Whether options are judged by the volume that they dig: as asked for, or for want of a price."""
        return self.by_volume or any(option.totals["cost"] is None for option in self.options)

    @property
    def kept(self) -> tuple[Option, ...]:
        """Options whose lines are kept."""
        return tuple(option for option in self.options if option.lines)


def compare(
    site: Site,
    terrain: Terrain,
    variations: Sequence[Variation],
    *,
    limits: Limits = NO_LIMITS,
    by_volume: bool = False,
    workers: int | None = 1,
    stage: Stage = silent,
) -> Comparison:
    """Lay out a site once for every variation of its levels and section; the terrain is routed once.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        The conditioned tile.
    variations : sequence of Variation
        What makes each option, as from `grid_of`.
    limits : Limits
        Limits that an option must keep to besides those of the brief.
    by_volume : bool
        Take the volume dug for the price, whatever it costs.
    workers : int or None
        Processes that share the work; all cores when None, or one where the work is small. Results don't depend on it.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Comparison
        The options in the order given; those that stand out are marked. An interrupt ends the work early, with the
        options that are done.

    Raises
    ------
    InputError
        If there is nothing to compare, a value breaks a rule, or the tile can't carry the ditches of an option
        (`check_fit`).

    Examples
    --------
    >>> from swalekit.design.options.variations import axes_of, grid_of
    >>> compared = compare(site, terrain, grid_of(axes_of({"interval": [3.0, 4.0]})))
    >>> [option.label for option in compared.options], compared.asked
    (['interval 3 m', 'interval 4 m'], 2)
    """
    if not variations:
        message = "there is nothing to compare: the grid of options is empty; give at least one value to vary"
        raise InputError(message)
    site = within_slopes(site.in_crs(terrain.grid.crs), limits)
    _check_options(site, terrain, variations)
    ground, asked = study_ground(site, terrain, stage=stage), len(variations)
    stage(f"laying out {asked} options")
    tried = _Tried[int](
        site, limits, variations.__getitem__, lambda done: stage(f"laying out options: {done} of {asked} done")
    )
    count = worker_count(workers, n_options=asked, n_cells=terrain.grid.n_cells)
    stopped = tried.interrupted(partial(tried.options, range(asked)), ground, count)
    return Comparison(
        site, terrain, tried.marked(by_volume=by_volume), asked, limits, by_volume=by_volume, stopped=stopped
    )


def search(
    site: Site,
    terrain: Terrain,
    axes: Sequence[Factor],
    *,
    limits: Limits = NO_LIMITS,
    by_volume: bool = False,
    seed: int = 1,
    workers: int | None = 1,
    stage: Stage = silent,
) -> Comparison:
    """Find the option of a grid that is to be recommended, as `compare` does, without laying out the whole grid.

    Parameters
    ----------
    site, terrain, limits, by_volume, workers, stage : Site, Terrain, Limits, bool, int or None, callable
        As for `compare`.
    axes : sequence of Factor
        What may be varied, as from `axes_of`.
    seed : int
        Of the places that the search begins from; the same seed tries the same options.

    Returns
    -------
    Comparison
        The options tried, in their order.

    Raises
    ------
    InputError
        If a value breaks a rule, or the tile can't carry the ditches of an option (`check_fit`).

    Notes
    -----
    An option that breaks a limit is ranked by the sum of the shares by which it misses each, behind all that keep to
    them, which `rank_of` ranks; so the search finds its way to the limits and, where none can be met, comes as near as
    it can. See `search_grid` for the order in which options are tried.

    Examples
    --------
    >>> from swalekit.design.options.variations import axes_of
    >>> found = search(site, terrain, axes_of({"interval": [3.0, 4.0], "depth": [0.8, 1.0]}))
    >>> len(found.options) <= found.asked, found.recommended in found.options
    (True, True)
    """
    site = within_slopes(site.in_crs(terrain.grid.crs), limits)
    _check_options(site, terrain, _each_once(axes))
    ground = study_ground(site, terrain, stage=stage)
    tried = _Tried[Choices](site, limits, variation_of, lambda done: stage(f"searching: {done} options tried"))
    count = worker_count(workers, n_options=_SEARCHED, n_cells=terrain.grid.n_cells)
    score = partial(_score, by_volume=by_volume)
    stopped = tried.interrupted(
        lambda lay: search_grid(axes, partial(tried.options, lay=lay), score, seed=seed), ground, count
    )
    asked = prod(len(axis) for axis in axes)
    return Comparison(site, terrain, tried.marked(by_volume=by_volume), asked, limits, by_volume, seed, stopped)


def _check_options(site: Site, terrain: Terrain, variations: Iterable[Variation]) -> None:
    """Raise before long work if a value breaks a rule, or the tile can't carry an option's ditches."""
    found = fitness_of(site, terrain)
    for variation in variations:
        varied = site.with_values(variation.values)
        try:
            check_fit(varied, found)
        except TerrainError as error:
            message = f"option '{variation.words}': {error}"
            raise TerrainError(message) from error


def _each_once(axes: Sequence[Factor]) -> Iterator[Variation]:
    """Options that have every choice of every axis at least once, the others being the first of theirs."""
    for place, axis in enumerate(axes):
        for choice in axis:
            yield variation_of(
                [*(other[0] for other in axes[:place]), choice, *(other[0] for other in axes[place + 1 :])]
            )


class _Tried(Generic[Key]):
    """Options that were laid out, in their order, each once, by what asks for it; told how many after each."""

    def __init__(
        self, site: Site, limits: Limits, variation: Callable[[Key], Variation], told: Callable[[int], None]
    ) -> None:
        self.site, self.limits, self.variation, self.told = site, limits, variation, told
        self.laid: dict[Key, Option] = {}

    def options(self, wanted: Sequence[Key], lay: Layer) -> list[Option]:
        """The options that several keys ask for."""
        new = [key for key in wanted if key not in self.laid]
        numbered = [(number, self.variation(key)) for number, key in enumerate(new, start=len(self.laid) + 1)]
        for key, option in zip(new, lay(numbered), strict=True):
            self.laid[key] = _held_to(option, self.site, self.limits)
            self.told(len(self.laid))
        return [self.laid[key] for key in wanted]

    def interrupted(self, work: Callable[[Layer], object], ground: Ground, workers: int) -> bool:
        """Do the work; whether an interrupt ended it early, which is raised where no option is done."""
        try:
            with option_layer(self.site, ground, workers) as lay:
                work(lay)
        except KeyboardInterrupt:
            if not self.laid:
                raise
            return True
        return False

    def marked(self, *, by_volume: bool) -> tuple[Option, ...]:
        """Those that are done, with what stands out marked and its lines kept."""
        return with_lines_kept(marked(list(self.laid.values()), by_volume=by_volume), by_volume=by_volume)


def _score(option: Option, *, by_volume: bool) -> tuple[float, ...]:
    """The less the better: by how much limits are missed, the rank, then the order of trial."""
    return option.missed, *rank_of(option, by_volume=by_volume), option.number


def _held_to(option: Option, site: Site, limits: Limits) -> Option:
    """The option with the limits that it breaks, besides the design storm, and by how much it misses all."""
    missed = excesses(option, site, limits)
    return replace(option, beyond=tuple(name for name in missed if name != STORM), missed=sum(missed.values()))
