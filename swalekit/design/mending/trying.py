"""Cures tried on the real layout, several at once, and what came of each."""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field

import numpy as np

from swalekit._one_line import one_line
from swalekit.design.brief.decided_lines import Lines
from swalekit.design.mending.cures import Cure
from swalekit.design.plan.cautions import is_curable
from swalekit.design.plan.design import Design, Swale
from swalekit.frozen import Frozen

Raised = tuple[str, str]
"""A swale and the name of a caution that it raises."""


@one_line("cure.swale", "cure.caution", "cure.words", "extra_cost", "taken")
@dataclass(frozen=True, eq=False)
class Trial(Frozen):
    """A cure as it was tried on the real layout, everything below it sized and poured again.

    Parameters
    ----------
    cure : Cure
        What was changed.
    extra_cost : float or None
        Cost of the swale with its parts or the line above it, less that before; None where no price is known.
    extra_dug_m3 : float
        The same of the soil dug [m³].
    cured, worsened : tuple of (str, str)
        Cautions that are gone, and that are new there or below: swale and name.
    taken : bool
        Whether it is part of the mended layout.
    too_much : bool
        Whether it works, and more water would be lost with it than may be.
    """

    cure: Cure
    extra_cost: float | None
    extra_dug_m3: float
    cured: tuple[Raised, ...]
    worsened: tuple[Raised, ...]
    taken: bool = False
    too_much: bool = False

    @property
    def works(self) -> bool:
        """Whether its caution is gone and nothing else is raised."""
        return (self.cure.swale, self.cure.caution) in self.cured and not self.worsened

    @property
    def outcome(self) -> str:
        """What came of it in a word or two: ``taken``, ``works``, ``raises others`` or ``no help``."""
        if self.taken:
            return "taken"
        if self.worsened:
            return "raises others"
        return "works" if self.works else "no help"


@dataclass
class Trying:
    """Cures tried at once.

    Parameters
    ----------
    lines : Lines
        The lines with all of them.
    cures : list of Cure
        In the order in which they were added.
    family : dict of str to set of str
        Swale of each cure -> it, and the lines that the cure brought.
    touched : dict of str to set of str
        Swale of each cure -> other lines that it changes.
    """

    lines: Lines
    cures: list[Cure] = field(default_factory=list)
    family: dict[str, set[str]] = field(default_factory=dict)
    touched: dict[str, set[str]] = field(default_factory=dict)

    def add(self, cure: Cure) -> None:
        """Add a cure of a swale that has none yet.

        Parameters
        ----------
        cure : Cure
            The cure.
        """
        before = {line.name for line in self.lines.lines}
        self.lines = cure.edit.on(self.lines)
        self.family[cure.swale] = {cure.swale, *(line.name for line in self.lines.lines if line.name not in before)}
        self.touched[cure.swale] = set(cure.edit.touches) - {cure.swale}
        self.cures.append(cure)

    def causes(self, name: str) -> list[str]:
        """Swales whose cures change a line.

        Parameters
        ----------
        name : str
            The line.

        Returns
        -------
        list of str
            None where the line is as it was.
        """
        return [swale for swale, family in self.family.items() if name in family | self.touched[swale]]


def outcomes_of(design: Design, tried: Design, trying: Trying) -> list[Trial]:
    """What each of the cures did.

    Parameters
    ----------
    design, tried : Design
        The layout without them, and with all of them.
    trying : Trying
        The cures.

    Returns
    -------
    list of Trial
        In the order of the cures. What is new at a line that a cure changed counts against it; elsewhere against those
        on whose way the line lies, or whose ground it catches now; where there are none against all.

    Examples
    --------
    >>> from swalekit.design.plan.lines_of import lines_of
    >>> outcomes_of(design, design, Trying(lines_of(design)))
    []
    """
    before, after = raised_by(design.swales), raised_by(tried.swales)
    families, reaches, handed = trying.family, _reached_from(design), _handed_over(design, tried)
    parts = {name: swale for swale, family in families.items() for name in family}
    blamed: dict[str, list[Raised]] = {swale: [] for swale in families}
    for name, caution in sorted(after - before):
        if name in parts and (parts[name], caution) in before:
            continue
        near = [
            cause
            for cause in families
            if name in reaches[cause] or cause in reaches.get(name, ()) or cause in handed.get(name, ())
        ]
        for cause in trying.causes(name) or near or list(families):
            blamed[cause].append((name, caution))
    costs, costs_before = (costs_of(each) for each in (tried, design))
    trials = []
    for cure in trying.cures:
        family, changed = families[cure.swale], families[cure.swale] | trying.touched[cure.swale]
        still = {caution for name, caution in after if name in family}
        gone = tuple((name, caution) for name, caution in sorted(before) if name == cure.swale and caution not in still)
        cost, dug_m3 = (_sum(costs, changed, k) - _sum(costs_before, changed, k) for k in (0, 1))
        priced = None if design.cost is None else cost
        trials.append(Trial(cure, priced, dug_m3, gone, tuple(blamed[cure.swale])))
    return trials


def _sum(table: Mapping[str, tuple[float, float]], names: Iterable[str], place: int) -> float:
    return sum(table[name][place] for name in sorted(names) if name in table)


def raised_by(swales: Iterable[Swale]) -> set[Raised]:
    """Cautions of swales that another shape or place of the works may remove.

    Parameters
    ----------
    swales : iterable of Swale
        The swales.

    Returns
    -------
    set of (str, str)
        Swale and name of the caution.

    Examples
    --------
    >>> raised_by(design.swales)
    set()
    """
    return {(swale.id, caution.name) for swale in swales for caution in swale.cautions if is_curable(caution.name)}


def costs_of(design: Design) -> dict[str, tuple[float, float]]:
    """Cost and soil of every swale.

    Parameters
    ----------
    design : Design
        The layout.

    Returns
    -------
    dict of str to tuple of float
        Cost, 0 where no price is known, and bank volume cut [m³].

    Examples
    --------
    >>> sorted(costs_of(design))
    ['S1', 'S2']
    """
    return {swale.id: (swale.cost(design.rates) or 0.0, swale.quantities.dug_m3) for swale in design.swales}


def _reached_from(design: Design) -> dict[str, set[str]]:
    """Swales that the water of each may reach, whatever spills."""
    names = [swale.id for swale in design.swales]
    downstream = [] if design.run is None else design.run.stores.downstream.tolist()
    reached: dict[str, set[str]] = {}
    for number, name in enumerate(names):
        below, way = downstream[number], set[str]()
        while below >= 0:
            if below < len(names):
                way.add(names[below])
            below = downstream[below]
        reached[name] = way
    return reached


def _handed_over(design: Design, tried: Design) -> dict[str, set[str]]:
    """Swales of a layout whose ground another swale catches in the one that was tried."""
    (was, is_now), n_now = (each.catchments.ravel() for each in (design, tried)), len(tried.swales) + 1
    caught = (was > 0) & (is_now > 0)
    pairs = np.unique(was[caught].astype(np.int64) * n_now + is_now[caught])
    handed: dict[str, set[str]] = {}
    for first, then in zip(*(part.tolist() for part in np.divmod(pairs, n_now)), strict=True):
        name, other = design.swales[first - 1].id, tried.swales[then - 1].id
        if name != other:
            handed.setdefault(other, set()).add(name)
    return handed
