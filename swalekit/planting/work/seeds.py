"""How a species is raised: by seed or otherwise, how much of it comes up and lives, and its pots, shade and water."""

from dataclasses import dataclass

from swalekit._checks import check_between, check_not_negative, check_positive
from swalekit._one_line import one_line
from swalekit.planting.plants.species import Species
from swalekit.tables.load import read_table

SEED = "seed"


@one_line("raised_by", "per_kg", "start_share", "survival")
@dataclass(frozen=True)
class Raising:
    """How a species is raised.

    Parameters
    ----------
    raised_by : str
        ``seed``, ``cuttings``, ``pads``, ``offshoots`` ...
    per_kg : float
        Seeds in a kilogram; read for seed alone.
    start_share : float
        Share that comes up, or strikes [-].
    survival : float
        Share of these that lives to planting [-].
    pot_l : float
        Pot [L].
    shade_months : float
        Months under shade [month].
    water_l_week : float
        Water of a pot [L a week].
    treatment : str
        What is done before sowing or setting.
    source : str
        Where the figures are from; class values say that they are assumed.
    """

    raised_by: str
    per_kg: float
    start_share: float
    survival: float
    pot_l: float
    shade_months: float
    water_l_week: float
    treatment: str
    source: str


def raising_of(species: Species) -> Raising:
    """How a species is raised, by its own row of the table or by class values of its layer where that has none.

    Parameters
    ----------
    species : Species
        The species; one that the table doesn't know is raised from seed.

    Returns
    -------
    Raising
        Its figures; those of the class are named in the source.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> raising_of(known["leucaena"])
    Raising(seed, per kg 18,000, start share 0.92, survival 0.75)
    >>> raising_of(known["prickly pear"]).raised_by
    'pads'
    """
    kind = next(row for row in read_table("seed_classes") if row["layer"] == species.layer)
    own = next((row for row in read_table("seeds") if row["species"] == species.name), None)
    named = ("per_kg", "start_share", "survival")
    figures = {name: float((own and own[name]) or kind[name]) for name in named}
    raised_by = SEED if own is None else own["raised_by"]
    lacking = [name for name in named if not (own and own[name]) and (name != "per_kg" or raised_by == SEED)]
    words = {"per_kg": "seeds a kg", "start_share": "share that comes up", "survival": "survival in the nursery"}
    sources = [] if own is None else [own["source"]]
    if lacking:
        sources.append(f"{', '.join(words[name] for name in lacking)}: {kind['source']}")
    return Raising(
        raised_by,
        **figures,
        pot_l=float(kind["pot_l"]),
        shade_months=float(kind["shade_months"]),
        water_l_week=float(kind["water_l_week"]),
        treatment="" if own is None else own["treatment"],
        source="; ".join(sources),
    )


def seed_kg(plants: float, *, per_kg: float, germination: float, survival: float) -> float:
    """Seed for so many plants.

    Parameters
    ----------
    plants : float
        Plants to set.
    per_kg : float
        Seeds in a kilogram.
    germination, survival : float
        Share that comes up, and of these that lives to planting [-].

    Returns
    -------
    float
        plants / (per_kg · germination · survival) [kg].

    Raises
    ------
    InputError
        If there are less than no plants, or a share lies outside 0 to 1.

    Examples
    --------
    53 000 trees of 18 000 seeds a kilogram:

    >>> round(seed_kg(53_000, per_kg=18_000, germination=0.85, survival=0.90), 2)
    3.85
    """
    check_not_negative(plants=plants)
    check_positive(per_kg=per_kg, germination=germination, survival=survival)
    check_between(0.0, 1.0, germination=germination, survival=survival)
    return plants / (per_kg * germination * survival)
