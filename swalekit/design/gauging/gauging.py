"""Gauge notes read back: the runoff that each speaks for, and the site's own curve number."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from itertools import pairwise

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.settings import soil_of, storm_of
from swalekit.design.gauging.notes import GaugeNote
from swalekit.design.gauging.swale_water import SwaleWater
from swalekit.design.layout.ground import Stage, first_few, silent
from swalekit.design.plan.design import Design
from swalekit.design.plan.storm_run import StormRun
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.curve_number import CurveNumberLoss, runoff_mm
from swalekit.hydrology.losses.event_curve_number import (
    CurveNumberTrend,
    FittedCurveNumber,
    ObservedRunoff,
    curve_number_trend,
    fit_curve_number,
    storm_curve_number,
)
from swalekit.hydrology.losses.soil import Soil

USED, AT_LEAST, AT_MOST, LATER, FROM_ABOVE, TOO_MUCH = (
    "used",
    "at least",
    "at most",
    "read later",
    "from above",
    "more than fell",
)
"""What a reading is good for: the runoff in full; that or more, since water went over the sill; that or less, since
none stood; the intake alone, since the rain was read before; nothing, since water came over a sill above; nothing."""

READ_TO_M = 0.01
"""A staff is read to a centimetre: our choice. Less water counts as none, and so much below the sill as over it."""

_MM_PER_M = 1000.0

Rain = tuple[str, str, float]
"""Day, swale and depth of a rain that may be read several times [mm]."""


@one_line("note.date", "note.swale", "note.rain_mm", "level_m", "runoff_mm", "curve_number", "state")
@dataclass(frozen=True)
class GaugeReading:
    """What one note says.

    Parameters
    ----------
    note : GaugeNote
        The note.
    state : str
        One of ``used``, ``at least``, ``at most``, ``read later``, ``from above``, ``more than fell``.
    depth_m, level_m : float
        Water above the floor, and its level [m].
    stood_m3, soaked_m3, came_m3 : float
        Water in the ditch at the reading, soaked away by then, and both with what the rain brought [m³].
    from_swales_m3 : float
        Part of what came that came over sills above [m³].
    runoff_mm : float or None
        Runoff of its catchment [mm]; None where the water is more than all of the rain.
    curve_number : float or None
        Number that makes this runoff of this rain [-].
    brief_mm : float
        Runoff of the same rain from the same ground by the brief [mm].
    """

    note: GaugeNote
    state: str
    depth_m: float
    level_m: float
    stood_m3: float
    soaked_m3: float
    came_m3: float
    from_swales_m3: float
    runoff_mm: float | None
    curve_number: float | None
    brief_mm: float


@one_line("readings", "fitted", "brief_number", "intake_mm_h")
@dataclass(frozen=True, eq=False)
class Gauging(Frozen):
    """All notes of a site read back.

    Parameters
    ----------
    design : Design
        The plan that they were read on.
    readings : tuple of GaugeReading
        In the order of the notes.
    ratio : float
        Ia / S to which curve numbers belong [-].
    fitted : FittedCurveNumber or None
        The site's number; None where no reading is known in full.
    trend : CurveNumberTrend or None
        How single numbers change with the rain; None of fewer than six.
    brief_number : float or None
        The one number whose runoff of the used rains is nearest to the brief's; the brief's own where it has one.
    intake_mm_h : float or None
        Rate of soaking that was counted [mm/h]; None where none is known, and none is counted.
    intake_read : int
        Pairs of readings of one rain that it was taken from; 0 where it is the brief's.
    design_mm, fitted_design_mm : float or None
        Runoff of the design storm by the brief and by the fitted number [mm].
    """

    design: Design
    readings: tuple[GaugeReading, ...]
    ratio: float
    fitted: FittedCurveNumber | None
    trend: CurveNumberTrend | None
    brief_number: float | None
    intake_mm_h: float | None
    intake_read: int
    design_mm: float
    fitted_design_mm: float | None

    @property
    def used(self) -> tuple[GaugeReading, ...]:
        """Readings whose runoff is known in full."""
        return tuple(reading for reading in self.readings if reading.state == USED)

    @property
    def brief_numbers(self) -> tuple[float, ...]:
        """Curve numbers of the brief, of the soil and then its zones; none where a class follows another method."""
        losses = soil_of(self.design.site).losses
        numbers = tuple(loss.curve_number for loss in losses if isinstance(loss, CurveNumberLoss))
        return numbers if len(numbers) == len(losses) else ()

    @property
    def numbers_to_put(self) -> tuple[float, ...]:
        """What those would have to be: their retention S multiplied alike, so that all of them make the site's runoff.

        None where there is no fit, or the brief follows another method.
        """
        if self.fitted is None or self.brief_number is None or not self.brief_numbers:
            return ()
        factor = _retention(self.fitted.curve_number) / max(_retention(self.brief_number), 1e-9)
        if len(self.brief_numbers) == 1:
            return (self.fitted.curve_number,)
        return tuple(25400.0 / (254.0 + factor * _retention(number)) for number in self.brief_numbers)


def gauge(design: Design, notes: Sequence[GaugeNote], *, stage: Stage = silent) -> Gauging:
    """Read gauge notes back: water in the ditch, runoff of the ground, curve number, and the site's own.

    Parameters
    ----------
    design : Design
        The plan, with its ditches as they are dug.
    notes : sequence of GaugeNote
        Readings of posts.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Gauging
        A reading a note, and what they come to. The brief stays as it is.

    Raises
    ------
    InputError
        If a note names no swale of the plan, or there is none.

    Notes
    -----
    The level at the reading is the swale's own store, section by section along its line. What soaked away until then
    is that of the routed rain: the runoff sought comes by the swale's unit hydrograph, with all rain on the ditch
    itself, and soaks down through the water's plan area at the rate of the soil (not halved, as it is for design), or
    at that which two readings of one rain show. What hollows above keep, and what comes over sills above, is that of
    the plan's stores for the same runoff. All of it hangs on the catchment as the plan draws it.

    Examples
    --------
    >>> level_m = design.swales[0].sized.shape.floor_level_m + 0.2
    >>> gauging = gauge(design, [GaugeNote("2026-11-03", "S1", 40.0, level_m=level_m)])
    >>> gauging.readings[0].state, 0.0 < gauging.readings[0].runoff_mm < 40.0
    ('used', True)
    """
    places = {swale.id: place for place, swale in enumerate(design.swales)}
    missing = [note for note in notes if note.swale not in places]
    if missing:
        note = missing[0]
        known = first_few(list(places)) or "none"
        message = f"the note of {note.date} names swale '{note.swale}'; the plan has {known}"
        raise InputError(message)
    if not notes:
        message = "there is no note to read; write a row a reading"
        raise InputError(message)
    stage("reading the water in the ditches")
    soil = soil_of(design.site)
    shown_mm_h = _shown_intakes(design, places, notes)
    intake = float(np.median(shown_mm_h)) if shown_mm_h else soil.intake_mm_h
    ratio = design.site.brief.soil.initial_abstraction_ratio
    first_h: dict[Rain, float] = {}
    for note in notes:
        first_h[_rain(note)] = min(note.after_h, first_h.get(_rain(note), np.inf))
    readings = []
    for note in notes:
        reading = _read(design, places[note.swale], note, soil=soil, ratio=ratio, intake_mm_h=intake or 0.0)
        again = note.after_h > first_h[_rain(note)]
        readings.append(replace(reading, state=LATER) if again and reading.state != TOO_MUCH else reading)
    return _gauging(design, tuple(readings), ratio, intake, len(shown_mm_h))


def _read(design: Design, place: int, note: GaugeNote, *, soil: Soil, ratio: float, intake_mm_h: float) -> GaugeReading:
    shape, run, level_m = design.swales[place].sized.shape, _run(design), _level_m(design, place, note)
    floor_m, sill_m = shape.floor_level_m, shape.sill_level_m
    water = SwaleWater(design, run, place, note.rain_mm, note.rain_h, ratio, intake_mm_h, note.before_m)
    dry, over = level_m < floor_m + READ_TO_M, level_m > sill_m - READ_TO_M
    counted_m = floor_m + READ_TO_M if dry else min(level_m, sill_m)
    runoff = water.runoff_mm(water.stood_m3(counted_m), note.after_h)
    filling = water.filling(note.rain_mm if runoff is None else runoff, note.after_h)
    over |= runoff is not None and filling.peak_level_m > sill_m
    area = run.stores.area_m2[place]
    brief_mm = float(soil.runoff_mm(note.rain_mm) @ area / max(float(area.sum()), 1e-9))
    number = None if runoff is None else storm_curve_number(note.rain_mm, runoff, initial_abstraction_ratio=ratio)
    return GaugeReading(
        note=note,
        state=_state(dry, over, runoff, filling.from_swales_m3),
        depth_m=level_m - floor_m,
        level_m=level_m,
        stood_m3=0.0 if dry else water.stood_m3(level_m),
        soaked_m3=filling.soaked_m3,
        came_m3=filling.received_m3,
        from_swales_m3=filling.from_swales_m3,
        runoff_mm=runoff,
        curve_number=None if number is None else float(number),
        brief_mm=brief_mm,
    )


def _state(dry: bool, over: bool, runoff_mm: float | None, from_swales_m3: float) -> str:
    if runoff_mm is None:
        return TOO_MUCH
    if from_swales_m3 > 0.0:
        return FROM_ABOVE
    if over:
        return AT_LEAST
    return AT_MOST if dry or runoff_mm == 0.0 else USED


def _shown_intakes(design: Design, places: dict[str, int], notes: Sequence[GaugeNote]) -> list[float]:
    """Rates at which the level fell between two readings of one rain, below the sill and above the floor [mm/h]."""
    rates, by_rain = [], dict[Rain, list[tuple[float, float]]]()
    for note in notes:
        place = places[note.swale]
        shape, level_m = design.swales[place].sized.shape, _level_m(design, place, note)
        if shape.floor_level_m + READ_TO_M <= level_m <= shape.sill_level_m:
            by_rain.setdefault(_rain(note), []).append((note.after_h, level_m))
    for readings in by_rain.values():
        for (first_h, first_m), (then_h, then_m) in pairwise(sorted(readings)):
            if then_h > first_h and first_m - then_m >= READ_TO_M:
                rates.append(_MM_PER_M * (first_m - then_m) / (then_h - first_h))
    return rates


def _gauging(
    design: Design, readings: tuple[GaugeReading, ...], ratio: float, intake_mm_h: float | None, intake_read: int
) -> Gauging:
    """The fit to all readings that say something of the runoff."""
    told = [reading for reading in readings if reading.state in (USED, AT_LEAST, AT_MOST)]
    low = [-np.inf if reading.state == AT_MOST else reading.runoff_mm or 0.0 for reading in told]
    high = [np.inf if reading.state == AT_LEAST else reading.runoff_mm or 0.0 for reading in told]
    rain = np.array([reading.note.rain_mm for reading in told])
    dates = tuple(reading.note.date for reading in told)
    fitted = fit_curve_number(
        ObservedRunoff(rain, np.array(low), np.array(high), dates), initial_abstraction_ratio=ratio
    )
    used = [reading for reading in readings if reading.state == USED]
    used_mm = np.array([reading.note.rain_mm for reading in used])
    used_runoff_mm = np.array([reading.runoff_mm or 0.0 for reading in used])
    trend = curve_number_trend(used_mm, used_runoff_mm, initial_abstraction_ratio=ratio)
    depth_mm = storm_of(design.site).depth_mm
    design_mm = float(brief_runoff_mm(design, depth_mm))
    fitted_mm = (
        None if fitted is None else float(runoff_mm(depth_mm, fitted.curve_number, initial_abstraction_ratio=ratio))
    )
    number = _brief_number(design, used, ratio)
    return Gauging(design, readings, ratio, fitted, trend, number, intake_mm_h, intake_read, design_mm, fitted_mm)


def _brief_number(design: Design, used: Sequence[GaugeReading], ratio: float) -> float | None:
    """The brief's number, or the one whose runoff of the rains that were read is nearest to the brief's."""
    losses = soil_of(design.site).losses
    if len(losses) == 1 and isinstance(losses[0], CurveNumberLoss):
        return losses[0].curve_number
    rain, by_brief = (np.array(each) for each in ([r.note.rain_mm for r in used], [r.brief_mm for r in used]))
    as_read = ObservedRunoff(rain, by_brief, by_brief, tuple(reading.note.date for reading in used))
    fitted = fit_curve_number(as_read, initial_abstraction_ratio=ratio)
    return None if fitted is None else fitted.curve_number


def _rain(note: GaugeNote) -> Rain:
    return note.date, note.swale, note.rain_mm


def _level_m(design: Design, place: int, note: GaugeNote) -> float:
    """Level of the water that a note tells [m]."""
    floor_m = design.swales[place].sized.shape.floor_level_m
    return floor_m + (note.depth_m or 0.0) if note.level_m is None else note.level_m


def _run(design: Design) -> StormRun:
    if design.run is None:
        message = "the plan has no swale that a post could stand in"
        raise InputError(message)
    return design.run


def brief_runoff_mm(design: Design, rain_mm: ArrayLike) -> NDArray[np.float64]:
    """Runoff of rains by the brief, on the mean of the ground that drains to the swales.

    Parameters
    ----------
    design : Design
        The plan.
    rain_mm : array_like, shape (...)
        Rain [mm].

    Returns
    -------
    ndarray of float64, shape (...)
        Depth on ground neither dry nor wet before [mm].

    Examples
    --------
    >>> brief_runoff_mm(design, [25.0, 50.0]).round(1)
    array([ 4.2, 19.6])
    """
    area_m2 = _run(design).stores.area_m2[: len(design.swales)].sum(axis=0)
    return np.asarray(soil_of(design.site).runoff_mm(rain_mm) @ area_m2 / area_m2.sum())


def _retention(number: float) -> float:
    return 25400.0 / number - 254.0
