"""How sure a layout is: the staked design built, and met by the storm, as both could turn out."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import partial

import numpy as np
from numpy.typing import ArrayLike, NDArray
from scipy.stats import spearmanr

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import rates_of, storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.catchment_rule import CatchmentsByRule, catchments_by_rule
from swalekit.design.layout.fit_ground import check_fit, fitness_of
from swalekit.design.layout.ground import Ground, Stage, silent, study_ground
from swalekit.design.layout.sized_layout import SizedLayout
from swalekit.design.plan.pipeline import built_layout
from swalekit.design.processes import ProcessPool
from swalekit.design.reliability.draws import FIELD_OF_INPUT, Spreads
from swalekit.design.reliability.trial import OUTCOMES, StakedLayout, Trial, try_draw
from swalekit.design.reliability.yearly import year_chance_of
from swalekit.earthwork.cost import job_cost, swale_cost
from swalekit.errors import InputError
from swalekit.frozen import Frozen, locked_property
from swalekit.terrain.terrain import Terrain

Drawn = tuple[Trial, tuple[tuple[float, float, float], ...]]
"""A draw of all inputs, and the layout's outcomes with each input of it drawn alone."""


@one_line("layout.site.brief.site.name", "chance", "storm_mm")
@dataclass(frozen=True, eq=False)
class Reliability(Frozen):
    """What d draws say of a layout of n swales.

    Parameters
    ----------
    asked : Site
        What was asked, whose storms come; the layout may be sized for another.
    ground : Ground
        The ground without swales.
    layout : SizedLayout
        The layout as designed.
    spreads : Spreads
        How uncertain the inputs were taken to be.
    expected_mm : float
        Storm round which storms are drawn [mm].
    storm_mm : ndarray of float64, shape (d,)
        Storms drawn [mm].
    held_mm, dug_m3, standing_h : ndarray of float64, shape (d, n)
        Deepest storm held [mm], bank volume cut [m³], hours that a full ditch stands, NaN without an intake.
    catchment_m2 : ndarray of float64, shape (d, n)
        Ground that drains to each swale [m²].
    moved : ndarray of bool, shape (d, n)
        Whether each swale's overflow goes to something else than as designed.
    influence : dict of str to dict of str to float
        Outcome -> input -> rank correlation.
    by_rule : CatchmentsByRule
        Catchments of the tile by two rules of routing.
    """

    asked: Site
    ground: Ground
    layout: SizedLayout
    spreads: Spreads
    expected_mm: float
    storm_mm: NDArray[np.float64]
    held_mm: NDArray[np.float64]
    dug_m3: NDArray[np.float64]
    standing_h: NDArray[np.float64]
    catchment_m2: NDArray[np.float64]
    moved: NDArray[np.bool_]
    influence: dict[str, dict[str, float]]
    by_rule: CatchmentsByRule

    @property
    def holds(self) -> NDArray[np.bool_]:
        """Whether each swale holds the storm of each draw, shape (d, n)."""
        return self.held_mm >= self.storm_mm[:, np.newaxis]

    @property
    def chance(self) -> float:
        """Share of draws in which every swale holds the storm."""
        return float(self.holds.all(axis=1).mean())

    @property
    def chance_sigma(self) -> float:
        """Standard error of that share for so many draws, √(p (1 − p) / d)."""
        return float(np.sqrt(self.chance * (1.0 - self.chance) / self.storm_mm.size))

    @property
    def chance_of_year(self) -> float | None:
        """Chance that no swale spills in a year; None where the brief doesn't say how often storms come."""
        by_draw = self.holds_a_year(slice(None))
        return None if by_draw is None else float(by_draw.mean())

    def holds_a_year(self, swales: slice) -> NDArray[np.float64] | None:
        """Chance of each draw that some swales hold the greatest storm of a year, shape (d,).

        Parameters
        ----------
        swales : slice
            Which swales.

        Returns
        -------
        ndarray of float64, shape (d,), or None
            Probabilities [-]; None where the brief doesn't say how often storms come.

        Notes
        -----
        Soil, moisture, heights and works are those of the draw. A drawn storm that is deeper than the design storm says
        that all storms of its site are, in proportion: the spread of a record's depth is how unsure the record is. The
        greatest storm of the year meets the moisture of the draw; that a smaller one on wetter ground spills where the
        greatest doesn't is left out, as are storms that find ditches full of another.

        Examples
        --------
        >>> print(reliability.holds_a_year(slice(None)))
        None
        """
        chance, _ = year_chance_of(self.asked)
        if chance is None:
            return None
        deeper = self.storm_mm / self.expected_mm
        return chance(self.held_mm[:, swales].min(axis=1) / deeper)

    @property
    def soaks(self) -> bool:
        """Whether the brief says how fast the ditches take water in."""
        return not bool(np.isnan(self.standing_h).any())

    @locked_property
    def swale_cost(self) -> NDArray[np.float64] | None:
        """Cost of each swale in each draw, shape (d, n); None where the brief names no price."""
        rates = rates_of(self.layout.site)
        costs = [
            [
                swale_cost(dug_m3, swale.line.length_m, rates, topsoil_m3=swale.quantities.topsoil_m3, sills=1)
                for dug_m3, swale in zip(row, self.layout.swales, strict=True)
            ]
            for row in self.dug_m3
        ]
        return None if self.layout.cost is None else np.array(costs, np.float64)

    @locked_property
    def cost(self) -> NDArray[np.float64] | None:
        """Cost of the job in each draw, shape (d,); None where the brief names no price."""
        if self.swale_cost is None:
            return None
        rates = rates_of(self.layout.site)
        return np.array([job_cost(row.tolist(), rates) for row in self.swale_cost], np.float64)


def how_sure(
    site: Site,
    terrain: Terrain,
    *,
    lines: Iterable[LevelLine | ArrayLike] | None = None,
    workers: int = 1,
    influences: bool = True,
    stage: Stage = silent,
) -> Reliability:
    """Draw a site's uncertain inputs many times and see what its layout then holds, digs and costs.

    Parameters
    ----------
    site : Site
        The site; its brief's ``uncertainty`` says what is drawn.
    terrain : Terrain
        The conditioned tile.
    lines : iterable of LevelLine or array_like, shape (n, 2), optional
        Lines in place of those that the brief asks for, as for `swalekit.plan`.
    workers : int
        Processes that the draws are shared among; the result is the same for any number.
    influences : bool
        Whether each input is drawn alone too, which takes several times as long.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Reliability
        Figures of every draw, and which input matters most.

    Raises
    ------
    InputError
        If the site has no swale, a value breaks a rule, or the tile can't carry ditches (`check_fit`).

    Notes
    -----
    The layout stays as it is designed and staked: lines, floor and crest levels. In each draw the ground lies higher or
    lower than the tile says, the crew's crest, with its sill, and floor miss their levels by an amount a swale, the
    ground keeps more or less of the rain, and the storm is deeper or not. The drawn ground is drained anew, with the
    lines on it: what drains to each and what its overflow meets change, as do hollows. What the section then holds at
    every station, the rain on the strip and the cascade from swale to swale are worked anew; what stays is the fall
    across the lines. The berm is built to its staked crest or as high as the drawn ground's spoil reaches, and the
    crew's miss is counted from there.

    Held storms count no infiltration in the ditch, as in the plan; the intake says how long a full ditch stands, its
    depth over the design intake, for in a store whose floor and sides take in water straight down the level falls at
    that rate.

    An input's influence is Spearman's rank correlation of an outcome over the draws with what it would be if that
    input alone were drawn. For an input of one number this is the correlation with the number itself; for one of
    many, such as the crests of all swales, it weighs each by what it does.

    Examples
    --------
    >>> sure = how_sure(site.with_values({"uncertainty.draws": 20}), terrain)
    >>> sure.held_mm.shape, 0.0 <= sure.chance <= 1.0
    ((20, 2), True)
    """
    check_positive(workers=workers)
    site = site.in_crs(terrain.grid.crs)
    check_fit(site, fitness_of(site, terrain), lines_given=lines is not None)
    ground = study_ground(site, terrain, stage=stage)
    layout, water, sized = built_layout(site, ground, lines=lines, stage=stage)
    if not layout.lines:
        message = f"no swale could be laid, so there is nothing to draw: {layout.notes[-1] if layout.notes else ''}"
        raise InputError(message.rstrip(": "))
    staked = StakedLayout.of(site, ground, layout, water)
    one = _numbered_trials if influences else _numbered_trial
    drawn = _draw_all(partial(one, staked), site.brief.uncertainty.draws, workers, stage)
    return _gathered(site, ground, sized, staked, drawn, catchments_by_rule(ground, layout))


def draw_otherwise_sized(
    reliability: Reliability,
    site: Site,
    *,
    lines: Iterable[LevelLine | ArrayLike] | None = None,
    workers: int = 1,
    stage: Stage = silent,
) -> Reliability:
    """Draw a layout that is sized for another storm, met by the same storms, soils, heights and crew.

    Parameters
    ----------
    reliability : Reliability
        Of the layout as it was asked for.
    site : Site
        The same with another design storm.
    lines, workers, stage
        As for `how_sure`.

    Returns
    -------
    Reliability
        Without influences.

    Raises
    ------
    InputError
        If no swale can be laid for that storm.

    Examples
    --------
    >>> deeper = draw_otherwise_sized(reliability, reliability.asked.with_values({"storm.depth_mm": 60.0}))
    >>> deeper.layout.dug_m3 > reliability.layout.dug_m3, bool((deeper.storm_mm == reliability.storm_mm).all())
    (True, True)
    """
    ground = study_ground(site, reliability.ground.terrain, stage=stage)
    layout, water, sized = built_layout(site, ground, lines=lines, stage=stage)
    if not layout.lines:
        message = f"no swale could be laid for a storm of {storm_of(site).depth_mm:.0f} mm; size for a smaller one"
        raise InputError(message)
    staked = StakedLayout.of(site, ground, layout, water, storm_mm=reliability.expected_mm)
    drawn = _draw_all(partial(_numbered_trial, staked), reliability.storm_mm.size, workers, stage)
    return _gathered(reliability.asked, ground, sized, staked, drawn, catchments_by_rule(ground, layout))


def _numbered_trial(staked: StakedLayout, number: int) -> Drawn:
    """A numbered draw of all inputs."""
    return try_draw(staked, staked.draw(number)), ()


def _numbered_trials(staked: StakedLayout, number: int) -> Drawn:
    """A numbered draw of all inputs, and the layout's outcomes with each input drawn alone."""
    draw = staked.draw(number)
    alone = (staked.expected.with_only(name, draw) for name in FIELD_OF_INPUT)
    return try_draw(staked, draw), tuple(try_draw(staked, other).outcomes for other in alone)


def _draw_all(one: Callable[[int], Drawn], draws: int, workers: int, stage: Stage) -> list[Drawn]:
    drawn = list[Drawn]()
    with ProcessPool(one, workers) as pool:  # which starts no process before it has work
        for outcomes in map(one, range(draws)) if workers == 1 else pool.in_order(range(draws)):
            drawn.append(outcomes)
            stage(f"draw {len(drawn)} of {draws}")
    return drawn


def _gathered(
    site: Site,
    ground: Ground,
    layout: SizedLayout,
    staked: StakedLayout,
    drawn: Sequence[Drawn],
    by_rule: CatchmentsByRule,
) -> Reliability:
    trials = [trial for trial, _ in drawn]
    joint, alone = np.array([trial.outcomes for trial in trials]), np.array([outcomes for _, outcomes in drawn])
    return Reliability(
        asked=site,
        ground=ground,
        layout=layout,
        spreads=staked.spreads,
        expected_mm=staked.expected.storm_mm,
        storm_mm=np.array([trial.storm_mm for trial in trials]),
        held_mm=np.stack([trial.held_mm for trial in trials]),
        dug_m3=np.stack([trial.dug_m3 for trial in trials]),
        standing_h=np.stack([trial.standing_h for trial in trials]),
        catchment_m2=np.stack([trial.catchment_m2 for trial in trials]),
        moved=np.stack([trial.spills_to != staked.ground.built.spills_to for trial in trials]),
        influence={
            outcome: {
                name: _rank_correlation(joint[:, column], alone[:, row, column])
                for row, name in enumerate(FIELD_OF_INPUT)
            }
            for column, outcome in enumerate(OUTCOMES if alone.size else ())
        },
        by_rule=by_rule,
    )


def _rank_correlation(one: NDArray[np.float64], other: NDArray[np.float64]) -> float:
    """Spearman's coefficient; none where either doesn't vary."""
    return float(spearmanr(one, other).statistic) if np.ptp(one) > 0 and np.ptp(other) > 0 else 0.0
