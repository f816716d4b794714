"""One layout of a comparison: its figures and where its lines run."""

from collections import Counter
from collections.abc import Mapping
from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from swalekit._one_line import one_line
from swalekit.design.brief.settings import storm_of
from swalekit.design.brief.site import Site
from swalekit.design.layout.ground import Ground
from swalekit.design.layout.lines import LaidLines, lay_levels
from swalekit.design.layout.sized_layout import SizedLayout
from swalekit.design.options.variations import VARIED, Variation
from swalekit.design.plan.cautions import is_curable
from swalekit.design.plan.columns import Column, Entry, row_of
from swalekit.design.plan.design import Swale
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
    Column("cost_per_m3", "", "cost of a cubic metre of that water, empty where the brief names no price", 1),
    Column("held_storm_mm", "mm", "deepest storm that leaves every swale without spilling"),
    Column("kept_share", "", "share of the water the design storm brings that stays on the site", 3),
    Column("spill_m3", "m3", "water of the design storm that leaves the last swales over their sills"),
    Column(
        "standing_h",
        "h",
        "longest time from the end of the design storm until a ditch is dry; empty without an intake rate or over 200",
        0,
    ),
    Column("fill_m", "m", "greatest height of fill above the ground", 2),
    Column("overtopped", "", "swales whose berm the check storm goes over"),
    Column("to_cure", "", "cautions of its swales that another section, line or sill could take away", 0),
    Column("of_place", "", "cautions of its swales that come of their place and how well it is known", 0),
    Column("cautions", "", "cautions of its swales by name, each with the number of swales; none of swales that fail"),
    Column("weakest", "", "swale that holds the smallest storm"),
    Column("short_m3", "m3", "water of the design storm that it can't hold"),
    Column("holds", "", "whether every swale holds the design storm"),
    Column("beyond", "", "limits that it breaks besides, those of the brief among them"),
    Column("missed", "", "share by which it misses its limits, summed; 0 where it keeps all", 3),
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
    Column("nearest", "", "where none keeps all limits: whether it misses them by least"),
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
        Longest time from the end of the design storm's rain until a ditch is dry [h], infinite where one is not within
        ten days; None without swales or an intake rate.
    fill_m : float
        Greatest height of fill above the ground, 0 without swales [m].
    overtopped : tuple of str
        Swales whose berm the check storm goes over.
    over_m : float
        Greatest height to which it rises over a crest [m].
    cautions : mapping of str to int
        Names of the cautions of its swales, each with the number of swales, as in its plan but for those that swales
        failing in turn would raise.
    lines : tuple of OptionLine
        Its swales; none where they were let go.
    note : str
        What the reader must know of how its levels were chosen.
    beyond : tuple of str
        Limits that it breaks besides the design storm.
    missed : float
        Share by which it misses its limits, the design storm among them, summed [-].
    non_dominated : bool
        Whether no other option of the comparison dominates it.
    recommended : bool
        Whether `rank_of` puts it first of those within all limits that hold the design storm.
    cheapest : bool
        Whether it is the cheapest of these.
    nearest : bool
        Whether it misses the limits by least, where no option keeps to all.
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
    fill_m: float = 0.0
    overtopped: tuple[str, ...] = ()
    over_m: float = 0.0
    cautions: Mapping[str, int] = field(default_factory=dict)
    lines: tuple[OptionLine, ...] = ()
    note: str = ""
    beyond: tuple[str, ...] = ()
    missed: float = 0.0
    non_dominated: bool = False
    recommended: bool = False
    cheapest: bool = False
    nearest: bool = False

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
    def keeps_all(self) -> bool:
        """Whether it holds the design storm and keeps all other limits."""
        return self.holds and not self.beyond

    @property
    def to_cure(self) -> int:
        """Cautions of its swales that another section, line or sill could take away."""
        return sum(count for name, count in self.cautions.items() if is_curable(name))

    @property
    def of_place(self) -> int:
        """Cautions of its swales that come of their place and how well it is known."""
        return sum(self.cautions.values()) - self.to_cure

    @property
    def cost_per_m3(self) -> float | None:
        """Cost of a cubic metre of the design storm's water that the swales hold; None without a price or water."""
        held_m3 = self.amount("held_m3")
        return self.amount("cost") / held_m3 if self.totals["cost"] is not None and held_m3 > 0 else None

    @property
    def figures(self) -> dict[str, Entry]:
        """Figures by the names of `OPTION_COLUMNS`."""
        own: dict[str, Entry] = {
            "option": self.label,
            "holds": "yes" if self.holds else "no",
            "overtopped": ", ".join(self.overtopped),
            "cautions": "; ".join(f"{name} {count}" for name, count in self.cautions.items()),
            "beyond": ", ".join(self.beyond),
            "non_dominated": "yes" if self.non_dominated else "",
            "recommended": "yes" if self.recommended else "",
            "cheapest": "yes" if self.cheapest else "",
            "nearest": "yes" if self.nearest else "",
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
            layout, _, sized = built_layout(site, ground, laid=self._lines(site), cautioned=True)
        except InputError as error:
            message = f"option '{variation.words}': {error}"
            raise InputError(message) from error
        return _option(variation.words, site, sized, number=number, note="; ".join(layout.level_notes))

    def _lines(self, site: Site) -> LaidLines:
        """Lines depend on the levels asked for alone, unless these are matched to what the section holds."""
        brief = site.brief
        asked = (brief.levels, brief.section if brief.levels.matched else None)
        if self._last is None or self._last[0] != asked:
            self._last = asked, lay_levels(site, self._ground)
        return self._last[1]


def _option(words: str, site: Site, sized: SizedLayout, *, number: int, note: str) -> Option:
    weakest = min(sized.swales, key=lambda swale: swale.held_storm_mm, default=None)
    swales = [swale for swale in sized.swales if isinstance(swale, Swale)]
    standing_h = [swale.routed.empty_after_h for swale in swales if swale.routed.empty_after_h is not None]
    over = {swale.id: -swale.routed.freeboard_m for swale in swales if swale.routed.overtopped}
    return Option(
        number,
        words,
        _chosen(site),
        totals(sized),
        holds=bool(sized.swales) and sized.held_storm_mm >= storm_of(site).depth_mm,
        weakest="" if weakest is None else weakest.id,
        short_m3=0.0 if weakest is None else weakest.spill_m3,
        deepest_m=max((swale.sized.shape.depth_m for swale in sized.swales), default=0.0),
        standing_h=max(standing_h, default=None),
        fill_m=max((swale.fill_m for swale in swales), default=0.0),
        overtopped=tuple(over),
        over_m=max(over.values(), default=0.0),
        cautions=dict(Counter(caution.name for swale in swales for caution in swale.cautions)),
        lines=tuple(OptionLine(swale.id, swale.line.level_m, swale.line.path) for swale in sized.swales),
        note=note,
    )


def _chosen(site: Site) -> dict[str, Entry]:
    """Values of the brief that options vary, by key."""
    places = [key.split(".") for varied in VARIED.values() for key in varied.keys]
    values = {key: getattr(getattr(site.brief, part), key) for part, key in places}
    return values | {"matched": "yes" if values["matched"] else ""}
