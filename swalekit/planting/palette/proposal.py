"""The palette of a site: all species judged, others in the place of those refused, and a modest list to begin with."""

from collections.abc import Iterable, Mapping, Sequence

from swalekit.planting.palette.fit import FITS, Fit, PlantingGround, fit_of, least_rain_mm
from swalekit.planting.plants.species import WATER_GROUPS, Species
from swalekit.tables.load import read_table

_SO_MANY = {"pioneer": 2, "fruit": 3, "ground cover": 2, "windbreak": 1}
"""Kinds of a role that are proposed: few enough to learn; common practice."""
_NAMED = 4
_BY_THE_DITCH = ("pioneer", "fruit")
_SPARING = ("very low", "low")


def regions() -> tuple[str, ...]:
    """Regions for which spreading plants are known.

    Returns
    -------
    tuple of str
        In the order of the alphabet.

    Examples
    --------
    >>> "Australia" in regions()
    True
    """
    return tuple(sorted({row["region"] for row in read_table("invasive")}))


def palette_of(species: Mapping[str, Species], ground: PlantingGround) -> tuple[Fit, ...]:
    """Judge species by what a site asks them to stand.

    Parameters
    ----------
    species : mapping of str to Species
        Species by name.
    ground : PlantingGround
        The site.

    Returns
    -------
    tuple of Fit
        In the order of the species.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> palette = palette_of(known_species(), PlantingGround(frost_c=-15.0))
    >>> [fit.species.name for fit in palette if fit.stands and fit.species.role == "fruit"]
    ['almond', 'apricot', 'pistachio', 'jujube', 'white mulberry', 'grape']
    """
    return tuple(fit_of(one, ground) for one in species.values())


def alternatives(refused: Species, palette: Sequence[Fit], *, used: Iterable[Species] = ()) -> tuple[Species, ...]:
    """Species that stand the site and could take the place of one that doesn't.

    Parameters
    ----------
    refused : Species
        What doesn't stand it.
    palette : sequence of Fit
        All species, judged.
    used : iterable of Species
        Species that are chosen already.

    Returns
    -------
    tuple of Species
        Of the same role, layer and at least one use, those that ask for least water first; where there is none, of the
        same role. None that spreads anywhere.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> palette = palette_of(known, PlantingGround(frost_c=-15.0))
    >>> [species.name for species in alternatives(known["carob"], palette)]
    ['pistachio', 'almond', 'jujube', 'apricot']
    """
    taken = {*used, refused}
    standing = sorted(
        (
            fit
            for fit in palette
            if fit.stands and not fit.species.watch and fit.species.role == refused.role and fit.species not in taken
        ),
        key=_thirst,
    )
    like = [
        fit.species
        for fit in standing
        if fit.species.layer == refused.layer and set(fit.species.uses) & set(refused.uses)
    ]
    return tuple(like or (fit.species for fit in standing))[:_NAMED]


def proposed(palette: Sequence[Fit], *, uses: Sequence[str] = (), spreading: bool = False) -> dict[str, list[Species]]:
    """A modest list of what stands the site.

    Parameters
    ----------
    palette : sequence of Fit
        All species, judged.
    uses : sequence of str
        What the plants are wanted for; those that give more of it go first.
    spreading : bool
        Whether fruit that spreads somewhere else may be among them, as where the region is known.

    Returns
    -------
    dict of str to list of Species
        Pioneers, fruit, ground cover and windbreak by role; empty where none stands it.

    Notes
    -----
    Those that ask for least water go first, then those that stand most drought and are known from the driest ground.
    Trees that fruit go before other sheltered plants; no root crop is proposed for a berm's crest, which digging
    loosens. Plants of the berm and windbreaks live on rain: those that ask for more are left out unless they ask for
    little. No pioneer is proposed that spreads anywhere.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> palette = palette_of(known_species(), PlantingGround(frost_c=-15.0, rain_mm=300.0))
    >>> {role: [species.name for species in kinds] for role, kinds in proposed(palette).items()}
    {'pioneer': ['bladder senna'], 'fruit': ['pistachio', 'almond', 'jujube'], 'ground cover': ['lavender', 'sainfoin'],
    'windbreak': ['Italian cypress']}
    """
    found: dict[str, list[Species]] = {}
    for role, most in _SO_MANY.items():
        kinds = [
            fit
            for fit in palette
            if fit.stands
            and (fit.verdict == FITS or role in _BY_THE_DITCH or fit.species.water_group in _SPARING)
            and fit.species.role == role
            and fit.species.layer != "root"
            and (not fit.species.watch or (spreading and role == "fruit"))
        ]
        kinds.sort(
            key=lambda fit: (
                -len(set(uses) & set(fit.species.uses)),
                fit.species.role == "fruit" and fit.species.layer != "fruit tree",
                *_thirst(fit),
            )
        )
        found[role] = [fit.species for fit in kinds[:most]]
    return found


def _thirst(fit: Fit) -> tuple[float, float, float]:
    """What a plant asks for: its water group, the drought it stands, then the least rain it is known from."""
    species = fit.species
    return WATER_GROUPS.index(species.water_group), -species.grade("drought"), least_rain_mm(species)[0]
