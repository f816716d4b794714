"""What a site asks its plants to stand, whether those of the brief do, and what is proposed where it names none."""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from swalekit.design.brief.planting_part import PlantingPart
from swalekit.design.plan.design import Design
from swalekit.errors import InputError
from swalekit.planting.palette.fit import DITCH, DOUBT, REFUSED, Finding, Fit, PlantingGround
from swalekit.planting.palette.proposal import alternatives, proposed
from swalekit.planting.plants.species import Species
from swalekit.planting.water.months import year_sums
from swalekit.planting.weather.weather import Weather

_KEYS = {"pioneer": "pioneers", "fruit": "sheltered", "ground cover": "ground_cover"}
_WAY_OUT = {
    "frost": "plant it in a warm place above cold air, or take another",
    "salt": "take another, or leach the salt first",
    "pH": "take another",
    "spreading": "take another",
    "soil depth": "dig a trial pit where it is to stand",
    "rain": "take another",
}


def planting_ground(part: PlantingPart, weather: Weather, *, days_measured: bool) -> PlantingGround:
    """What a site asks its plants to stand.

    Parameters
    ----------
    part : PlantingPart
        The figures that the brief gives.
    weather : Weather
        Every day.
    days_measured : bool
        Whether they were measured, so that the coldest of them counts where the brief names no frost; days made of
        monthly normals have none.

    Returns
    -------
    PlantingGround
        What isn't known is None.

    Examples
    --------
    >>> planting_ground(site.brief.planting, growth.weather, days_measured=True)
    PlantingGround(frost 1 °C, rain 342 mm)
    """
    lowest_c = float(weather.tmin_c.min()) if days_measured else None
    return PlantingGround(
        frost_c=lowest_c if part.frost_c is None else part.frost_c,
        ece_ds_m=part.soil_ece_ds_m,
        ph=part.soil_ph,
        soil_depth_m=part.root_depth_m,
        rain_mm=float(year_sums(weather.rain_mm, weather.dates).mean()),
        region=part.region if part.avoid_invasive else None,
        least_yield=part.least_yield,
    )


def check_stands(chosen: Sequence[Species], palette: Sequence[Fit], part: PlantingPart) -> None:
    """Check that the plants of a brief stand what the brief itself says of the site.

    Parameters
    ----------
    chosen : sequence of Species
        The plants that it names.
    palette : sequence of Fit
        All species, judged.
    part : PlantingPart
        The figures that it gives.

    Raises
    ------
    InputError
        If any doesn't, naming all of them with figure, limit, source and what would stand in their place.

    Notes
    -----
    What only the weather's record tells warns (`palette_cautions`), as do plants of ``plant_anyway``.

    Examples
    --------
    >>> check_stands(growth.chosen.all, growth.palette, site.brief.planting)
    """
    refused = [
        f"{fit.species.name}: {_told(findings)}{_instead(fit, palette, chosen)}"
        for fit in _of(palette, chosen)
        if fit.species.name not in part.plant_anyway
        and (findings := [one for one in fit.findings if one.verdict == REFUSED and one.kind in _given(part)])
    ]
    if refused:
        message = (
            f"[planting] names plants that don't stand this site; {'; '.join(refused)}; take others, or list those to "
            "be planted all the same in plant_anyway"
        )
        raise InputError(message)


def palette_cautions(chosen: Sequence[Species], palette: Sequence[Fit]) -> dict[str, str]:
    """Warn of chosen plants that don't stand the site, or may not.

    Parameters
    ----------
    chosen : sequence of Species
        The plants of the planting.
    palette : sequence of Fit
        All species, judged.

    Returns
    -------
    dict of str to str
        By kind of limit.

    Examples
    --------
    >>> palette_cautions(growth.chosen.all, growth.palette)
    {}
    """
    found: dict[str, list[str]] = {}
    for fit in _of(palette, chosen):
        for finding in fit.findings:
            if finding.verdict in (DOUBT, REFUSED):
                found.setdefault(finding.kind, []).append(
                    f"{fit.species.name}: {_told([finding])}{_instead(fit, palette, chosen)}"
                )
    return {kind: f"{'; '.join(told)}; {_WAY_OUT[kind]}" for kind, told in found.items()}


def palette_notes(chosen: Sequence[Species], palette: Sequence[Fit], *, named: bool) -> tuple[str, ...]:
    """Tell what was proposed, and which plants live only by the ditch's water.

    Parameters
    ----------
    chosen : sequence of Species
        The plants of the planting.
    palette : sequence of Fit
        All species, judged.
    named : bool
        Whether the brief names them; if not they are proposed.

    Returns
    -------
    tuple of str
        One sentence each.

    Examples
    --------
    >>> palette_notes(growth.chosen.all, growth.palette, named=False)[0].split(":")[0]
    'the brief names no species'
    """
    notes = []
    if not named:
        spreading = sum(fit.stands and bool(fit.species.watch) for fit in palette)
        standing = sum(fit.stands for fit in palette)
        notes.append(
            f"the brief names no species: {', '.join(one.name for one in chosen)} are proposed of the {standing} of "
            f"{len(palette)} that stand this site by what is known of it, those that ask for least water first. Plants "
            f"that spread beyond where they are planted, in one region or another ({spreading} of them), are left out; "
            "where [planting] region is given, fruit that spreads elsewhere may be among them. A start for the talk "
            "with the district's nursery: palette.csv judges every species"
        )
    dry = [f"{fit.species.name} ({finding.words})" for fit in _of(palette, chosen) for finding in fit.findings
           if finding.verdict == DITCH]  # fmt: skip
    if dry:
        notes.append(
            f"on rain alone these are known from wetter ground, and live by the ditch's water or not at all: "
            f"{'; '.join(dry)} (palette.csv: sources)"
        )
    return tuple(notes)


def with_proposal(design: Design, palette: Sequence[Fit]) -> Design:
    """A design whose brief names the species that are proposed.

    Parameters
    ----------
    design : Design
        One whose brief names none.
    palette : sequence of Fit
        All species, judged.

    Returns
    -------
    Design
        With the proposal in its brief.

    Raises
    ------
    InputError
        If no tree of the table stands the site.

    Examples
    --------
    >>> with_proposal(design, growth.palette).site.brief.planting.sheltered
    ('argan', 'pistachio', 'desert date')
    """
    part = design.site.brief.planting
    found = proposed(palette, uses=part.uses, spreading=part.region is not None)
    if not found["fruit"]:
        message = (
            "no tree of the table stands this site (palette: frost_c, soil_ece_ds_m, soil_ph, region of [planting]); "
            "name species in [planting] sheltered, of a file of your own if need be"
        )
        raise InputError(message)
    keys = _KEYS | ({"windbreak": "windbreak"} if part.wind_from_deg is not None else {})
    names: Mapping[str, list[str]] = {key: [one.name for one in found[role]] for role, key in keys.items()}
    return replace(design, site=design.site.with_values({"planting": names}))


def _given(part: PlantingPart) -> set[str]:
    """Kinds of limits that the brief itself gives a figure for."""
    figures = {"frost": part.frost_c, "salt": part.soil_ece_ds_m, "pH": part.soil_ph, "spreading": part.region}
    return {kind for kind, figure in figures.items() if figure is not None}


def _of(palette: Iterable[Fit], chosen: Iterable[Species]) -> list[Fit]:
    """Fits of the chosen plants, in their order."""
    fits = {fit.species: fit for fit in palette}
    return [fits[species] for species in chosen]


def _told(findings: Iterable[Finding]) -> str:
    return ", ".join(f"{finding.words} ({finding.source})" for finding in findings)


def _instead(fit: Fit, palette: Sequence[Fit], chosen: Sequence[Species]) -> str:
    """What would stand in its place."""
    others = alternatives(fit.species, palette, used=chosen)
    return f", instead {' or '.join(one.name for one in others)}" if others else ", none of the table in its place"
