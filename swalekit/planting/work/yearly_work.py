"""What is planted, replaced, cut and taken out in which year."""

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from math import ceil

from swalekit._checks import check_positive
from swalekit._one_line import one_line
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import MATURE_YEAR, RoleYears, role_years


@one_line("year", "task", "species.name", "plants")
@dataclass(frozen=True)
class Work:
    """One piece of work of the schedule.

    Parameters
    ----------
    year : int
        Year after the first planting, from 1.
    task : str
        ``plant``, ``replace losses``, ``cut for mulch``, ``thin`` or ``take out``.
    species : Species
        What it is done to.
    plants : int
        How many.
    """

    year: int
    task: str
    species: Species
    plants: int


def schedule(
    counts: Mapping[Species, int], *, succession: Sequence[RoleYears] | None = None, years: int = MATURE_YEAR
) -> list[Work]:
    """Work of each year until the stand is mature.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species.
    succession : sequence of RoleYears, optional
        Years by role; common practice when not given.
    years : int
        Last year of the schedule.

    Returns
    -------
    list of Work
        By year, then in the order of the species.

    Raises
    ------
    InputError
        If a role has no years, or the last year is less than one.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> works = schedule({known["bladder senna"]: 10, known["fig"]: 9})
    >>> [(work.year, work.task, work.plants) for work in works if work.year in (1, 3, 7, 10)]
    [(1, 'plant', 10), (3, 'replace losses', 2), (3, 'plant', 9), (7, 'cut for mulch', 5), (7, 'thin', 5),
    (10, 'take out', 5)]
    """
    check_positive(years=years)
    works = [
        work
        for species, plants in counts.items()
        for work in _works(species, plants, role_years(species.role, succession), years=years)
        if work.year <= years and work.plants
    ]
    return sorted(works, key=lambda work: work.year)


def _works(species: Species, plants: int, plan: RoleYears, *, years: int) -> list[Work]:
    """Work on one species."""
    thinned = ceil(plan.thin_share * plants) if plan.thin_year is not None else 0
    left = plants - thinned
    works = [
        Work(plan.plant_year, "plant", species, plants),
        *(
            Work(plan.plant_year + after, "replace losses", species, int(gaps))
            for after, gaps in enumerate(plan.gaps(plants, years).planted[1:], 1)
        ),
    ]
    if plan.prune_from_year is not None:
        last = years + 1 if plan.remove_year is None else plan.remove_year
        cut_years = range(plan.prune_from_year, last)
        works += [
            Work(year, "cut for mulch", species, plants if year < (plan.thin_year or last) else left)
            for year in cut_years
        ]
    if plan.thin_year is not None:
        works.append(Work(plan.thin_year, "thin", species, thinned))
    if plan.remove_year is not None:
        works.append(Work(plan.remove_year, "take out", species, left))
    return works
