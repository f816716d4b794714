"""From site and terrain to a design: the order of the work, each step done by the room that owns it."""

from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import path_of, points_at
from swalekit.design.cautions import STANDING_CAUTIONS, Surroundings, swale_cautions
from swalekit.design.design import Design, HollowFate, RoutedSwale, Sill, Swale
from swalekit.design.ground import Ground, Stage, silent, study_ground
from swalekit.design.layout import Layout, make_layout
from swalekit.design.settings import rates_of, swell_percent
from swalekit.design.site import Site
from swalekit.design.storm_run import StormRun, run_storms
from swalekit.design.water import Water, pour
from swalekit.earthwork.cost import job_cost, machine_hours, swale_cost
from swalekit.earthwork.design_surface import DesignSurface, build_design_surface
from swalekit.earthwork.quantities import measure_quantities
from swalekit.flow.hollow_ponds import pond_level_m
from swalekit.flow.label_areas import rim_cells
from swalekit.hydrology.cascade import GREATEST_STORM_MM
from swalekit.section.clearance import reached_by_works
from swalekit.section.footprint import works_footprint
from swalekit.section.ground_below import exposed_below
from swalekit.section.sill import sill_head_m
from swalekit.terrain.terrain import Terrain


def plan(site: Site, terrain: Terrain, *, stage: Stage = silent) -> Design:
    """Lay out, size and cost the swales of a site.

    Parameters
    ----------
    site : Site
        The brief and its polygons.
    terrain : Terrain
        The conditioned tile.
    stage : callable
        Told the name of each stage as it begins.

    Returns
    -------
    Design
        Every swale, what was refused and why, what the water does, and the cautions. No swale at all is a result.

    Raises
    ------
    InputError
        If a value breaks a rule.
    """
    return lay_out(site, study_ground(site, terrain, stage=stage), as_built=True, stage=stage)


def lay_out(site: Site, ground: Ground, *, as_built: bool = False, stage: Stage = silent) -> Design:
    """One layout on ground that is already studied: only what differs between options is done here.

    Parameters
    ----------
    site : Site
        Its terrain, storm, soil and watercourse settings must be those that the ground was studied with.
    ground : Ground
        From `study_ground`.
    as_built : bool
        Whether to make the surface as built too, and to check the soil of each berm on it.
    stage : callable
        Told the name of each stage.
    """
    site = site.in_crs(ground.terrain.grid.crs)
    stage("laying the level lines")
    layout = make_layout(site, ground)
    stage("sizing the swales")
    water = pour(site, ground, layout)
    caught = _catching_swale(water, len(layout.lines))
    catchments = caught[layout.drainage.labels + 1]
    stage("passing the storm through the swales")
    run = run_storms(site, ground, layout, tuple(each.shape for each in water.sized), water.stores)
    swales = _swales(site, ground, layout, water, run, caught[2:])
    surface = _surface(ground.terrain, swales) if as_built else None
    swales = _cautioned(swales, site, ground, layout, catchments, surface)
    n_lines = len(swales)
    hollow_inside = ground.inside.ravel()[ground.network.hollows.pit]
    held = water.design.held_m3
    return Design(
        site=site,
        ground=ground,
        swales=swales,
        hollows=_hollow_fates(ground, water, n_lines),
        refused=layout.refused,
        catchments=catchments,
        surface=surface,
        run=run,
        held_storm_mm=min((swale.held_storm_mm for swale in swales), default=0.0),
        held_dry_mm=float(water.held_dry_mm[:n_lines].min(initial=GREATEST_STORM_MM)) if n_lines else 0.0,
        held_wet_mm=float(water.held_wet_mm[:n_lines].min(initial=GREATEST_STORM_MM)) if n_lines else 0.0,
        left_swales_m3=sum(swale.spill_m3 - swale.spill_in_m3 for swale in swales),
        site_runoff_m3=ground.site_runoff_m3 + float((water.local_m3 - water.ground_runoff_m3).sum()),
        kept_m3=float(held[:n_lines].sum() + held[n_lines:][hollow_inside].sum()),
        cost=job_cost([swale.cost for swale in swales], rates_of(site)),
        warnings=(*site.notes, *ground.terrain.notes, *layout.notes, *_swale_notes(swales, ground.terrain)),
        cautions=(*(caution for swale in swales for caution in swale.cautions), *STANDING_CAUTIONS),
    )


def _catching_swale(water: Water, n_lines: int) -> NDArray[np.int32]:
    """Swale (1 …) that catches each label's water in the design storm, through hollows that fill; at [label + 1]."""
    catching = np.zeros(water.stores.downstream.size, np.int32)
    for store in water.stores.order[::-1].tolist():
        if store < n_lines:
            catching[store] = store + 1
        elif water.design.spilled_m3[store] > 0 and water.stores.downstream[store] >= 0:
            catching[store] = catching[water.stores.downstream[store]]
    return np.concatenate([[-1, 0], catching]).astype(np.int32)


def _swales(
    site: Site, ground: Ground, layout: Layout, water: Water, run: StormRun | None, catching: NDArray[np.int32]
) -> tuple[Swale, ...]:
    n_lines = len(layout.lines)
    if run is None:
        return ()
    area_m2 = np.bincount(catching, weights=water.stores.area_m2.sum(axis=1), minlength=1 + n_lines)[1:]
    return tuple(
        _swale(site, ground, layout, water, run, number=number, catchment_m2=float(area_m2[number]))
        for number in range(n_lines)
    )


def _surface(terrain: Terrain, swales: tuple[Swale, ...]) -> DesignSurface:
    return build_design_surface(
        terrain,
        [each.line for each in swales],
        [each.sized.shape for each in swales],
        sills=[(each.sill.chainage_m, each.sill.length_m) for each in swales],
    )


def _cautioned(
    swales: tuple[Swale, ...],
    site: Site,
    ground: Ground,
    layout: Layout,
    catchments: NDArray[np.int32],
    surface: DesignSurface | None,
) -> tuple[Swale, ...]:
    """The swales with what their figures and their place raise."""
    rim_m = rim_cells(ground.terrain, catchments, n_labels=1 + len(swales))[1:] * ground.terrain.grid.cell_m
    levels_m = np.unique([swale.line.level_m for swale in swales])
    cautioned = []
    for number, swale in enumerate(swales):
        exposed = exposed_below(swale.line, number + 1, drainage=layout.drainage, keep_outs=site.keep_outs)
        around = Surroundings(
            spacing_m=_spacing_m(swale.line, levels_m),
            cut_off_m=float(rim_m[number]),
            reached=_reached(swale, site),
            exposed=tuple(each.title for each in exposed),
            fill_m3=0.0 if surface is None else float(surface.fill_m3[number]),
        )
        cautioned.append(replace(swale, cautions=swale_cautions(swale, around)))
    return tuple(cautioned)


def _reached(swale: Swale, site: Site) -> tuple[str, ...]:
    if not site.keep_outs and site.boundary is None:
        return ()
    works = works_footprint(swale.line, swale.sized.shape)
    return reached_by_works(works, keep_outs=site.keep_outs, boundary=site.boundary)


def _swale(
    site: Site, ground: Ground, layout: Layout, water: Water, run: StormRun, *, number: int, catchment_m2: float
) -> Swale:
    line, sized, rates = layout.lines[number], water.sized[number], rates_of(site)
    quantities = measure_quantities(
        line,
        sized.shape,
        swell_percent=swell_percent(site),
        fill_factor=site.brief.soil.fill_factor,
        topsoil_depth_m=site.brief.rates.topsoil_depth_m,
    )
    return Swale(
        id=f"S{number + 1}",
        line=line,
        sized=sized,
        catchment_m2=catchment_m2,
        runoff_m3=float(water.unspilt_m3[number]),
        spill_in_m3=float(water.design.received_m3[number] - water.unspilt_m3[number]),
        spill_m3=float(water.design.spilled_m3[number]),
        held_storm_mm=float(water.held_storm_mm[number]),
        sill=_sill(layout, water, run, number=number),
        routed=_routed(run, number, soaks=ground.soil.intake_mm_h is not None),
        quantities=quantities,
        machine_h=machine_hours(quantities.dug_m3, rates),
        cost=swale_cost(quantities.dug_m3, line.length_m, rates),
        position_sigma_m=line.position_sigma_m(ground.terrain.vertical_sigma_m),
    )


def _sill(layout: Layout, water: Water, run: StormRun, *, number: int) -> Sill:
    line, path, weir = layout.lines[number], layout.spill_paths[number], run.ponds[number].sill
    flow, length = float(run.check.peak_spill_m3s[number]), weir.length_m
    chainage_m = _sill_chainage_m(line, float(line.chainage_m[path.station]), length)
    (place,) = points_at(path_of(line.xy, closed=line.closed), [chainage_m])
    return Sill(
        xy=(float(place[0]), float(place[1])),
        chainage_m=chainage_m,
        level_m=water.sized[number].shape.sill_level_m,
        length_m=length,
        head_m=sill_head_m(flow, length, coefficient=weir.coefficient),
        flow_m3s=flow,
        path=np.vstack([place, path.xy[1:]]),
        spills_to=_store_name(int(water.stores.downstream[number]), len(layout.lines)),
        harms=tuple(title for _, title in path.harms),
    )


def _routed(run: StormRun, number: int, *, soaks: bool) -> RoutedSwale:
    design, check = run.design, run.check
    return RoutedSwale(
        peak_level_m=float(design.peak_level_m[number]),
        freeboard_m=float(check.freeboard_m[number]),
        overtopped=bool(check.overtopped[number]),
        soaked_m3=float(design.soaked_m3[number]),
        empty_after_h=max(float(design.empty_after_h[number]) - run.rain_h, 0.0) if soaks else None,
        outlet=run.outlets[number],
    )


def _sill_chainage_m(line: LevelLine, wanted_m: float, length_m: float) -> float:
    """Middle of a sill that lies wholly on the line, as near as can be to where it was wanted."""
    half_m = min(length_m, line.length_m) / 2.0
    return wanted_m if line.closed else min(max(wanted_m, half_m), line.length_m - half_m)


def _store_name(store: int, n_lines: int) -> str:
    if store < 0:
        return "off the tile"
    return f"S{store + 1}" if store < n_lines else f"H{store - n_lines + 1}"


def _hollow_fates(ground: Ground, water: Water, n_lines: int) -> tuple[HollowFate, ...]:
    hollows, grid = ground.network.hollows, ground.terrain.grid
    received, held, passed = (
        each[n_lines:] for each in (water.design.received_m3, water.design.held_m3, water.design.spilled_m3)
    )
    levels = pond_level_m(ground.network, ground.terrain, held)
    x, y = grid.centres(*np.unravel_index(hollows.pit, grid.shape))
    return tuple(
        HollowFate(
            id=f"H{k + 1}",
            xy=(float(x[k]), float(y[k])),
            spill_level_m=float(hollows.spill_level_m[k]),
            water_level_m=float(levels[k]),
            depth_m=float(hollows.depth_m[k]),
            area_m2=float(hollows.area_m2[k]),
            volume_m3=float(hollows.volume_m3[k]),
            received_m3=float(received[k]),
            held_m3=float(held[k]),
            passed_m3=float(passed[k]),
        )
        for k in range(len(hollows.pit))
    )


def _spacing_m(line: LevelLine, levels_m: NDArray[np.float64]) -> float | None:
    """Horizontal distance to the nearest other level on the mean slope of the line."""
    falls = np.abs(levels_m[levels_m != line.level_m] - line.level_m)
    return float(falls.min()) / line.mean_slope if falls.size else None


def _swale_notes(swales: tuple[Swale, ...], terrain: Terrain) -> tuple[str, ...]:
    """What the reader must know of single swales."""
    capped = [swale.id for swale in swales if swale.held_storm_mm >= GREATEST_STORM_MM]
    crowded = [swale.id for swale in swales if swale.catchment_m2 == 0]
    notes = []
    if capped:
        notes.append(f"{_first(capped)}: holds {GREATEST_STORM_MM:.0f} mm or more, the deepest storm looked at")
    if crowded:
        notes.append(
            f"{_first(crowded)}: no catchment, since the line above takes the same cells; cells of "
            f"{terrain.grid.cell_m:g} m are too wide for this interval: ask for a larger one or use a finer terrain"
        )
    return tuple(notes)


def _first(ids: list[str], *, shown: int = 12) -> str:
    """The first few of many numbers, and how many more there are."""
    more = f" and {len(ids) - shown} more" if len(ids) > shown else ""
    return ", ".join(ids[:shown]) + more
