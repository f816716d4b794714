"""One layout of a comparison: its figures and where its lines run."""

from collections.abc import Mapping
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.settings import storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import LaidLines, lay_levels
from swalekit.design.layout.sized_layout import SizedLayout
from swalekit.design.options.variations import VARIED, Variation
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.pipeline import built_layout
from swalekit.design.plan.table import totals
from swalekit.errors import InputError
from swalekit.frozen import Frozen

OPTION_COLUMNS: tuple[Column, ...] = (
    Column("number", "", "number of the option, in the order asked for or tried", 0),
    Column("option", "", "what was varied, in words", 0),
    Column("swales", "", "number of swales", 0),
    Column("length_m", "m", "length of all swales"),
    Column("dug_m3", "m3", "bank volume cut"),
    Column("strip_m2", "m2", "ground disturbed", 0),
    Column("deepest_m", "m", "greatest dig depth of a swale", 2),
    Column("machine_h", "h", "machine hours"),
    Column("cost", "", "cost at the brief's rates, empty where it names no price", 0),
    Column("held_m3", "m3", "water of the design storm that the swales hold"),
    Column("held_storm_mm", "mm", "deepest storm that leaves every swale without spilling"),
    Column("kept_share", "", "share of the water the design storm brings that stays on the site", 3),
    Column("spill_m3", "m3", "water of the design storm that leaves the last swales over their sills"),
    Column(
        "standing_h", "h", "hours in which the deepest full ditch soaks away downward; empty without an intake rate"
    ),
    Column("weakest", "", "swale that holds the smallest storm"),
    Column("short_m3", "m3", "water of the design storm that it can't hold"),
    Column("holds", "", "whether every swale holds the design storm"),
    Column("beyond", "", "limits that it breaks"),
    Column(
        "non_dominated",
        "",
        "whether no other is as good in dug volume, held storm, share kept, cost, disturbed ground and hours",
    ),
    Column(
        "recommended",
        "",
        "whether it has the least price / kept_share^1.25 within all limits that holds; by dug volume without a price",
    ),
    Column("cheapest", "", "whether it is the cheapest within all limits that holds; by dug volume without a price"),
    Column("interval_m", "m", "vertical interval asked for", 4),
    Column("spacing_m", "m", "horizontal spacing asked for", 4),
    Column("rule", "", "spacing rule asked for"),
    Column("matched", "", "whether levels are matched to the storm"),
    Column("start_m", "m", "highest level asked for", 4),
    Column("bottom_width_m", "m", "width of the ditch floor", 4),
    Column("uphill_side_slope", "", "uphill ditch side, horizontal : vertical", 4),
    Column("downhill_side_slope", "", "downhill ditch side, horizontal : vertical", 4),
    Column("greatest_depth_m", "m", "greatest dig depth allowed", 4),
    Column("freeboard_m", "m", "crest above sill", 4),
    Column("note", "", "what the reader must know of how its levels were chosen"),
)

_MM_PER_M = 1000.0


@one_line("swale", "level_m")
@dataclass(frozen=True, eq=False)
class OptionLine(Frozen):
    """Where a swale of an option runs: its number, level [m] and vertices, shape (n, 2) [m]; a ring is closed."""

    swale: str
    level_m: float
    xy: NDArray[np.float64]


@one_line("number", "label", "totals.swales", "totals.dug_m3", "totals.held_storm_mm", "recommended")
@dataclass(frozen=True, eq=False)
class Option:
    """One layout of a comparison: what it is compared by.

    Parameters
    ----------
    number : int
        From 1, in the order asked for or tried.
    label : str
        What was varied, in words.
    chosen : mapping
        Values of the brief that may be varied, by key.
    totals : mapping
        Its totals by the names of `TOTAL_COLUMNS`.
    holds : bool
        Whether there are swales and each holds the design storm.
    weakest : str
        The swale that holds the smallest storm, '' without swales.
    short_m3 : float
        Water of the design storm that it can't hold [m³].
    deepest_m : float
        Greatest dig depth, 0 without swales [m].
    standing_h : float or None
        Time in which the deepest full ditch soaks away downward [h]; None without swales or an intake rate.
    lines : tuple of OptionLine
        Its swales; none where they were let go.
    note : str
        What the reader must know of how its levels were chosen.
    beyond : tuple of str
        Limits that it breaks.
    non_dominated : bool
        Whether no other option of the comparison dominates it.
    recommended : bool
        Whether `rank_of` puts it first of those within all limits that hold the design storm.
    cheapest : bool
        Whether it is the cheapest of these.
    """

    number: int
    label: str
    chosen: Mapping[str, Entry]
    totals: Mapping[str, Entry]
    holds: bool
    weakest: str = ""
    short_m3: float = 0.0
    deepest_m: float = 0.0
    standing_h: float | None = None
    lines: tuple[OptionLine, ...] = ()
    note: str = ""
    beyond: tuple[str, ...] = ()
    non_dominated: bool = False
    recommended: bool = False
    cheapest: bool = False

    def price(self, *, by_volume: bool = False) -> float:
        """What it costs: the cost, or where the brief names no price, or if so wanted, the volume dug [m³].

        Parameters
        ----------
        by_volume : bool
            Whether the volume dug is taken, whatever the cost.

        Returns
        -------
        float
            The cost, or the volume [m³].

        Examples
        --------
        >>> Option(1, "a", {}, {"cost": None, "dug_m3": 12.5}, holds=True).price()
        12.5
        """
        return self.amount("dug_m3" if by_volume or self.totals["cost"] is None else "cost")

    def amount(self, name: str) -> float:
        """One of its totals as a number; 0 where there is none.

        Parameters
        ----------
        name : str
            Name of a total.

        Returns
        -------
        float
            Its figure, in the unit that its name says.

        Examples
        --------
        >>> Option(1, "a", {}, {"cost": None, "dug_m3": 12.5}, holds=True).amount("cost")
        0.0
        """
        return float(self.totals[name] or 0.0)

    @property
    def figures(self) -> dict[str, Entry]:
        """Figures by the names of `OPTION_COLUMNS`."""
        own: dict[str, Entry] = {
            "option": self.label,
            "holds": "yes" if self.holds else "no",
            "beyond": ", ".join(self.beyond),
            "non_dominated": "yes" if self.non_dominated else "",
            "recommended": "yes" if self.recommended else "",
            "cheapest": "yes" if self.cheapest else "",
        }
        return row_of(self, OPTION_COLUMNS, **{**self.totals, **self.chosen, **own})


class OptionMaker:
    """Lays out options of one site, one after the other; lines of the levels laid last are used again.

    Parameters
    ----------
    site, ground : Site, Ground
        What was asked before it was varied, in the CRS of the ground, and the ground.
    """

    def __init__(self, site: Site, ground: Ground) -> None:
        self._site, self._ground = site, ground
        self._last: tuple[object, LaidLines] | None = None

    def option(self, variation: Variation, *, number: int) -> Option:
        """Lay out and size one option.

        Parameters
        ----------
        variation : Variation
            What makes the option.
        number : int
            Its number.

        Returns
        -------
        Option
            Its figures and lines, not yet marked.

        Raises
        ------
        InputError
            If a value breaks a rule; the option is named.

        Examples
        --------
        >>> OptionMaker(site, ground).option(Variation("interval 3 m", {"levels.interval_m": 3.0}), number=1).label
        'interval 3 m'
        """
        try:
            site, ground = self._site.with_values(variation.values), self._ground
            layout, _, sized = built_layout(site, ground, laid=self._lines(site))
        except InputError as error:
            message = f"option '{variation.words}': {error}"
            raise InputError(message) from error
        return _option(variation.words, site, ground, sized, number=number, note="; ".join(layout.level_notes))

    def _lines(self, site: Site) -> LaidLines:
        """Lines depend on the levels asked for alone, unless these are matched to what the section holds."""
        brief = site.brief
        asked = (brief.levels, brief.section if brief.levels.matched else None)
        if self._last is None or self._last[0] != asked:
            self._last = asked, lay_levels(site, self._ground)
        return self._last[1]


def _option(words: str, site: Site, ground: Ground, sized: SizedLayout, *, number: int, note: str) -> Option:
    weakest = min(sized.swales, key=lambda swale: swale.held_storm_mm, default=None)
    return Option(
        number,
        words,
        _chosen(site),
        totals(sized),
        holds=bool(sized.swales) and sized.held_storm_mm >= storm_of(site).depth_mm,
        weakest="" if weakest is None else weakest.id,
        short_m3=0.0 if weakest is None else weakest.spill_m3,
        deepest_m=max((swale.sized.shape.depth_m for swale in sized.swales), default=0.0),
        standing_h=_standing_h(sized, ground),
        lines=tuple(OptionLine(swale.id, swale.line.level_m, swale.line.path) for swale in sized.swales),
        note=note,
    )


def _standing_h(sized: SizedLayout, ground: Ground) -> float | None:
    intake_mm_h = ground.soil.intake_mm_h
    if not sized.swales or not intake_mm_h:
        return None
    return max(swale.water_depth_m for swale in sized.swales) * _MM_PER_M / intake_mm_h


def _chosen(site: Site) -> dict[str, Entry]:
    """Values of the brief that options vary, by key."""
    places = [key.split(".") for varied in VARIED.values() for key in varied.keys]
    values = {key: getattr(getattr(site.brief, part), key) for part, key in places}
    return values | {"matched": "yes" if values["matched"] else ""}
