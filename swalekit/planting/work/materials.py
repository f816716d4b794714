"""Mulch and compost that a planting takes, and the water that is carried to young plants."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import ArrayLike, NDArray

from swalekit._checks import check_not_negative
from swalekit._one_line import one_line
from swalekit.frozen import Frozen
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import RoleCanopy, RoleYears, role_years
from swalekit.planting.work.work_calendar import RainySeason
from swalekit.planting.work.yearly_work import Work
from swalekit.tables.load import named_row

_WATERED = ("pioneer", "fruit", "windbreak")
_DAYS_OF_MONTH = 365.25 / 12.0


@one_line("needed_m3", "grown_m3")
@dataclass(frozen=True, eq=False)
class MulchPlan(Frozen):
    """Mulch of each year.

    Parameters
    ----------
    needed_m3 : ndarray of float64, shape (years,)
        What the ground takes: the full depth where it had none, the top-up where it had [m³].
    grown_m3 : ndarray of float64, shape (years,)
        What the pioneers' prunings give, no more than is needed [m³].
    new_m3 : ndarray of float64, shape (years,)
        Of what is needed, that on ground that had none [m³].
    """

    needed_m3: NDArray[np.float64]
    grown_m3: NDArray[np.float64]
    new_m3: NDArray[np.float64]

    @property
    def bought_m3(self) -> NDArray[np.float64]:
        """What must come from elsewhere, shape (years,) [m³]."""
        return np.asarray(self.needed_m3 - self.grown_m3)


def mulched_m2(canopy: RoleCanopy, *, grown_m2: float) -> NDArray[np.float64]:
    """Ground under rings of mulch that widen with the canopies.

    Parameters
    ----------
    canopy : RoleCanopy
        Plants and canopies of each year.
    grown_m2 : float
        Ring of a full-grown plant [m²].

    Returns
    -------
    ndarray of float64, shape (years,)
        All of their rings: as much of the full one as the canopy is of the grown one, no less than that of a young
        plant [m²].

    Raises
    ------
    InputError
        If the ring is negative.

    Examples
    --------
    >>> canopy = RoleCanopy(np.array([0, 10, 10]), np.array([0.0, 2.8, 141.0]), np.array([0.0, 282.0, 282.0]))
    >>> mulched_m2(canopy, grown_m2=12.0)
    array([ 0., 10., 60.])
    """
    check_not_negative(grown_m2=grown_m2)
    grown = np.maximum(canopy.grown_m2, 1e-9)
    ring_m2 = np.maximum(grown_m2 * canopy.canopy_m2 / grown, min(_practice("mulch ring"), grown_m2))
    return np.asarray(canopy.plants * ring_m2)


def mulch_plan(
    mulched_m2: ArrayLike,
    pioneer_canopy_m2: NDArray[np.float64],
    *,
    prune_from_year: int,
    depth_m: float | None = None,
    top_up_m: float | None = None,
) -> MulchPlan:
    """Mulch for an area, year by year.

    Parameters
    ----------
    mulched_m2 : array_like, shape (years,) or one for all
        Ground that is covered in each year [m²].
    pioneer_canopy_m2 : ndarray of float64, shape (years,)
        Canopy of the pioneers in each year [m²].
    prune_from_year : int
        Year from which they are cut.
    depth_m, top_up_m : float, optional
        Depth when first spread, and what a year's decay takes; the table's when not given [m].

    Returns
    -------
    MulchPlan
        Needed and grown.

    Raises
    ------
    InputError
        If an area or depth is negative.

    Examples
    --------
    >>> plan = mulch_plan(200.0, np.array([10.0, 100.0, 400.0]), prune_from_year=3)
    >>> plan.needed_m3.tolist(), plan.grown_m3.tolist()
    ([20.0, 10.0, 10.0], [0.0, 0.0, 4.0])
    """
    depth = _practice("mulch depth") if depth_m is None else depth_m
    top_up = _practice("mulch top-up") if top_up_m is None else top_up_m
    years = np.arange(1, len(pioneer_canopy_m2) + 1)
    covered = np.broadcast_to(np.asarray(mulched_m2, np.float64), years.shape)
    check_not_negative(mulched_m2=float(covered.min(initial=0.0)), depth_m=depth, top_up_m=top_up)
    before = np.r_[0.0, covered[:-1]]
    new = np.asarray(depth * np.maximum(covered - before, 0.0))
    needed = new + top_up * np.minimum(before, covered)
    cut = np.where(years >= prune_from_year, pioneer_canopy_m2, 0.0)
    return MulchPlan(needed, np.minimum(_practice("pioneer mulch") * cut, needed), new)


def compost_m3(counts: Mapping[Species, int]) -> float:
    """Compost at planting: for each tree or shrub, and less for ground cover.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species.

    Returns
    -------
    float
        Compost [m³].

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> compost_m3({known["fig"]: 10, known["creeping thyme"]: 100})
    0.4
    """
    tree, small = _practice("compost per tree"), _practice("compost per small plant")
    return sum(plants * (small if species.role == "ground cover" else tree) for species, plants in counts.items())


def first_water_m3(
    works: Iterable[Work], season: RainySeason, *, succession: Sequence[RoleYears] | None = None
) -> dict[int, float]:
    """Water to hold ready for plants in their first dry seasons, where no rain wets them.

    Parameters
    ----------
    works : iterable of Work
        The work of the years: what is planted, and set in gaps, is watered.
    season : RainySeason
        When it rains; they are watered in the other months.
    succession : sequence of RoleYears, optional
        Years by role, with the losses by which fewer are watered in their second dry season and later; common practice
        when not given.

    Returns
    -------
    dict of int to float
        Year from the first planting, from 1, -> water [m³]; years in which none is young are left out.

    Notes
    -----
    Litres a plant and days between two rounds are common practice, in the table of planting practice. Ground cover is
    left to the rain. More than is needed where the dry months bring showers.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> species = known_species()
    >>> works = [Work(1, "plant", species["mulga"], 10), Work(3, "plant", species["olive"], 5)]
    >>> water = first_water_m3(works, RainySeason(10, 3, True))
    >>> {year: round(volume, 1) for year, volume in water.items()}
    {1: 2.0, 2: 1.6, 3: 2.4, 4: 0.8, 5: 0.8}
    """
    litres, days, seasons = (_practice(f"first water, {name}") for name in ("dose", "interval", "seasons"))
    rounds = (12 - len(season.months)) * _DAYS_OF_MONTH / days
    water: dict[int, float] = {}
    for work in works:
        if work.task in ("plant", "replace losses") and work.species.role in _WATERED:
            losses, alive = role_years(work.species.role, succession).losses, float(work.plants)
            for age in range(int(seasons)):
                year = work.year + age
                water[year] = water.get(year, 0.0) + alive * rounds * litres / 1000.0
                alive *= 1.0 - (losses[age] if age < len(losses) else 0.0)
    return dict(sorted(water.items()))


def _practice(name: str) -> float:
    return named_row("planting_practice", practice=name).value
