"""Swales as designed on a plane and round a cone, and crews that survey them."""

from dataclasses import replace

import numpy as np
from numpy.typing import ArrayLike, NDArray
from staked_ground import CREST_INNER, ring, straight

from swalekit.contours.polyline import path_of, points_at
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale
from swalekit.terrain.survey_points import SurveyPoints
from swalekit.verification.as_built import AsBuilt
from swalekit.verification.survey_check import check_survey

FLOOR, CREST, SILL = 105.5, 106.4, 106.25
CREST_OFFSET = CREST_INNER + 0.25


def designed(staked: LaidSwale | None = None, *, freeboard_m: float = 0.15) -> LaidSwale:
    """A staked swale, that on the plane unless another is given, with a freeboard."""
    swale = staked or straight()
    shape = ShapedSwale(
        swale.shape.stations, Section(freeboard_m=freeboard_m), swale.shape.depth_m, swale.shape.crest_level_m
    )
    return replace(swale, shape=shape)


def designed_ring(*, sill_m: float = 0.0) -> LaidSwale:
    """The ring round the cone."""
    return designed(ring(sill_m=sill_m))


def shot(
    swale: LaidSwale, part: str, chainage_m: ArrayLike, height_m: ArrayLike, *, code: str = "", first: int = 1
) -> SurveyPoints:
    """Points of one part at given chainages and heights, on the line or on the crest."""
    chainage, height = np.broadcast_arrays(np.asarray(chainage_m, float), np.asarray(height_m, float))
    path = path_of(swale.line.xy, closed=swale.line.closed)
    centre = swale.line.xy.mean(axis=0)
    places = points_at(path, chainage)
    if part != "floor":
        out = (places - centre) / np.hypot(*(places - centre).T)[:, None] if swale.line.closed else [[0.0, -1.0]]
        places = places + CREST_OFFSET * np.asarray(out)
    numbers = first + np.arange(chainage.size)
    return SurveyPoints(numbers, *places.T, height.copy(), (code or f"{swale.id} {part}",) * chainage.size)


def together(*parts: SurveyPoints) -> SurveyPoints:
    """Several sets of points as one, numbered anew."""
    columns = [
        np.concatenate([getattr(part, name) for part in parts]) for name in ("easting_m", "northing_m", "height_m")
    ]
    code = tuple(code for part in parts for code in part.description)
    return SurveyPoints(1 + np.arange(len(code)), *columns, code)


def crew(
    swale: LaidSwale, *, step_m: float = 2.0, floor: object = 0.0, crest: object = 0.0, sill: object = 0.0
) -> SurveyPoints:
    """Every part at even steps; departures are numbers or functions of the chainage [m]."""

    def heights(level_m: float, departure: object, chainage: NDArray[np.float64]) -> NDArray[np.float64]:
        return level_m + (departure(chainage) if callable(departure) else departure) + 0.0 * chainage

    shape, length_m = swale.shape, swale.line.length_m
    along = np.arange(0.0, length_m - 0.5 * swale.line.closed, step_m)
    along = along if swale.line.closed else np.append(along[along < length_m - 0.1], length_m)
    beside = along[swale.from_sill_m(along) >= swale.sill_length_m / 2.0 + 0.1]
    on_sill = swale.sill_chainage_m + np.array([-1.5, 0.0, 1.5])
    return together(
        shot(swale, "floor", along, heights(shape.floor_level_m, floor, along)),
        shot(swale, "crest", beside, heights(shape.crest_level_m, crest, beside)),
        shot(swale, "sill", on_sill % length_m, heights(shape.sill_level_m, sill, on_sill)),
    )


def judged(swale: LaidSwale, points: SurveyPoints) -> AsBuilt:
    """The one swale of a survey, of which every point is used."""
    check = check_survey(points, [swale])
    assert not check.unmatched
    return check.swales[0]


def shuffled(points: SurveyPoints, seed: int) -> SurveyPoints:
    """Points of a survey in an order drawn at random."""
    order = np.random.default_rng(seed).permutation(points.number.size)
    columns = {name: getattr(points, name)[order] for name in ("number", "easting_m", "northing_m", "height_m")}
    return replace(points, **columns, description=tuple(points.description[k] for k in order))
