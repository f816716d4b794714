"""The table of the palette: every species, whether it stands the site, and why."""

from swalekit.design.growth.growth import Growth
from swalekit.design.growth.table import Row
from swalekit.design.plan.columns import Column, row_of
from swalekit.planting.palette.fit import Fit
from swalekit.planting.plants.tolerances import Tolerance

PALETTE_COLUMNS: tuple[Column, ...] = (
    Column("species", "", "common name", of="species.name"),
    Column("binomial", "", "botanical name", of="species.binomial"),
    Column("layer", "", "tall tree, fruit tree, shrub, climber, herb or root", of="species.layer"),
    Column("role", "", "pioneer, fruit, ground cover or windbreak", of="species.role"),
    Column("uses", "", "what it gives", of=lambda fit: ", ".join(fit.species.uses)),
    Column("plants", "", "plants on the plan", 0),
    Column("verdict", "", "fits, only by the ditch's water, doubtful, or refused"),
    Column("why", "", "what speaks against it: the site's figure, its limit, and where that is from"),
    Column("yield_share", "", "what the soil's salt leaves of its yield; empty where either has no figure", 2),
    Column("water_group", "", "what it asks for once established", of="species.water_group"),
    Column("frost_limit_c", "degC", "cold that an established plant stands", 1, "species.frost_limit_c"),
    Column("rain", "mm", "rain of a year that it is known from"),
    Column("frost", "degC", "cold that is published for it, and of what"),
    Column("salt", "dS/m", "salt of the soil's saturated paste: threshold and slope, rating or class"),
    Column("soil_depth", "m", "depth of soil that it asks for"),
    Column("ph", "", "range of pH that it stands"),
    Column("drought", "", "how much drought it stands"),
    Column("wind", "", "how much wind it stands"),
    Column("waterlogging", "", "how long its roots stand water: no, short, long"),
    Column("spreads", "", "where it spreads beyond where it is planted, and how", of="species.watch"),
    Column("sources", "", "where the limits are from"),
)

_KINDS = {"soil_depth": "soil depth", "ph": "pH"} | {
    kind: kind for kind in ("rain", "frost", "salt", "drought", "wind", "waterlogging")
}


def palette_rows(growth: Growth) -> list[Row]:
    """Every species by the names of `PALETTE_COLUMNS`, those of the brief first.

    Parameters
    ----------
    growth : Growth
        The planting.

    Returns
    -------
    list of dict
        A row a species.

    Examples
    --------
    >>> [row["species"] for row in palette_rows(growth)[:4]]
    ['bladder senna', 'olive', 'rosemary', 'mulga']
    """
    place = {species: number for number, species in enumerate(growth.chosen.all)}
    fits = sorted(growth.palette, key=lambda fit: place.get(fit.species, len(place)))
    return [row_of(fit, PALETTE_COLUMNS, plants=growth.counts.get(fit.species, 0), **_limits(fit)) for fit in fits]


def _limits(fit: Fit) -> Row:
    """Its limits in words, and their sources."""
    limits = fit.species.tolerances
    row: Row = {
        column: "; ".join(_words(limit) for limit in limits if limit.kind == kind) for column, kind in _KINDS.items()
    }
    sources = dict.fromkeys(limit.source for limit in limits if limit.kind not in ("drought", "wind", "waterlogging"))
    return row | {"sources": "; ".join((*sources, fit.species.source))}


def _words(limit: Tolerance) -> str:
    """A limit in a few words.

    Examples
    --------
    >>> _words(Tolerance("rain", 100.0, 400.0)), _words(Tolerance("salt", None, 4.0, 3.6))
    ('100 to 400', '4, 3.6 % lost per dS/m beyond')
    >>> _words(Tolerance("frost", -9.0, word="outer leaves burn", counts=False))
    '-9 (outer leaves burn; not judged by)'
    """
    low, high = (None if value is None else f"{value:g}" for value in (limit.least, limit.greatest))
    figure = f"{low} to {high}" if low and high else low or (f"up to {high}" if limit.kind == "pH" else high) or ""
    if limit.slope is not None:
        figure = f"{figure}, {limit.slope:g} % lost per dS/m beyond"
    if limit.kind in ("salt", "soil depth") and limit.word:
        figure = ""  # the class says it
    told = [word for word in (limit.word, "" if limit.counts else "not judged by") if word]
    return f"{figure} ({'; '.join(told)})" if figure and told else figure or "; ".join(told)
