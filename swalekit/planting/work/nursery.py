"""Plants to raise, from how much seed or how many cuttings, and when, counted back from planting; cautions before."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import ceil

import numpy as np

from swalekit._one_line import one_line
from swalekit.planting.plants.species import Species
from swalekit.planting.work.seeds import SEED, Raising, raising_of, seed_kg
from swalekit.planting.work.yearly_work import Work

_PLANTINGS = ("plant", "replace losses")


@one_line("species.name", "year", "plants", "raised")
@dataclass(frozen=True)
class NurseryLine:
    """Stock of one species for one planting.

    Parameters
    ----------
    species : Species
        What is raised.
    year : int
        Year of the planting, from 1 for the first.
    planted : int
        Plants for the places of the plan.
    replacements : int
        Plants for gaps of earlier years.
    raising : Raising
        How.
    plant_month : numpy.datetime64
        Month of planting.
    sow_month : numpy.datetime64
        Month of sowing; that of planting for what is sown in place.
    """

    species: Species
    year: int
    planted: int
    replacements: int
    raising: Raising
    plant_month: np.datetime64
    sow_month: np.datetime64

    @property
    def plants(self) -> int:
        """Plants to set."""
        return self.planted + self.replacements

    @property
    def raised(self) -> int:
        """Seedlings, cuttings or grafts that must come up, those included that are lost in the nursery."""
        return ceil(round(self.plants / self.raising.survival, 9))

    @property
    def started(self) -> int:
        """Seeds, cuttings, pads ... to start, those included that don't come up."""
        return ceil(round(self.plants / (self.raising.survival * self.raising.start_share), 9))

    @property
    def seed_g(self) -> float | None:
        """Seed [g]; None where it isn't raised from seed."""
        if self.raising.raised_by != SEED:
            return None
        shares = {"germination": self.raising.start_share, "survival": self.raising.survival}
        return 1000.0 * seed_kg(self.plants, per_kg=self.raising.per_kg, **shares)

    @property
    def potted(self) -> bool:
        """Whether it stands in pots before planting."""
        return self.species.nursery_months > 0.0

    @property
    def water_l_week(self) -> float:
        """Water of all its pots [L a week]."""
        return self.raised * self.raising.water_l_week if self.potted else 0.0


def nursery_stock(works: Iterable[Work], first_planting: np.datetime64) -> list[NurseryLine]:
    """What the nursery must start, and when.

    Parameters
    ----------
    works : iterable of Work
        The work of the years; what is planted, and set in gaps, is raised.
    first_planting : numpy.datetime64
        Month of the first planting.

    Returns
    -------
    list of NurseryLine
        By month of sowing, a line a species and planting.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> works = [Work(3, "plant", known_species()["carob"], 20)]
    >>> line, = nursery_stock(works, np.datetime64("2026-11"))
    >>> line.raised, line.started, round(line.seed_g, 1), str(line.plant_month), str(line.sow_month)
    (27, 34, 7.4, '2028-11', '2027-09')
    """
    lines = []
    for work in works:
        if work.task not in _PLANTINGS:
            continue
        month = first_planting.astype("datetime64[M]") + np.timedelta64(12 * (work.year - 1), "M")
        sow = month - np.timedelta64(ceil(work.species.nursery_months), "M")
        first = work.task == _PLANTINGS[0]
        planted, replaced = (work.plants, 0) if first else (0, work.plants)
        lines.append(NurseryLine(work.species, work.year, planted, replaced, raising_of(work.species), month, sow))
    return sorted(lines, key=lambda line: line.sow_month)


def planting_cautions(species: Iterable[Species]) -> dict[str, str]:
    """Cautions that a list of species raises, by a short name.

    Parameters
    ----------
    species : iterable of Species
        What is to be planted.

    Returns
    -------
    dict of str to str
        Name and text.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> list(planting_cautions([known["carob"], known["oleaster"]]))
    ['local species', 'invasive species']
    """
    chosen = tuple(dict.fromkeys(species))
    cautions = {
        "local species": (
            "take species that grow in the district and seed of local provenance first: they are bred to its droughts"
        )
    }
    watched = [f"{species.name} ({species.watch})" for species in chosen if species.watch]
    if watched:
        cautions["invasive species"] = (
            f"look at the local list of invasive and noxious plants before planting {'; '.join(watched)}"
        )
    return cautions
