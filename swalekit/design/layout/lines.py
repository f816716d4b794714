"""Where the lines run, what drains to each, and where each would spill: a layout before it is sized."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import partial

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.barrier import barrier_labels
from swalekit.contours.drawn import lay_drawn_lines
from swalekit.contours.lay import reading_order
from swalekit.contours.line import LevelLine, RefusedLine
from swalekit.contours.obstacles import Obstacles
from swalekit.design.brief.decided_lines import DRAWN, HELD, DecidedLine, Lines, line_number
from swalekit.design.brief.line_rules import cell_notes, line_rules_of
from swalekit.design.brief.settings import depths_of, own_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.apart import cut_at_crossings, fit_for_works, on_known_ground
from swalekit.design.layout.beside import beside_decided
from swalekit.design.layout.chosen_levels import ChosenLevels, choose_levels
from swalekit.design.layout.given_lines import lay_given
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import kept_clear, kept_free, stations_on
from swalekit.design.layout.level_trial import lines_at
from swalekit.design.layout.names import named_lines
from swalekit.errors import GeometryError
from swalekit.flow.catchments import first_met
from swalekit.hydrology.routing.stores import Stores, cut_circles
from swalekit.section.drainage import Drainage
from swalekit.section.footprint import strip_cells
from swalekit.section.shape import ShapedSwale
from swalekit.section.sill_place import SpillPath, place_sill
from swalekit.section.stations import Stations, pond_reach_m
from swalekit.tables.values import setback

_NONE_LAID = "no level line could be laid: every stretch was refused; the layer 'refused' of a plan says why"


@one_line("lines", "refused", "notes")
@dataclass(frozen=True, eq=False)
class Layout:
    """Lines with their catchments and spill paths.

    Parameters
    ----------
    lines : tuple of LevelLine
        n lines, from the top of the site downward.
    refused : tuple of RefusedLine
        Stretches that were not laid.
    drainage : Drainage
        Where the water goes.
    stations : tuple of Stations
        What sizing needs of each line.
    spill_paths : tuple of SpillPath
        Place of each line's sill and the way of its water.
    stores : Stores
        Lines, then hollows; strips are still empty.
    site_notes, level_notes, water_notes : tuple of str
        What the reader must know of the site, of how the levels were chosen, and of where the water goes.
    """

    lines: tuple[LevelLine, ...]
    refused: tuple[RefusedLine, ...]
    drainage: Drainage
    stations: tuple[Stations, ...]
    spill_paths: tuple[SpillPath, ...]
    stores: Stores
    site_notes: tuple[str, ...] = ()
    level_notes: tuple[str, ...] = ()
    water_notes: tuple[str, ...] = ()

    @property
    def notes(self) -> tuple[str, ...]:
        """All that the reader must know."""
        return (*self.site_notes, *self.level_notes, *self.water_notes)


@one_line("lines", "refused")
@dataclass(frozen=True, eq=False)
class LaidLines:
    """Lines on the levels that a brief asks for, whatever section is dug along them.

    Parameters
    ----------
    levels : ChosenLevels
        The levels.
    lines : tuple of LevelLine
        From the top of the site downward.
    refused : tuple of RefusedLine
        Stretches that were not laid.
    decided : Lines or None
        What was decided, with given lines as they are laid.
    notes : tuple of str
        What the reader must know of lines that gave way.
    """

    levels: ChosenLevels
    lines: tuple[LevelLine, ...]
    refused: tuple[RefusedLine, ...]
    decided: Lines | None = None
    notes: tuple[str, ...] = ()

    def site_of(self, site: Site) -> Site:
        """The site with the given lines as they are laid.

        Parameters
        ----------
        site : Site
            That they were laid for.

        Returns
        -------
        Site
            The same, or with the strokes of its lines laid.

        Examples
        --------
        >>> lay_levels(site, ground).site_of(site) is site
        True
        """
        return site if self.decided is site.lines else replace(site, lines=self.decided)


def lay_levels(site: Site, ground: Ground) -> LaidLines:
    """Lay the lines that the designer gave, and around them those that the brief asks for.

    Parameters
    ----------
    site : Site
        In the CRS of the ground.
    ground : Ground
        The ground without swales.

    Returns
    -------
    LaidLines
        Levels, their lines, and stretches that were refused.

    Examples
    --------
    >>> [line.level_m for line in lay_levels(site, ground).lines]
    [108.0, 104.0]
    """
    area = workable_area(site, ground)
    levels = choose_levels(site, ground, area)
    alone = site.lines is not None and site.lines.alone
    proposed, refused = ((), ()) if alone else lines_at(site, ground, area, levels.levels_m)
    given = lay_given(site, ground, obstacles_of(site, ground, area))
    site = replace(site, lines=given.decided)
    left, gone, notes = beside_decided(site, ground, proposed, given.lines, levels.levels_m)
    lines = named_lines(site, sorted((*given.lines, *left), key=reading_order))
    return LaidLines(levels, lines, (*refused, *given.refused, *gone), given.decided, notes)


def make_layout(site: Site, ground: Ground, *, laid: LaidLines | None = None) -> Layout:
    """The layout that the brief asks for: its lines as far as the least works can be built, and their water.

    Parameters
    ----------
    site, ground : Site, Ground
        As for `lay_levels`.
    laid : LaidLines, optional
        From `lay_levels`, where the same lines are used again.

    Returns
    -------
    Layout
        Lines, what drains to each, and where each would spill; `sized_apart` takes out what deeper works can't have.

    Examples
    --------
    >>> make_layout(site, ground).stores.downstream
    array([ 1, -1], dtype=int32)
    """
    laid = lay_levels(site, ground) if laid is None else laid
    site = laid.site_of(site)
    lines, taken = fit_for_works(site, ground, laid.lines, depth_m=depths_of(site).least_m)
    refused = (*laid.refused, *taken)
    return replace(
        drain_to(site, ground, lines),
        refused=refused,
        site_notes=(*_site_notes(site, ground), *_given_notes(laid.decided, refused), *laid.notes),
        level_notes=_level_notes(ground, laid.levels, lines),
    )


def relaid(
    site: Site,
    ground: Ground,
    layout: Layout,
    lines: tuple[LevelLine, ...],
    refused: tuple[RefusedLine, ...] = (),
    *,
    shapes: Sequence[ShapedSwale] = (),
) -> Layout:
    """A layout of which stretches were taken out, or of which the works are known by now.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, in the CRS of the ground, the ground, and the layout before.
    lines : tuple of LevelLine
        What is left, from the top of the site downward.
    refused : tuple of RefusedLine
        What was taken out.
    shapes : sequence of ShapedSwale, optional
        As for `drain_to`.

    Returns
    -------
    Layout
        The lines with their catchments and spill paths, and what was refused before and now.

    Examples
    --------
    >>> len(relaid(site, ground, layout, layout.lines[:1]).spill_paths)
    1
    """
    return replace(
        drain_to(site, ground, lines, shapes),
        refused=(*layout.refused, *refused),
        site_notes=layout.site_notes,
        level_notes=layout.level_notes if lines else (*layout.level_notes, _NONE_LAID),
    )


def drain_to(site: Site, ground: Ground, lines: tuple[LevelLine, ...], shapes: Sequence[ShapedSwale] = ()) -> Layout:
    """The layout of lines that are already laid: what drains to each, and where each would spill.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground without swales.
    lines : tuple of LevelLine
        The lines, from the top of the site downward; those that the brief asks for are named anew.
    shapes : sequence of ShapedSwale, none or one a line
        The swale along each: what drains to its works drains to it. The line alone catches if they aren't given.

    Returns
    -------
    Layout
        The lines with their catchments and spill paths; none is refused.

    Examples
    --------
    >>> len(drain_to(site, ground, layout.lines).spill_paths)
    2
    """
    terrain, network, lines = ground.terrain, ground.network, named_lines(site, lines)
    strips = list(map(partial(strip_cells, terrain.grid), lines, shapes)) if shapes else ()
    stops = barrier_labels(terrain.grid, lines, strips)
    labels = first_met(network, stops, n_stops=len(lines))
    drainage = Drainage(network, stops, labels, ground.watercourses)
    stations = tuple(
        stations_on(site, ground, line, pond_reach_m(line, labels, number, terrain.grid))
        for number, line in enumerate(lines, start=1)
    )
    free, drained = kept_free(site, ground), np.bincount(labels[labels >= 0], minlength=len(lines) + 1)
    paths: list[SpillPath] = []
    arriving: list[list[tuple[NDArray[np.float64], float]]] = [[] for _ in range(len(lines) + 1)]
    for number, line in enumerate(lines, start=1):
        path = place_sill(
            line,
            number,
            terrain=terrain,
            drainage=drainage,
            keep_outs=free,
            boundary=site.boundary,
            at_m=own_of(site, line.name).sill_at_m,
            preferred=_wettest_part(stations[number - 1], line, float(drained[number]), arriving[number]),
        )
        paths.append(path)
        if 0 < path.met <= len(lines):
            passed = float(drained[number]) + sum(cells for _, cells in arriving[number])
            arriving[path.met].append((path.xy[-1], passed))
    stores, notes = _stores_without_circles(ground, labels, lines, tuple(paths))
    return Layout(lines, (), drainage, stations, tuple(paths), stores, water_notes=notes)


def _wettest_part(
    stations: Stations, line: LevelLine, drained: float, arriving: Sequence[tuple[NDArray[np.float64], float]]
) -> NDArray[np.bool_] | None:
    """Stations of the part of a line between its crossings that gets most water: there its sill belongs.

    What drains to a line counts by its length, and what lines above spill where their way meets it, in cells of ground
    that they have; None where it isn't crossed.
    """
    middles_m = [place.chainage_m for place in stations.crossings]
    if not middles_m:
        return None
    part = np.searchsorted(middles_m, line.chainage_m)
    part = part % len(middles_m) if line.closed else part
    cells = drained * np.bincount(part, weights=line.width_m) / line.length_m
    for xy, passed in arriving:
        cells[part[int(np.hypot(*(line.xy - xy).T).argmin())]] += passed
    return np.asarray(part == int(cells.argmax()))


def lay_in_place(site: Site, ground: Ground, lines: Iterable[LevelLine | ArrayLike]) -> LaidLines:
    """Lines that are given in place of all that the brief asks for.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground without swales.
    lines : iterable of LevelLine or array_like, shape (n, 2)
        Level lines, taken as they are, and vertices of lines drawn by hand [m], laid along the contours that they
        follow by the rules of the brief.

    Returns
    -------
    LaidLines
        As `lay_levels` gives it, all of them held; those without a name get the next numbers.

    Raises
    ------
    InputError
        If a drawn line lies off the ground.

    Examples
    --------
    >>> [line.level_m for line in lay_in_place(site, ground, layout.lines[:1]).lines]
    [108.0]
    """
    given = tuple(lines)
    known, refused = on_known_ground(site, ground, [line for line in given if isinstance(line, LevelLine)])
    drawn = [line for line in given if not isinstance(line, LevelLine)]
    obstacles, rules = obstacles_of(site, ground), line_rules_of(site, ground.terrain)
    laid, stray = lay_drawn_lines(ground.terrain, drawn, obstacles, rules=rules)
    before = Lines((), ground.terrain.grid.crs) if site.lines is None else site.lines
    every, crossed = cut_at_crossings(site, ground, sorted((*known, *laid), key=reading_order))
    named: list[LevelLine] = []
    number = max(before.next_number, *(1 + (line_number(line.name) or 0) for line in every), 1)
    for line in every:
        fresh = not line.name or line.name in {other.name for other in named}
        named.append(replace(line, name=f"S{number}") if fresh else line)
        number += fresh
    held = tuple(
        DecidedLine(line.name, HELD, line.xy, line.closed, line.level_m, before.own(line.name)) for line in named
    )
    names = {line.name for line in held}
    decided = replace(before, lines=(*held, *(line for line in before.lines if line.name not in names)))
    return LaidLines(ChosenLevels(np.zeros(0)), tuple(named), (*refused, *stray, *crossed), decided)


def obstacles_of(site: Site, ground: Ground, area: BaseGeometry | None = None) -> Obstacles:
    """What lies in the way of lines.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, in the CRS of the ground, and the ground.
    area : shapely geometry, optional
        From `workable_area`, where it is known already.

    Returns
    -------
    Obstacles
        Land that may be worked, keep-outs with their setbacks, watercourses and ponds.

    Examples
    --------
    >>> len(obstacles_of(site, ground).zones) == len(kept_clear(site, ground))
    True
    """
    area = workable_area(site, ground) if area is None else area
    return Obstacles(ground.terrain.grid, area, kept_clear(site, ground), ground.watercourses, ground.ponds)


def workable_area(site: Site, ground: Ground) -> BaseGeometry:
    """The boundary less the setback from the property line; the tile where there is no boundary.

    Parameters
    ----------
    site : Site
        In the CRS of the ground.
    ground : Ground
        The ground without swales.

    Returns
    -------
    shapely polygon or multipolygon
        Where lines may run.

    Raises
    ------
    GeometryError
        If the boundary is nowhere wide enough.

    Examples
    --------
    >>> workable_area(site, ground).area < ground.area.area
    True
    """
    if site.boundary is None:
        return ground.area
    given = site.brief.area.setbacks_m.get("property line")
    setback_m = setback("property line").value if given is None else given
    area = ground.area.buffer(-setback_m)
    if area.is_empty:
        message = (
            f"the boundary is nowhere wider than twice the setback of {setback_m:g} m from the property line; "
            'give a larger boundary, or a smaller "property line" under [area.setbacks_m]'
        )
        raise GeometryError(message)
    return area


def _stores_without_circles(
    ground: Ground, labels: NDArray[np.int32], lines: tuple[LevelLine, ...], paths: tuple[SpillPath, ...]
) -> tuple[Stores, tuple[str, ...]]:
    hollows = ground.network.hollows
    levels = np.concatenate([[line.level_m for line in lines], hollows.spill_level_m])
    below = np.array([path.met for path in paths], np.int32)
    downstream, cut = cut_circles(ground.downstream(labels, below), levels)
    stores = ground.stores(labels, downstream)
    notes = tuple(
        f"the overflow of {'swale' if store < len(lines) else 'hollow'} at {levels[store]:.2f} m would come back to it "
        "over ground as low as the terrain's noise; it is counted as leaving the site"
        for store in cut
    )
    return stores, notes


def _site_notes(site: Site, ground: Ground) -> tuple[str, ...]:
    """What the layout could not know, what of the site's polygons lies off the tile, and rules that its cells raise."""
    tile, notes = shapely.box(*ground.terrain.grid.bounds), []
    if site.boundary is None:
        notes.append("no boundary is given: lines run to the tile's edge, and whose land the overflow meets is unknown")
    if not site.keep_outs:
        notes.append(
            "no keep-outs are given: houses, wells, septic fields, pipes, roads and ground that slips are unknown to it"
        )
    off_tile = 1.0 - ground.area.intersection(tile).area / ground.area.area
    if off_tile > 0.001:
        notes.append(f"{100 * off_tile:.1f} % of the land within the boundary lies off the tile and is left out")
    if site.keep_outs and not any(keep_out.zone.intersects(tile) for keep_out in site.keep_outs):
        notes.append("no keep-out lies on the tile; check the CRS of their file")
    if ground.soil_class is not None and not ground.soil_class.any():
        notes.append("no soil zone lies on the tile; check the CRS of their file")
    return (*notes, *cell_notes(site, ground.terrain))


def _given_notes(decided: Lines | None, refused: Iterable[RefusedLine]) -> tuple[str, ...]:
    """What of the lines that the designer gave isn't laid."""
    return tuple(
        f"{stretch.length_m:.0f} m of {stretch.name}, {decided.state(stretch.name)}, are not laid "
        f"({stretch.reason}): {stretch.detail}"
        for stretch in refused
        if decided is not None and decided.state(stretch.name) in (HELD, DRAWN) and stretch.reason not in (HELD, DRAWN)
    )


def _level_notes(ground: Ground, levels: ChosenLevels, lines: tuple[LevelLine, ...]) -> tuple[str, ...]:
    lowest, highest = ground.height_range_m
    missing = ", ".join(f"{level:g}" for level in levels.levels_m if not lowest < level < highest)
    if missing:
        note = f"no line at {missing} m: the ground of this site reaches from {lowest:.2f} to {highest:.2f} m"
        return (*levels.notes, note)
    return (*levels.notes, _NONE_LAID) if levels.levels_m.size and not lines else levels.notes
