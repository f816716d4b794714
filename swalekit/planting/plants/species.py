"""Species: neutral botanical data, from the table or given by the user."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace
from difflib import get_close_matches

from swalekit._checks import check_between, check_not_negative, check_one_of, check_positive
from swalekit._one_line import one_line
from swalekit.errors import InputError
from swalekit.planting.plants.canopy import growths, sparse_coefficient
from swalekit.planting.plants.tolerances import GRADES, Tolerance, own_tolerances, published_tolerances
from swalekit.tables.crop_coefficients import CropRow, class_row, crop_row, crops, with_class_stages
from swalekit.tables.load import named_row, read_table

ROLES = ("pioneer", "fruit", "ground cover", "windbreak")
WATER_GROUPS = ("very low", "low", "medium", "high")
LEAVES = ("evergreen", "deciduous")
LAYERS = ("tall tree", "fruit tree", "shrub", "climber", "herb", "root")
USES = ("food", "fodder", "firewood", "timber", "medicine", "bees", "windbreak", "nitrogen")


@one_line("name", "binomial", "role", "canopy_m", "height_m", "water_group")
@dataclass(frozen=True)
class Species:
    """A plant as the designer needs to know it.

    Parameters
    ----------
    name, binomial : str
        Common and botanical name.
    role : str
        One of `ROLES`: a pioneer nurses and is cut for mulch, fruit is sheltered.
    nitrogen_fixing : bool
        Whether it gathers nitrogen.
    leaf : str
        ``evergreen`` or ``deciduous``.
    water_group : str
        One of `WATER_GROUPS`, what it asks for once established.
    frost_limit_c : float
        Cold that an established plant stands [°C].
    rooting : str
        Habit of its roots.
    root_depth_m : float
        Depth from which the mature plant draws water, where the soil lets it [m].
    canopy_m, height_m : float
        Mature diameter of the canopy, and height [m].
    spacing_m : float
        Distance to the next of its kind [m].
    growth : str
        ``quick``, ``medium`` or ``slow``.
    nursery_months : float
        Months from sowing or grafting to planting; 0 for what is sown in place [month].
    crop : str
        Row of the crop coefficients, '' where none is published: those of its class then count.
    watch : str
        Why to look at the list of invasive species, and where it is one; '' if nothing is known.
    source : str
        Where the figures are from, or 'common practice'.
    layer : str
        One of `LAYERS`; '' where the user's own file names none.
    uses : tuple of str
        Of `USES`, what it gives.
    tolerances : tuple of Tolerance
        What it stands besides frost.

    Raises
    ------
    InputError
        If a word isn't one of those allowed or a figure lies outside its range.
    """

    name: str
    binomial: str
    role: str
    nitrogen_fixing: bool
    leaf: str
    water_group: str
    frost_limit_c: float
    rooting: str
    root_depth_m: float
    canopy_m: float
    height_m: float
    spacing_m: float
    growth: str
    nursery_months: float
    crop: str = ""
    watch: str = ""
    source: str = "given by the user"
    layer: str = ""
    uses: tuple[str, ...] = ()
    tolerances: tuple[Tolerance, ...] = field(default=(), compare=False, repr=False)

    def __post_init__(self) -> None:
        check_one_of(ROLES, role=self.role)
        check_one_of(LEAVES, leaf=self.leaf)
        if self.layer:
            check_one_of(LAYERS, layer=self.layer)
        for use in self.uses:
            check_one_of(USES, uses=use)
        check_one_of(WATER_GROUPS, water_group=self.water_group)
        check_one_of(growths(), growth=self.growth)
        check_between(-60.0, 15.0, frost_limit_c=self.frost_limit_c)
        check_positive(
            root_depth_m=self.root_depth_m,
            canopy_m=self.canopy_m,
            height_m=self.height_m,
            spacing_m=self.spacing_m,
        )
        check_between(0.1, 100.0, canopy_m=self.canopy_m, height_m=self.height_m, spacing_m=self.spacing_m)
        check_between(0.05, 60.0, root_depth_m=self.root_depth_m)
        check_not_negative(nursery_months=self.nursery_months)

    def __str__(self) -> str:
        return f"{self.name} ({self.binomial}), {self.role}"

    def stands(self, kind: str) -> Tolerance | None:
        """What it stands of one kind, as it is judged.

        Parameters
        ----------
        kind : str
            One of `tolerances.KINDS`.

        Returns
        -------
        Tolerance or None
            None where nothing is known.

        Examples
        --------
        >>> known_species()["date palm"].stands("salt")
        Tolerance(salt, greatest 4)
        """
        return next((limit for limit in self.tolerances if limit.kind == kind and limit.counts), None)

    def grade(self, kind: str) -> int:
        """Place of its word among the grades of drought, wind or waterlogging, from 0; −1 where nothing is known.

        Parameters
        ----------
        kind : str
            One of `tolerances.GRADES`.

        Returns
        -------
        int
            The greater, the more it stands.

        Examples
        --------
        >>> known_species()["date palm"].grade("waterlogging")
        2
        """
        limit = self.stands(kind)
        return -1 if limit is None else GRADES[kind].index(limit.word)


def species_from_rows(rows: Iterable[Mapping[str, str]]) -> dict[str, Species]:
    """Species by name from rows of text, such as those of a CSV file.

    Parameters
    ----------
    rows : iterable of mapping
        Columns as the fields of `Species`; ``nitrogen_fixing`` is yes or no, ``uses`` are parted by commas. ``crop``,
        ``watch``, ``source``, ``layer``, ``uses`` and the columns of `tolerances.OWN_COLUMNS` may be left out:
        where a plant goes by a name of the table its limits and warnings then are the table's.

    Returns
    -------
    dict of str to Species
        In the order of the rows.

    Raises
    ------
    InputError
        If a column is missing, a figure isn't a number, a word isn't allowed or a name comes twice; the row is named.

    Examples
    --------
    >>> fig = next(row for row in read_table("species") if row["name"] == "fig")
    >>> print(species_from_rows([{**fig, "name": "own fig"}])["own fig"])
    own fig (Ficus carica), fruit
    """
    found: dict[str, Species] = {}
    for number, row in enumerate(rows, 1):
        try:
            one = _species_of(row)
        except (InputError, KeyError, ValueError) as error:
            what = f"column {error} is missing" if isinstance(error, KeyError) else str(error)
            message = f"species, row {number} ({row.get('name') or 'without name'}): {what}"
            raise InputError(message) from error
        if one.name in found:
            message = f"species, row {number}: '{one.name}' is given twice; keep one of them"
            raise InputError(message)
        found[one.name] = one
    return found


def known_species() -> dict[str, Species]:
    """Species of the table by name.

    Returns
    -------
    dict of str to Species
        In the order of the table.

    Notes
    -----
    Hardy plants of dry country, as a start. Figures are common practice and vary with stock, soil and care. Take local
    species and seed of local provenance first, and look at the local list of invasive species before planting any.

    Examples
    --------
    >>> print(known_species()["carob"])
    carob (Ceratonia siliqua), fruit
    """
    return species_from_rows(read_table("species"))


def invaded(name: str) -> dict[str, str]:
    """Regions in which a species of the table spreads beyond where it is planted.

    Parameters
    ----------
    name : str
        Its common name.

    Returns
    -------
    dict of str to str
        How, by region.

    Examples
    --------
    >>> invaded("oleaster")
    {'North America': 'invades stream banks'}
    """
    return {row["region"]: row["how"] for row in read_table("invasive") if row["species"] == name}


def find_species(name: str, known: Mapping[str, Species]) -> Species:
    """A species by its common or botanical name.

    Parameters
    ----------
    name : str
        The name, in the letters of the table.
    known : mapping of str to Species
        Species by common name.

    Returns
    -------
    Species
        The species.

    Raises
    ------
    InputError
        If it isn't known; near names are listed.

    Examples
    --------
    >>> find_species("Ficus carica", known_species()).name
    'fig'
    """
    by_binomial = {species.binomial: species for species in known.values()}
    if name in known or name in by_binomial:
        return known.get(name) or by_binomial[name]
    names = {word.lower(): word for word in (*known, *by_binomial)}
    near = [names[word] for word in get_close_matches(name.lower(), names, n=3, cutoff=0.5)]
    hint = f"did you mean {' or '.join(near)}? If not," if near else "none is near it:"
    message = f"species '{name}' isn't in the table; {hint} give it in a species file of your own ([planting] species)"
    raise InputError(message)


def crop_of(species: Species, given: Mapping[str, CropRow] | None = None) -> CropRow:
    """Crop coefficients of a species: its own, else those of its class.

    Parameters
    ----------
    species : Species
        The species.
    given : mapping of str to CropRow, optional
        The user's own coefficients by species name; they go before published ones.

    Returns
    -------
    CropRow
        The coefficients with their source; `assumed` where none are published for the species itself.

    Raises
    ------
    InputError
        If the species names a row that isn't there.

    Notes
    -----
    Fruit trees without a row of their own take that of trees with their leaf. Pioneers, windbreaks and ground cover
    are reckoned from their height and from how early their water group closes its leaves; those that shed them use in
    their rest what bare twigs do.

    Examples
    --------
    >>> crop_of(known_species()["olive"]).kcb
    (0.55, 0.65, 0.65)
    >>> print(crop_of(known_species()["fig"]))
    fig: Kc 0.45/0.90/0.65, Kcb 0.35/0.85/0.60 (class value: FAO-56 (1998) Table 17 deciduous orchard without cover, as
    FAO-66 (2012) groups fruit trees without a row of their own; assumed)
    """
    if given and species.name in given:
        return given[species.name]
    row = crop_row(species.crop or species.name) if species.crop or species.name in crops() else None
    if row is not None and row.kcb is not None:
        return with_class_stages(row, species.leaf)
    if species.role == "fruit":
        return replace(class_row(species.leaf), crop=species.name)
    return _reckoned(species)


def _reckoned(species: Species) -> CropRow:
    """Coefficients of a full cover of plants of which only height, leaf and water group are known."""
    regulation = named_row("evapotranspiration", constant=f"regulation, {species.water_group}").value
    least = named_row("evapotranspiration", constant="least basal coefficient").value
    full = round(sparse_coefficient(1.0, species.height_m, regulation=regulation), 2)
    row = CropRow(
        species.name,
        None,
        (full, full, full) if species.leaf == "evergreen" else (min(least, full), full, full),
        species.height_m,
        source=f"reckoned from height and water group ({species.water_group}) by Allen & Pereira (2009); assumed",
        assumed=True,
    )
    return with_class_stages(row, species.leaf)


def _species_of(row: Mapping[str, str]) -> Species:
    check_one_of(("yes", "no"), nitrogen_fixing=row["nitrogen_fixing"])
    return Species(
        name=row["name"],
        binomial=row["binomial"],
        role=row["role"],
        nitrogen_fixing=row["nitrogen_fixing"] == "yes",
        leaf=row["leaf"],
        water_group=row["water_group"],
        frost_limit_c=float(row["frost_limit_c"]),
        rooting=row["rooting"],
        root_depth_m=float(row["root_depth_m"]),
        canopy_m=float(row["canopy_m"]),
        height_m=float(row["height_m"]),
        spacing_m=float(row["spacing_m"]),
        growth=row["growth"],
        nursery_months=float(row["nursery_months"]),
        crop=row.get("crop") or "",
        watch=row.get("watch") or _watch_of(row["name"]),
        source=row.get("source") or "given by the user",
        layer=row.get("layer") or "",
        uses=_uses_of(row),
        tolerances=_limits_of(row),
    )


def _watch_of(name: str) -> str:
    """Where a species of the table spreads, and how."""
    how = invaded(name)
    return f"{next(iter(how.values()))} in {', '.join(how)}" if how else ""


def _limits_of(row: Mapping[str, str]) -> tuple[Tolerance, ...]:
    """Limits that a row names, and those of the table for kinds that it doesn't."""
    own = own_tolerances(row)
    kinds = {limit.kind for limit in own}
    return (*own, *(limit for limit in published_tolerances(row["name"]) if limit.kind not in kinds))


def _uses_of(row: Mapping[str, str]) -> tuple[str, ...]:
    """What a plant gives, nitrogen too where it gathers it."""
    named = [use.strip() for use in (row.get("uses") or "").split(",") if use.strip()]
    return tuple(dict.fromkeys([*named, *(["nitrogen"] if row["nitrogen_fixing"] == "yes" else [])]))
