"""A design built over several seasons: the order, what each season costs, and how the site stands after it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace

from swalekit._one_line import one_line
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Stage as Told
from swalekit.design.layout.ground import first_few, silent
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Caution, Design, Swale
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import lay_out
from swalekit.design.plan.table import totals
from swalekit.design.stages.interim import interim_design
from swalekit.design.stages.order import even_stages, stages_within
from swalekit.earthwork.cost import job_cost

_ROUNDS = 3
_SAME_M = 0.05
"""Sills that differ by no more are the same: half the step in which they are told."""


@one_line("number", "swales", "dug_m3", "cost", "interim.held_storm_mm", "opens")
@dataclass(frozen=True, eq=False)
class BuildingStage:
    """A season of building.

    Parameters
    ----------
    number : int
        From 1.
    swales : tuple of Swale
        Those that are built in it, as designed.
    interim : Design
        All swales built so far by themselves; after the last stage the design.
    opens : tuple of Caution
        What the swales raise until the rest is built and the whole doesn't.
    """

    number: int
    swales: tuple[Swale, ...]
    interim: Design
    opens: tuple[Caution, ...]

    @property
    def left_open(self) -> str:
        """What it leaves open until the rest is built, in words."""
        return "; ".join(f"{caution.swale} {caution.name}: {caution.text}" for caution in self.opens)

    @property
    def dug_m3(self) -> float:
        """Soil dug in it, bank measure [m³]."""
        return sum(swale.quantities.dug_m3 for swale in self.swales)

    @property
    def length_m(self) -> float:
        """Length of the swales built in it [m]."""
        return sum(swale.line.length_m for swale in self.swales)

    @property
    def machine_h(self) -> float:
        """Machine hours [h]."""
        return sum(swale.machine_h(self.interim.rates) for swale in self.swales)

    @property
    def cost(self) -> float | None:
        """Cost with bringing the machine for this season; None where the brief names no price."""
        rates = self.interim.rates
        return job_cost([swale.cost(rates) for swale in self.swales], rates)

    @property
    def longest_sill(self) -> Swale | None:
        """The swale of those built so far that has the longest sill once it is sized for this state."""
        return max(self.interim.swales, key=lambda swale: swale.sill.length_m, default=None)


STAGE_COLUMNS: tuple[Column, ...] = (
    Column("stage", "", "season of building, from 1", 0, "number"),
    Column("swales", "", "swales built in it", of=lambda stage: ", ".join(swale.id for swale in stage.swales)),
    Column("length_m", "m", "their length"),
    Column("dug_m3", "m3", "bank volume cut"),
    Column("machine_h", "h", "machine hours"),
    Column("cost", "", "cost with bringing the machine for it, empty where the brief names no price", 0),
    Column("built", "", "number of swales that stand after it", 0, lambda stage: len(stage.interim.swales)),
    Column("held_m3", "m3", "water of the design storm that they hold then"),
    Column("kept_share", "", "share of the water the design storm brings that stays on the site then", 3),
    Column("held_storm_mm", "mm", "deepest storm that leaves every one of them without spilling"),
    Column("rain_m3", "m3", "rain of the design storm on the known ground of the tile", 3),
    Column("soaked_m3", "m3", "of it, what soaks in where it falls", 3),
    Column("stands_m3", "m3", "of it, what stands in swales and hollows once it is poured over the ground as built", 3),
    Column("gone_m3", "m3", "of it, what leaves the tile", 3),
    Column("longest_sill_m", "m", "longest sill that the check storm needs then", of="longest_sill.sill.length_m"),
    Column("longest_sill", "", "swale that has it", of="longest_sill.id"),
    Column(
        "opens", "", "cautions until the rest is built that the whole doesn't raise", of=lambda each: each.left_open
    ),
)


@one_line("design.site.brief.site.name", "stages", "longer_sills")
@dataclass(frozen=True, eq=False)
class Staged:
    """A design with its seasons of building.

    Parameters
    ----------
    design : Design
        The design; each of its swales has its stage, and its sill is as long as any state needs.
    stages : tuple of BuildingStage
        In the order of building.
    longer_sills : tuple of str
        Swales whose sills are longer than the whole needs, for a state before it.
    notes : tuple of str
        What the reader must know of the order.
    """

    design: Design
    stages: tuple[BuildingStage, ...]
    longer_sills: tuple[str, ...] = ()
    notes: tuple[str, ...] = ()

    @property
    def rows(self) -> list[dict[str, Entry]]:
        """A row a stage by the names of `STAGE_COLUMNS`."""
        return [_row(stage) for stage in self.stages]


def in_stages(design: Design) -> bool:
    """Whether a design is to be built in stages: its brief asks for them, or a line has its own.

    Parameters
    ----------
    design : Design
        The design.

    Returns
    -------
    bool

    Examples
    --------
    >>> from dataclasses import replace
    >>> in_stages(design), in_stages(replace(design, site=site.with_values({"stages.count": 2})))
    (False, True)
    """
    return bool(design.swales) and (
        design.site.brief.stages.asked or any(swale.own.stage is not None for swale in design.swales)
    )


def as_staged(design: Design, *, stage: Told = silent) -> Design:
    """A design as its seasons ask for it, with the stage of every swale; itself where it is built at once.

    Parameters
    ----------
    design : Design
        The whole, as planned at once.
    stage : callable
        Told the name of each step.

    Returns
    -------
    Design
        That of `build_in_stages`.

    Examples
    --------
    >>> as_staged(design) is design
    True
    """
    return build_in_stages(design, stage=stage).design if in_stages(design) else design


def build_in_stages(design: Design, *, stage: Told = silent) -> Staged:
    """Order the swales of a design into seasons, and see how the site stands after each.

    Parameters
    ----------
    design : Design
        The whole, as planned at once.
    stage : callable
        Told the name of each step.

    Returns
    -------
    Staged
        The design, with longer sills where a state before it needs them, and its seasons.

    Notes
    -----
    From the top of the site down every swale finds those above it built, and its sill is sized with them: what the
    lower ones will hold runs on over open ground until they are there. A stage that the designer gives a line goes
    before that order; then a swale may stand without those above it, gets their water too, and is given the longest
    sill that any state needs. Each state is planned as its lines alone, with sections and depths as dug; nothing of it
    is copied from the whole.

    Examples
    --------
    >>> from dataclasses import replace
    >>> staged = build_in_stages(replace(design, site=site.with_values({"stages.count": 2})))
    >>> [[swale.id for swale in stage.swales] for stage in staged.stages]
    [['S1'], ['S2']]
    """
    longer: dict[str, float] = {}
    for _ in range(_ROUNDS):
        numbers, notes = _numbers(design)
        states = _states(design, numbers, stage)
        needs = _sill_needs(states)
        wanted = {
            swale.id: needs[swale.id] for swale in design.swales if needs[swale.id] > swale.sill.length_m + _SAME_M
        }
        if not wanted:
            break
        longer |= wanted
        stage("planning with the sills that stages need")
        design = _with_sills(design, longer)
    whole = replace(design, swales=tuple(replace(swale, stage=numbers[swale.id]) for swale in design.swales))
    states[max(states)] = whole
    stages = tuple(
        BuildingStage(
            number,
            tuple(swale for swale in whole.swales if swale.stage == number),
            interim,
            _opens(interim, whole),
        )
        for number, interim in states.items()
    )
    notes = (*notes, *_over_budget(stages), *_sill_notes(longer))
    return Staged(replace(whole, warnings=(*whole.warnings, *notes)), stages, tuple(longer), notes)


def _numbers(design: Design) -> tuple[dict[str, int], tuple[str, ...]]:
    """Stage of every swale, and what the reader must know of the order."""
    part, rates, swales = design.site.brief.stages, design.rates, design.swales
    costs = [swale.cost(rates) for swale in swales]
    known = [cost for cost in costs if cost is not None]
    if part.budget_per_stage is not None:  # whose brief has prices
        found = stages_within(part.budget_per_stage, known, mobilisation=rates.mobilisation)
    elif part.count is not None:
        found = even_stages(part.count, known or [swale.quantities.dug_m3 for swale in swales])
    else:
        given = [swale.own.stage for swale in swales if swale.own.stage is not None]
        found = tuple(max(given, default=1) for _ in swales)
    numbers = {
        swale.id: number if swale.own.stage is None else swale.own.stage
        for swale, number in zip(swales, found, strict=True)
    }
    in_use = {number: place for place, number in enumerate(sorted({*numbers.values()}), start=1)}
    return {name: in_use[number] for name, number in numbers.items()}, _order_notes(design, numbers, len(in_use))


def _order_notes(design: Design, numbers: dict[str, int], count: int) -> tuple[str, ...]:
    asked, upstream = design.site.brief.stages.count, _spills_into(design.swales)
    early = [name for name, above in upstream.items() if any(numbers[other] > numbers[name] for other in above)]
    notes = []
    if asked is not None and count < asked:
        notes.append(f"[stages] count is {asked} and the swales fill {count}")
    if max(numbers.values(), default=0) > count:
        notes.append(f"stages are counted without gaps: {count} of them")
    if early:
        notes.append(f"{first_few(early)}: built before a swale above; its sill carries that one's water until then")
    return tuple(notes)


def _spills_into(swales: Iterable[Swale]) -> dict[str, list[str]]:
    """Swales by name with those whose overflow reaches them first."""
    every = list(swales)
    into: dict[str, list[str]] = {swale.id: [] for swale in every}
    for swale in every:
        if swale.sill.spills_to in into:
            into[swale.sill.spills_to].append(swale.id)
    return into


def _states(design: Design, numbers: dict[str, int], stage: Told) -> dict[int, Design]:
    """How the site stands after every stage; after the last as designed."""
    count = max(numbers.values())
    states = {}
    for number in range(1, count):
        stage(f"the state after stage {number} of {count}")
        states[number] = interim_design(design, {name for name, own in numbers.items() if own <= number})
    return {**states, count: design}


def _sill_needs(states: dict[int, Design]) -> dict[str, float]:
    """The longest sill of every swale in any state [m]."""
    needs: dict[str, float] = {}
    for state in states.values():
        for swale in state.swales:
            needs[swale.id] = max(needs.get(swale.id, 0.0), swale.sill.length_m)
    return needs


def _with_sills(design: Design, lengths_m: dict[str, float]) -> Design:
    """The design planned anew with sills of their own length."""
    lines = lines_of(design)
    for swale in design.swales:
        if swale.id in lengths_m:
            lines = lines.decide(swale.id, swale.state, sill_length_m=lengths_m[swale.id])
    site: Site = design.site.with_lines(lines)
    given = [swale.line for swale in design.swales] if design.spacing is None else None
    return lay_out(site, design.ground, lines=given)


def _opens(interim: Design, whole: Design) -> tuple[Caution, ...]:
    """Cautions of a state that the whole doesn't raise."""
    raised = {(caution.swale, caution.name) for caution in whole.cautions}
    return tuple(
        caution for caution in interim.cautions if caution.swale and (caution.swale, caution.name) not in raised
    )


def _over_budget(stages: Sequence[BuildingStage]) -> tuple[str, ...]:
    """Stages that cost more than the brief allows, as one swale alone may."""
    told = []
    for stage in stages:
        budget, cost = stage.interim.site.brief.stages.budget_per_stage, stage.cost
        if budget is not None and cost is not None and cost > budget:
            names = first_few([swale.id for swale in stage.swales])
            told.append(f"stage {stage.number} ({names}) costs {cost:,.0f}, more than budget_per_stage {budget:,.0f}")
    return tuple(told)


def _sill_notes(longer: dict[str, float]) -> tuple[str, ...]:
    if not longer:
        return ()
    sills = [f"{name} {length_m:.1f} m" for name, length_m in longer.items()]
    return (f"sills are as long as a state before the whole needs: {first_few(sills)}",)


def _row(stage: BuildingStage) -> dict[str, Entry]:
    account, figures = stage.interim.account, totals(stage.interim)
    poured: dict[str, Entry] = {}
    if account is not None:
        poured = {
            "rain_m3": account.rain_m3,
            "soaked_m3": account.soaked_m3,
            "stands_m3": account.swales_m3 + account.hollows_m3,
            "gone_m3": account.left_m3,
        }
    of_state = {name: figures[name] for name in ("held_m3", "kept_share", "held_storm_mm")}
    without = dict.fromkeys(("rain_m3", "soaked_m3", "stands_m3", "gone_m3"))
    return row_of(stage, STAGE_COLUMNS, **(without | poured | of_state))
