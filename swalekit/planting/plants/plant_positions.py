"""Where each plant stands."""

from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

import numpy as np
import shapely
from numpy.typing import NDArray
from scipy.spatial import cKDTree
from shapely.geometry.base import BaseGeometry

from swalekit._one_line import one_line
from swalekit.contours.line import LevelLine
from swalekit.contours.polyline import chainages, path_of, points_at
from swalekit.frozen import Frozen
from swalekit.planting.plants.plant_rows import PlantRow
from swalekit.planting.plants.species import Species

Values = NDArray[np.float64]

_LEAST_CLEARANCE = 0.75
"""Plants nearer than this share of their row's spacing are thinned out, as inside bends."""


@one_line("trees", "species")
@dataclass(frozen=True, eq=False)
class Planting(Frozen):
    """Plants of one swale; all sequences have one item a plant, row by row.

    Parameters
    ----------
    xy : ndarray of float64, shape (n, 2)
        Easting and northing [m].
    species : tuple of Species
        What stands there.
    row : tuple of str
        Name of its row.
    """

    xy: Values
    species: tuple[Species, ...]
    row: tuple[str, ...]

    @cached_property
    def counts(self) -> dict[Species, int]:
        """Plants of each species, in the order in which they first come."""
        counts: dict[Species, int] = {}
        for species in self.species:
            counts[species] = counts.get(species, 0) + 1
        return counts

    @property
    def trees(self) -> int:
        """Plants of fruit."""
        return self.plants_of("fruit")

    def plants_of(self, role: str) -> int:
        """Count the plants of a role.

        Parameters
        ----------
        role : str
            The role.

        Returns
        -------
        int
            How many stand there.

        Examples
        --------
        >>> from swalekit.planting.plants.species import known_species
        >>> Planting(np.zeros((1, 2)), (known_species()["mulga"],), ("foot",)).plants_of("pioneer")
        1
        """
        return sum(species.role == role for species in self.species)

    def joined(self, other: "Planting") -> "Planting":
        """Plants of both.

        Parameters
        ----------
        other : Planting
            More plants of the same swale.

        Returns
        -------
        Planting
            Those of this one first.

        Examples
        --------
        >>> from swalekit.planting.plants.species import known_species
        >>> one = Planting(np.zeros((1, 2)), (known_species()["mulga"],), ("foot",))
        >>> one.joined(one).plants_of("pioneer")
        2
        """
        return Planting(np.vstack([self.xy, other.xy]), self.species + other.species, self.row + other.row)

    def only(self, kept: NDArray[np.bool_]) -> "Planting":
        """The plants that are marked.

        Parameters
        ----------
        kept : ndarray of bool, shape (n,)
            Which to keep.

        Returns
        -------
        Planting
            Those, in the same order.

        Examples
        --------
        >>> from swalekit.planting.plants.species import known_species
        >>> fig = known_species()["fig"]
        >>> two = Planting(np.array([[0.0, 0.0], [5.0, 0.0]]), (fig, fig), ("foot", "foot"))
        >>> two.only(np.array([False, True])).xy
        array([[5., 0.]])
        """
        at = np.flatnonzero(kept)
        return Planting(self.xy[at], tuple(self.species[plant] for plant in at), tuple(self.row[plant] for plant in at))

    def of_roles(self, *roles: str) -> NDArray[np.bool_]:
        """Mark the plants of some roles.

        Parameters
        ----------
        *roles : str
            The roles.

        Returns
        -------
        ndarray of bool, shape (n,)
            True for a plant of one of them.

        Examples
        --------
        >>> from swalekit.planting.plants.species import known_species
        >>> known = known_species()
        >>> both = Planting(np.zeros((2, 2)), (known["fig"], known["mulga"]), ("foot", "foot"))
        >>> both.of_roles("fruit", "windbreak")
        array([ True, False])
        """
        return np.array([species.role in roles for species in self.species], np.bool_)

    def carrying(self, trees: int, role: str = "fruit", *, nurses: int = 1) -> "Planting":
        """The planting with no more than so many plants of a role, and the nearest other ones to each of them.

        Parameters
        ----------
        trees : int
            Most plants of the role.
        role : str
            Their role.
        nurses : int
            Others that stay beside each.

        Returns
        -------
        Planting
            What is left, in the same order.

        Examples
        --------
        >>> from swalekit.planting.plants.species import known_species
        >>> fig = known_species()["fig"]
        >>> row = Planting(np.column_stack([np.arange(4.0), np.zeros(4)]), (fig,) * 4, ("foot",) * 4)
        >>> row.carrying(2).xy[:, 0]
        array([1., 3.])
        """
        kept = np.zeros(len(self.species), np.bool_)
        left = trees
        fruit = self.of_roles(role)
        for name in dict.fromkeys(self.row):
            row = np.array([plant_row == name for plant_row in self.row], np.bool_)
            ours = np.flatnonzero(row & fruit)
            if ours.size <= left:
                kept |= row & (left > 0)
            elif left:
                chosen = ours[((np.arange(left) + 0.5) * ours.size / left).astype(np.intp)]
                kept[chosen] = True
                kept[self._nearest(chosen, np.flatnonzero(row & ~fruit), nurses)] = True
            left = max(left - ours.size, 0)
        return self.only(kept)

    def _nearest(self, trees: NDArray[np.intp], others: NDArray[np.intp], nurses: int) -> NDArray[np.intp]:
        """Plants among others that stand nearest to each tree."""
        if not others.size:
            return others
        near = cKDTree(self.xy[others]).query(self.xy[trees], k=min(nurses, others.size))[1]
        return np.unique(others[near])


def plant_positions(
    line: LevelLine,
    rows: Sequence[PlantRow],
    *,
    latitude_deg: float,
    allowed: BaseGeometry | None = None,
    above: int = 0,
) -> Planting:
    """Set plants at even distances along rows beside a line.

    Parameters
    ----------
    line : LevelLine
        The staked line.
    rows : sequence of PlantRow
        From uphill to downhill.
    latitude_deg : float
        Latitude, south negative: it tells from which side the afternoon's sun comes [°].
    allowed : shapely geometry, optional
        Ground that may be planted: site less sills, ways of overflow, other swales, keep-outs.
    above : int
        Rows that are set uphill of these.

    Returns
    -------
    Planting
        Every other row is shifted by half a step. Where a pioneer and a tree take turns, the pioneer is the one
        on the side of the afternoon's sun: south-west north of the equator, north-west south of it.

    Notes
    -----
    Rows on the inside of a bend are thinned to three quarters of their spacing at least.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> line = LevelLine(10.0, False, np.array([[0.0, 0.0], [20.0, 0.0]]), np.full(2, 10.0), np.full(2, 0.1))
    >>> row = PlantRow("foot", np.full(2, 3.0), (known_species()["fig"],), 5.0)
    >>> plant_positions(line, [row], latitude_deg=37.0).xy
    array([[ 2.5, -3. ],
           [ 7.5, -3. ],
           [12.5, -3. ],
           [17.5, -3. ]])
    """
    xy: list[Values] = []
    species: list[Species] = []
    names: list[str] = []
    for number, row in enumerate(rows):
        places, kinds = _set_row(line, row, latitude_deg=latitude_deg, shifted=(above + number) % 2 == 1)
        kept = _kept(places, row.spacing_m, allowed)
        xy.append(places[kept])
        species += [kinds[place] for place in kept]
        names += [row.name] * len(kept)
    return Planting(np.vstack(xy) if xy else np.zeros((0, 2)), tuple(species), tuple(names))


def _set_row(line: LevelLine, row: PlantRow, *, latitude_deg: float, shifted: bool) -> tuple[Values, list[Species]]:
    """Places and species along a row."""
    path = path_of(line.xy + line.downhill * row.offset_m[:, np.newaxis], closed=line.closed)
    length = float(chainages(path)[-1])
    count = int((length + 1e-9) // row.spacing_m)
    gap = length / max(count, 1)
    steps = np.arange(count - (shifted and not line.closed))
    chainage = np.asarray(gap * (steps + (1.0 if shifted else 0.5)), np.float64)
    places = points_at(path, chainage)
    before, after = np.maximum(chainage - 0.5 * gap, 0.0), np.minimum(chainage + 0.5 * gap, length)
    ahead = points_at(path, after) - points_at(path, before)
    turned = _sunny_ahead(ahead, latitude_deg)
    size = len(row.pattern)
    kinds = [_turn(row, place % size, sunny_ahead=bool(turned[place])) for place in range(len(places))]
    return places, kinds


def _sunny_ahead(heading: Values, latitude_deg: float) -> NDArray[np.bool_]:
    """Whether the afternoon's sun stands ahead, walking a row in order."""
    afternoon = np.array([-1.0, -1.0 if latitude_deg >= 0.0 else 1.0])
    return np.asarray(heading @ afternoon > 0.0)


def _turn(row: PlantRow, place: int, *, sunny_ahead: bool) -> Species:
    """Species at a place of the pattern; its turns are reversed where the sun stands ahead."""
    swapped = place - place % row.turn + row.turn - 1 - place % row.turn
    return row.pattern[swapped if sunny_ahead and swapped < len(row.pattern) else place]


def _kept(places: Values, spacing_m: float, allowed: BaseGeometry | None) -> list[int]:
    """Places that lie on allowed ground and clear of those kept before them."""
    if allowed is not None:
        shapely.prepare(allowed)
    inside = np.ones(len(places), np.bool_) if allowed is None else shapely.contains_xy(allowed, *places.T)
    candidates = np.flatnonzero(inside)
    if not candidates.size:
        return []
    near = cKDTree(places).query_ball_point(places, _LEAST_CLEARANCE * spacing_m)
    kept: list[int] = []
    chosen = np.zeros(len(places), np.bool_)
    for candidate in candidates:
        if not chosen[near[candidate]].any():
            chosen[candidate] = True
            kept.append(int(candidate))
    return kept
