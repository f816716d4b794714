"""Mending a layout: every cure is tried on the real layout, and the cheapest set that works is taken."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field, replace

import numpy as np

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.design.brief.decided_lines import DROPPED, PROPOSED, DecidedLine, Lines, OwnSettings
from swalekit.design.layout.ground import Stage, first_few, silent
from swalekit.design.mending.beyond_brief import WIDEST_FLOOR_M, floor_that_dries_m
from swalekit.design.mending.cures import MAY_LOSE, Cure, cures_of
from swalekit.design.mending.edits import LeaveOut
from swalekit.design.plan.cautions import is_curable
from swalekit.design.plan.design import Caution, Design, Swale
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import lay_out
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.units import with_unit

_MOST_PASSES = 3
_MOST_TOLD = 3
_STANDS_LONG = "stands long"
_TOO_MUCH = "more of the water kept would be lost than may be"

Raised = tuple[str, str]
"""A swale and the name of a caution that it raises."""


@one_line("cure.swale", "cure.caution", "cure.words", "extra_cost", "taken")
@dataclass(frozen=True, eq=False)
class Trial(Frozen):
    """A cure as it was tried on the real layout, everything below it sized and poured again.

    Parameters
    ----------
    cure : Cure
        What was changed.
    extra_cost : float or None
        Cost of the swale with its parts or the line above it, less that before; None where no price is known.
    extra_dug_m3 : float
        The same of the soil dug [m³].
    cured, worsened : tuple of (str, str)
        Cautions that are gone, and that are new there or below: swale and name.
    taken : bool
        Whether it is part of the mended layout.
    too_much : bool
        Whether it works, and more water would be lost with it than may be.
    """

    cure: Cure
    extra_cost: float | None
    extra_dug_m3: float
    cured: tuple[Raised, ...]
    worsened: tuple[Raised, ...]
    taken: bool = False
    too_much: bool = False

    @property
    def works(self) -> bool:
        """Whether its caution is gone and nothing else is raised."""
        return (self.cure.swale, self.cure.caution) in self.cured and not self.worsened

    @property
    def outcome(self) -> str:
        """What came of it in a word or two: ``taken``, ``works``, ``raises others`` or ``no help``."""
        if self.taken:
            return "taken"
        if self.worsened:
            return "raises others"
        return "works" if self.works else "no help"


@one_line("before.cost", "after.cost", "trials", "left")
@dataclass(frozen=True, eq=False)
class Mended(Frozen):
    """A layout before and after mending.

    Parameters
    ----------
    before, after : Design
        The layouts; they are the same where nothing could be mended. All lines of the later are held.
    trials : tuple of Trial
        All that was tried, in the order of the work.
    left : tuple of Caution
        Cautions of the later layout, each with the reason why it stays as its advice.
    """

    before: Design
    after: Design
    trials: tuple[Trial, ...]
    left: tuple[Caution, ...]

    @property
    def taken(self) -> tuple[Trial, ...]:
        """The cures that the mended layout has."""
        return tuple(trial for trial in self.trials if trial.taken)


def mend(design: Design, *, only: Sequence[str] = (), may_lose: float = MAY_LOSE, stage: Stage = silent) -> Mended:
    """Try the cures of every caution that geometry may cure, and take the cheapest set that works.

    Parameters
    ----------
    design : Design
        The layout; its lines are held as they are, so that only what is mended changes.
    only : sequence of str
        Swales to mend; all unless given.
    may_lose : float
        Share of the water kept that may be lost with lines that are left out [-].
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Mended
        Before and after, all that was tried, and what stays with its reason.

    Raises
    ------
    InputError
        If a swale to mend isn't there, or the share isn't between 0 and 1.

    Notes
    -----
    The first cure of every swale is tried at once with the first of all others, then the second, and so on: each trial
    lays out, sizes, builds and pours the whole layout. What is new where a cure was tried, or at a swale above or below
    it on the way of the water, counts against that cure. Nothing is proposed anew in the place of what is left out, and
    what the brief would propose there is dropped in the end. Of the cures that work for a swale the one that cures most
    is taken, then the cheapest; to leave a line out only where nothing else works. The set is laid out together; what
    raises something then is taken back. New cautions are mended in turn, three times at most.

    Examples
    --------
    >>> mended = mend(design, only=["S1"])
    >>> len(mended.after.swales), {trial.cure.swale for trial in mended.trials} <= {"S1"}
    (2, True)
    """
    check_between(0.0, 1.0, may_lose=may_lose)
    _check_there(design, only)
    least_m3 = (1.0 - may_lose) * design.kept_m3
    now, trials, tried = design, list[Trial](), set[tuple[str, str, str]]()
    lines = _held(lines_of(design))
    for turn in range(1, _MOST_PASSES + 1):
        ways = _ways(now, only, tried, now.kept_m3 - least_m3)
        if not ways:
            break
        found = _try_all(now, lines, ways, turn, stage)
        stage(f"turn {turn}: laying out the cures that work")
        chosen, too_much, now, lines = _take(now, lines, found, least_m3=least_m3)
        tried |= {_key(trial.cure) for trial in found if trial.cure in chosen or not trial.works}
        trials += [replace(t, taken=t.cure in chosen, too_much=t.cure in too_much) for t in found]
        if not chosen:
            break
    if now is not design:
        stage("laying out the mended plan as its file of lines has it")
        now, lines = _settled(now, lines)
    stage("looking for what the brief would have to allow")
    floors = _wider_floors(now, lines, only)
    return Mended(design, now, tuple(trials), _left(now, trials, floors, now.kept_m3 - least_m3))


def _check_there(design: Design, names: Sequence[str]) -> None:
    known = [swale.id for swale in design.swales]
    missing = [name for name in names if name not in known]
    if missing:
        message = f"no swale is called '{missing[0]}'; the layout has {first_few(known) or 'none'}"
        raise InputError(message)


@dataclass
class _Trying:
    """Cures tried at once: the lines with them, and which lines each brought."""

    lines: Lines
    cures: list[Cure] = field(default_factory=list)
    family: dict[str, set[str]] = field(default_factory=dict)
    touched: dict[str, set[str]] = field(default_factory=dict)

    def add(self, cure: Cure) -> None:
        before = {line.name for line in self.lines.lines}
        self.lines = cure.edit.on(self.lines)
        self.family[cure.swale] = {cure.swale, *(line.name for line in self.lines.lines if line.name not in before)}
        self.touched[cure.swale] = set(cure.edit.touches) - {cure.swale}
        self.cures.append(cure)

    def causes(self, name: str) -> list[str]:
        """Swales whose cures change a line."""
        return [swale for swale, family in self.family.items() if name in family | self.touched[swale]]


def _ways(
    design: Design, only: Sequence[str], tried: set[tuple[str, str, str]], may_lose_m3: float
) -> dict[str, list[Cure]]:
    """Cures by swale that weren't tried yet; of lines to leave out the smallest, as many as may be lost together."""
    may_lose = max(may_lose_m3, 0.0) / design.kept_m3 if design.kept_m3 > 0.0 else 1.0
    ways = {}
    for swale in design.swales:
        if not only or swale.id in only:
            ways[swale.id] = [c for c in cures_of(design, swale, may_lose=may_lose) if _key(c) not in tried]
    within = _within(design, [cure for cures in ways.values() for cure in cures], may_lose_m3)
    kept = {name: [cure for cure in cures if cure in within] for name, cures in ways.items()}
    return {name: cures for name, cures in kept.items() if cures}


def _try_all(design: Design, lines: Lines, ways: Mapping[str, Sequence[Cure]], turn: int, stage: Stage) -> list[Trial]:
    """Every cure on the real layout, one of each swale at a time."""
    trials: list[Trial] = []
    rounds = max(map(len, ways.values()))
    for place in range(rounds):
        trying = _Trying(lines)
        for cures in ways.values():
            if place < len(cures):
                trying.add(cures[place])
        stage(f"turn {turn}: trying {len(trying.cures)} cures at once, {place + 1} of {rounds}")
        trials += _outcomes(design, lay_out(design.site.with_lines(trying.lines), design.ground), trying)
    return trials


def _outcomes(design: Design, tried: Design, trying: _Trying) -> list[Trial]:
    """What each of the cures did."""
    before, after = _raised(design.swales), _raised(tried.swales)
    families, reaches, handed = trying.family, _reached_from(design), _handed_over(design, tried)
    parts = {name: swale for swale, family in families.items() for name in family}
    blamed: dict[str, list[Raised]] = {swale: [] for swale in families}
    for name, caution in sorted(after - before):
        if name in parts and (parts[name], caution) in before:
            continue
        near = [
            cause
            for cause in families
            if name in reaches[cause] or cause in reaches.get(name, ()) or cause in handed.get(name, ())
        ]
        for cause in trying.causes(name) or near or list(families):
            blamed[cause].append((name, caution))
    costs, costs_before = (_costs(each) for each in (tried, design))
    trials = []
    for cure in trying.cures:
        family, changed = families[cure.swale], families[cure.swale] | trying.touched[cure.swale]
        still = {caution for name, caution in after if name in family}
        gone = tuple((name, caution) for name, caution in sorted(before) if name == cure.swale and caution not in still)
        cost, dug_m3 = (_sum(costs, changed, k) - _sum(costs_before, changed, k) for k in (0, 1))
        priced = None if design.cost is None else cost
        trials.append(Trial(cure, priced, dug_m3, gone, tuple(blamed[cure.swale])))
    return trials


def _sum(table: Mapping[str, tuple[float, float]], names: Iterable[str], place: int) -> float:
    return sum(table[name][place] for name in sorted(names) if name in table)


def _take(
    design: Design, lines: Lines, trials: Sequence[Trial], *, least_m3: float
) -> tuple[list[Cure], list[Cure], Design, Lines]:
    """The cheapest cure that works of each swale, all together, and those with which too much water would be lost.

    What raises something then is taken back.
    """
    best: dict[str, Trial] = {}
    for trial in filter(lambda trial: trial.works, trials):
        other = best.get(trial.cure.swale)
        if other is None or _rank(trial) < _rank(other):
            best[trial.cure.swale] = trial
    working = [trial.cure for trial in best.values()]
    chosen = _within(design, working, design.kept_m3 - least_m3)
    too_much = [cure for cure in working if cure not in chosen]
    while chosen:
        trying = _Trying(lines)
        for cure in chosen:
            trying.add(cure)
        mended = lay_out(design.site.with_lines(trying.lines), design.ground)
        outcomes = _outcomes(design, mended, trying)
        bad = {trial.cure.swale for trial in outcomes if not trial.works}
        if mended.kept_m3 < least_m3:
            bad |= {cure.swale for cure in chosen if isinstance(cure.edit, LeaveOut)}
        if not bad:
            return chosen, too_much, mended, _held(lines_of(mended))
        chosen = [cure for cure in chosen if cure.swale not in bad]
    return [], too_much, design, lines


def _settled(design: Design, lines: Lines) -> tuple[Design, Lines]:
    """The layout as its file of lines gives it: what the brief proposes in the place of what went is dropped."""
    for _ in range(_MOST_PASSES):
        known = {line.name for line in lines.lines}
        settled = lay_out(design.site.with_lines(replace(lines, alone=False)), design.ground)
        new = [swale for swale in settled.swales if swale.id not in known]
        if not new:
            return settled, lines
        own = OwnSettings(note="not asked for when the plan was mended")
        dropped = (DecidedLine(each.id, DROPPED, each.line.xy, each.line.closed, own=own) for each in new)
        lines = replace(lines, lines=(*lines.lines, *dropped))
    return design, lines


def _within(design: Design, cures: Sequence[Cure], may_lose_m3: float) -> list[Cure]:
    """Cures without those lines left out, the largest first, that hold more than may be lost."""
    held_m3 = {swale.id: swale.held_m3 for swale in design.swales}
    left_out = sorted({c.swale for c in cures if isinstance(c.edit, LeaveOut)}, key=lambda name: (held_m3[name], name))
    lost_m3 = np.cumsum([held_m3[name] for name in left_out])
    too_many = {name for name, lost in zip(left_out, lost_m3.tolist(), strict=True) if lost > may_lose_m3}
    return [cure for cure in cures if not (isinstance(cure.edit, LeaveOut) and cure.swale in too_many)]


def _rank(trial: Trial) -> tuple[bool, float, float]:
    return isinstance(trial.cure.edit, LeaveOut), -len(trial.cured), trial.extra_cost or trial.extra_dug_m3


def _wider_floors(design: Design, lines: Lines, only: Sequence[str]) -> dict[str, str]:
    """What floor, wider than the brief allows, would do for each swale that stands long, as tried on the layout."""
    step_m, costs = design.site.brief.section.bottom_width_step_m, _costs(design)
    long = [swale for swale in design.swales if (swale.id, _STANDS_LONG) in _raised([swale])]
    floors = {swale.id: floor_that_dries_m(design, swale) for swale in long if not only or swale.id in only}
    asked = {name: floor_m for name, floor_m in floors.items() if floor_m is not None}
    told: dict[str, str] = {}
    for _ in range(_MOST_PASSES if asked else 0):
        trying = lines
        for name, floor_m in asked.items():
            trying = trying.decide(name, lines.state(name), bottom_width_m=floor_m)
        tried = lay_out(design.site.with_lines(trying), design.ground)
        after, dear = _raised(tried.swales), _costs(tried)
        for name, floor_m in tuple(asked.items()):
            if (name, _STANDS_LONG) not in after and name in dear:
                told[name] = _floor_words(design, floor_m, dear[name][0] - costs[name][0])
                others = [caution for swale, caution in sorted(after - _raised(design.swales)) if swale == name]
                told[name] += f", and raises {', '.join(others)}" if others else ""
                del asked[name]
        asked = {name: round(floor_m + step_m, 3) for name, floor_m in asked.items() if floor_m < WIDEST_FLOOR_M}
        if not asked:
            break
    return told


def _floor_words(design: Design, floor_m: float, extra_cost: float) -> str:
    brief = design.site.brief
    units, price = brief.site.units, ""
    if design.cost is not None:
        price = f", for {extra_cost:+,.0f} {brief.rates.currency}".rstrip()
    floor, greatest = (
        with_unit(width_m, "m", units=units, decimals=2) for width_m in (floor_m, brief.section.greatest_bottom_width_m)
    )
    return f"a floor {floor} wide would do{price} (the brief's greatest_bottom_width is {greatest})"


def _left(
    design: Design, trials: Sequence[Trial], floors: Mapping[str, str], may_lose_m3: float
) -> tuple[Caution, ...]:
    """Cautions that stay, each with why."""
    return tuple(
        replace(caution, advice=_reason(swale, caution, trials, floors, may_lose_m3))
        for swale in design.swales
        for caution in swale.cautions
    )


def _reason(
    swale: Swale, caution: Caution, trials: Sequence[Trial], floors: Mapping[str, str], may_lose_m3: float
) -> str:
    if not is_curable(caution.name):
        return f"no shape or place of the works removes it: {caution.advice}"
    tried = [t for t in trials if (t.cure.swale, t.cure.caution) == (caution.swale, caution.name) and not t.taken]
    outcomes = list(dict.fromkeys(map(_outcome, tried)))
    if swale.held_m3 > may_lose_m3 and not any(isinstance(trial.cure.edit, LeaveOut) for trial in tried):
        outcomes.append(f"leave it out: {_TOO_MUCH}")
    told = outcomes[:_MOST_TOLD] or ["nothing that the brief allows applies"]
    if len(outcomes) > _MOST_TOLD:
        more = len(outcomes) - _MOST_TOLD
        told.append(f"{more} more way{'s' if more > 1 else ''}")
    if caution.name == _STANDS_LONG:
        told.append(floors.get(caution.swale, ""))
    return "; ".join(filter(None, [*told, swale.sized.cure if caution.name == "too small" else ""]))


def _outcome(trial: Trial) -> str:
    """What a cure that wasn't taken did, in words."""
    if trial.worsened:
        raised = ", ".join(dict.fromkeys(f"'{name}' at {swale}" for swale, name in trial.worsened))
        return f"{trial.cure.words}: raises {raised}"
    if not trial.works:
        return f"{trial.cure.words}: it stays"
    if trial.too_much:
        return f"{trial.cure.words}: {_TOO_MUCH}"
    return f"{trial.cure.words}: not beside the other cures"


def _held(lines: Lines) -> Lines:
    """All proposed lines held and nothing proposed beside them, so that nothing but what is mended moves."""
    for line in lines.in_state(PROPOSED):
        lines = lines.decide(line.name, "held")
    return replace(lines, alone=True)


def _raised(swales: Iterable[Swale]) -> set[Raised]:
    return {(swale.id, caution.name) for swale in swales for caution in swale.cautions if is_curable(caution.name)}


def _costs(design: Design) -> dict[str, tuple[float, float]]:
    """Cost and soil of every swale."""
    return {swale.id: (swale.cost(design.rates) or 0.0, swale.quantities.dug_m3) for swale in design.swales}


def _reached_from(design: Design) -> dict[str, set[str]]:
    """Swales that the water of each may reach, whatever spills."""
    names = [swale.id for swale in design.swales]
    downstream = [] if design.run is None else design.run.stores.downstream.tolist()
    reached: dict[str, set[str]] = {}
    for number, name in enumerate(names):
        below, way = downstream[number], set[str]()
        while below >= 0:
            if below < len(names):
                way.add(names[below])
            below = downstream[below]
        reached[name] = way
    return reached


def _handed_over(design: Design, tried: Design) -> dict[str, set[str]]:
    """Swales of a layout whose ground another swale catches in the one that was tried."""
    (was, is_now), n_now = (each.catchments.ravel() for each in (design, tried)), len(tried.swales) + 1
    caught = (was > 0) & (is_now > 0)
    pairs = np.unique(was[caught].astype(np.int64) * n_now + is_now[caught])
    handed: dict[str, set[str]] = {}
    for first, then in zip(*(part.tolist() for part in np.divmod(pairs, n_now)), strict=True):
        name, other = design.swales[first - 1].id, tried.swales[then - 1].id
        if name != other:
            handed.setdefault(other, set()).add(name)
    return handed


def _key(cure: Cure) -> tuple[str, str, str]:
    return cure.swale, cure.caution, cure.words
