"""Mending a layout: every cure is tried on the real layout, and the cheapest set that works is taken."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

import numpy as np

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.design.brief.decided_lines import DROPPED, PROPOSED, DecidedLine, Lines, OwnSettings
from swalekit.design.layout.ground import Stage, first_few, silent
from swalekit.design.mending.cures import MAY_LOSE, Cure, cures_of
from swalekit.design.mending.edits import LeaveOut
from swalekit.design.mending.stays import left_of, wider_floors
from swalekit.design.mending.trying import Trial, Trying, outcomes_of
from swalekit.design.plan.design import Caution, Design
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import lay_out
from swalekit.errors import InputError
from swalekit.frozen import Frozen

_MOST_PASSES = 3


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
    floors = wider_floors(now, lines, only)
    return Mended(design, now, tuple(trials), left_of(now, trials, floors, now.kept_m3 - least_m3))


def _check_there(design: Design, names: Sequence[str]) -> None:
    known = [swale.id for swale in design.swales]
    missing = [name for name in names if name not in known]
    if missing:
        message = f"no swale is called '{missing[0]}'; the layout has {first_few(known) or 'none'}"
        raise InputError(message)


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
        trying = Trying(lines)
        for cures in ways.values():
            if place < len(cures):
                trying.add(cures[place])
        stage(f"turn {turn}: trying {len(trying.cures)} cures at once, {place + 1} of {rounds}")
        trials += outcomes_of(design, lay_out(design.site.with_lines(trying.lines), design.ground), trying)
    return trials


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
        trying = Trying(lines)
        for cure in chosen:
            trying.add(cure)
        mended = lay_out(design.site.with_lines(trying.lines), design.ground)
        outcomes = outcomes_of(design, mended, trying)
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


def _held(lines: Lines) -> Lines:
    """All proposed lines held and nothing proposed beside them, so that nothing but what is mended moves."""
    for line in lines.in_state(PROPOSED):
        lines = lines.decide(line.name, "held")
    return replace(lines, alone=True)


def _key(cure: Cure) -> tuple[str, str, str]:
    return cure.swale, cure.caution, cure.words
