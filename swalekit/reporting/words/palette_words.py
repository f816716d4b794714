"""The palette in words: layer by layer what stands the site, and what doesn't and why."""

from swalekit.design.growth.growth import Growth
from swalekit.planting.palette.fit import DITCH, DOUBT, REFUSED, Fit
from swalekit.planting.plants.species import LAYERS
from swalekit.units import to_us


def palette_sentences(growth: Growth) -> tuple[str, ...]:
    """What stands the site, layer by layer, and what doesn't.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    tuple of str
        What was judged by; then a sentence a layer: those that fit, those that live only by the ditch's water, those
        of which too little is known, and those refused, with the kinds of limit.

    Examples
    --------
    >>> palette_sentences(growth)[-1]
    "Root: saffron; only by the ditch's water: liquorice, Jerusalem artichoke"
    """
    return (_judged_by(growth), *(_layer(growth, layer) for layer in LAYERS))


def _judged_by(growth: Growth) -> str:
    part, units, ground = growth.design.site.brief.planting, growth.design.site.brief.site.units, growth.ground

    def shown(value: float, unit: str) -> str:
        figure, us = to_us(value, unit) if units == "us" else (value, unit)
        return f"{figure:.3g} {us}"

    told = []
    if ground.rain_mm is not None:
        told.append(f"{shown(ground.rain_mm, 'mm')} of rain in a mean year")
    if ground.frost_c is not None:
        told.append(f"a coldest night of {ground.frost_c:g} °C ({'brief' if part.frost_c is not None else 'record'})")
    told += [f"{ground.ece_ds_m:g} dS/m of salt"] if ground.ece_ds_m is not None else []
    told += [f"pH {ground.ph:g}"] if ground.ph is not None else []
    told += [f"{shown(ground.soil_depth_m, 'm')} of soil"] if ground.soil_depth_m is not None else []
    told += [f"what spreads in {ground.region}"] if ground.region is not None else []
    unknown = [
        name
        for name, value in (
            ("frost_c", ground.frost_c),
            ("soil_ece_ds_m", ground.ece_ds_m),
            ("soil_ph", ground.ph),
            ("region", part.region),
        )
        if value is None
    ]
    words = f"Judged by {', '.join(told)}"
    if unknown:
        words += f"; not judged, as the brief doesn't say: {', '.join(unknown)}"
    return (
        f"{words}. Limits and their sources, plant by plant, are in palette.csv; none of them replaces a look at what \
grows in the district"
    )


def _layer(growth: Growth, layer: str) -> str:
    fits = [fit for fit in growth.palette if fit.species.layer == layer]
    chosen = set(growth.chosen.all)

    def names(kinds: list[Fit], *, reasons: bool = False) -> str:
        return ", ".join(
            fit.species.name.upper() if fit.species in chosen else fit.species.name + (_kinds(fit) if reasons else "")
            for fit in kinds
        )

    parts = []
    for verdict, head in (
        (None, ""),
        (DITCH, "only by the ditch's water: "),
        (DOUBT, "doubtful: "),
        (REFUSED, "refused: "),
    ):
        kinds = [fit for fit in fits if (not fit.findings if verdict is None else fit.verdict == verdict)]
        if kinds:
            parts.append(head + names(kinds, reasons=verdict in (DOUBT, REFUSED)))
    return f"{layer[:1].upper()}{layer[1:]}: {'; '.join(parts) or 'none known'}"


def _kinds(fit: Fit) -> str:
    """Kinds of limit that speak worst against it."""
    return f" ({', '.join(one.kind for one in fit.findings if one.verdict == fit.verdict)})"
