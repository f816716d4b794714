"""Layouts side by side on ground that is routed once."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from swalekit.design.columns import Column
from swalekit.design.ground import Stage, silent, study_ground
from swalekit.design.pipeline import size_layout
from swalekit.design.settings import storm_of
from swalekit.design.site import Site
from swalekit.design.sized_layout import SizedLayout
from swalekit.design.table import Figure, totals
from swalekit.terrain.terrain import Terrain

OPTION_COLUMNS: tuple[Column, ...] = (
    Column("option", "", "what was varied, in words", 0),
    Column("swales", "", "number of swales", 0),
    Column("length_m", "m", "length of all swales"),
    Column("dug_m3", "m3", "bank volume cut"),
    Column("machine_h", "h", "machine hours"),
    Column("cost", "", "cost at the brief's rates, empty where it names no price", 0),
    Column("held_m3", "m3", "water of the design storm that the swales hold"),
    Column("held_storm_mm", "mm", "deepest storm that leaves every swale without spilling"),
    Column("kept_share", "", "share of the water the design storm brings that stays on the site", 3),
    Column("spill_m3", "m3", "water of the design storm that leaves the last swales over their sills"),
    Column("weakest", "", "swale that holds the smallest storm"),
    Column("short_m3", "m3", "water of the design storm that it can't hold"),
    Column("holds", "", "whether every swale holds the design storm"),
    Column("cheapest", "", "whether it is the cheapest that does; by dug volume where there is no price"),
)


@dataclass(frozen=True)
class Option:
    """One layout of a comparison: its figures, not the layout itself, so that many options stay small.

    Parameters
    ----------
    label : str
        What was varied, in words.
    totals : dict
        Its totals by the names of `TOTAL_COLUMNS`.
    holds : bool
        Whether there are swales and each holds the design storm.
    weakest : str
        The swale that holds the smallest storm, '' without swales.
    short_m3 : float
        Water of the design storm that it can't hold [m³].
    cheapest : bool
        Whether it is the cheapest that holds the design storm.
    """

    label: str
    totals: dict[str, Figure]
    holds: bool
    weakest: str = ""
    short_m3: float = 0.0
    cheapest: bool = False

    @property
    def figures(self) -> dict[str, Figure]:
        """Figures by the names of `OPTION_COLUMNS`."""
        own: dict[str, Figure] = {
            "option": self.label,
            "weakest": self.weakest,
            "short_m3": round(self.short_m3, 1),
            "holds": "yes" if self.holds else "no",
            "cheapest": "yes" if self.cheapest else "",
        }
        known = self.totals | own
        return {column.name: known[column.name] for column in OPTION_COLUMNS}


@dataclass(frozen=True, eq=False)
class Comparison:
    """Layouts of one site side by side.

    Parameters
    ----------
    site : Site
        The site.
    options : tuple of Option
        In the order asked for.
    """

    site: Site
    options: tuple[Option, ...]


def compare(
    site: Site, terrain: Terrain, variations: Sequence[tuple[str, dict[str, Any]]], *, stage: Stage = silent
) -> Comparison:
    """Lay out a site once for every variation of its levels; the terrain is routed once.

    Parameters
    ----------
    site : Site
        The site.
    terrain : Terrain
        The conditioned tile.
    variations : sequence of (str, dict)
        Words for the option, and the keys of the brief's ``levels`` part that make it, such as ``{"interval_m": 2.0}``.
    stage : callable
        Told the name of each stage.

    Returns
    -------
    Comparison
        The options in the order given; the cheapest that holds the design storm is marked.

    Raises
    ------
    InputError
        If a value breaks a rule.
    """
    ground = study_ground(site, terrain, stage=stage)
    options = []
    for label, levels in variations:
        stage(f"laying out {label}")
        options.append(_option(label, size_layout(site.with_levels(**levels), ground)))
    return Comparison(site, _with_cheapest_marked(options))


def _option(label: str, layout: SizedLayout) -> Option:
    holds = bool(layout.swales) and layout.held_storm_mm >= storm_of(layout.site).depth_mm
    weakest = min(layout.swales, key=lambda swale: swale.held_storm_mm, default=None)
    if weakest is None:
        return Option(label, totals(layout), holds)
    return Option(label, totals(layout), holds, weakest.id, weakest.spill_m3)


def _with_cheapest_marked(options: Sequence[Option]) -> tuple[Option, ...]:
    """By cost where prices are known, else by dug volume; the first of equals."""
    holding = [number for number, option in enumerate(options) if option.holds]
    best = min(holding, key=lambda number: _price(options[number]), default=None)
    return tuple(replace(option, cheapest=number == best) for number, option in enumerate(options))


def _price(option: Option) -> float:
    cost, dug_m3 = option.totals["cost"], option.totals["dug_m3"]
    return float((dug_m3 if cost is None else cost) or 0.0)
