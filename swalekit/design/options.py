"""Layouts side by side on ground that is routed once."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from typing import Any

from swalekit.design.columns import Column
from swalekit.design.design import Design
from swalekit.design.ground import Stage, silent, study_ground
from swalekit.design.pipeline import lay_out
from swalekit.design.site import Site
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
    Column("holds", "", "whether every swale holds the design storm"),
    Column("cheapest", "", "whether it is the cheapest that does; by dug volume where there is no price"),
)


@dataclass(frozen=True, eq=False)
class Option:
    """One layout of a comparison.

    Parameters
    ----------
    label : str
        What was varied, in words.
    design : Design
        The layout.
    cheapest : bool
        Whether it is the cheapest that holds the design storm.
    """

    label: str
    design: Design
    cheapest: bool = False

    @property
    def holds(self) -> bool:
        """Whether there are swales and each holds the design storm."""
        return bool(self.design.swales) and self.design.held_storm_mm >= self.design.site.brief.storm.depth_mm

    @property
    def figures(self) -> dict[str, Figure]:
        """Figures by the names of `OPTION_COLUMNS`."""
        own: dict[str, Figure] = {
            "option": self.label,
            "holds": "yes" if self.holds else "no",
            "cheapest": "yes" if self.cheapest else "",
        }
        known = totals(self.design) | own
        return {column.name: known[column.name] for column in OPTION_COLUMNS}


def compare(
    site: Site, terrain: Terrain, variations: Sequence[tuple[str, dict[str, Any]]], *, stage: Stage = silent
) -> tuple[Option, ...]:
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
    tuple of Option
        In the order given; the cheapest that holds the design storm is marked.

    Raises
    ------
    InputError
        If a value breaks a rule.
    """
    ground = study_ground(site, terrain, stage=stage)
    options = []
    for label, levels in variations:
        stage(f"laying out {label}")
        options.append(Option(label, lay_out(site.with_levels(**levels), ground)))
    return _with_cheapest_marked(options)


def _with_cheapest_marked(options: Sequence[Option]) -> tuple[Option, ...]:
    """By cost where prices are known, else by dug volume; the first of equals."""
    holding = [number for number, option in enumerate(options) if option.holds]
    if not holding:
        return tuple(options)
    best = min(holding, key=lambda number: _price(options[number]))
    return tuple(replace(option, cheapest=number == best) for number, option in enumerate(options))


def _price(option: Option) -> float:
    cost = option.design.cost
    return cost if cost is not None else sum(each.quantities.dug_m3 for each in option.design.swales)
