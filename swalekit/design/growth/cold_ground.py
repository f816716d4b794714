"""Ground on which cold air gathers: hollows and the foot of slopes; tender plants are kept off it."""

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from functools import cached_property

import numpy as np
from numpy.typing import NDArray
from scipy.spatial import cKDTree

from swalekit._one_line import one_line
from swalekit.design.layout.ground import Ground
from swalekit.flow.hollow_ponds import pond_labels
from swalekit.frozen import Frozen
from swalekit.planting.palette.fit import frost_limit
from swalekit.planting.plants.plant_positions import Planting
from swalekit.planting.plants.species import Species
from swalekit.tables.load import named_row


@one_line("frost_c")
@dataclass(frozen=True, eq=False)
class ColdGround(Frozen):
    """Where cold air gathers on a site.

    Parameters
    ----------
    lowest_xy : ndarray of float64, shape (n, 2)
        Cells of hollows, full to their spill level, and of watercourses [m].
    lowest_m : ndarray of float64, shape (n,)
        Their heights [m].
    ground : Ground
        The terrain.
    frost_c : float or None
        Coldest night [°C]; None where it isn't known, and then no plant is moved.
    """

    lowest_xy: NDArray[np.float64]
    lowest_m: NDArray[np.float64]
    ground: Ground
    frost_c: float | None

    @cached_property
    def _lowest(self) -> cKDTree:
        return cKDTree(self.lowest_xy)

    def holds(self, xy: NDArray[np.float64]) -> NDArray[np.bool_]:
        """Mark places in the cold air.

        Parameters
        ----------
        xy : ndarray of float64, shape (n, 2)
            Easting and northing [m].

        Returns
        -------
        ndarray of bool, shape (n,)
            Those near a hollow or watercourse and little above it.
        """
        if not len(xy) or not len(self.lowest_xy):
            return np.zeros(len(xy), np.bool_)
        away_m, nearest = self._lowest.query(xy)
        above_m = _heights(self.ground, xy) - self.lowest_m[nearest]
        return np.asarray((away_m <= _practice("reach")) & (above_m <= _practice("depth")))

    def tender(self, species: Species) -> bool:
        """Whether a species would be hurt in the cold air of the coldest night, though not above it.

        Parameters
        ----------
        species : Species
            The species.

        Returns
        -------
        bool
            False where the coldest night isn't known.
        """
        return self.frost_c is not None and self.frost_c - _practice("excess") < frost_limit(species)[0]

    def spared(self, planting: Planting, kinds: Sequence[Species]) -> Planting:
        """The planting with tender plants of cold places exchanged for hardy ones of the same role.

        Parameters
        ----------
        planting : Planting
            Plants of a swale.
        kinds : sequence of Species
            What may stand there.

        Returns
        -------
        Planting
            The same places; where a role has no hardy kind its plants stay.
        """
        if not any(self.tender(species) for species in kinds):
            return planting
        hardy = {
            role: [species for species in kinds if species.role == role and not self.tender(species)]
            for role in {species.role for species in kinds}
        }
        cold, turn, stand = self.holds(planting.xy), 0, list(planting.species)
        for place in np.flatnonzero(cold):
            others = hardy.get(stand[place].role, [])
            if others and self.tender(stand[place]):
                stand[place], turn = others[turn % len(others)], turn + 1
        return replace(planting, species=tuple(stand))


def cold_ground(ground: Ground, *, frost_c: float | None) -> ColdGround:
    """Find where cold air gathers.

    Parameters
    ----------
    ground : Ground
        The terrain with its hollows and watercourses.
    frost_c : float or None
        Coldest night [°C].

    Returns
    -------
    ColdGround
        Hollows and watercourses; how near and how little above them the air is cold, and by how much, is common
        practice in the table of planting practice.

    Notes
    -----
    On clear still nights air that has cooled on a slope flows down it as water does and gathers at its foot. Walls,
    hedges and berms across its way dam it too, which isn't looked at.

    Examples
    --------
    >>> cold = cold_ground(design.ground, frost_c=-6.0)
    >>> bool(cold.holds(growth.swales[0].planting.xy).any())
    False
    """
    terrain, network = ground.terrain, ground.network
    low = ground.watercourses | (pond_labels(network, terrain, network.hollows.spill_level_m) > 0)
    rows, columns = np.nonzero(low & ~np.isnan(terrain.heights))
    xy = np.column_stack(terrain.grid.centres(rows, columns))
    return ColdGround(xy, np.asarray(terrain.heights[rows, columns], np.float64), ground, frost_c)


def cold_words(cold: ColdGround, plantings: Iterable[Planting], kinds: Sequence[Species]) -> tuple[str, str]:
    """Tell what was kept out of the cold air, and what couldn't be.

    Parameters
    ----------
    cold : ColdGround
        Where it gathers.
    plantings : iterable of Planting
        The plants.
    kinds : sequence of Species
        Kinds of the planting.

    Returns
    -------
    tuple of (str, str)
        A note and a caution; '' where there is nothing to tell.

    Examples
    --------
    >>> cold_words(cold_ground(design.ground, frost_c=None), [], growth.chosen.all)
    ('', '')
    """
    tender = [species for species in kinds if cold.tender(species)]
    if not tender:
        return "", ""
    places, left = 0, dict[str, int]()
    for planting in plantings:
        held = cold.holds(planting.xy)
        places += int(held.sum())
        for place in np.flatnonzero(held):
            if planting.species[place] in tender:
                name = planting.species[place].name
                left[name] = left.get(name, 0) + 1
    if not places:
        return "", ""
    where = (
        f"{places:,} places lie where cold air gathers (within {_practice('reach'):g} m of a hollow or watercourse and "
        f"no more than {_practice('depth'):g} m above it), taken to be {_practice('excess'):g} °C colder than the "
        f"{cold.frost_c:g} °C of the coldest night"
    )
    kept = [species.name for species in tender if species.name not in left]
    note = f"{where}: {', '.join(kept)} stand{'s' if len(kept) == 1 else ''} on none of them" if kept else ""
    told = ", ".join(f"{plants:,} {name}" for name, plants in left.items())
    caution = f"{where}; no hardier kind of the same role is named, so these stand there: {told}" if left else ""
    return note, caution


def _heights(ground: Ground, xy: NDArray[np.float64]) -> NDArray[np.float64]:
    """Heights of the nearest cells [m]."""
    rows, columns = ground.terrain.grid.rows_columns(*xy.T)
    most = [size - 1 for size in ground.terrain.grid.shape]
    places = zip((rows, columns), most, strict=True)
    row, column = (np.clip(np.rint(place), 0, last).astype(np.intp) for place, last in places)
    return np.asarray(ground.terrain.heights[row, column], np.float64)


def _practice(name: str) -> float:
    return named_row("planting_practice", practice=f"cold air, {name}").value
