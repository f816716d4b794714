"""Three layouts side by side for the client: the least, the recommended, the one that keeps most water."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Any

from swalekit._one_line import one_line

LEAST, RECOMMENDED, MOST = "least", "recommended", "most water kept"


@one_line("choice", "option", "works", "kept_share")
@dataclass(frozen=True)
class Choice:
    """One layout that may be chosen.

    Parameters
    ----------
    choice : str
        Why it is shown: the least price, recommended, or the most water kept; more than one where they are the same.
    option : str
        What is varied, in words.
    works : float
        Cost of its earthworks and sills.
    kept_share : float
        Share of the site's runoff in the design storm that it keeps [-].
    held_storm_mm : float
        Deepest storm that leaves every swale without spilling [mm].
    swales : int
        Number of swales.
    """

    choice: str
    option: str
    works: float
    kept_share: float
    held_storm_mm: float
    swales: int


def choices_of(options: Sequence[Mapping[str, Any]]) -> tuple[Choice, ...]:
    """Choose the layouts that a client weighs, of those compared.

    Parameters
    ----------
    options : sequence of mapping
        Options as their comparison wrote them, by the names of `OPTION_COLUMNS`.

    Returns
    -------
    tuple of Choice
        By price, three at most. Only options that hold the design storm and break no limit count where there are any,
        and only priced ones.

    Examples
    --------
    >>> row = {"option": "30 m", "cost": 900, "kept_share": 0.6, "held_storm_mm": 51.0, "swales": 4, "holds": "yes"}
    >>> rows = [row | {"beyond": "", "recommended": "yes"}, row | {"option": "20 m", "cost": 1500, "kept_share": 0.8,
    ...         "beyond": "", "recommended": ""}]
    >>> [(each.choice, each.option) for each in choices_of(rows)]
    [('least, recommended', '30 m'), ('most water kept', '20 m')]
    """
    priced = [row for row in options if row["cost"] is not None and row["swales"]]
    sound = [row for row in priced if row["holds"] == "yes" and not row["beyond"]] or priced
    if not sound:
        return ()
    wanted = [
        (LEAST, min(sound, key=lambda row: (row["cost"], -row["kept_share"]))),
        *((RECOMMENDED, row) for row in priced if row["recommended"]),
        (MOST, max(sound, key=lambda row: (row["kept_share"], -row["cost"]))),
    ]
    why: dict[int, list[str]] = {}
    for word, row in wanted:
        why.setdefault(options.index(row), []).append(word)
    return tuple(
        sorted(
            (
                Choice(
                    ", ".join(words), row["option"], row["cost"], row["kept_share"], row["held_storm_mm"], row["swales"]
                )
                for words, row in ((words, options[number]) for number, words in why.items())
            ),
            key=lambda choice: choice.works,
        )
    )
