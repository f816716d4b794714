"""A staked layout built, and met by the storm, as one draw of its inputs has it."""

from dataclasses import dataclass, replace
from typing import Self

import numpy as np
from numpy.typing import NDArray

from swalekit.design.brief.settings import asked_storm_of, soil_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import Layout
from swalekit.design.layout.water import Water
from swalekit.design.reliability.drained import StakedGround
from swalekit.design.reliability.draws import Draw, Spreads, draw_inputs, spreads_of
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.cascade import held_storm_mm
from swalekit.section.shape import ShapedSwale, build_to_crest

OUTCOMES = ("holding the storm", "soil dug", "standing time")
"""What the inputs may matter to: the margin by which the weakest swale holds the storm, the bank volume cut, and the
time the longest ditch stands full."""

_MM_PER_M = 1000.0


@dataclass(frozen=True, eq=False)
class StakedLayout(Frozen):
    """A sized layout whose levels are staked, with what it takes to see it built otherwise.

    Parameters
    ----------
    ground : StakedGround
        The tile with the lines on it.
    shapes : tuple of ShapedSwale
        The swales as designed.
    spreads : Spreads
        How uncertain the inputs are.
    expected : Draw
        The inputs as designed.
    seed : int
        Start of the random numbers.
    fill_factor : float
        Compacted volume per bank volume [-].
    """

    ground: StakedGround
    shapes: tuple[ShapedSwale, ...]
    spreads: Spreads
    expected: Draw
    seed: int
    fill_factor: float

    @classmethod
    def of(cls, site: Site, ground: Ground, layout: Layout, water: Water, *, storm_mm: float | None = None) -> Self:
        """Stake a layout.

        Parameters
        ----------
        site, ground, layout, water : Site, Ground, Layout, Water
            What was asked, the ground, and the layout as `swalekit.design.plan.pipeline.built_layout` has it.
        storm_mm : float, optional
            Storm that comes, in place of the one that was asked for [mm].

        Returns
        -------
        StakedLayout
            With the site's spreads and seed.
        """
        staked = StakedGround.of(site, ground, layout, water)
        depth_mm = asked_storm_of(site).depth_mm if storm_mm is None else storm_mm
        return cls(
            ground=staked,
            shapes=tuple(swale.shape for swale in water.sized),
            spreads=spreads_of(site, ground.terrain),
            expected=Draw.expected(layout.stations, staked.built, soil_of(site), depth_mm),
            seed=site.brief.uncertainty.seed,
            fill_factor=site.brief.soil.fill_factor,
        )

    def draw(self, number: int) -> Draw:
        """A numbered draw of every input.

        Parameters
        ----------
        number : int
            Which draw, from 0.

        Returns
        -------
        Draw
            The same for the same number and seed.
        """
        stations = [shape.stations for shape in self.shapes]
        return draw_inputs(self.expected, self.ground, stations, self.spreads, seed=self.seed, number=number)


@dataclass(frozen=True, eq=False)
class Trial(Frozen):
    """What a layout does in one draw; arrays run over swales.

    Parameters
    ----------
    storm_mm : float
        The storm that comes [mm].
    held_mm, dug_m3, standing_h : ndarray of float64, shape (n,)
        Deepest storm held, bank volume cut, and time that the full ditch takes to soak away, NaN without an intake.
    catchment_m2 : ndarray of float64, shape (n,)
        Ground that drains to each [m²].
    spills_to : ndarray of int32, shape (n,)
        What each spills to: the number of a swale from 1, 0 off the tile, -1 a hollow.
    """

    storm_mm: float
    held_mm: NDArray[np.float64]
    dug_m3: NDArray[np.float64]
    standing_h: NDArray[np.float64]
    catchment_m2: NDArray[np.float64]
    spills_to: NDArray[np.int32]

    @property
    def outcomes(self) -> tuple[float, float, float]:
        """Figures of the layout in the order of `OUTCOMES`."""
        return float(self.held_mm.min()) - self.storm_mm, float(self.dug_m3.sum()), float(self.standing_h.max())


def try_draw(staked: StakedLayout, draw: Draw) -> Trial:
    """What a staked layout does when its inputs are as drawn.

    Parameters
    ----------
    staked : StakedLayout
        The layout.
    draw : Draw
        The inputs.

    Returns
    -------
    Trial
        What each swale then holds, digs, and how long it stands.
    """
    shapes = [
        _as_built(shape, error_m, crest_m=float(crest), floor_m=float(floor), fill_factor=staked.fill_factor)
        for shape, error_m, crest, floor in zip(
            staked.shapes, draw.height_error_m, draw.crest_m, draw.floor_m, strict=True
        )
    ]
    drained = draw.drained
    strips = np.append([shape.catch_m2 for shape in shapes], np.zeros(drained.hollow_m3.size))
    capacity = np.append([shape.storage_m3 for shape in shapes], drained.hollow_m3)
    stores, intake_mm_h = replace(drained.stores, strip_area_m2=strips), draw.soil.design_intake_mm_h
    deep_mm = _MM_PER_M * np.array([shape.sill_level_m - shape.floor_level_m for shape in shapes])
    return Trial(
        storm_mm=draw.storm_mm,
        held_mm=held_storm_mm(stores, capacity, draw.soil)[: len(shapes)],
        dug_m3=np.array([shape.cut_m3 for shape in shapes]),
        standing_h=np.maximum(deep_mm, 0.0) / (draw.intake_factor * intake_mm_h if intake_mm_h else np.nan),
        catchment_m2=drained.catchment_m2(staked.expected.storm_mm, staked.ground.soil),
        spills_to=drained.spills_to,
    )


def _as_built(
    shape: ShapedSwale, error_m: NDArray[np.float64], *, crest_m: float, floor_m: float, fill_factor: float
) -> ShapedSwale:
    """A swale on ground that differs, its crest and floor off their levels; itself, already measured, if neither is.

    The crew builds to the staked crest, or as high as the spoil of the ground that it meets reaches, and misses that.
    """
    if floor_m == 0.0 and not error_m.any():
        return shape if crest_m == 0.0 else replace(shape, crest_level_m=shape.crest_level_m + crest_m)
    stations = replace(shape.stations, ground_m=shape.stations.ground_m + error_m)
    built = build_to_crest(
        stations,
        shape.depth_m - floor_m,
        shape.section,
        crest_level_m=shape.crest_level_m,
        fill_factor=fill_factor,
    )
    return replace(built, crest_level_m=built.crest_level_m + crest_m)
