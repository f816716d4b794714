"""Which plants belong where along a swale: those of the plan, and others that stand the site, place by place."""

from collections.abc import Iterable

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column, row_of
from swalekit.planting.palette.places import CREST, FOOT, PLACES, WINDWARD, reason_for, refused_at
from swalekit.planting.plants.plant_positions import Planting
from swalekit.planting.plants.species import WATER_GROUPS, Species

GUILD_COLUMNS: tuple[Column, ...] = (
    Column("place", "", "berm crest, berm foot, ditch edge, ditch floor, windward row"),
    Column("species", "", "common name"),
    Column("plants", "", "plants of the plan there; 0: it may stand there, and no water is counted for it", 0),
    Column("may_stand", "", "yes or no"),
    Column("why", "", "why, by its roots, height and the water that it stands"),
    Column("source", "", "where that is from"),
)
_OTHERS = 3
_ROWS = {"berm": CREST, "windbreak": WINDWARD}


def guild_rows(growth: Growth) -> list[Row]:
    """Plants by place, by the names of `GUILD_COLUMNS`.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        For each place the species of the plan that stand or may stand there, then a few others that stand the site and
        don't spread; those of the plan that stand where they shouldn't are told with 'no'.

    Examples
    --------
    >>> [(row["place"], row["species"], row["plants"]) for row in guild_rows(growth)[:2]]
    [('berm crest', 'rosemary', 170), ('berm crest', 'aloe vera', 0)]
    """
    standing = plants_by_place(growth.plantings)
    others = sorted(
        (fit.species for fit in growth.palette if fit.stands and not fit.species.watch),
        key=lambda species: WATER_GROUPS.index(species.water_group),
    )
    rows = []
    for place in PLACES:
        ours = [one for one in growth.chosen.all if (one, place) in standing or not refused_at(one, place)]
        more = [species for species in others if species not in growth.chosen.all and not refused_at(species, place)]
        rows += [_row(species, place, standing.get((species, place), 0)) for species in (*ours, *more[:_OTHERS])]
    return rows


def plants_by_place(plantings: Iterable[Planting]) -> dict[tuple[Species, str], int]:
    """Plants of the plan by species and place.

    Parameters
    ----------
    plantings : iterable of Planting
        The plants.

    Returns
    -------
    dict of (Species, str) to int
        Rows below the berm's foot count with it.

    Examples
    --------
    >>> [(species.name, place, plants) for (species, place), plants in plants_by_place(growth.plantings).items()][0]
    ('rosemary', 'berm crest', 170)
    """
    found: dict[tuple[Species, str], int] = {}
    for planting in plantings:
        for species, row in zip(planting.species, planting.row, strict=True):
            key = (species, _ROWS.get(row, FOOT))
            found[key] = found.get(key, 0) + 1
    return found


def guild_cautions(plantings: Iterable[Planting]) -> dict[str, str]:
    """Warn of plants of the plan that stand where they shouldn't.

    Parameters
    ----------
    plantings : iterable of Planting
        The plants.

    Returns
    -------
    dict of str to str
        By a short name.

    Examples
    --------
    >>> guild_cautions(growth.plantings)
    {}
    """
    told = [
        f"{species.name} at the {place}: {why}"
        for species, place in plants_by_place(plantings)
        if (why := refused_at(species, place))
    ]
    return {"places": f"{'; '.join(told)}; plant it elsewhere, or take another"} if told else {}


def _row(species: Species, place: str, plants: int) -> Row:
    refused = refused_at(species, place)
    return row_of(
        {
            "place": place,
            "species": species.name,
            "plants": plants,
            "may_stand": "no" if refused else "yes",
            "why": refused or reason_for(species, place),
            "source": "common practice",
        },
        GUILD_COLUMNS,
    )
