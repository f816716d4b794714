"""The uncertain inputs of a layout, and one draw of them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from math import exp, log, log1p, sqrt
from statistics import NormalDist

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.site import Site
from swalekit.design.reliability.drained import Drained, StakedGround
from swalekit.frozen import Frozen
from swalekit.hydrology.losses.antecedent import natural_retention_sigma
from swalekit.hydrology.losses.curve_number import CurveNumberLoss
from swalekit.hydrology.losses.loss import Loss
from swalekit.hydrology.losses.soil import Soil
from swalekit.hydrology.storm.frequency import DEFAULT_CONFIDENCE, FrequencyAnalysis
from swalekit.section.stations import Stations
from swalekit.terrain.height_error import draw_height_errors
from swalekit.terrain.terrain import Terrain

FIELD_OF_INPUT = {
    "terrain height": "height_error_m",
    "catchment": "drained",
    "runoff": "soil",
    "storm depth": "storm_mm",
    "infiltration": "intake_factor",
    "berm crest": "crest_m",
    "ditch floor": "floor_m",
}
"""What each named input is in a draw. Heights count twice: along the lines, and uphill by what drains to them."""

_INPUTS, _LEVELS, _HEIGHTS = range(3)
"""Streams of random numbers of a draw."""
_STORM_VARIATION = 0.15  # without a record; common practice


@one_line("terrain_sigma_m", "correlation_m", "storm_sigma")
@dataclass(frozen=True)
class Spreads:
    """How far each input may be from what is expected, as standard deviations.

    Parameters
    ----------
    terrain_sigma_m, correlation_m : float
        Of the ground's heights, normal, and the distance over which their correlation falls to 1/e [m].
    retention_sigma, loss_sigma, storm_sigma, intake_sigma : float
        Of the logarithms of the curve number's retention from storm to storm, what other losses keep, the storm's depth
        and the intake [-].
    crest_sigma_m, floor_sigma_m : float
        Of a swale's crest and floor as built, normal [m].
    curve_number_sigma : float
        Of the curve number of the ground, whatever its moisture [-].
    drains_anew : bool
        Whether errors of heights move catchments.
    """

    terrain_sigma_m: float
    correlation_m: float
    retention_sigma: float
    loss_sigma: float
    storm_sigma: float
    intake_sigma: float
    crest_sigma_m: float
    floor_sigma_m: float
    curve_number_sigma: float = 0.0
    drains_anew: bool = True

    def height_sigma_m(self, drawn_sigma_m: NDArray[np.float64]) -> float | NDArray[np.float64]:
        """Standard error of the ground's heights along a line.

        Parameters
        ----------
        drawn_sigma_m : ndarray of float64, shape (n,)
            Part of it at each station that comes from ground that wasn't seen [m].

        Returns
        -------
        float or ndarray of float64, shape (n,)
            One error where all was seen, else that of every station [m].

        Examples
        --------
        >>> Spreads(0.3, 20.0, 0.5, 0.3, 0.1, 0.5, 0.03, 0.05).height_sigma_m(np.array([0.0, 0.4]))
        array([0.3, 0.5])
        """
        return np.hypot(self.terrain_sigma_m, drawn_sigma_m) if drawn_sigma_m.any() else self.terrain_sigma_m

    def loss_factor(self, loss: Loss, deviations: float, ground: float = 0.0) -> float:
        """What a loss is multiplied by when the ground keeps so many deviations more than expected.

        Parameters
        ----------
        loss : Loss
            The loss of a soil class.
        deviations : float
            How many standard deviations more the ground keeps, of a curve number by its moisture [-].
        ground : float
            How many more it keeps whatever its moisture; it counts for curve numbers only [-].

        Returns
        -------
        float
            The factor, 1 where nothing deviates [-].

        Notes
        -----
        S = 254 (100 / CN − 1), so that an error σ of CN is one of 100 σ / (CN (100 − CN)) of ln S. No curve number is
        less sure than half of what it lacks to 100: rock that is known to be nearly sealed stays so.

        Examples
        --------
        >>> from swalekit.hydrology import CurveNumberLoss
        >>> spreads = Spreads(0.1, 20.0, 0.5, 0.3, 0.1, 0.5, 0.03, 0.05, curve_number_sigma=5.0)
        >>> spreads.loss_factor(CurveNumberLoss(80.0), 0.0)
        1.0
        >>> print(CurveNumberLoss(80.0).keeping(spreads.loss_factor(CurveNumberLoss(80.0), 0.0, -1.0)))
        curve number 84.5377
        """
        if not isinstance(loss, CurveNumberLoss):
            return exp(self.loss_sigma * deviations)
        number = loss.usual_curve_number
        sigma = min(self.curve_number_sigma, (100.0 - number) / 2.0)
        ground_sigma = 100.0 * sigma / (number * (100.0 - number)) if sigma > 0.0 else 0.0
        return exp(self.retention_sigma * deviations + ground_sigma * ground)


@dataclass(frozen=True, eq=False)
class Draw(Frozen):
    """One value of every uncertain input.

    Parameters
    ----------
    height_error_m : tuple of ndarray of float64, shape (n,)
        Ground less that of the tile at the stations of each line [m].
    drained : Drained
        What drains to each line and hollow, and where it spills.
    soil : Soil
        Losses by class.
    storm_mm : float
        Depth of the storm [mm].
    intake_factor : float
        Intake of the ditches over that expected [-].
    crest_m, floor_m : ndarray of float64, shape (lines,)
        Crest and floor of each swale as built, above their levels as designed [m].
    """

    height_error_m: tuple[NDArray[np.float64], ...]
    drained: Drained
    soil: Soil
    storm_mm: float
    intake_factor: float
    crest_m: NDArray[np.float64]
    floor_m: NDArray[np.float64]

    @classmethod
    def expected(cls, stations: Sequence[Stations], drained: Drained, soil: Soil, storm_mm: float) -> "Draw":
        """Every input as the design has it.

        Parameters
        ----------
        stations : sequence of Stations
            Those of each line.
        drained : Drained
            What drains to the lines as built.
        soil : Soil
            Losses by class.
        storm_mm : float
            Depth of the storm [mm].

        Returns
        -------
        Draw
            No height is off, and crest and floor lie as designed.

        Examples
        --------
        >>> Draw.expected(layout.stations, Drained(layout.stores, np.zeros(0)), ground.soil, 50.0).crest_m
        array([0., 0.])
        """
        level = np.zeros(len(stations))
        height_error_m = tuple(np.zeros(line.ground_m.size) for line in stations)
        return cls(height_error_m, drained, soil, storm_mm, 1.0, level, level)

    def with_only(self, name: str, other: "Draw") -> "Draw":
        """Take one named input from another draw, and leave the rest.

        Parameters
        ----------
        name : str
            Name of the input, of `FIELD_OF_INPUT`.
        other : Draw
            The other draw.

        Returns
        -------
        Draw
            A new one.

        Examples
        --------
        >>> expected = Draw.expected(layout.stations, Drained(layout.stores, np.zeros(0)), ground.soil, 50.0)
        >>> expected.with_only("storm depth", replace(expected, storm_mm=62.0)).storm_mm
        62.0
        """
        field = FIELD_OF_INPUT[name]
        return replace(self, **{field: getattr(other, field)})


def spreads_of(site: Site, terrain: Terrain) -> Spreads:
    """The brief's uncertainties as standard deviations.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        Its heights' error counts where the brief gives none.

    Returns
    -------
    Spreads
        Standard deviations of every input.

    Notes
    -----
    A coefficient of variation c of a lognormal quantity is a standard deviation √ln(1 + c²) of its logarithm, and what
    the design has is its median. The 90 % band of a record's depth, taken as lognormal, spans 2 × 1.645 deviations.

    Examples
    --------
    >>> spreads_of(site, terrain).crest_sigma_m
    0.03
    """
    part = site.brief.uncertainty
    given_m = part.terrain_sigma_m
    return Spreads(
        terrain_sigma_m=terrain.vertical_sigma_m if given_m is None else given_m,
        correlation_m=part.correlation_m,
        retention_sigma=part.curve_number_spread * natural_retention_sigma(),
        loss_sigma=_log_sigma(part.loss_variation),
        storm_sigma=_storm_sigma(site),
        intake_sigma=_log_sigma(part.intake_variation),
        crest_sigma_m=part.crest_sigma_m,
        floor_sigma_m=part.floor_sigma_m,
        curve_number_sigma=part.curve_number_sigma,
        drains_anew=part.drain_anew,
    )


def draw_inputs(
    expected: Draw,
    ground: StakedGround,
    stations: Sequence[Stations],
    spreads: Spreads,
    *,
    seed: int,
    number: int,
) -> Draw:
    """Draw every input.

    Parameters
    ----------
    expected : Draw
        From `Draw.expected`.
    ground : StakedGround
        The tile with the lines on it.
    stations : sequence of Stations
        Those of each line.
    spreads : Spreads
        From `spreads_of`.
    seed, number : int
        Start of the random numbers, and which draw it is: each has numbers of its own, so that it is the same draw
        however many there are and wherever it is made, and the same storm, soil and heights whatever layout meets them.

    Returns
    -------
    Draw
        One value of every input.

    Notes
    -----
    All soil classes keep more or less together, and where it is infiltration that they keep, the ditches' intake goes
    with them. The error of the heights is one field over the whole tile. The part that a line's stations have in common
    moves the line and takes nothing from what it holds, for floor and crest are levelled from its own stakes: each line
    keeps the departures from its mean. The same field moves what drains to the lines.

    Examples
    --------
    >>> from swalekit.design.layout.water import pour
    >>> staked = StakedGround.of(site, ground, layout, pour(site, ground, layout))
    >>> expected, spreads = Draw.expected(layout.stations, staked.built, ground.soil, 50.0), spreads_of(site, terrain)
    >>> drawn = [
    ...     draw_inputs(expected, staked, layout.stations, spreads, seed=1, number=number) for number in (0, 0, 1)
    ... ]
    >>> drawn[0].storm_mm == drawn[1].storm_mm, drawn[0].storm_mm == drawn[2].storm_mm
    (True, False)
    """

    def random(part: int) -> np.random.Generator:
        return np.random.default_rng(np.random.SeedSequence(seed, spawn_key=(number, part)))

    moist, storm, intake, ground_keeps = random(_INPUTS).standard_normal(4).tolist()
    crest, floor = random(_LEVELS).standard_normal((len(stations), 2)).T
    losses = expected.soil.losses
    error_m, drained = expected.height_error_m, expected.drained
    if spreads.terrain_sigma_m > 0.0 or ground.terrain.drawn_sigma is not None:
        errors = draw_height_errors(ground.terrain.grid, correlation_m=spreads.correlation_m, random=random(_HEIGHTS))
        error_m = tuple(
            _departures(errors.at(*line.xy.T) * ground.sigma_m(line, spreads.terrain_sigma_m), along)
            for line, along in zip(ground.lines, stations, strict=True)
        )
        if spreads.drains_anew:
            drained = ground.drained(errors, spreads.terrain_sigma_m)
    drawn = tuple(loss.keeping(spreads.loss_factor(loss, moist, ground_keeps)) for loss in losses)
    return replace(
        expected,
        soil=replace(expected.soil, losses=drawn),
        storm_mm=expected.storm_mm * exp(spreads.storm_sigma * storm),
        intake_factor=exp(spreads.intake_sigma * (moist if losses[0].infiltrates else intake)),
        crest_m=spreads.crest_sigma_m * crest,
        floor_m=spreads.floor_sigma_m * floor,
        height_error_m=error_m,
        drained=drained,
    )


def _departures(error_m: NDArray[np.float64], stations: Stations) -> NDArray[np.float64]:
    """Errors along a line less their mean."""
    return error_m - error_m @ stations.width_m / stations.length_m


def _log_sigma(variation: float) -> float:
    """Standard deviation of the logarithm of a lognormal quantity."""
    return sqrt(log1p(variation**2))


def _storm_sigma(site: Site) -> float:
    """Standard deviation of the logarithm of the storm's depth: given, by the record's band, or as is common."""
    part = site.brief.storm
    given = site.brief.uncertainty.storm_variation
    if given is None and isinstance(site.rain, FrequencyAnalysis) and part.return_period_y is not None:
        low, high = (float(end_mm) for end_mm in site.rain.band_mm(part.return_period_y))
        if low > 0:
            return log(high / low) / (2.0 * NormalDist().inv_cdf((1.0 + DEFAULT_CONFIDENCE) / 2.0))
    return _log_sigma(_STORM_VARIATION if given is None else given)
