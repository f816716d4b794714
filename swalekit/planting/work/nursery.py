"""Seedlings to raise and when to sow them, counted back from planting, and what to look out for before."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from math import ceil

import numpy as np

from swalekit._one_line import one_line
from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import RoleYears, role_years
from swalekit.planting.work.yearly_work import replacements
from swalekit.tables.load import named_row


@one_line("species.name", "planted", "raised")
@dataclass(frozen=True)
class NurseryLine:
    """Stock of one species.

    Parameters
    ----------
    species : Species
        What is raised.
    planted : int
        Plants on the plan.
    replacements : int
        Plants for those lost in their first dry season.
    raised : int
        Seedlings or grafts to start, nursery losses included.
    plant_month : numpy.datetime64
        Month of planting.
    sow_month : numpy.datetime64
        Month of sowing; that of planting for what is sown in place.
    """

    species: Species
    planted: int
    replacements: int
    raised: int
    plant_month: np.datetime64
    sow_month: np.datetime64


def nursery_stock(
    counts: Mapping[Species, int],
    first_planting: np.datetime64,
    *,
    succession: Sequence[RoleYears] | None = None,
) -> list[NurseryLine]:
    """What the nursery must start, and when.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species on the plan.
    first_planting : numpy.datetime64
        Month of the first planting.
    succession : sequence of RoleYears, optional
        Years by role; common practice when not given.

    Returns
    -------
    list of NurseryLine
        By month of sowing.

    Notes
    -----
    raised = plants (1 + planting loss) / (1 − nursery loss), rounded up in both steps. The replacements are planted a
    year later from the same sowing, potted on, or sown anew.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> line, = nursery_stock({known_species()["carob"]: 20}, np.datetime64("2026-11"))
    >>> line.replacements, line.raised, str(line.plant_month), str(line.sow_month)
    (3, 31, '2028-11', '2027-09')
    """
    loss = named_row("planting_practice", practice="nursery loss").value
    lines = []
    for species, planted in counts.items():
        lost = replacements(planted)
        year = role_years(species.role, succession).plant_year
        month = first_planting.astype("datetime64[M]") + np.timedelta64(12 * (year - 1), "M")
        sow = month - np.timedelta64(ceil(species.nursery_months), "M")
        raised = ceil(round((planted + lost) / (1.0 - loss), 9))
        lines.append(NurseryLine(species, planted, lost, raised, month, sow))
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
