"""Where along a swale a species may stand, and why."""

from swalekit.planting.plants.species import Species

CREST, FOOT, EDGE, FLOOR, WINDWARD = "berm crest", "berm foot", "ditch edge", "ditch floor", "windward row"
PLACES = (CREST, FOOT, EDGE, FLOOR, WINDWARD)
_LOW_M = 1.5
_DEEP_M = 1.0
_WOODY = ("tall tree", "fruit tree", "shrub")


def refused_at(species: Species, place: str) -> str:
    """Why a species may not stand at a place.

    Parameters
    ----------
    species : Species
        The species.
    place : str
        One of `PLACES`.

    Returns
    -------
    str
        In a few words; '' where it may.

    Raises
    ------
    KeyError
        If there is no such place.

    Notes
    -----
    Common practice. On a berm's crest only what is low and binds the soil: roots of trees that die leave pipes through
    the fill, suckers and diggers loosen it. At its foot what roots deep enough for the water that soaks in above. At
    the ditch's edge what stands water for days. On its floor nothing woody, which catches silt and turns water aside.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> [place for place in PLACES if not refused_at(known["olive"], place)]
    ['berm foot']
    >>> refused_at(known["liquorice"], "berm crest")
    'is dug up, which loosens the crest'
    """
    return {CREST: _crest, FOOT: _foot, EDGE: _edge, FLOOR: _floor, WINDWARD: _windward}[place](species)


def reason_for(species: Species, place: str) -> str:
    """Why a species suits a place that it may stand at.

    Parameters
    ----------
    species : Species
        The species.
    place : str
        One of `PLACES`.

    Returns
    -------
    str
        In a few words.

    Raises
    ------
    KeyError
        If there is no such place.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> reason_for(known_species()["olive"], "berm foot")
    'roots 1.45 m deep reach what soaks in from the ditch'
    """
    stands = ("", "stands water for days", "stands water for weeks")[max(species.grade("waterlogging"), 0)]
    return {
        CREST: f"{species.height_m:g} m high, {species.rooting} roots bind the crest",
        FOOT: f"roots {species.root_depth_m:g} m deep "
        + ("reach what soaks in from the ditch" if species.root_depth_m >= _DEEP_M else "live on rain in the main"),
        EDGE: stands,
        FLOOR: f"{stands}, not woody",
        WINDWARD: f"stands wind, {species.height_m:g} m high",
    }[place]


def _crest(species: Species) -> str:
    if species.layer == "root":
        return "is dug up, which loosens the crest"
    if "suckers" in species.rooting:
        return "suckers through the berm"
    if species.height_m > _LOW_M or species.role != "ground cover":
        return "too strong roots: those that rot leave pipes through the fill"
    return ""


def _foot(species: Species) -> str:
    if species.role == "ground cover":
        return "low plant of the crest"
    return "drinks what the trees live on: keeps to its row" if species.role == "windbreak" else ""


def _edge(species: Species) -> str:
    return "" if species.grade("waterlogging") > 0 else "its roots rot where water stands"


def _floor(species: Species) -> str:
    if species.layer in _WOODY:
        return "woody: catches silt and turns water aside"
    return _edge(species)


def _windward(species: Species) -> str:
    if "windbreak" not in species.uses:
        return "no windbreak"
    return "" if species.grade("wind") == 2 else "doesn't stand strong wind"
