"""Swales on the ground as built: what drains to each with all works standing, and the storms poured over it."""

from collections.abc import Sequence
from dataclasses import replace

import numpy as np
from numpy.typing import NDArray

from swalekit.design.brief.settings import noise_depth_m, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import kept_free
from swalekit.design.layout.lines import Layout
from swalekit.design.layout.water import Water
from swalekit.design.plan.design import Swale
from swalekit.earthwork.built_ground import BuiltGround
from swalekit.flow.catchments import relabelled
from swalekit.hydrology.routing.cascade import caught_by
from swalekit.hydrology.routing.stores import cut_circles
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.sill_place import SpillPath, spill_path
from swalekit.verification.overflow_ways import overflow_ways
from swalekit.verification.swale_ponds import HOLLOW, SwalePonds, met_by_cell, swale_ponds
from swalekit.verification.water_account import WaterAccount, account_storms, areas_of_swales, pour_storm

SAME_GROUND = 0.002
"""Catchments that differ by less, or by less than a few cells, are the same; our choice."""
_FEW_CELLS = 1.0


def ponds_as_built(site: Site, ground: Ground, swales: Sequence[Swale], surface: BuiltGround) -> SwalePonds:
    """The ponds of swales among the depressions of the ground as built.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, and the ground.
    swales : sequence of Swale
        The swales.
    surface : BuiltGround
        The ground with them.

    Returns
    -------
    SwalePonds
        Ponds, and which store water meets first.

    Examples
    --------
    >>> ponds_as_built(site, ground, design.swales, design.surface).owner.max()
    np.int32(2)
    """
    crests_m = np.array([swale.sized.shape.crest_level_m for swale in swales])
    return swale_ponds(surface, crests_m, noise_depth_m=noise_depth_m(site, ground.terrain))


def overflow_as_built(
    site: Site, ground: Ground, layout: Layout, ponds: SwalePonds, surface: BuiltGround
) -> tuple[SpillPath, ...]:
    """The way of each line's overflow over the ground as built, all that the check storm fills being full.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked, and the ground without swales.
    layout : Layout
        The layout that was built.
    ponds : SwalePonds
        From `ponds_as_built`.
    surface : BuiltGround
        The ground as built.

    Returns
    -------
    tuple of SpillPath
        From the place where water first leaves each; as it was where a swale has no pond.

    Examples
    --------
    >>> ponds = ponds_as_built(site, ground, design.swales, design.surface)
    >>> [path.met for path in overflow_as_built(site, ground, layout, ponds, design.surface)]
    [2, 0]
    """
    pour = pour_storm(ponds, surface, ground.soil, depth_mm=storm_of(site).check_depth_mm, soil_class=ground.soil_class)
    pits = np.unravel_index(ground.network.hollows.pit, ground.terrain.grid.shape)
    hollow_xy = np.column_stack(ground.terrain.grid.centres(*pits))
    ways = overflow_ways(ponds, pour, count=len(layout.lines), hollow_xy=hollow_xy)
    free = kept_free(site, ground)
    return tuple(
        path
        if way is None
        else spill_path(
            path.station,
            way.xy,
            way.meets,
            ground.terrain,
            ground.watercourses,
            keep_outs=free,
            boundary=site.boundary,
        )
        for path, way in zip(layout.spill_paths, ways, strict=True)
    )


def drained_as_built(
    ground: Ground,
    layout: Layout,
    ponds: SwalePonds,
    surface: BuiltGround,
    *,
    paths: tuple[SpillPath, ...],
) -> Layout:
    """A layout of which each line has what drains to its works as built, and spills where these do.

    Parameters
    ----------
    ground : Ground
        The ground without swales.
    layout : Layout
        The layout that was built.
    ponds : SwalePonds
        From `ponds_as_built`.
    surface : BuiltGround
        The ground as built.
    paths : tuple of SpillPath
        From `overflow_as_built`.

    Returns
    -------
    Layout
        The layout itself if nothing changes by more than `SAME_GROUND`; else with these paths and other stores, of
        which hollows keep theirs.

    Examples
    --------
    >>> ponds = ponds_as_built(site, ground, design.swales, design.surface)
    >>> paths = overflow_as_built(site, ground, layout, ponds, design.surface)
    >>> drained = drained_as_built(ground, layout, ponds, design.surface, paths=paths)
    >>> drained.stores.downstream
    array([ 1, -1], dtype=int32)
    """
    stores, n_lines = layout.stores, len(layout.lines)
    own_m2 = areas_of_swales(ponds, surface, ground.soil, ground.soil_class, count=n_lines)
    downstream = stores.downstream.copy()
    downstream[:n_lines] = [max(path.met, 0) - 1 for path in paths]
    levels_m = np.concatenate([[line.level_m for line in layout.lines], ground.network.hollows.spill_level_m])
    downstream, _ = cut_circles(downstream, levels_m)
    now_m2, few_m2 = stores.area_m2[:n_lines], _FEW_CELLS * ground.terrain.grid.cell_area_m2
    same_ground = np.allclose(own_m2, now_m2, rtol=SAME_GROUND, atol=few_m2)
    if same_ground and (downstream == stores.downstream).all():
        return layout
    area_m2 = np.concatenate([own_m2, stores.area_m2[n_lines:]])
    stores = replace(stores, area_m2=area_m2, downstream=downstream)
    return replace(layout, spill_paths=paths, stores=stores)


def catchments_as_built(
    ground: Ground, layout: Layout, water: Water, ponds: SwalePonds, surface: BuiltGround
) -> NDArray[np.signedinteger]:
    """Number of the swale that catches each cell's water with all works standing, by way of hollows that fill too.

    Parameters
    ----------
    ground, layout, water : Ground, Layout, Water
        The ground without swales, the lines, and what the design storm does.
    ponds : SwalePonds
        From `ponds_as_built`.
    surface : BuiltGround
        The ground as built; of a cell that is cut up its middle counts.

    Returns
    -------
    ndarray of int16 or int32, shape (rows, columns)
        0 for none, -1 at void cells.

    Examples
    --------
    >>> ponds = ponds_as_built(site, ground, design.swales, design.surface)
    >>> from swalekit.design.plan.pipeline import built_layout
    >>> built, water, _ = built_layout(site, ground)
    >>> caught = catchments_as_built(ground, built, water, ponds, design.surface)
    >>> bool((caught == design.catchments).all())
    True
    """
    n_lines, natural = len(layout.lines), layout.drainage.labels
    by_hollow = caught_by(water.stores, water.design, n_lines)[n_lines:]
    met = met_by_cell(ponds, surface)
    labels = np.where(met == HOLLOW, natural, met).astype(np.int32)
    table = np.concatenate([np.arange(1, n_lines + 1), by_hollow]).astype(np.int32)
    labels[(met == HOLLOW) & (natural <= n_lines)] = 0
    labels[natural < 0] = -1
    return relabelled(ground.terrain.grid, labels, table)


def accounts(
    site: Site, ground: Ground, swales: Sequence[Swale], surface: BuiltGround, ponds: SwalePonds
) -> tuple[WaterAccount, WaterAccount]:
    """The design storm and the check storm poured over the ground as built.

    Parameters
    ----------
    site, ground, swales, surface : Site, Ground, sequence of Swale, BuiltGround
        What was asked, the ground, the swales, the ground with them.
    ponds : SwalePonds
        From `ponds_as_built`.

    Returns
    -------
    design, check : WaterAccount
        Where the water of each is.

    Examples
    --------
    >>> ponds = ponds_as_built(site, ground, design.swales, design.surface)
    >>> [round(account.depth_mm) for account in accounts(site, ground, design.swales, design.surface, ponds)]
    [50, 75]
    """
    laid = [
        LaidSwale(swale.id, number, swale.line, swale.sized.shape, swale.sill.chainage_m, swale.sill.length_m)
        for number, swale in enumerate(swales, start=1)
    ]
    storm = storm_of(site)
    design, check = account_storms(
        surface,
        laid,
        ponds,
        ground.soil,
        depths_mm=(storm.depth_mm, storm.check_depth_mm),
        soil_class=ground.soil_class,
    )
    return design, check
