"""What if one swale fails: each in turn gives way when it is fullest in a storm, and others after it."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from math import ceil, isinf

from swalekit._one_line import one_line
from swalekit.design.brief.brief import BreachPart
from swalekit.design.layout.ground import first_few
from swalekit.errors import BriefError
from swalekit.hydrology.routing.breach import Breach, breach_effect, stopping_chain
from swalekit.hydrology.routing.routing import Routed

_CM_PER_M = 100.0
_MOST_SHOWN = 3
"""Failures that are drawn and told first."""

_MOST_IN_TURN = 100
"""With more swales only the one that the brief names fails: down a long row of ditches that all spill it takes long."""


@one_line("swale", "flow_m3s", "volume_m3", "overtops", "extra_left_m3", "peak_left_m3s")
@dataclass(frozen=True)
class Failure:
    """What the failure of one swale does below, against the same storm with every berm sound.

    Parameters
    ----------
    swale : str
        The swale that fails.
    overtops : tuple of str
        Swales that fail after it, because water goes over their berm, from the top downward.
    spills_more : tuple of str
        Swales and hollows that spill more.
    extra_left_m3 : float
        More water that leaves the site [m³].
    peak_left_m3s : float
        Greatest flow that leaves the site [m³/s].
    flow_m3s : float
        Greatest flow through its breach [m³/s].
    volume_m3 : float
        Water that it lets go [m³].
    reaches : tuple of str
        Kind and name of what its water, or that of those that fail after it, reaches on its way.
    stops : tuple of str
        Swales that must be stronger for none to fail after it, from the top downward.
    raise_m : tuple of float
        How much higher the crest of each must be, in whole centimetres [m].
    sill_m : tuple of (float or None)
        Or how long its sill must be [m], those above it having theirs; None where no length is enough.
    """

    swale: str
    overtops: tuple[str, ...]
    spills_more: tuple[str, ...]
    extra_left_m3: float
    peak_left_m3s: float
    flow_m3s: float = 0.0
    volume_m3: float = 0.0
    reaches: tuple[str, ...] = ()
    stops: tuple[str, ...] = ()
    raise_m: tuple[float, ...] = ()
    sill_m: tuple[float | None, ...] = ()


def swales_to_fail(part: BreachPart, ids: Sequence[str]) -> tuple[int, ...]:
    """Which swales fail in turn: all of them, of a great many only the one that the brief names.

    Parameters
    ----------
    part : BreachPart
        What the brief says.
    ids : sequence of str
        Numbers of the swales.

    Returns
    -------
    tuple of int
        Places of the swales, from 0.

    Raises
    ------
    BriefError
        If the brief names a swale that the layout lacks; a layout without a swale lacks none.

    Examples
    --------
    >>> swales_to_fail(BreachPart(swale="S2"), ["S1", "S2", "S3"])
    (0, 1, 2)
    """
    if not ids:
        return ()
    if part.swale is not None and part.swale not in ids:
        message = (
            f"[breach] swale is '{part.swale}', but the swales of this layout are {first_few(ids)}; name one of them"
        )
        raise BriefError(message)
    if len(ids) <= _MOST_IN_TURN:
        return tuple(range(len(ids)))
    return () if part.swale is None else (ids.index(part.swale),)


def fail_in_turn(
    sound: Routed, swales: Sequence[int], *, minutes: float | None, names: Sequence[str]
) -> tuple[Failure, ...]:
    """Let swales fail one by one, each on its own.

    Parameters
    ----------
    sound : Routed
        A storm with every berm sound.
    swales : sequence of int
        Those that fail.
    minutes : float or None
        Time in which each that fails empties [min]; by published relations where None.
    names : sequence of str
        Name of every store.

    Returns
    -------
    tuple of Failure
        What each does below, in the order given.
    """
    failures = []
    for swale in swales:
        effect = breach_effect(sound, Breach(swale, minutes))
        stops = stopping_chain(sound, Breach(swale, minutes)) if effect.failed else ()
        failures.append(
            Failure(
                names[swale],
                tuple(names[store] for store in effect.failed),
                tuple(names[store] for store in effect.swollen),
                effect.extra_left_m3,
                effect.peak_left_m3s,
                flow_m3s=effect.flow_m3s,
                volume_m3=effect.volume_m3,
                stops=tuple(names[stop.store] for stop in stops),
                raise_m=tuple(ceil(_CM_PER_M * stop.raise_m) / _CM_PER_M for stop in stops),
                sill_m=tuple(None if isinf(stop.sill_m) else stop.sill_m for stop in stops),
            )
        )
    return tuple(failures)


def with_reached(failure: Failure | None, in_the_way: Mapping[str, Sequence[str]]) -> Failure | None:
    """The failure with what its water reaches, and that of those that fail after it.

    Parameters
    ----------
    failure : Failure or None
        The failure; None stays None.
    in_the_way : mapping of str to sequence of str
        Number of a swale to the things below it.

    Returns
    -------
    Failure or None
        The same, with each thing once.

    Examples
    --------
    >>> failure = Failure("S1", ("S2",), (), 5.0, 0.1)
    >>> with_reached(failure, {"S1": ("building",), "S2": ("road", "building")}).reaches
    ('building', 'road')
    """
    if failure is None:
        return None
    things = (thing for swale in (failure.swale, *failure.overtops) for thing in in_the_way.get(swale, ()))
    return replace(failure, reaches=tuple(dict.fromkeys(things)))


def by_harm(failures: Iterable[Failure]) -> tuple[Failure, ...]:
    """Failures that reach something, bring others down or let water off the site, the most harmful first.

    Parameters
    ----------
    failures : iterable of Failure
        From the top of the site downward.

    Returns
    -------
    tuple of Failure
        By the number of things reached, then of swales that fail after it, then by the water that leaves the site.

    Examples
    --------
    >>> few, many = Failure("S1", (), (), 90.0, 0.4), Failure("S2", ("S3",), (), 5.0, 0.1)
    >>> [failure.swale for failure in by_harm([few, many, Failure("S3", (), (), 0.0, 0.0)])]
    ['S2', 'S1']
    """
    harmful = [each for each in failures if each.reaches or each.overtops or each.extra_left_m3 > 0]
    return tuple(
        sorted(harmful, key=lambda each: (-len(each.reaches), -len(each.overtops), -round(each.extra_left_m3, 1)))
    )


def failures_shown(failures: Sequence[Failure], part: BreachPart) -> tuple[Failure, ...]:
    """The failure that the brief names, else the three that do most harm, if they reach something or topple others.

    Parameters
    ----------
    failures : sequence of Failure
        From the top of the site downward.
    part : BreachPart
        What the brief says.

    Returns
    -------
    tuple of Failure
        Some of those given, the most harmful first.

    Examples
    --------
    >>> failures = [Failure("S1", ("S2",), (), 5.0, 0.1), Failure("S2", (), (), 90.0, 0.4)]
    >>> [[shown.swale for shown in failures_shown(failures, BreachPart(swale=name))] for name in (None, "S2")]
    [['S1'], ['S2']]
    """
    if part.swale is not None:
        return tuple(failure for failure in failures if failure.swale == part.swale)
    return tuple(failure for failure in by_harm(failures) if failure.reaches or failure.overtops)[:_MOST_SHOWN]
