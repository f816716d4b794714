"""Water that is carried to young plants until their roots have found their own."""

from collections.abc import Mapping, Sequence

from swalekit.planting.plants.species import Species
from swalekit.planting.plants.succession import RoleYears, role_years
from swalekit.planting.work.work_calendar import RainySeason
from swalekit.tables.load import named_row

_WATERED = ("pioneer", "fruit", "windbreak")
_DAYS_OF_MONTH = 365.25 / 12.0


def first_water_m3(
    counts: Mapping[Species, int], season: RainySeason, *, succession: Sequence[RoleYears] | None = None
) -> dict[int, float]:
    """Water to hold ready for plants in their first and second dry season, where no rain wets them.

    Parameters
    ----------
    counts : mapping of Species to int
        Plants of each species.
    season : RainySeason
        When it rains; they are watered in the other months.
    succession : sequence of RoleYears, optional
        Years by role; common practice when not given.

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
    >>> water = first_water_m3({species["mulga"]: 10, species["olive"]: 5}, RainySeason(10, 3, True))
    >>> {year: round(volume, 1) for year, volume in water.items()}
    {1: 2.0, 2: 2.0, 3: 1.0, 4: 1.0}
    """
    litres, days, seasons = (_practice(name) for name in ("dose", "interval", "seasons"))
    rounds = (12 - len(season.months)) * _DAYS_OF_MONTH / days
    water: dict[int, float] = {}
    for species, plants in counts.items():
        if species.role in _WATERED and plants:
            first = role_years(species.role, succession).plant_year
            for year in range(first, first + int(seasons)):
                water[year] = water.get(year, 0.0) + plants * rounds * litres / 1000.0
    return dict(sorted(water.items()))


def _practice(name: str) -> float:
    return named_row("planting_practice", practice=f"first water, {name}").value
