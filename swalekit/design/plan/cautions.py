"""Cautions: each raised by a figure, or standing for every site. They defer to local codes and licensed practice."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import isinf
from typing import Literal, NamedTuple

from swalekit.contours.line import LevelLine
from swalekit.design.plan.design import Caution, Swale

STEEP_SLOPE = 0.15
"""Slope above which saturated fill may fail: common practice, 15 to 20 %."""
TRIFLING_M = 5.0
"""Length of line on steep ground that raises no caution, five times the highest fill: our choice."""
HIGH_FILL_M = 1.0
"""Berm height above which an engineer should look: common practice."""
EGRESS_DEPTH_M = 1.22
"""Trench depth from which a ladder or ramp is needed: 29 CFR 1926.651, 4 ft."""

STANDING_CAUTIONS: tuple[Caution, ...] = (
    Caution("utilities", "Have buried utilities marked before digging; call the local one-call service days ahead."),
    Caution(
        "trench and machine",
        "Nobody in an unprotected trench or below the machine; spoil 0.6 m from the edge; stop when wet.",
    ),
    Caution(
        "permits and water rights",
        "Ask the local authority about permits, water rights, wetlands and heritage before work starts.",
    ),
    Caution(
        "licensed practice",
        "These figures are for planning; where law or risk asks for it, a licensed engineer checks them.",
    ),
    Caution(
        "level on site",
        "Set every line and sill on site with a level or laser: the terrain is only as good as its error.",
    ),
)


FAILURE = "failure overtops others"
"""The caution that only swales failing in turn can raise."""


class _Kind(NamedTuple):
    """What to do about a caution, and whether another shape or place of the works can remove it."""

    advice: str
    curable: bool


_KINDS: dict[str, _Kind] = {
    "too small": _Kind("can't hold the design storm: deepen, widen or lengthen, or add a line above", True),
    "steep ground": _Kind("over 15 % wet fill may slide: end the line before it, or ask an engineer", True),
    "deep trench": _Kind(
        "from 1.2 m a way out within 7.6 m, from 1.5 m sloped or shored sides (29 CFR 1926.651, .652)", True
    ),
    "stands long": _Kind(
        "not dry within {hours:g} h, and standing water breeds mosquitoes: "
        "rip the floor, lay a line above it, or let floors be wider (greatest_bottom_width_m)",
        True,
    ),
    FAILURE: _Kind("compact these well, or strengthen those below as the plan's report says", True),
    "water over the berm": _Kind("the sill can't pass the check storm: give it more head or more freeboard", True),
    "sill may scour": _Kind(
        "no sill or apron within the brief's limits helps: move it, or have an engineer design the drop", True
    ),
    "above": _Kind("compact and check this berm with care, or leave the line out", False),
    "spill towards": _Kind("move or extend the line, or lead the water past", True),
    "works overlap": _Kind("they can't be built as drawn: widen the interval, or leave one of the lines out", True),
    "works meet": _Kind("move the line, or set its state to drawn: it is cut there", True),
    "works reach": _Kind("give a greater setback, which is measured from the line", True),
    "high fill": _Kind("fill over 1 m should be designed by an engineer, or end the line before it", True),
    "not as sized": _Kind(
        "move or trim the line; water_account.csv has the figures as built beside those as sized", True
    ),
    "short of soil": _Kind("bring soil, or end the line before the ground falls away below it", True),
    "catchment cut off": _Kind("more water may come than is counted: use a larger tile", False),
    "over unseen ground": _Kind(
        "level the line on the ground before digging: the terrain tile shows none there", False
    ),
    "place unsure": _Kind("the terrain model is too rough for this spacing: survey before digging", False),
}
"""By how the name of a caution begins."""


def is_curable(name: str) -> bool:
    """Whether another shape or place of the works can remove a caution; a house below stays below.

    Parameters
    ----------
    name : str
        Of a caution that a swale raises.

    Returns
    -------
    bool
        False for one that isn't a swale's.

    Examples
    --------
    >>> is_curable("high fill"), is_curable("above building 'House'"), is_curable("utilities")
    (True, False, False)
    """
    return any(kind.curable for begins, kind in _KINDS.items() if name.startswith(begins))


@dataclass(frozen=True)
class Surroundings:
    """What the place of a swale has to do with its cautions.

    Parameters
    ----------
    spacing_m : float or None
        Horizontal distance to the nearest other level [m]; None for a lone line.
    cut_off_m : float
        Length of the tile's edge, or of a void's rim, within its catchment [m].
    reached : tuple of str
        Things that stand within ditch, berm or the ground between.
    overlapped : tuple of str
        Swales whose ditch or berm would stand on the same ground.
    differs : tuple of str
        In words, where a storm poured over the ground as built finds it other than it was sized.
    exposed : tuple of str
        Keep-outs of exposed kinds, as buildings and wells, that its water would reach if the berm failed.
    met : tuple of str
        What the works of a held or drawn line meet, for which a line of the brief would have been cut.
    """

    spacing_m: float | None = None
    cut_off_m: float = 0.0
    reached: tuple[str, ...] = ()
    overlapped: tuple[str, ...] = ()
    exposed: tuple[str, ...] = ()
    differs: tuple[str, ...] = ()
    met: tuple[str, ...] = ()


def swale_cautions(swale: Swale, around: Surroundings, *, empty_within_h: float) -> tuple[Caution, ...]:
    """Cautions that the figures and the place of one swale raise.

    Parameters
    ----------
    swale : Swale
        The swale.
    around : Surroundings
        What lies around it.
    empty_within_h : float
        Hours from the end of the design storm in which it should be dry [h].

    Returns
    -------
    tuple of Caution
        Each with its figure and advice; none where nothing is amiss.

    Examples
    --------
    >>> names = [caution.name for caution in swale_cautions(design.swales[0], Surroundings(), empty_within_h=72.0)]
    >>> "catchment cut off" in names
    False
    """
    texts = {**_figure_texts(swale), **_storm_texts(swale, empty_within_h), **_place_texts(swale, around)}
    advice = {name: next(kind.advice for begins, kind in _KINDS.items() if name.startswith(begins)) for name in texts}
    return tuple(
        Caution(name, text, swale.id, advice[name].format(hours=empty_within_h)) for name, text in texts.items() if text
    )


def kind_of(name: str) -> str:
    """Kind of a caution, whatever it names besides.

    Parameters
    ----------
    name : str
        Of a caution that a swale raises.

    Returns
    -------
    str
        How the names of its kind begin; the name itself for one of no such kind.

    Examples
    --------
    >>> kind_of("above building 'House'"), kind_of("utilities")
    ('above', 'utilities')
    """
    return next((begins for begins in _KINDS if name.startswith(begins)), name)


def steep_length_m(line: LevelLine) -> float:
    """Length of a line on ground that falls by more than 15 % across it.

    Parameters
    ----------
    line : LevelLine
        The line.

    Returns
    -------
    float
        The length [m].

    Examples
    --------
    >>> steep_length_m(design.swales[0].line)
    0.0
    """
    return float(line.width_m[line.cross_slope > STEEP_SLOPE].sum())


def cautions_by_name(cautions: Iterable[Caution]) -> list[tuple[str, list[str], str]]:
    """Cautions of the swales gathered: name, numbers of the swales, advice; in the order of their first swale.

    Parameters
    ----------
    cautions : iterable of Caution
        Of swales and of the site; the latter are left out.

    Returns
    -------
    list of (str, list of str, str)
        Name, numbers of the swales, advice.

    Examples
    --------
    >>> trenches = [Caution("deep trench", "it is dug 1.3 m deep", swale, "slope it") for swale in ("S1", "S4")]
    >>> cautions_by_name(trenches)
    [('deep trench', ['S1', 'S4'], 'slope it')]
    """
    gathered: dict[str, tuple[list[str], str]] = {}
    for caution in cautions:
        if caution.swale:
            gathered.setdefault(caution.name, ([], caution.advice))[0].append(caution.swale)
    return [(name, swales, advice) for name, (swales, advice) in gathered.items()]


def _figure_texts(swale: Swale) -> dict[str, str | Literal[False]]:
    """Name of a caution -> the figure that raises it, False where none does."""
    shape, short_m3, steep_m = swale.sized.shape, swale.sized.short_m3, steep_length_m(swale.line)
    return {
        "too small": short_m3 > 0
        and f"it can't hold its share of the design storm by {short_m3:.0f} m³; what would: {swale.sized.cure}",
        "steep ground": steep_m > TRIFLING_M
        and f"the ground falls by more than 15 % across {steep_m:.0f} m of it, up to "
        f"{100 * float(swale.line.cross_slope.max()):.0f} %",
        "deep trench": shape.depth_m >= EGRESS_DEPTH_M and f"it is dug {shape.depth_m:.2f} m deep",
    }


def _storm_texts(swale: Swale, empty_within_h: float) -> dict[str, str | Literal[False]]:
    """Name of a caution -> what a storm does to the swale, False where it doesn't."""
    routed, stands_h = swale.routed, swale.routed.empty_after_h or 0.0
    overtops = () if swale.failure is None else swale.failure.overtops
    stands = "over 200" if isinf(stands_h) else round(stands_h)
    return {
        "stands long": stands_h > empty_within_h and f"after the design storm its water stands {stands} h",
        FAILURE: len(overtops) > 0
        and f"if it failed when fullest in the design storm, {', '.join(overtops)} would be overtopped and fail too",
        "water over the berm": routed.overtopped
        and f"the check storm rises {-routed.freeboard_m:.2f} m over the crest",
        "sill may scour": swale.sill.lacking != "" and f"its flow digs: {swale.sill.lacking}",
    }


def _place_texts(swale: Swale, around: Surroundings) -> dict[str, str | Literal[False]]:
    """Name of a caution -> what lies around the swale, False where it doesn't."""
    berm_m3, sigma_m = swale.quantities.berm_m3, swale.position_sigma_m
    unseen_sigma_m = float(swale.drawn_sigma_m.max())
    half_spacing_m = (around.spacing_m or float("inf")) / 2.0
    every = (swale.sill.harms, around.reached, around.exposed, around.met)
    harms, reached, exposed, met = (", ".join(names) for names in every)
    return {
        f"above {exposed}": exposed != "" and f"if the berm failed, its water would reach {exposed}",
        f"spill towards {harms}": harms != "" and f"its overflow runs towards {harms}",
        "works overlap": len(around.overlapped) > 0
        and f"works of {', '.join(around.overlapped)} take ground of its own: soil there is counted twice",
        f"works reach {reached}": reached != "" and f"ditch or berm reaches {reached}",
        f"works meet {met}": met != "" and f"its works meet {met}",
        "high fill": round(swale.fill_m, 2) > HIGH_FILL_M
        and f"its fill stands up to {swale.fill_m:.2f} m above the ground",
        "not as sized": len(around.differs) > 0 and f"on the ground as built it {', and '.join(around.differs)}",
        "short of soil": swale.quantities.lacking_m3 > 0
        and f"its berm takes {berm_m3:.0f} m³ on the ground, the ditch gives {swale.quantities.lacking_m3:.0f} m³ less",
        "catchment cut off": around.cut_off_m > 0
        and f"its catchment meets {around.cut_off_m:.0f} m of the terrain's edge",
        "over unseen ground": swale.unseen_m > 0
        and f"{swale.unseen_m:.0f} m of it lie on ground that wasn't seen, unsure by up to {unseen_sigma_m:.2f} m",
        "place unsure": sigma_m > half_spacing_m
        and f"height error moves the line by {sigma_m:.1f} m, more than half the spacing ({half_spacing_m:.1f} m)",
    }
