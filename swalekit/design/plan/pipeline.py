"""From site and terrain to a design: the order of the work, each step done by the room that owns it."""

from collections.abc import Iterable, Sequence
from dataclasses import replace
from itertools import count
from typing import NamedTuple

import numpy as np
import shapely
from numpy.typing import ArrayLike, NDArray

from swalekit.contours.laid_spacing import LaidSpacing, laid_spacing
from swalekit.contours.line import LevelLine
from swalekit.contours.obstacles import KeepOut
from swalekit.contours.polyline import points_at
from swalekit.design.brief.decided_lines import PROPOSED
from swalekit.design.brief.site import Site
from swalekit.design.layout.apart import kept_apart
from swalekit.design.layout.catchment_rule import catchments_by_rule
from swalekit.design.layout.chosen_levels import off_keep_outs
from swalekit.design.layout.fit_ground import check_fit, fitness_of
from swalekit.design.layout.ground import Ground, Stage, first_few, silent, study_ground
from swalekit.design.layout.kept_clear import kept_clear
from swalekit.design.layout.lines import LaidLines, Layout, lay_in_place, lay_levels, make_layout, relaid, workable_area
from swalekit.design.layout.sized_apart import sized_apart
from swalekit.design.layout.sized_layout import SizedLayout, measure_layout
from swalekit.design.layout.water import Water, pour
from swalekit.design.layout.works_met import WorksObstacles
from swalekit.design.plan.account_table import HELD_IN_HOLLOW, differences
from swalekit.design.plan.breach_run import with_reached
from swalekit.design.plan.built import (
    accounts,
    catchments_as_built,
    drained_as_built,
    overflow_as_built,
    ponds_as_built,
)
from swalekit.design.plan.built_crossings import built_crossings
from swalekit.design.plan.cautions import STANDING_CAUTIONS, Surroundings, swale_cautions
from swalekit.design.plan.chosen_sills import unpriced_notes
from swalekit.design.plan.crossings import check_crossings, crossing_cautions, crossing_notes
from swalekit.design.plan.design import Design, HollowFate, RoutedSwale, Sill, Swale
from swalekit.design.plan.hold_notes import hold_notes
from swalekit.design.plan.service import with_service
from swalekit.design.plan.storm_run import StormRun, run_storms, store_name
from swalekit.design.plan.watercourse_ways import watercourse_ways
from swalekit.earthwork.built_ground import BuiltGround, build_ground
from swalekit.flow.catchments import rim_cells
from swalekit.flow.hollow_ponds import drowned, pond_level_m
from swalekit.hydrology.routing.cascade import GREATEST_STORM_MM, caught_by
from swalekit.hydrology.routing.stores import Stores
from swalekit.section.drainage import exposed_below
from swalekit.section.footprint import reached_by_works
from swalekit.section.sill import sill_head_m
from swalekit.section.sill_place import SpillPath, sill_chainage_m
from swalekit.terrain.terrain import Terrain
from swalekit.verification.water_account import WaterAccount

MOST_FINE_CELLS = 200_000_000
"""Fine cells over the box of all works up to which the ground as built is handed over on them."""

_ROUNDS, _MOST_ROUNDS = 3, 6
_TRIFLE_M2 = 0.5
"""Ground that two works may share by the rounding of their outlines [m²]."""


def plan(
    site: Site,
    terrain: Terrain,
    *,
    lines: Iterable[LevelLine | ArrayLike] | None = None,
    stage: Stage = silent,
) -> Design:
    """Lay out, size and cost the swales of a site.

    Parameters
    ----------
    site : Site
        The brief and its polygons.
    terrain : Terrain
        The conditioned tile.
    lines : iterable of LevelLine or array_like, shape (n, 2), optional
        Lines in place of those that the brief asks for: level lines are taken as they are; of lines drawn by hand,
        easting and northing of the vertices [m], each becomes the contour that it follows, cut and refused by the
        rules of the brief.
    stage : callable
        Told the name of each stage as it begins.

    Returns
    -------
    Design
        Every swale, what was refused and why, what the water does, and the cautions. No swale at all is a result.

    Raises
    ------
    InputError
        If a value breaks a rule, a drawn line lies off the ground, or the tile can't carry ditches (`check_fit`).

    Examples
    --------
    Two lines drawn on a plane that falls southward, not quite level:

    >>> from swalekit import Grid, Site, check_brief
    >>> heights = np.repeat(np.arange(100.0, 0.0, -1.0)[:, np.newaxis] / 10.0, 60, axis=1)
    >>> terrain = Terrain.from_heights(heights, Grid.from_corner((100, 60), cell_m=1.0, west_m=0.0, north_m=100.0))
    >>> brief = check_brief({"terrain.file": "plane.tif", "storm.depth_mm": 40, "soil.curve_number": 80,
    ...     "levels.interval_m": 2.0})
    >>> drawn = [[(5.0, 70.5), (30.0, 69.0), (55.0, 70.5)], [(5.0, 40.0), (55.0, 41.0)]]
    >>> design = plan(Site(brief, crs=terrain.grid.crs), terrain, lines=drawn)
    >>> for swale in design.swales:
    ...     print(swale)
    Swale(S1, level 7.03 m, length 50 m, depth 0.35 m, storage 18.48 m³, held storm 40.2 mm)
    Swale(S2, level 4.1 m, length 50 m, depth 0.35 m, storage 18.48 m³, held storm 40.9 mm)
    """
    check_fit(site, fitness_of(site, terrain), lines_given=lines is not None)
    return lay_out(site, study_ground(site, terrain, stage=stage), lines=lines, stage=stage)


def lay_out(
    site: Site, ground: Ground, *, lines: Iterable[LevelLine | ArrayLike] | None = None, stage: Stage = silent
) -> Design:
    """Lay out, size and cost the swales on ground that is already studied.

    Parameters
    ----------
    site : Site
        Its terrain, storm, soil and watercourse settings must be those that the ground was studied with.
    ground : Ground
        From `study_ground`.
    lines : iterable of LevelLine or array_like, shape (n, 2), optional
        Lines in place of those that the brief asks for, as for `plan`.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Design
        As `plan` gives it.

    Raises
    ------
    InputError
        If a drawn line lies off the ground, or the brief names what the layout lacks.

    Examples
    --------
    >>> [swale.id for swale in lay_out(site, ground).swales]
    ['S1', 'S2']
    """
    layout, water, sized = _sized(site.in_crs(ground.terrain.grid.crs), ground, stage, lines=lines)
    site = sized.site
    built = _built(site, ground, layout, water, sized, stage=stage, failures=True)
    layout, water, sized, run, surface = built.layout, built.water, built.sized, built.run, built.surface
    swales = _cautioned(with_service(site, ground, layout, built.swales), site, ground, built)
    return Design(
        site=site,
        swales=swales,
        held_dry_mm=sized.held_dry_mm,
        held_wet_mm=sized.held_wet_mm,
        site_runoff_m3=sized.site_runoff_m3,
        kept_m3=sized.kept_m3,
        ground=ground,
        hollows=_hollow_fates(ground, water, [swale.id for swale in swales]),
        refused=layout.refused,
        catchments=built.catchments,
        surface=surface,
        run=run,
        warnings=(
            *site.notes,
            *hold_notes(site),
            *ground.terrain.notes,
            *ground.notes,
            *layout.notes,
            *_swale_notes(swales, ground.terrain),
            *catchments_by_rule(ground, layout).notes([swale.id for swale in swales]),
            *unpriced_notes([swale.sill.apron for swale in swales], sized.rates),
            *crossing_notes(site, ground, swales, layout.refused),
            *_surface_notes(surface),
        ),
        cautions=(
            *(caution for swale in swales for caution in swale.cautions),
            *(way.caution() for way in watercourse_ways(site, ground)),
            *crossing_cautions(swales),
            *STANDING_CAUTIONS,
        ),
        account=built.account,
        check_account=built.check_account,
        spacing=_laid_spacing(site, ground, layout) if lines is None else None,
    )


def built_layout(
    site: Site,
    ground: Ground,
    *,
    laid: LaidLines | None = None,
    lines: Iterable[LevelLine | ArrayLike] | None = None,
    cautioned: bool = False,
    stage: Stage = silent,
) -> tuple[Layout, Water, SizedLayout]:
    """The layout that the brief asks for, sized for what drains to it on the ground as built, as a plan has it.

    Parameters
    ----------
    site : Site
        Its terrain, storm, soil and watercourse settings must be those that the ground was studied with.
    ground : Ground
        From `study_ground`.
    laid : LaidLines, optional
        From `lay_levels`, where the same lines are used again.
    lines : iterable of LevelLine or array_like, shape (n, 2), optional
        Lines in place of those that the brief asks for, as for `plan`.
    cautioned : bool
        Whether its swales carry their cautions. No swale fails in turn here, so those that a failure raises are for
        `lay_out` to tell.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    layout : Layout
        Lines and stores.
    water : Water
        Sizes, and what each store receives, holds and spills.
    sized : SizedLayout
        The figures of both; the held storms are poured.

    Examples
    --------
    >>> built_layout(site, ground)[2].dug_m3 == design.dug_m3
    True
    """
    site = site.in_crs(ground.terrain.grid.crs)
    layout, water, sized = _sized(site, ground, stage, laid=laid, lines=lines)
    built = _built(sized.site, ground, layout, water, sized, stage=stage, failures=False)
    swales = _cautioned(built.swales, sized.site, ground, built) if cautioned else built.swales
    return built.layout, built.water, replace(built.sized, swales=swales)


def size_layout(site: Site, ground: Ground, *, stage: Stage = silent) -> SizedLayout:
    """Figures of the layout that the brief asks for, as `built_layout`.

    Parameters
    ----------
    site : Site
        Its terrain, storm, soil and watercourse settings must be those that the ground was studied with.
    ground : Ground
        From `study_ground`.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    SizedLayout
        Swales, and what the whole holds and keeps.

    Examples
    --------
    >>> size_layout(site, ground).dug_m3 == design.dug_m3
    True
    """
    return built_layout(site, ground, stage=stage)[2]


def _sized(
    site: Site,
    ground: Ground,
    stage: Stage,
    *,
    lines: Iterable[LevelLine | ArrayLike] | None = None,
    laid: LaidLines | None = None,
) -> tuple[Layout, Water, SizedLayout]:
    stage("laying the level lines")
    if lines is not None:
        laid = lay_in_place(site, ground, lines)
    elif laid is None:
        laid = lay_levels(site, ground)
    site = laid.site_of(site)
    layout = make_layout(site, ground, laid=laid)
    stage("sizing the swales")
    layout, water = sized_apart(site, ground, layout)
    return layout, water, measure_layout(site, ground, layout, water)


class _Built(NamedTuple):
    """A layout whose catchments are those of the ground as built with it."""

    layout: Layout
    water: Water
    sized: SizedLayout
    run: StormRun | None
    swales: tuple[Swale, ...]
    surface: BuiltGround
    catchments: NDArray[np.signedinteger]
    account: WaterAccount | None = None
    check_account: WaterAccount | None = None


def _built(
    site: Site,
    ground: Ground,
    layout: Layout,
    water: Water,
    sized: SizedLayout,
    *,
    stage: Stage,
    failures: bool,
) -> _Built:
    """Build the swales, find what drains to each then, size them for that and build again, until that is the same.

    At most three times, or six where works are trimmed that grow into what they must not meet: after that, what still
    differs is told by the account. At last swales fail in turn, where that is asked for.
    """
    trimmed = False
    for turn in count(1):
        stage("passing the storm through the swales")
        shapes = tuple(swale.shape for swale in water.sized)
        run = run_storms(site, ground, layout, shapes, water.stores, failures=False)
        swales = _crossed(_swales(sized, ground, layout, water, run), site, ground, layout)
        stage("building the surface")
        surface = _surface(site, ground.terrain, swales)
        if not swales:
            none = np.where(ground.terrain.valid, 0, -1).astype(np.int16)
            return _Built(layout, water, sized, run, swales, surface, none)
        stage("pouring the storms over the ground as built")
        ponds = ponds_as_built(site, ground, swales, surface)
        paths = overflow_as_built(site, ground, layout, ponds, surface)
        drained = drained_as_built(ground, layout, ponds, surface, paths=paths)
        if drained is layout or turn >= (_MOST_ROUNDS if trimmed else _ROUNDS):
            break
        layout, water = drained, pour(site, ground, drained)
        kept, taken = kept_apart(site, ground, zip(layout.lines, (s.shape for s in water.sized), strict=True))
        trimmed = bool(taken)
        if trimmed:
            layout, water = sized_apart(site, ground, relaid(site, ground, layout, kept, taken))
        sized = measure_layout(site, ground, layout, water)
    if failures:
        stage("letting swales fail in turn")
        run = run_storms(site, ground, layout, shapes, water.stores)
        swales = _crossed(_swales(sized, ground, layout, water, run), site, ground, layout)
    check_crossings(swales)
    account, check_account = accounts(site, ground, swales, surface, ponds)
    swales = tuple(
        replace(
            swale,
            poured=poured,
            held_storm_mm=poured.held_storm_mm,
            sized_storm_mm=swale.held_storm_mm,
            fill_m=float(fill_m) or swale.berm_height_m,
        )
        for swale, poured, fill_m in zip(swales, account.swales, surface.greatest_fill_m, strict=True)
    )
    if run is not None:
        swales = _overflowing(swales, paths, drained.stores, cell_m=surface.grid.cell_m)
    catchments = catchments_as_built(ground, layout, water, ponds, surface)
    return _Built(layout, water, sized, run, swales, surface, catchments, account, check_account)


def _overflowing(
    swales: tuple[Swale, ...], paths: tuple[SpillPath, ...], stores: Stores, *, cell_m: float
) -> tuple[Swale, ...]:
    """The swales with the way of their overflow over the ground as built: from the sill, if water first leaves there.

    Parameters
    ----------
    swales : tuple of Swale
        Poured.
    paths : tuple of SpillPath
        From `overflow_as_built`.
    stores : Stores
        From `drained_as_built`.
    cell_m : float
        Cells of the tile: points of the way that lie off by less than a third of one are left out [m].

    Returns
    -------
    tuple of Swale
    """
    told, names = [], [swale.id for swale in swales]
    for number, (swale, path) in enumerate(zip(swales, paths, strict=True)):
        on_sill = swale.poured is None or swale.poured.on_sill
        way = shapely.LineString(
            np.vstack([_nearest(swale.sill_line, path.xy[0]), path.xy[1:]]) if on_sill else path.xy
        )
        sill = replace(
            swale.sill,
            path=shapely.get_coordinates(way.simplify(cell_m / 3.0)),
            spills_to=HELD_IN_HOLLOW if path.met < 0 else store_name(int(stores.downstream[number]), names),
            harms=tuple(title for _, title in path.harms),
        )
        told.append(replace(swale, sill=sill))
    return tuple(told)


def _nearest(line_xy: NDArray[np.float64], xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Point of a line that is nearest to a point, shape (1, 2)."""
    line = shapely.LineString(line_xy)
    return np.asarray(shapely.get_coordinates(line.interpolate(line.project(shapely.Point(xy)))))


def _laid_spacing(site: Site, ground: Ground, layout: Layout) -> LaidSpacing:
    area = off_keep_outs(site, workable_area(site, ground))
    return laid_spacing(ground.terrain, layout.lines, layout.refused, area)


def _swales(
    sized: SizedLayout, ground: Ground, layout: Layout, water: Water, run: StormRun | None
) -> tuple[Swale, ...]:
    if run is None:
        return ()
    failures, in_check = ({each.swale: each for each in each_of} for each_of in (run.failures, run.check_failures))
    return tuple(
        Swale(
            **vars(swale),
            sill=_sill(layout, water, run, number=number, wanted_m=swale.own.sill_at_m),
            routed=_routed(run, number, soaks=ground.soil.intake_mm_h is not None),
            failure=failures.get(swale.id),
            check_failure=in_check.get(swale.id),
        )
        for number, swale in enumerate(sized.swales)
    )


def _crossed(swales: tuple[Swale, ...], site: Site, ground: Ground, layout: Layout) -> tuple[Swale, ...]:
    """The swales with their crossings as they are built for the check storm."""
    crossings = built_crossings(
        site,
        ground,
        layout,
        [swale.sized.shape for swale in swales],
        sills_m=[swale.sill.chainage_m for swale in swales],
        freeboard_left_m=np.array([swale.routed.freeboard_m for swale in swales]),
        spills_m3s=np.array([swale.sill.flow_m3s for swale in swales]),
    )
    return tuple(replace(swale, crossings=each) for swale, each in zip(swales, crossings, strict=True))


def _surface(site: Site, terrain: Terrain, swales: tuple[Swale, ...]) -> BuiltGround:
    return build_ground(
        terrain,
        [swale.line for swale in swales],
        [swale.sized.shape for swale in swales],
        sills=[(swale.sill.chainage_m, swale.sill.length_m) for swale in swales],
        pipes=[[crossing.bed for crossing in swale.crossings if crossing.bed is not None] for swale in swales],
        fill_factor=site.brief.soil.fill_factor,
    )


def _surface_notes(surface: BuiltGround) -> tuple[str, ...]:
    """What the reader must know of the ground as built."""
    cells = 0 if surface.fine_grid is None else surface.fine_grid.n_cells
    if cells <= MOST_FINE_CELLS:
        return ()
    return (
        f"the ground as built on cells of {surface.fine_cell_m:.2f} m would take {cells / 1e6:.0f} million of them, "
        f"more than {MOST_FINE_CELLS / 1e6:.0f} million, and isn't written; plan parts of the site on their own",
    )


def _cut_off_m(terrain: Terrain, layout: Layout, water: Water) -> NDArray[np.float64]:
    """Length of the tile's edge, or of a void's rim, within the catchment of each swale."""
    n_lines = len(layout.lines)
    rim = rim_cells(terrain, layout.drainage.labels, n_labels=1 + water.stores.downstream.size)[1:]
    catching = caught_by(water.stores, water.design, n_lines)
    by_swale = np.bincount(catching, weights=rim, minlength=1 + n_lines)
    return np.asarray(by_swale[1:] * terrain.grid.cell_m)


def _cautioned(swales: tuple[Swale, ...], site: Site, ground: Ground, built: _Built) -> tuple[Swale, ...]:
    """The swales with what their figures and their place raise."""
    layout, cut_off_m = built.layout, _cut_off_m(ground.terrain, built.layout, built.water)
    levels_m = np.unique([swale.line.level_m for swale in swales])
    clear, obstacles = kept_clear(site, ground), WorksObstacles(site, ground)
    cautioned, overlapped = [], _overlapped(swales)
    exposed = [
        tuple(thing.title for thing in exposed_below(swale.line, label, drainage=layout.drainage, keep_outs=clear))
        for label, swale in enumerate(swales, start=1)
    ]
    in_the_way = {swale.id: (*things, *swale.sill.harms) for swale, things in zip(swales, exposed, strict=True)}
    for number, swale in enumerate(swales):
        around = Surroundings(
            spacing_m=_spacing_m(swale.line, levels_m),
            cut_off_m=float(cut_off_m[number]),
            reached=_reached(swale, site, clear),
            overlapped=overlapped[number],
            exposed=exposed[number],
            differs=differences(swale),
            met=obstacles.met_by_works(swale.line, swale.sized.shape) if swale.state != PROPOSED else (),
        )
        told = replace(
            swale,
            failure=with_reached(swale.failure, in_the_way),
            check_failure=with_reached(swale.check_failure, in_the_way),
        )
        cautions = swale_cautions(told, around, empty_within_h=site.brief.soil.empty_within_h)
        cautioned.append(replace(told, cautions=cautions))
    return tuple(cautioned)


def _overlapped(swales: Sequence[Swale]) -> list[tuple[str, ...]]:
    """For every swale the others whose works share more than a trifle of ground with its own."""
    works = np.array([swale.works for swale in swales], dtype=object)
    others: list[list[int]] = [[] for _ in swales]
    for own, other in shapely.STRtree(works).query(works, predicate="intersects").T.tolist():
        if own != other and works[own].intersection(works[other]).area > _TRIFLE_M2:
            others[own].append(other)
    return [tuple(swales[other].id for other in sorted(row)) for row in others]


def _reached(swale: Swale, site: Site, clear: tuple[KeepOut, ...]) -> tuple[str, ...]:
    if not clear and site.boundary is None:
        return ()
    return reached_by_works(swale.works, keep_outs=clear, boundary=site.boundary)


def _sill(layout: Layout, water: Water, run: StormRun, *, number: int, wanted_m: float | None) -> Sill:
    """The sill of a swale, where it does least harm or as near as can be to where it is wanted."""
    line, path, weir = layout.lines[number], layout.spill_paths[number], run.ponds[number].sill
    flow, length, shape = float(run.check.peak_spill_m3s[number]), weir.length_m, water.sized[number].shape
    wanted_m = float(line.chainage_m[path.station]) if wanted_m is None else min(wanted_m, line.length_m)
    chainage_m = sill_chainage_m(line, shape, wanted_m=wanted_m, length_m=length)
    (place,) = points_at(line.path, [chainage_m])
    return Sill(
        xy=(float(place[0]), float(place[1])),
        chainage_m=chainage_m,
        level_m=shape.sill_level_m,
        length_m=length,
        head_m=sill_head_m(flow, length, coefficient=weir.coefficient),
        flow_m3s=flow,
        path=np.vstack([place, path.xy[1:]]),
        spills_to=store_name(int(water.stores.downstream[number]), [line.name for line in layout.lines]),
        harms=tuple(title for _, title in path.harms),
        apron=run.choices[number].apron,
        lacking=run.choices[number].lacking,
    )


def _routed(run: StormRun, number: int, *, soaks: bool) -> RoutedSwale:
    design, check = run.design, run.check
    return RoutedSwale(
        peak_level_m=float(design.peak_level_m[number]),
        freeboard_m=float(check.freeboard_m[number]),
        overtopped=bool(check.overtopped[number]),
        soaked_m3=float(design.soaked_m3[number]),
        empty_after_h=max(float(design.empty_after_h[number]) - run.rain_h, 0.0) if soaks else None,
        outlet=run.choices[number].outlet,
    )


def _hollow_fates(ground: Ground, water: Water, swales: Sequence[str]) -> tuple[HollowFate, ...]:
    hollows, grid, n_lines = ground.network.hollows, ground.terrain.grid, len(swales)
    received, held, passed = (
        stores_m3[n_lines:] for stores_m3 in (water.design.received_m3, water.design.held_m3, water.design.spilled_m3)
    )
    levels, names = pond_level_m(ground.network, ground.terrain, held), [f"H{k + 1}" for k in range(len(hollows))]
    under = np.where(drowned(hollows, held), hollows.drowns_in, -1)
    x, y = grid.centres(*np.unravel_index(hollows.pit, grid.shape))
    return tuple(
        HollowFate(
            id=names[k],
            xy=(float(x[k]), float(y[k])),
            spill_level_m=float(hollows.spill_level_m[k]),
            water_level_m=float(levels[k]),
            depth_m=float(hollows.depth_m[k]),
            area_m2=float(hollows.area_m2[k]),
            volume_m3=float(hollows.volume_m3[k]),
            received_m3=float(received[k]),
            held_m3=float(held[k]),
            passed_m3=float(passed[k]),
            spills_to=store_name(int(water.stores.downstream[n_lines + k]), swales),
            drowned_in=names[under[k]] if under[k] >= 0 else "",
        )
        for k in range(len(hollows))
    )


def _spacing_m(line: LevelLine, levels_m: NDArray[np.float64]) -> float | None:
    """Horizontal distance to the nearest other level on the mean slope of the line."""
    falls = np.abs(levels_m[levels_m != line.level_m] - line.level_m)
    return float(falls.min()) / line.mean_slope if falls.size else None


def _swale_notes(swales: tuple[Swale, ...], terrain: Terrain) -> tuple[str, ...]:
    """What the reader must know of single swales."""
    capped = [swale.id for swale in swales if swale.held_storm_mm >= GREATEST_STORM_MM]
    crowded = [swale.id for swale in swales if swale.catchment_m2 == 0]
    notes = [
        f"{swale.id}: its sill is asked for at {swale.own.sill_at_m:g} m, and it is {swale.line.length_m:.0f} m long"
        for swale in swales
        if swale.own.sill_at_m is not None and swale.own.sill_at_m > swale.line.length_m
    ]
    if capped:
        notes.append(f"{first_few(capped)}: holds {GREATEST_STORM_MM:.0f} mm or more, the deepest storm looked at")
    if crowded:
        notes.append(
            f"{first_few(crowded)}: no catchment, since the line above takes the same cells; cells of "
            f"{terrain.grid.cell_m:g} m are too wide for this interval: ask for a larger one or use a finer terrain"
        )
    return tuple(notes)
