"""The sill of each swale, chosen so that the check storm's flow digs nothing: a longer sill, an apron, or both."""

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from functools import cache, cached_property, partial
from math import ceil, inf
from typing import NamedTuple

import numpy as np
from numpy.typing import NDArray
from scipy.interpolate import PchipInterpolator

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.design.brief.settings import own_of, rates_of, sill_coefficient
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.kept_clear import kept_free
from swalekit.design.layout.lines import Layout
from swalekit.earthwork.cost import Rates, sill_cost, swale_cost
from swalekit.hydrology.routing.sill_sizing import LENGTH_STEP_M
from swalekit.hydrology.routing.travel_time import roughness
from swalekit.kernels.section_nodes import DOWNHILL_TOE
from swalekit.section.apron import STEEPEST_STONE, Apron, laid_below, size_apron
from swalekit.section.ground_below import GroundBelow, ground_below, steepest_of
from swalekit.section.outlet import Outlet, borne_unit_flow_m2s, check_outlet
from swalekit.section.section import Section
from swalekit.section.shape import ShapedSwale
from swalekit.section.sill import low_end_unit_flow_m2s
from swalekit.section.sill_place import longest_sill_m, sill_chainage_m

_WAYS_M = 4.0  # from way to way below a sill
_KNOTS = 9  # lengths over which the flow is routed before one is chosen
_DECIMALS = 6  # to which costs and volumes are the same


@one_line("length_m", "apron.kind", "lacking")
@dataclass(frozen=True)
class SillChoice:
    """A sill with what is laid below it.

    Parameters
    ----------
    length_m : float
        Its length [m].
    apron : Apron or None
        What is laid; None where soil and ground bear the flow.
    outlet : Outlet
        The flow at the sill's low end, and on the steepest ground below that stays bare; on the last that is laid
        where none does.
    lacking : str
        What the flow digs for all that, and what it would take; '' where it digs nothing.
    cost : float or None
        Cost of its length and of what is laid; None where that has no price.
    """

    length_m: float
    apron: Apron | None
    outlet: Outlet
    lacking: str = ""
    cost: float | None = None


class _Fall(NamedTuple):
    """What lies below a sill: its drop to the berm's foot [m], the ground, and the unit flow that it bears [m²/s]."""

    drop_m: float
    ground: GroundBelow
    borne_m2s: NDArray[np.float64]


class _Option(NamedTuple):
    """A length of sill [m] with its flow at the low end [m²/s], the reaches of ground and the apron that are laid."""

    length_m: float
    unit_m2s: float
    laid: int
    apron: Apron | None
    sound: bool


@one_line("line.name", "least_m", "longest_m")
@dataclass(frozen=True, eq=False)
class SillSite:
    """What the sill of a swale is chosen by.

    Parameters
    ----------
    line, shape : LevelLine, ShapedSwale
        The line, and the swale along it.
    wanted_m : float
        Chainage where the middle of the sill is wanted [m].
    least_m, longest_m : float
        Length that it has at least, and to which it may be lengthened [m].
    coefficient : float
        Discharge coefficient C [m^0.5/s].
    off_level_m : float
        How far its low end may lie below its mean level [m].
    cover, kind : str
        Ground cover below it, and what an apron is laid of.
    roughness : float or None
        Manning's n of the ground below; that which belongs to the cover if None.
    rates : Rates
        Prices that it is chosen by.
    fall : callable
        What lies below a sill by its length.
    """

    line: LevelLine
    shape: ShapedSwale
    wanted_m: float
    least_m: float
    longest_m: float
    coefficient: float
    off_level_m: float
    cover: str
    kind: str
    roughness: float | None
    rates: Rates
    fall: Callable[[float], _Fall]

    def chosen_m(self, flow_m3s: Callable[[float], float], least_m: float) -> float:
        """Length of the cheapest sill that digs nothing.

        Parameters
        ----------
        flow_m3s : callable
            Peak flow over the sill [m³/s] by its length [m]: a longer one holds back less.
        least_m : float
            Length that it has at least [m].

        Returns
        -------
        float
            Of all lengths that dig nothing, with the apron that each needs, the cheapest one's [m]. Where what one of
            them takes has no price, a longer sill goes before an apron over the ground: the shortest below which the
            ground is bare goes first, with an apron on crest and face where they need it, else the one with the least
            stone. Where none digs nothing, the longest. None is so long that its water does harm that the least length
            doesn't.

        Notes
        -----
        The flow over most lengths is interpolated; over the one that is chosen it is the flow itself.
        """
        steps = np.arange(ceil(least_m / LENGTH_STEP_M + 1e-9), self.longest_m / LENGTH_STEP_M + 1e-9)
        harms = self.fall(least_m).ground.harms
        longer = [length for length in (LENGTH_STEP_M * steps).tolist() if self.fall(length).ground.harms <= harms]
        lengths_m = np.array([least_m, *longer])
        knots = np.unique(np.round(np.linspace(0.0, 1.0, _KNOTS) ** 2 * (len(lengths_m) - 1)).astype(int))
        flows_m3s = np.array([flow_m3s(float(length)) for length in lengths_m[knots]])
        if len(knots) > 1:
            flows_m3s = PchipInterpolator(lengths_m[knots], flows_m3s)(lengths_m)
        options = [self._option(*pair) for pair in zip(flows_m3s.tolist(), lengths_m.tolist(), strict=True)]
        certain = set(knots.tolist())
        while True:
            sound = [number for number, option in enumerate(options) if option.sound]
            if not sound:
                return float(lengths_m[-1])
            ranks = self._ranks([options[number] for number in sound])
            best = sound[min(range(len(ranks)), key=ranks.__getitem__)]
            if best in certain:
                return float(lengths_m[best])
            certain.add(best)
            options[best] = self._option(flow_m3s(float(lengths_m[best])), float(lengths_m[best]))

    def shortest_m(self, flow_m3s: Callable[[float], float], least_m: float) -> float:
        """The least length, if an apron makes it dig nothing; else as `chosen_m`.

        Parameters
        ----------
        flow_m3s : callable
            Peak flow over the sill [m³/s] by its length [m].
        least_m : float
            Length that it has at least [m].

        Returns
        -------
        float
            The length [m].
        """
        return least_m if self._option(flow_m3s(least_m), least_m).sound else self.chosen_m(flow_m3s, least_m)

    def with_length(self, flow_m3s: float, length_m: float) -> SillChoice:
        """A sill of a given length with the apron that it needs.

        Parameters
        ----------
        flow_m3s : float
            Peak flow over the sill [m³/s].
        length_m : float
            Its length [m].

        Returns
        -------
        SillChoice
            With what is lacking, if anything is.

        Raises
        ------
        InputError
            If the flow is negative or the length not positive.

        Notes
        -----
        All is judged by the flow per metre at the low end of a sill that is off its level by what the brief allows. An
        apron begins where the soil doesn't bear the flow: on the crest of the sill, else on the berm's face. It goes on
        to the end of the last reach that doesn't bear the sheet.
        """
        option, fall = self._option(flow_m3s, length_m), self.fall(length_m)
        slopes = fall.ground.slope
        bare = slopes[option.laid :] if option.laid < len(slopes) else slopes[-1:]
        outlet = check_outlet(
            option.unit_m2s * length_m, length_m, float(bare.max()), cover=self.cover, roughness=self.roughness
        )
        lacking = "" if option.sound else self._lacking(flow_m3s, fall, option)
        return SillChoice(length_m, option.apron, outlet, lacking, self._cost(option))

    def _option(self, flow_m3s: float, length_m: float) -> _Option:
        drop_m, ground, borne_m2s = self.fall(length_m)
        section, (on_sill_m2s, on_face_m2s) = self.shape.section, self._borne_by_berm
        unit_m2s = low_end_unit_flow_m2s(flow_m3s, length_m, coefficient=self.coefficient, off_level_m=self.off_level_m)
        sill_bears, face_bears = unit_m2s <= on_sill_m2s, drop_m == 0 or unit_m2s <= on_face_m2s
        dug = np.flatnonzero(unit_m2s > borne_m2s)
        laid = int(dug[-1]) + 1 if dug.size else 0
        if sill_bears and face_bears and laid == 0:
            return _Option(length_m, unit_m2s, 0, None, True)
        needed_m = float(ground.end_m[laid - 1]) if laid else 0.0
        apron = size_apron(
            unit_m2s * length_m,
            length_m,
            drop_m=drop_m,
            face_slope=1.0 / section.berm_downhill_side_slope,
            ground_slope=float(ground.slope[: max(laid, 1)].max()),
            kind=self.kind,
            crest_m=0.0 if sill_bears else _breadth_m(section),
            ground_m=min(needed_m, ground.layable_m),
            way_m=min(float(ground.end_m[-1]), ground.layable_m),
        )
        return _Option(length_m, unit_m2s, laid, apron, apron is not None and needed_m <= ground.layable_m)

    @cached_property
    def _borne_by_berm(self) -> tuple[float, float]:
        """Unit flow that the sill and the berm's face bear [m²/s]."""
        face_slope = 1.0 / self.shape.section.berm_downhill_side_slope
        return borne_unit_flow_m2s(self.cover, face_slope, roughness=self.roughness)

    def _cost(self, option: _Option) -> float | None:
        return sill_cost(option.length_m, self.rates, **laid_below(option.apron))

    def _ranks(self, options: Sequence[_Option]) -> list[tuple[float, bool, float, float]]:
        """What the least of which is the best of options."""
        costs, ranks = [self._cost(option) for option in options], []
        priced = all(cost is not None for cost in costs)
        for option, cost in zip(options, costs, strict=True):
            stone_m3 = option.apron.volume_m3 if option.apron is not None and option.laid else 0.0
            paid = round(cost, _DECIMALS) if priced and cost is not None else 0.0
            ranks.append((paid, option.laid > 0, round(stone_m3, _DECIMALS), option.length_m))
        return ranks

    def _lacking(self, flow_m3s: float, fall: _Fall, option: _Option) -> str:
        """Why no apron helps, and what would."""
        head_m = (float(fall.borne_m2s.min()) / self.coefficient) ** (2.0 / 3.0) - self.off_level_m
        safe_m = flow_m3s / (self.coefficient * head_m**1.5) if head_m > 0 else inf
        longer = "; a longer sill lets more water through, or leads it where it does harm"
        if safe_m > self.longest_m:
            would = f"; a sill of {safe_m:.0f} m would do, of {self.longest_m:.0f} m may be built"
            longer = "" if safe_m == inf else would
        if option.apron is not None:
            dug_m = fall.ground.end_m[option.laid - 1]
            return (
                f"the ground doesn't bear its sheet for {dug_m:.0f} m, and an apron ends at {fall.ground.barrier}, "
                f"{fall.ground.layable_m:.0f} m below{longer}: it needs a way for the water designed by an engineer"
            )
        steepest = float(fall.ground.slope[: max(option.laid, 1)].max())
        if steepest > STEEPEST_STONE:
            tested = f"no stone was tested on over {100 * STEEPEST_STONE:.0f} %"
            why = f"the ground below falls {100 * steepest:.0f} %, and {tested}"
        else:
            why = "it would take larger stone than any that was tested"
        return f"{why}{longer}: it needs a drop structure designed by an engineer"


def _breadth_m(section: Section) -> float:
    """Breadth of the berm at the level of its sill."""
    faces = section.berm_uphill_side_slope + section.berm_downhill_side_slope
    return section.crest_width_m + section.freeboard_m * faces


def sill_sites(site: Site, ground: Ground, layout: Layout, shapes: Sequence[ShapedSwale]) -> tuple[SillSite, ...]:
    """What the sill of each swale is chosen by.

    Parameters
    ----------
    site, ground, layout : Site, Ground, Layout
        What was asked, the ground, the lines on it.
    shapes : sequence of ShapedSwale
        The swale on each line.

    Returns
    -------
    tuple of SillSite
        One a line.

    Raises
    ------
    InputError
        If the cover or the surface is unknown.

    Examples
    --------
    >>> upper, _ = sill_sites(site, ground, layout, [swale.sized.shape for swale in design.swales])
    >>> choice = upper.with_length(0.02, upper.chosen_m(lambda length_m: 0.02, 1.0))
    >>> choice.lacking, choice.length_m <= upper.longest_m
    ('', True)
    """
    part, free, rates, coefficient = site.brief.sill, kept_free(site, ground), rates_of(site), sill_coefficient(site)
    rough = None if part.surface is None else roughness(part.surface).value

    @cache
    def borne_m2s(slope: float) -> float:
        return borne_unit_flow_m2s(part.cover, slope, roughness=rough)[1]

    sites = []
    for number, (line, path) in enumerate(zip(layout.lines, layout.spill_paths, strict=True)):
        own = own_of(site, line.name)
        wanted_m = float(line.chainage_m[path.station]) if own.sill_at_m is None else min(own.sill_at_m, line.length_m)
        way = partial(
            ground_below,
            line,
            label=number + 1,
            terrain=ground.terrain,
            drainage=layout.drainage,
            keep_outs=free,
            boundary=site.boundary,
        )
        sites.append(
            SillSite(
                line=line,
                shape=shapes[number],
                wanted_m=wanted_m,
                least_m=own.sill_length_m or part.least_length_m,
                longest_m=min(part.greatest_length_m, longest_sill_m(line, shapes[number])),
                coefficient=coefficient,
                off_level_m=part.off_level_m,
                cover=part.cover,
                kind=part.apron,
                roughness=rough,
                rates=rates,
                fall=_falls(line, shapes[number], wanted_m, way, borne_m2s),
            )
        )
    return tuple(sites)


def unpriced_notes(aprons: Iterable[Apron | None], rates: Rates) -> tuple[str, ...]:
    """What the reader must know of a cost that leaves out what is laid at sills.

    Parameters
    ----------
    aprons : iterable of Apron or None
        That of every sill.
    rates : Rates
        Prices.

    Returns
    -------
    tuple of str
        A sentence each of stone and sod; none without any cost, or where what is laid has its price.

    Examples
    --------
    >>> unpriced_notes([swale.sill.apron for swale in design.swales], Rates(stone_per_m3=60.0))
    ()
    """
    if swale_cost(1.0, 1.0, rates) is None:
        return ()
    notes, each = [], [laid_below(apron) for apron in aprons]
    for what, unit, word in (("stone_m3", "m³", "stone"), ("grass_m2", "m²", "sod")):
        amount, key = sum(laid.get(what, 0.0) for laid in each), f"{word.replace('sod', 'grass')}_per_{what[-2:]}"
        if amount > 0.0 and getattr(rates, key) is None:
            notes.append(
                f"{amount:.0f} {unit} of {word} are laid at sills, and the brief has no price for it ([rates] {key}): "
                "the cost leaves it out, and a longer sill goes before it"
            )
    return tuple(notes)


def _falls(
    line: LevelLine,
    shape: ShapedSwale,
    wanted_m: float,
    way: Callable[..., GroundBelow],
    borne_m2s: Callable[[float], float],
) -> Callable[[float], _Fall]:
    """What lies below a sill by its length: the drop's mean along it, and the steepest of the ways.

    Looked at along a length that is rounded up to a whole number of steps between ways.
    """
    step, foot_m, kept = max(round(_WAYS_M / line.spacing_m), 1), shape.nodes[0][DOWNHILL_TOE], cache(way)

    @cache
    def fall(length_m: float) -> _Fall:
        middle_m = sill_chainage_m(line, shape, wanted_m=wanted_m, length_m=length_m)
        away_m = np.abs(line.chainage_m - middle_m)
        if line.closed:
            away_m = np.minimum(away_m, line.length_m - away_m)
        below = np.flatnonzero(away_m <= length_m / 2.0)
        below = np.union1d(below[below % step == 0], np.argmin(away_m))
        foot_level_m = shape.stations.ground_m[below] - shape.stations.slope[below] * foot_m[below]
        ground = steepest_of([kept(int(station), foot_m=float(foot_m[station])) for station in below])
        borne = np.array([borne_m2s(slope) for slope in ground.slope.tolist()])
        return _Fall(float((shape.sill_level_m - foot_level_m).clip(min=0.0).mean()), ground, borne)

    return lambda length_m: fall(_WAYS_M / 2.0 * ceil(length_m / (_WAYS_M / 2.0)) if length_m > _WAYS_M else length_m)
