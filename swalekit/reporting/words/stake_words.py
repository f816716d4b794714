"""The words and figures of the staking sheets."""

import math
from collections.abc import Sequence

from swalekit.design.plan.record import PlanRecord
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_TOE, UPHILL_LIP, UPHILL_TOE
from swalekit.kernels.section_nodes import DOWNHILL_LIP as LOWER_LIP
from swalekit.reporting.words.plan_words import plan_cautions, standing_cautions
from swalekit.reporting.words.shown import number, shown, unit_name
from swalekit.section.laid_swale import LaidSwale
from swalekit.section.profile import profile
from swalekit.staking.stake import Benchmark, OffsetStake, Stake

UNSURE_M = 1.0
"""Standard error of a stake's place from which a sheet says how to find the line with a level."""

_FLOOR_MM, _SILL_MM = 50.0, 30.0
"""What a crew can be held to on a ditch floor and on a sill: common practice."""


def level_shown(height_m: float, *, units: str) -> str:
    """A height with two decimals, without its unit.

    Parameters
    ----------
    height_m : float
        Height [m].
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        Metres or feet, without commas.

    Examples
    --------
    >>> level_shown(1234.5, units="metric"), level_shown(1234.5, units="us")
    ('1234.50', '4050.20')
    """
    return number(height_m, "m", units=units, decimals=2).replace(",", "")


def stake_header(benchmark: Benchmark | None, *, units: str) -> tuple[str, ...]:
    r"""Heads of the table of stakes.

    Parameters
    ----------
    benchmark : Benchmark or None
        The benchmark; with one there are columns of heights above it.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of str
        Heads, with the unit on a line below.

    Examples
    --------
    >>> stake_header(None, units="metric")[:4]
    ('Stake', 'Chain.\nm', 'Mark', 'Ground\nm')
    """
    unit = unit_name("m", units=units)
    heads = [f"{head}\n{unit}" for head in ("Chain.", "Ground", "Floor", "Dig", "Top")]
    above = [] if benchmark is None else [f"{head}\n± BM" for head in ("Ground", "Floor", "Top")]
    beside = [
        head
        for side in ("Uphill", "Downhill")
        for head in (f"{side}\nat {unit}", f"to floor\n{unit}", f"to top\n{unit}")
    ]
    return ("Stake", heads[0], "Mark", *heads[1:], *above, *beside)


def stake_cells(stake: Stake, benchmark: Benchmark | None, *, units: str) -> tuple[str, ...]:
    """A row of the table of stakes: heights, and from each offset stake its distance, and how far to floor and top.

    The top is the berm's crest, and at the sill the sill, to which the berm is built there.

    Parameters
    ----------
    stake : Stake
        The stake, with its offset stakes.
    benchmark : Benchmark or None
        The benchmark; with one there are columns of heights above it.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    tuple of str
        A cell under each head of `stake_header`; a dash where an offset stake is missing.

    Examples
    --------
    >>> stake_cells(stakeout.stakes[0], None, units="metric")[:7]
    ('1001', '0.0', 'end', '108.00', '107.65', '0.35', '108.22')
    """
    top_m = stake.crest_m if stake.sill_m is None else stake.sill_m
    heights = (stake.ground_m, stake.floor_m, top_m)
    ground, floor, top = (level_shown(height_m, units=units) for height_m in heights)
    above = (
        () if benchmark is None else tuple(_signed(benchmark.above_m(height_m), units=units) for height_m in heights)
    )
    return (
        str(stake.number),
        number(stake.chainage_m, "m", units=units, decimals=1),
        stake.mark,
        ground,
        floor,
        level_shown(stake.dig_m, units=units),
        top,
        *above,
        *_beside(stake.uphill, stake.floor_m, top_m, units=units),
        *_beside(stake.downhill, stake.floor_m, top_m, units=units),
    )


def swale_facts(swale: LaidSwale, *, units: str) -> str:
    """Levels of a swale, and how far from its stakes the edges of ditch and berm lie at its mean slope.

    Parameters
    ----------
    swale : LaidSwale
        The swale.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        Two sentences; lengths are level distances.

    Examples
    --------
    >>> swale_facts(stakeout.swales[0], units="metric").split(", ")[0]
    'Level 108.00 m; dig 0.35: floor 107.65; crest 108.22; sill 108.07'
    """
    line, shape = swale.line, swale.shape
    floor, sill, crest = (
        level_shown(level_m, units=units) for level_m in (shape.floor_level_m, shape.sill_level_m, shape.crest_level_m)
    )
    x, _ = profile(shape.section, shape.depth_m, shape.crest_level_m - line.level_m, line.mean_slope, reach_m=0.0)
    lip, lower_lip, toe, inner, outer, end = (
        level_shown(abs(float(x[node])), units=units)
        for node in (UPHILL_LIP, LOWER_LIP, UPHILL_TOE, CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_TOE)
    )
    unit, depth = unit_name("m", units=units), level_shown(shape.depth_m, units=units)
    at, long = (
        number(distance_m, "m", units=units, decimals=1) for distance_m in (swale.sill_chainage_m, swale.sill_length_m)
    )
    return (
        f"Level {level_shown(line.level_m, units=units)} {unit}; dig {depth}: floor {floor}; crest {crest}; "
        f"sill {sill}, {long} {unit} long, its middle at {at}{_apron_words(swale, units=units)}. "
        f"Level distances from the stake at the mean slope of "
        f"{100 * line.mean_slope:.1f} %: up to the uphill lip {lip}; down to the downhill lip "
        f"{lower_lip}, berm toe {toe}, crest {inner} to {outer}, outer toe {end} {unit}."
    )


def _apron_words(swale: LaidSwale, *, units: str) -> str:
    """What is laid at a sill, after a comma; '' for nothing."""
    apron = swale.apron
    if apron is None:
        return ""
    long, wide = (shown(size_m, "m", units=units, decimals=1) for size_m in (apron.length_m, apron.width_m))
    stone = ""
    if apron.kind == "stone":
        size, thick = (
            shown(1000.0 * size_m, "mm", units=units, decimals=0) for size_m in (apron.d50_m, apron.thickness_m)
        )
        stone = f" of {size}, {thick} thick and flush"
    start = "from its uphill edge" if apron.crest_m > 0 else "from its downhill edge"
    return f", with {apron.kind.replace('grass', 'sod')}{stone}, {wide} wide, {start} {long} down"


def place_note(stakes: Sequence[Stake], *, first: Stake, units: str) -> str:
    """How to find the line with a level where the terrain model leaves its place unsure; '' where it doesn't.

    Parameters
    ----------
    stakes : sequence of Stake
        Stakes of one line that a sheet shows.
    first : Stake
        Stake of the line at which the staff is read first.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    str
        The note, which names the stakes whose place is unsure by more than `UNSURE_M`.

    Examples
    --------
    >>> from dataclasses import replace
    >>> sure = stakeout.stakes[0]
    >>> unsure = replace(sure, position_sigma_m=2.5)
    >>> place_note([sure], first=sure, units="metric"), place_note([unsure], first=sure, units="metric")[:28]
    ('', 'PLACE UNSURE by up to 2.5 m ')
    """
    unsure = [stake for stake in stakes if stake.position_sigma_m > UNSURE_M]
    if not unsure:
        return ""
    worst = shown(max(stake.position_sigma_m for stake in unsure), "m", units=units, decimals=1)
    numbers = ", ".join(str(stake.number) for stake in unsure)
    named = numbers if len(unsure) < len(stakes) else "every stake here"
    return (
        f"PLACE UNSURE by up to {worst} (height error over slope) at {named}. Run this line with a level: stand the "
        f"staff at the foot of stake {first.number} and read it; all stakes of the line belong where the staff reads "
        "the same. Move each one straight up or down the slope until it does, set its offset stakes anew at the "
        "distances below, and keep the points: swalekit relevel cuts the line to them."
    )


def order_of_work(
    swales: Sequence[str], benchmark: Benchmark | None, *, units: str, settlement: float = 0.0
) -> tuple[str, ...]:
    """What comes first and what next, for swales by their numbers from the top downward.

    Parameters
    ----------
    swales : sequence of str
        Numbers of the swales, the highest first; one or more.
    benchmark : Benchmark or None
        The benchmark, which the second step names.
    units : str
        ``metric`` or ``us``.
    settlement : float
        Share of its height that a berm is built higher [-].

    Returns
    -------
    tuple of str
        A step each, in sentences.

    Examples
    --------
    >>> order_of_work(["S1", "S2"], None, units="metric")[2].split(". ")[0]
    'From the top swale down: S1 first, S2 last'
    """
    floor, sill = (shown(tolerance_mm, "mm", units=units) for tolerance_mm in (_FLOOR_MM, _SILL_MM))
    known = "a fixed point" if benchmark is None else f"the benchmark, {benchmark.name}"
    settles = f" Build it {100 * settlement:g} % of its height above the crest given: it settles." if settlement else ""
    span = f"{swales[0]} first, {swales[-1]} last" if len(swales) > 1 else f"{swales[0]} alone"
    return (
        "Have buried utilities located and marked. Walk every line; stop where ground or map surprise you.",
        f"Take heights from {known}. Set out stakes and offset stakes; check that all stakes of a line stand on one "
        "level, since the terrain model is only so good. Move those that do not.",
        f"From the top swale down: {span}. Each one is finished before the next below is begun, so that rain in "
        "between meets no half-built berm below an open slope.",
        "In each swale: strip the topsoil and keep it uphill. Dig from the offset stakes. Build the berm in layers of "
        f"a hand's length, each rolled by the machine, and the returns at both ends with it.{settles}",
        "The sill before rain: level it, compact it, lay stone or sod below it the same day. Leave no swale without "
        "its sill when rain is forecast.",
        f"Check with the level before the machine leaves: floor within {floor}, sill within {sill}, crest nowhere low.",
        "Spread the topsoil on berm and ditch sides. Mulch and seed at once; plant when the first rain has soaked in.",
        "Stop when the soil is wet enough to smear.",
    )


def sheet_cautions(plan: PlanRecord) -> tuple[str, ...]:
    """Cautions for the crew, the standing ones first.

    Parameters
    ----------
    plan : PlanRecord
        The plan.

    Returns
    -------
    tuple of str
        A sentence each.

    Examples
    --------
    >>> sheet_cautions(record)[-1]
    'Catchment cut off (S1): more water may come than is counted: use a larger tile.'
    """
    standing = standing_cautions(plan)
    return (*standing, *(caution for caution in plan_cautions(plan) if caution not in standing))


def _beside(offset: OffsetStake | None, floor_m: float, top_m: float, *, units: str) -> tuple[str, str, str]:
    """Distance of an offset stake from the line, and from its ground to floor and top."""
    if offset is None:
        return "–", "–", "–"
    distance = level_shown(offset.distance_m, units=units)
    to_floor, to_top = (_signed(height_m - offset.ground_m, units=units) for height_m in (floor_m, top_m))
    return distance, to_floor, to_top


def _signed(height_m: float, *, units: str) -> str:
    """A difference of heights with its sign; a dash where it isn't known."""
    if not math.isfinite(height_m):
        return "–"
    text = level_shown(abs(height_m), units=units)
    return text if not float(text) else f"{'+' if height_m > 0 else '−'}{text}"
