"""Whether a species stands a site, with the figure, the limit and the source of each reason."""

from collections.abc import Callable
from dataclasses import dataclass

from swalekit._checks import check_between
from swalekit._one_line import one_line
from swalekit.planting.palette.salt import greatest_ece_ds_m, relative_yield
from swalekit.planting.plants.species import Species, invaded
from swalekit.planting.plants.tolerances import Tolerance
from swalekit.tables.load import read_table

FITS, DITCH, DOUBT, REFUSED = "fits", "only by the ditch's water", "doubtful", "refused"
_VERDICTS = (FITS, DITCH, DOUBT, REFUSED)
_SALTY_DS_M = 2.0
"""Up to which salt is of no account to most plants: FAO-29 (1985), less than 2 dS/m, few restrictions; from memory."""


@one_line("frost_c", "ece_ds_m", "ph", "soil_depth_m", "rain_mm", "region")
@dataclass(frozen=True)
class PlantingGround:
    """What a site asks its plants to stand; what isn't known is None and judges none.

    Parameters
    ----------
    frost_c : float or None
        Coldest night [°C].
    ece_ds_m : float or None
        Electrical conductivity of the saturated soil paste [dS/m].
    ph : float or None
        Of the soil.
    soil_depth_m : float or None
        Soil that roots can use [m].
    rain_mm : float or None
        Rain of a mean year [mm].
    region : str or None
        Of `regions()`, where plants that spread are refused.
    least_yield : float
        Share of the yield on good ground below which salt refuses a plant [-].

    Raises
    ------
    InputError
        If the least share lies outside 0 to 1.
    """

    frost_c: float | None = None
    ece_ds_m: float | None = None
    ph: float | None = None
    soil_depth_m: float | None = None
    rain_mm: float | None = None
    region: str | None = None
    least_yield: float = 0.5

    def __post_init__(self) -> None:
        check_between(0.0, 1.0, least_yield=self.least_yield)


@one_line("kind", "verdict", "words")
@dataclass(frozen=True)
class Finding:
    """One reason why a species stands a site or not.

    Parameters
    ----------
    kind : str
        ``frost``, ``salt``, ``pH``, ``soil depth``, ``rain`` or ``spreading``.
    verdict : str
        `FITS`, `DITCH`, `DOUBT` or `REFUSED`.
    words : str
        Figure and limit, in a few words.
    source : str
        Where the limit is from.
    """

    kind: str
    verdict: str
    words: str
    source: str


@one_line("species.name", "verdict", "yield_share")
@dataclass(frozen=True)
class Fit:
    """How a species stands a site.

    Parameters
    ----------
    species : Species
        The species.
    findings : tuple of Finding
        Reasons, those that don't speak for it.
    yield_share : float or None
        What salt leaves of its yield [-]; None where the site or the species has no figure.
    """

    species: Species
    findings: tuple[Finding, ...]
    yield_share: float | None = None

    @property
    def verdict(self) -> str:
        """The worst of its findings, `FITS` without any."""
        return max((finding.verdict for finding in self.findings), key=_VERDICTS.index, default=FITS)

    @property
    def stands(self) -> bool:
        """Whether it fits, if only by the ditch's water."""
        return self.verdict in (FITS, DITCH)

    @property
    def why(self) -> str:
        """Its reasons with their sources; '' without any."""
        return "; ".join(f"{finding.words} ({finding.source})" for finding in self.findings)


def fit_of(species: Species, ground: PlantingGround) -> Fit:
    """Judge a species by what a site asks it to stand.

    Parameters
    ----------
    species : Species
        The species, with its limits.
    ground : PlantingGround
        The site.

    Returns
    -------
    Fit
        With a finding for every limit that the site goes beyond.

    Notes
    -----
    Frost is judged by the warmer of what practice gives and of the published killing temperature. Salt by the line of
    FAO-61 where it is published, else by the lower bound of its rating, else by its class. Rain below the published
    range doesn't refuse a plant beside a ditch: the water budget says whether it lives. What isn't published is told
    as doubtful only where the soil is salty.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> ground = PlantingGround(frost_c=-9.0, ece_ds_m=8.0)
    >>> fit = fit_of(known_species()["date palm"], ground)
    >>> fit.verdict, round(fit.yield_share, 3)
    ('refused', 0.856)
    >>> fit.why
    'killed or badly hurt by -9 °C: stands -7 °C (common practice)'
    """
    found = [finding for judge in _JUDGES if (finding := judge(species, ground)) is not None]
    return Fit(species, tuple(found), _yield_share(species, ground))


def frost_limit(species: Species) -> tuple[float, str]:
    """Cold that a species stands: the warmer of what practice gives and of its published killing temperature.

    Parameters
    ----------
    species : Species
        The species.

    Returns
    -------
    float
        The limit [°C].
    str
        Where it is from.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> frost_limit(known_species()["carob"])
    (-4.0, 'FAO ECOCROP database, killing temperature at rest')
    """
    published = species.stands("frost")
    if published is not None and published.least is not None and published.least > species.frost_limit_c:
        return published.least, published.source
    return species.frost_limit_c, species.source


def _frost(species: Species, ground: PlantingGround) -> Finding | None:
    limit_c, source = frost_limit(species)
    if ground.frost_c is None or ground.frost_c >= limit_c:
        return None
    return Finding("frost", REFUSED, f"killed or badly hurt by {ground.frost_c:g} °C: stands {limit_c:g} °C", source)


def _line_of(salt: Tolerance | None) -> tuple[float, float] | None:
    """Threshold and slope of a plant, of its rating where none is published; None where only its class is."""
    if salt is None:
        return None
    if salt.greatest is not None and salt.slope is not None:
        return salt.greatest, salt.slope
    ratings = {row["rating"]: row for row in read_table("salt_ratings")}
    row = ratings.get(salt.word)
    return None if row is None else (float(row["threshold_ds_m"]), float(row["slope_percent"]))


def _yield_share(species: Species, ground: PlantingGround) -> float | None:
    line = _line_of(species.stands("salt"))
    if ground.ece_ds_m is None or line is None:
        return None
    return relative_yield(ground.ece_ds_m, threshold_ds_m=line[0], slope_percent=line[1])


def _salt(species: Species, ground: PlantingGround) -> Finding | None:
    ece, salt = ground.ece_ds_m, species.stands("salt")
    if ece is None or ece <= _SALTY_DS_M:
        return None
    if salt is None:
        return Finding("salt", DOUBT, f"no published limit for {ece:g} dS/m of salt: ask in the district", "not known")
    line, told = _line_of(salt), f"rated {salt.word}; {salt.source}" if salt.slope is None else salt.source
    if line is None:
        if salt.greatest is None or ece <= salt.greatest:
            return None
        return Finding("salt", REFUSED, f"{ece:g} dS/m of salt: stands {salt.word}", salt.source)
    share = relative_yield(ece, threshold_ds_m=line[0], slope_percent=line[1])
    if share >= ground.least_yield:
        return None
    limit = greatest_ece_ds_m(ground.least_yield, threshold_ds_m=line[0], slope_percent=line[1])
    words = f"{ece:g} dS/m of salt leave {share:.0%} of the yield: {ground.least_yield:.0%} is left at {limit:.1f} dS/m"
    return Finding("salt", REFUSED, words, told)


def _ph(species: Species, ground: PlantingGround) -> Finding | None:
    limit = species.stands("pH")
    if ground.ph is None or limit is None:
        return None
    low, high = limit.least, limit.greatest
    if (low is None or ground.ph >= low) and (high is None or ground.ph <= high):
        return None
    stands = f"{low:g} to {high:g}" if low is not None and high is not None else f"up to {high}" if high else f"{low}"
    return Finding("pH", REFUSED, f"pH {ground.ph:g}: stands {stands}", limit.source)


def _depth(species: Species, ground: PlantingGround) -> Finding | None:
    limit = species.stands("soil depth")
    if ground.soil_depth_m is None or limit is None or limit.least is None or ground.soil_depth_m >= limit.least:
        return None
    words = f"{ground.soil_depth_m:g} m of soil: asks for {limit.least:g} m"
    return Finding("soil depth", DOUBT, words, limit.source)


def least_rain_mm(species: Species) -> tuple[float, str]:
    """Rain of a year on which a species lives by itself.

    Parameters
    ----------
    species : Species
        The species.

    Returns
    -------
    float
        The least that is published for it, else that of its water group [mm].
    str
        Where it is from.

    Examples
    --------
    >>> from swalekit.planting.plants.species import known_species
    >>> known = known_species()
    >>> least_rain_mm(known["olive"])
    (200.0, 'FAO ECOCROP database, absolute range')
    >>> least_rain_mm(known["apricot"])[0]
    400.0
    """
    limit = species.stands("rain")
    if limit is not None and limit.least is not None:
        return limit.least, limit.source
    row = next(row for row in read_table("water_groups") if row["water_group"] == species.water_group)
    return float(row["rain_mm"]), f"its water group is {species.water_group}; assumed"


def _rain(species: Species, ground: PlantingGround) -> Finding | None:
    limit, rain_mm = species.stands("rain"), ground.rain_mm
    if rain_mm is None:
        return None
    least_mm, source = least_rain_mm(species)
    if rain_mm < least_mm:
        words = f"{rain_mm:.0f} mm of rain, on its own it asks for {least_mm:g} mm"
        return Finding("rain", DITCH, words, source)
    if limit is not None and limit.greatest is not None and rain_mm > limit.greatest:
        words = f"{rain_mm:.0f} mm of rain: wetter than the {limit.greatest:g} mm that it is known from"
        return Finding("rain", DOUBT, words, limit.source)
    return None


def _spreading(species: Species, ground: PlantingGround) -> Finding | None:
    how = invaded(species.name)
    if ground.region in how:
        return Finding(
            "spreading", REFUSED, f"invasive in {ground.region}: {how[ground.region]}", "memory of weed lists"
        )
    if ground.region is not None and ground.region.lower() in species.watch.lower():
        return Finding("spreading", REFUSED, species.watch, species.source)
    return None


_JUDGES: tuple[Callable[[Species, PlantingGround], Finding | None], ...] = (
    _frost, _salt, _ph, _depth, _rain, _spreading,
)  # fmt: skip
