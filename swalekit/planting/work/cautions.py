"""What to look out for before planting."""

from collections.abc import Iterable

from swalekit.planting.plants.species import Species


def planting_cautions(species: Iterable[Species], *, lowest_c: float | None = None) -> dict[str, str]:
    """Cautions that a list of species raises, by a short name.

    Parameters
    ----------
    species : iterable of Species
        What is to be planted.
    lowest_c : float, optional
        Lowest temperature of the record [°C].

    Returns
    -------
    dict of str to str
        Name and text.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> cautions = planting_cautions([known["carob"], known["oleaster"]], lowest_c=-9.0)
    >>> list(cautions), cautions["frost"]
    (['local species', 'invasive species', 'frost'], '-9 °C was recorded, colder than carob (-5 °C) stands; plant it in
    a warm place above cold air, or take another')
    """
    chosen = tuple(dict.fromkeys(species))
    cautions = {
        "local species": (
            "take species that grow in the district and seed of local provenance first: they are bred to its droughts"
        )
    }
    watched = [f"{each.name} ({each.watch})" for each in chosen if each.watch]
    if watched:
        cautions["invasive species"] = (
            f"look at the local list of invasive and noxious plants before planting {'; '.join(watched)}"
        )
    tender = [f"{each.name} ({each.frost_limit_c:g} °C)" for each in chosen if _freezes(each, lowest_c)]
    if tender:
        cautions["frost"] = (
            f"{lowest_c:g} °C was recorded, colder than {', '.join(tender)} stands; "
            "plant it in a warm place above cold air, or take another"
        )
    return cautions


def _freezes(species: Species, lowest_c: float | None) -> bool:
    return lowest_c is not None and lowest_c < species.frost_limit_c
