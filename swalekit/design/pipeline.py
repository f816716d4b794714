"""From site and terrain to a design: the order of the work, each step done by the room that owns it."""

import numpy as np
from numpy.typing import NDArray

from swalekit.contours.line import LevelLine
from swalekit.design.cautions import STANDING_CAUTIONS, swale_cautions
from swalekit.design.design import Design, HollowFate, Sill, Swale
from swalekit.design.ground import Ground, Stage, silent, study_ground
from swalekit.design.layout import Layout, make_layout
from swalekit.design.settings import rates_of, sill_coefficient, swell_percent
from swalekit.design.site import Site
from swalekit.design.water import Water, pour
from swalekit.earthwork.cost import job_cost, machine_hours, swale_cost
from swalekit.earthwork.quantities import measure_quantities
from swalekit.flow.hollow_ponds import pond_level_m
from swalekit.flow.label_areas import rim_cells
from swalekit.hydrology.cascade import GREATEST_STORM_MM
from swalekit.hydrology.composite import area_weighted_curve_number
from swalekit.hydrology.flow_length import flow_length_m
from swalekit.hydrology.peak import peak_flow_m3s, time_of_concentration_h
from swalekit.section.clearance import reached_by_works
from swalekit.section.footprint import works_footprint
from swalekit.section.sill import sill_head_m, sill_length_m
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
    return lay_out(site, study_ground(site, terrain, stage=stage), stage=stage)


def lay_out(site: Site, ground: Ground, *, stage: Stage = silent) -> Design:
    """One layout on ground that is already studied: only what differs between options is done here.

    Parameters
    ----------
    site : Site
        Its terrain, storm, soil and watercourse settings must be those that the ground was studied with.
    ground : Ground
        From `study_ground`.
    stage : callable
        Told the name of each stage.
    """
    site = site.in_crs(ground.terrain.grid.crs)
    stage("laying the level lines")
    layout = make_layout(site, ground)
    stage("sizing the swales")
    water = pour(site, ground, layout)
    caught = _catching_swale(water, len(layout.lines))
    catchments = caught[layout.labels + 1]
    swales = _swales(site, ground, layout, water, catchments)
    n_lines = len(swales)
    hollows = _hollow_fates(ground, water, n_lines)
    rows, columns = np.unravel_index(ground.network.hollows.pit, ground.terrain.grid.shape)
    hollow_inside = ground.inside[rows, columns]
    held = water.design.held_m3
    return Design(
        site=site,
        ground=ground,
        swales=swales,
        hollows=hollows,
        refused=layout.refused,
        catchments=catchments,
        held_storm_mm=min((swale.held_storm_mm for swale in swales), default=0.0),
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
    site: Site, ground: Ground, layout: Layout, water: Water, catchments: NDArray[np.int32]
) -> tuple[Swale, ...]:
    n_lines, cell_m = len(layout.lines), ground.terrain.grid.cell_m
    rim_m = rim_cells(ground.terrain, catchments, n_labels=1 + n_lines)[1:] * cell_m
    catching = _catching_swale(water, n_lines)[2:]
    area_m2 = np.bincount(catching, weights=water.stores.area_m2.sum(axis=1), minlength=1 + n_lines)[1:]
    levels_m = np.unique([line.level_m for line in layout.lines])
    swales = []
    for number, line in enumerate(layout.lines):
        swale = _swale(site, ground, layout, water, number=number, catchment_m2=float(area_m2[number]))
        cautions = swale_cautions(
            swale,
            spacing_m=_spacing_m(line, levels_m),
            cut_off_m=float(rim_m[number]),
            spill_harm=swale.sill.harm,
            reached=reached_by_works(
                works_footprint(line, swale.sized.shape), keep_outs=site.keep_outs, boundary=site.boundary
            ),
        )
        swales.append(swale.with_cautions(cautions))
    return tuple(swales)


def _swale(site: Site, ground: Ground, layout: Layout, water: Water, *, number: int, catchment_m2: float) -> Swale:
    line, sized, rates = layout.lines[number], water.sized[number], rates_of(site)
    quantities = measure_quantities(
        line,
        sized.shape,
        swell_percent=swell_percent(site),
        fill_factor=site.brief.soil.fill_factor,
        topsoil_depth_m=site.brief.rates.topsoil_depth_m,
    )
    intake = ground.soil.intake_mm_h
    full_depth_m = sized.shape.sill_level_m - sized.shape.floor_level_m
    return Swale(
        id=f"S{number + 1}",
        line=line,
        sized=sized,
        catchment_m2=catchment_m2,
        runoff_m3=float(water.unspilt_m3[number]),
        spill_in_m3=float(water.design.received_m3[number] - water.unspilt_m3[number]),
        spill_m3=float(water.design.spilled_m3[number]),
        held_storm_mm=float(water.held_storm_mm[number]),
        sill=_sill(site, ground, layout, water, number=number, catchment_m2=catchment_m2),
        quantities=quantities,
        machine_h=machine_hours(quantities.dug_m3, rates),
        cost=swale_cost(quantities.dug_m3, line.length_m, rates),
        standing_h=None if intake is None else 1000.0 * full_depth_m / intake,
        position_sigma_m=line.position_sigma_m(ground.terrain.vertical_sigma_m),
    )


def _sill(site: Site, ground: Ground, layout: Layout, water: Water, *, number: int, catchment_m2: float) -> Sill:
    line, path, part = layout.lines[number], layout.spill_paths[number], site.brief.sill
    flow = _check_flow_m3s(site, ground, layout, water, number=number, catchment_m2=catchment_m2)
    coefficient = sill_coefficient(site)
    length = max(part.least_length_m, sill_length_m(flow, part.head_m, coefficient=coefficient))
    x, y = line.xy[path.station]
    return Sill(
        xy=(float(x), float(y)),
        chainage_m=float(line.chainage_m[path.station]),
        level_m=water.sized[number].shape.sill_level_m,
        length_m=length,
        head_m=sill_head_m(flow, length, coefficient=coefficient),
        flow_m3s=flow,
        path=path.xy,
        spills_to=_store_name(int(water.stores.downstream[number]), len(layout.lines)),
        harm=f"{path.harm} '{path.harm_name}'" if path.harm_name else path.harm,
    )


def _check_flow_m3s(
    site: Site, ground: Ground, layout: Layout, water: Water, *, number: int, catchment_m2: float
) -> float:
    """Peak of what the check storm sends over a sill."""
    excess_m3 = float(water.check.spilled_m3[number])
    if excess_m3 <= 0:
        return 0.0
    area_m2 = water.stores.area_m2[number]
    mean_cn = area_weighted_curve_number(ground.soil.curve_number, area_m2 if area_m2.any() else area_m2 + 1.0)
    length_m = flow_length_m(max(catchment_m2, float(water.stores.strip_area_m2[number])))
    concentration_h = time_of_concentration_h(length_m, layout.lines[number].mean_slope, mean_cn)
    return peak_flow_m3s(excess_m3, concentration_h, burst_h=site.brief.storm.burst_h)


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
        notes.append(f"{', '.join(capped)}: holds {GREATEST_STORM_MM:.0f} mm or more, the deepest storm looked at")
    if crowded:
        notes.append(
            f"{', '.join(crowded)}: no catchment, since the line above takes the same cells; cells of "
            f"{terrain.grid.cell_m:g} m are too wide for this interval: ask for a larger one or use a finer terrain"
        )
    return tuple(notes)
