"""In which years plants of a role are set, cut back and taken out, and what stands until the stand is mature."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np
from numpy.typing import NDArray

from swalekit._checks import check_between, check_ordered
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.frozen import Frozen
from swalekit.planting.plants.canopy import GROWN_YEARS, canopy_area_m2
from swalekit.planting.plants.gap_planting import GapPlanting, gap_planting
from swalekit.planting.plants.species import Species
from swalekit.tables.load import read_table

MATURE_YEAR = 10
"""Year by which the stand is mature; common practice."""


@one_line("role", "plant_year", "thin_year", "remove_year")
@dataclass(frozen=True)
class RoleYears:
    """Years in which plants of a role are dealt with, counted from 1 for the first planting.

    Parameters
    ----------
    role : str
        Role of the species.
    plant_year : int
        Year in which they are planted.
    prune_from_year : int or None
        Year from which they are cut back for mulch every year.
    thin_year : int or None
        Year in which a share is taken out.
    thin_share : float
        That share [-].
    remove_year : int or None
        Year in which the rest is taken out, or replaced by trees raised in its shade.
    losses : tuple of float
        Share lost in a plant's first year, second, ..., each of those that stood before; gaps are planted [-].

    Raises
    ------
    InputError
        If years are out of order or a share lies outside 0 to 1.
    """

    role: str
    plant_year: int
    prune_from_year: int | None = None
    thin_year: int | None = None
    thin_share: float = 0.0
    remove_year: int | None = None
    losses: tuple[float, ...] = ()

    def __post_init__(self) -> None:
        check_between(1, 100, plant_year=self.plant_year)
        for share in self.losses:
            check_between(0.0, 0.95, losses=share)
        check_between(0.0, 1.0, thin_share=self.thin_share)
        named = {"prune_from_year": self.prune_from_year, "thin_year": self.thin_year, "remove_year": self.remove_year}
        previous = ("plant_year", self.plant_year)
        for name, year in named.items():
            if year is not None:
                check_ordered(*previous, name, year)
                previous = (name, year)

    def gaps(self, plants: int, years: int) -> GapPlanting:
        """Plants that are set, lost and set in gaps, from the planting on.

        Parameters
        ----------
        plants : int
            Plants that shall stand.
        years : int
            Last year that is followed, counted from 1 for the first planting.

        Returns
        -------
        GapPlanting
            From the year of the planting; no gap is planted from the year of thinning on.

        Examples
        --------
        >>> RoleYears("fruit", 3, losses=(0.2,)).gaps(10, 6).planted
        array([10,  3,  0,  0])
        """
        ends = [year for year in (self.thin_year, self.remove_year) if year is not None]
        last = min(ends) - 1 - self.plant_year if ends else None
        return gap_planting(plants, self.losses, years=max(years + 1 - self.plant_year, 0), last=last)

    def standing(self, plants: int, years: NDArray[np.int64]) -> NDArray[np.int64]:
        """Plants that stand at the end of each year.

        Parameters
        ----------
        plants : int
            Plants that are set.
        years : ndarray of int64, shape (n,)
            Years, counted from 1 for the first planting.

        Returns
        -------
        ndarray of int64, shape (n,)
            None before they are planted and from the year in which the rest is taken out.

        Examples
        --------
        >>> plan = RoleYears("pioneer", 1, prune_from_year=4, thin_year=7, thin_share=0.5, remove_year=10)
        >>> plan.standing(9, np.arange(12)).tolist()
        [0, 9, 9, 9, 9, 9, 9, 4, 4, 4, 0, 0]
        """
        grown = self.gaps(plants, int(years.max(initial=0))).standing
        standing = np.r_[np.zeros(self.plant_year, np.int64), grown][np.maximum(years, 0)]
        if self.thin_year is not None:
            left = np.minimum(standing, plants - ceil(self.thin_share * plants))
            standing = np.where(years >= self.thin_year, left, standing)
        if self.remove_year is not None:
            standing = np.where(years >= self.remove_year, 0, standing)
        return np.asarray(standing, np.int64)


def usual_succession() -> tuple[RoleYears, ...]:
    """Years by role as is common practice: pioneers and ground cover first, sheltered trees when there is shade.

    Returns
    -------
    tuple of RoleYears
        One a role, from the table.

    Examples
    --------
    >>> {plan.role: plan.plant_year for plan in usual_succession()}
    {'pioneer': 1, 'ground cover': 1, 'windbreak': 1, 'fruit': 3}
    """
    found = []
    for row in read_table("succession"):
        prune, thin, remove = (int(row[f"{what}_year"] or 0) or None for what in ("prune_from", "thin", "remove"))
        share = float(row["thin_share"] or 0.0)
        losses = tuple(float(loss["share"]) for loss in read_table("losses") if loss["role"] == row["role"])
        found.append(RoleYears(row["role"], int(row["plant_year"]), prune, thin, share, remove, losses))
    return tuple(found)


def role_years(role: str, succession: Sequence[RoleYears] | None = None) -> RoleYears:
    """Years of a role.

    Parameters
    ----------
    role : str
        Role of the species.
    succession : sequence of RoleYears, optional
        Years by role; common practice when not given.

    Returns
    -------
    RoleYears
        Its years; of two that are given the last.

    Raises
    ------
    InputError
        If the succession doesn't know the role.

    Examples
    --------
    >>> role_years("fruit", [RoleYears("fruit", 5)]).plant_year
    5
    """
    known = {plan.role: plan for plan in succession or usual_succession()}
    if role not in known:
        message = f"the succession says nothing of '{role}'; it knows {', '.join(known)}; add its years"
        raise InputError(message)
    return known[role]


@one_line("plants", "canopy_m2")
@dataclass(frozen=True, eq=False)
class RoleCanopy(Frozen):
    """Plants of a role at the end of each year; arrays have shape (years,).

    Parameters
    ----------
    plants : ndarray of int64
        Plants that stand.
    canopy_m2 : ndarray of float64
        Ground under their canopies; those that overlap count twice, and cutting back doesn't shrink them [m²].
    grown_m2 : ndarray of float64
        Ground that the same plants cover full-grown [m²].
    """

    plants: NDArray[np.int64]
    canopy_m2: NDArray[np.float64]
    grown_m2: NDArray[np.float64]


def canopies_by_year(
    counts: Mapping[Species, int], *, succession: Sequence[RoleYears] | None = None, years: int = MATURE_YEAR
) -> dict[str, RoleCanopy]:
    """Plants and canopies of each role at the end of each year.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species.
    succession : sequence of RoleYears, optional
        Years by role; common practice when not given.
    years : int
        Last year.

    Returns
    -------
    dict of str to RoleCanopy
        By role, those of ``counts``; plants set in gaps are as old as they are.

    Raises
    ------
    InputError
        If a role has no years.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> canopies_by_year({known_species()["fig"]: 9}, years=6)["fruit"].plants
    array([0, 0, 7, 8, 9, 9])
    """
    span = np.arange(1, years + 1)
    found: dict[str, RoleCanopy] = {}
    for species, plants in counts.items():
        plan = role_years(species.role, succession)
        alive = plan.standing(plants, span)
        covers = alive * _mean_canopies_m2(species, plants, plan, years)
        grown = alive * canopy_area_m2(species.canopy_m, species.growth, GROWN_YEARS)
        before = found.get(species.role)
        rows = np.array([alive, covers, grown], np.float64)
        if before is not None:
            rows += (before.plants, before.canopy_m2, before.grown_m2)
        found[species.role] = RoleCanopy(rows[0].astype(np.int64), rows[1], rows[2])
    return found


def _mean_canopies_m2(species: Species, plants: int, plan: RoleYears, years: int) -> NDArray[np.float64]:
    """Ground under the canopy of one plant at the end of each year, in the mean of those set first and in gaps [m²]."""
    planted = plan.gaps(plants, years).planted
    ages = 1 + np.arange(planted.size)
    areas = np.array([canopy_area_m2(species.canopy_m, species.growth, float(age)) for age in ages])
    alive = np.cumprod([*(1.0 - share for share in plan.losses), *[1.0] * years])[: planted.size]
    grown = [
        float(
            (planted[: year + 1] * alive[year::-1]) @ areas[year::-1] / max(planted[: year + 1] @ alive[year::-1], 1e-9)
        )
        for year in range(planted.size)
    ]
    return np.asarray(np.r_[np.zeros(min(plan.plant_year - 1, years)), grown][:years], np.float64)
