"""Rows of plants along a swale: on the berm, at its foot, and below it."""

from collections.abc import Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.kernels.section_nodes import CREST_INNER_EDGE, CREST_OUTER_EDGE, DOWNHILL_LIP, DOWNHILL_TOE
from swalekit.planting.plants.species import Species
from swalekit.section.shape import ShapedSwale

Values = NDArray[np.float64]

_TRUNK_CLEAR_M = 0.5
"""Trunks stand this far below the berm's toe, on ground that isn't fill; common practice."""


@one_line("name", "offset_m", "spacing_m")
@dataclass(frozen=True, eq=False)
class PlantRow(Frozen):
    """A row of plants beside a line.

    Parameters
    ----------
    name : str
        Where it runs: ``berm``, ``foot`` or ``below 1``, ``below 2`` ...
    offset_m : ndarray of float64, shape (stations,)
        Distance from the staked line, downhill positive [m].
    pattern : tuple of Species
        Species that take turns along the row.
    spacing_m : float
        Distance between neighbours [m].
    turn : int
        Plants of the pattern that belong together, as a tree and its pioneers; the tree is the last of them.

    Raises
    ------
    InputError
        If the pattern is empty, or the spacing or turn isn't positive.
    """

    name: str
    offset_m: Values
    pattern: tuple[Species, ...]
    spacing_m: float
    turn: int = 2

    def __post_init__(self) -> None:
        check_positive(spacing_m=self.spacing_m, turn=self.turn)
        if not self.pattern:
            message = f"row '{self.name}' has no species; give at least one"
            raise InputError(message)
        super().__post_init__()


def ditch_lip_m(shape: ShapedSwale) -> Values:
    """Downhill lip of the ditch from the staked line.

    Parameters
    ----------
    shape : ShapedSwale
        Ditch and berm.

    Returns
    -------
    ndarray of float64, shape (n,)
        Distance at the stations, positive downhill [m].

    Examples
    --------
    On level ground a floor 0.6 m wide lies 0.5 m deep between sides of 1.5 : 1:

    >>> from swalekit.section import Section, Stations
    >>> stations = Stations(100.0, np.full(2, 100.0), np.zeros(2), np.full(2, 5.0), np.full(2, 20.0))
    >>> ditch_lip_m(ShapedSwale(stations, Section(), 0.5, 100.4)).round(3)
    array([1.05, 1.05])
    """
    return np.asarray(shape.nodes[0][DOWNHILL_LIP])


def usual_rows(
    shape: ShapedSwale,
    pioneers: Sequence[Species],
    sheltered: Sequence[Species],
    *,
    rows_below: int = 0,
    pioneers_per_tree: int = 1,
) -> list[PlantRow]:
    """Rows in the usual order down the hill.

    Parameters
    ----------
    shape : ShapedSwale
        Ditch and berm.
    pioneers : sequence of Species
        Nurses; they take turns with the trees. Trees stand alone where it is empty, as in shade that is there.
    sheltered : sequence of Species
        Trees that are nursed.
    rows_below : int
        Rows below the one at the berm's foot.
    pioneers_per_tree : int
        Pioneers between one tree and the next.

    Returns
    -------
    list of PlantRow
        Pioneers and trees in turn at the berm's foot and in rows below, a tree's spacing apart; along a row trees stand
        as far from each other, with their pioneers evenly between them.

    Raises
    ------
    InputError
        If there are no trees.

    Notes
    -----
    Common practice. No tree stands on the berm: roots that rot leave pipes through the fill.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> from swalekit.section import Section, Stations
    >>> known = known_species()
    >>> stations = Stations(100.0, np.full(2, 100.0), np.full(2, 0.1), np.full(2, 5.0), np.full(2, 20.0))
    >>> rows = usual_rows(ShapedSwale(stations, Section(), 0.5, 100.4), [known["mulga"]], [known["fig"]], rows_below=1)
    >>> [row.name for row in rows]
    ['foot', 'below 1']
    """
    if not sheltered:
        message = "a planting of no sheltered species; give one or more"
        raise InputError(message)
    x_m, _ = shape.nodes
    toe_m = x_m[DOWNHILL_TOE]
    spacing = max(tree.spacing_m for tree in sheltered)
    pattern, step = tuple(sheltered), spacing
    if pioneers:
        pattern, step = _turns(pioneers, sheltered, pioneers_per_tree), spacing / (1 + pioneers_per_tree)
    rows = []
    for number in range(rows_below + 1):
        name = "foot" if number == 0 else f"below {number}"
        rows.append(PlantRow(name, toe_m + _TRUNK_CLEAR_M + number * spacing, pattern, step, 1 + pioneers_per_tree))
    return rows


def berm_row(shape: ShapedSwale, ground_cover: Sequence[Species], spacing_m: float) -> PlantRow:
    """The row of low plants on a berm's crest.

    Parameters
    ----------
    shape : ShapedSwale
        Ditch and berm.
    ground_cover : sequence of Species
        Low plants, in turn.
    spacing_m : float
        Distance between neighbours [m].

    Returns
    -------
    PlantRow
        The row.

    Raises
    ------
    InputError
        If there are no plants or the spacing isn't positive.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> from swalekit.section import Section, Stations
    >>> stations = Stations(100.0, np.full(2, 100.0), np.full(2, 0.1), np.full(2, 5.0), np.full(2, 20.0))
    >>> berm_row(ShapedSwale(stations, Section(), 0.5, 100.4), [known_species()["rosemary"]], 1.5).name
    'berm'
    """
    x_m, _ = shape.nodes
    crest_m = 0.5 * (x_m[CREST_INNER_EDGE] + x_m[CREST_OUTER_EDGE])
    return PlantRow("berm", crest_m, tuple(ground_cover), spacing_m)


def _turns(pioneers: Sequence[Species], sheltered: Sequence[Species], per_tree: int) -> tuple[Species, ...]:
    """Pioneers and a tree in turn until every kind has had its own."""
    turns = range(max(ceil(len(pioneers) / per_tree), len(sheltered)))
    return tuple(
        species
        for turn in turns
        for species in (
            *(pioneers[(turn * per_tree + number) % len(pioneers)] for number in range(per_tree)),
            sheltered[turn % len(sheltered)],
        )
    )
