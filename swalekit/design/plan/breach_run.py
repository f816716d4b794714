"""What if one swale fails: each in turn gives way when it is fullest in the design storm."""

from collections.abc import Sequence
from dataclasses import dataclass

from swalekit._one_line import one_line
from swalekit.design.brief.brief import BreachPart
from swalekit.errors import BriefError
from swalekit.hydrology.routing.breach import Breach, breach_effect
from swalekit.hydrology.routing.routing import Routed

_MOST_IN_TURN = 100
"""With more swales only the one that the brief names fails: down a long row of ditches that all spill it takes long."""


@one_line("swale", "overtops", "extra_left_m3", "peak_left_m3s")
@dataclass(frozen=True)
class Failure:
    """What the failure of one swale does to those below, against the same storm with every berm sound.

    Parameters
    ----------
    swale : str
        The swale that fails.
    overtops : tuple of str
        Swales over whose berm water goes only because of it.
    spills_more : tuple of str
        Swales and hollows that spill more.
    extra_left_m3 : float
        More water that leaves the site [m³].
    peak_left_m3s : float
        Greatest flow that leaves the site [m³/s].
    """

    swale: str
    overtops: tuple[str, ...]
    spills_more: tuple[str, ...]
    extra_left_m3: float
    peak_left_m3s: float


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
        those = ids[0] if len(ids) == 1 else f"{ids[0]} to {ids[-1]}"
        message = f"[breach] swale is '{part.swale}', but the swales of this layout are {those}; name one of them"
        raise BriefError(message)
    if len(ids) <= _MOST_IN_TURN:
        return tuple(range(len(ids)))
    return () if part.swale is None else (ids.index(part.swale),)


def fail_in_turn(sound: Routed, swales: Sequence[int], *, minutes: float, names: Sequence[str]) -> tuple[Failure, ...]:
    """Let swales fail one by one, each on its own.

    Parameters
    ----------
    sound : Routed
        The design storm with every berm sound.
    swales : sequence of int
        Those that fail.
    minutes : float
        Time in which each empties [min].
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
        failures.append(
            Failure(
                names[swale],
                tuple(names[store] for store in effect.overtopped),
                tuple(names[store] for store in effect.swollen),
                effect.extra_left_m3,
                effect.peak_left_m3s,
            )
        )
    return tuple(failures)


def failure_shown(failures: Sequence[Failure], part: BreachPart) -> Failure | None:
    """The failure that the brief names, else the one that does most harm; None where none puts water over a berm.

    Most harm is most berms overtopped, then most water leaving the site, then the higher swale.

    Parameters
    ----------
    failures : sequence of Failure
        From the top of the site downward.
    part : BreachPart
        What the brief says.

    Returns
    -------
    Failure or None
        One of those given.

    Examples
    --------
    >>> failures = [Failure("S1", ("S2",), (), 5.0, 0.1), Failure("S2", (), (), 90.0, 0.4)]
    >>> failure_shown(failures, BreachPart()).swale, failure_shown(failures, BreachPart(swale="S2")).swale
    ('S1', 'S2')
    """
    if part.swale is not None:
        return next((failure for failure in failures if failure.swale == part.swale), None)
    worst = max(failures, key=lambda failure: (len(failure.overtops), failure.extra_left_m3), default=None)
    return worst if worst is not None and worst.overtops else None
