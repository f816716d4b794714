"""A staked layout built, and met by the storm, as one draw of its inputs has it."""

from dataclasses import dataclass, replace

import numpy as np
from numpy.typing import NDArray

from swalekit.design.reliability.draws import Draw, Spreads, draw_inputs
from swalekit.frozen import Frozen
from swalekit.hydrology.routing.cascade import held_storm_mm
from swalekit.hydrology.routing.stores import Stores
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
    xy : tuple of ndarray of float64, shape (n, 2)
        Stations of each line [m].
    drawn_sigma_m : tuple of ndarray of float64, shape (n,)
        Part of the height error there that comes from ground that wasn't seen [m].
    shapes : tuple of ShapedSwale
        The swales as designed.
    stores : Stores
        The graph of swales and hollows.
    hollow_m3 : ndarray of float64
        What each hollow holds [m³].
    spreads : Spreads
        How uncertain the inputs are.
    expected : Draw
        The inputs as designed.
    seed : int
        Start of the random numbers.
    fill_factor : float
        Compacted volume per bank volume [-].
    """

    xy: tuple[NDArray[np.float64], ...]
    drawn_sigma_m: tuple[NDArray[np.float64], ...]
    shapes: tuple[ShapedSwale, ...]
    stores: Stores
    hollow_m3: NDArray[np.float64]
    spreads: Spreads
    expected: Draw
    seed: int
    fill_factor: float

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
        stations = (shape.stations for shape in self.shapes)
        lines = list(zip(self.xy, stations, self.drawn_sigma_m, strict=True))
        return draw_inputs(self.expected, lines, self.spreads, seed=self.seed, number=number)


@dataclass(frozen=True, eq=False)
class Trial(Frozen):
    """What a layout does in one draw; arrays run over swales.

    Parameters
    ----------
    storm_mm : float
        The storm that comes [mm].
    held_mm, dug_m3, standing_h : ndarray of float64, shape (n,)
        Deepest storm held, bank volume cut, and time that the full ditch takes to soak away, NaN without an intake.
    """

    storm_mm: float
    held_mm: NDArray[np.float64]
    dug_m3: NDArray[np.float64]
    standing_h: NDArray[np.float64]

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
    strips = np.append([shape.catch_m2 for shape in shapes], np.zeros(staked.hollow_m3.size))
    capacity = np.append([shape.storage_m3 for shape in shapes], staked.hollow_m3)
    stores, intake_mm_h = replace(staked.stores, strip_area_m2=strips), draw.soil.design_intake_mm_h
    deep_mm = _MM_PER_M * np.array([shape.sill_level_m - shape.floor_level_m for shape in shapes])
    return Trial(
        storm_mm=draw.storm_mm,
        held_mm=held_storm_mm(stores, capacity, draw.soil)[: len(shapes)],
        dug_m3=np.array([shape.cut_m3 for shape in shapes]),
        standing_h=np.maximum(deep_mm, 0.0) / (draw.intake_factor * intake_mm_h if intake_mm_h else np.nan),
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
