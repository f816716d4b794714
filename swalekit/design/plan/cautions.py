"""Cautions: each raised by a figure, or standing for every site. They defer to local codes and licensed practice."""

from collections.abc import Iterable
from dataclasses import dataclass
from math import isinf

from swalekit.design.plan.design import Caution, Swale

STEEP_SLOPE = 0.15
"""Slope above which saturated fill may fail: common practice, 15 to 20 %."""
HIGH_FILL_M = 1.0
"""Berm height above which an engineer should look: common practice."""
EGRESS_DEPTH_M = 1.22
"""Trench depth from which a ladder or ramp is needed: 29 CFR 1926.651, 4 ft."""
SPOIL_SHORT = 1.1
"""Fill on the terrain over the berm's computed volume from which soil is short: common practice."""

STANDING_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "utilities",
        "Have buried utilities marked before digging; call the local one-call service days ahead.",
    ),
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
    exposed : tuple of str
        Buildings, septic fields and wells that its water would reach if the berm failed.
    fill_m3 : float
        Soil that berm and returns take on the terrain itself [m³].
    greatest_fill_m : float
        Greatest height of that soil on the terrain, as where the end of a berm meets a gully [m].
    """

    spacing_m: float | None = None
    cut_off_m: float = 0.0
    reached: tuple[str, ...] = ()
    exposed: tuple[str, ...] = ()
    fill_m3: float = 0.0
    greatest_fill_m: float = 0.0


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
    """
    rules = (
        *_figure_rules(swale),
        *_standing_rules(swale, empty_within_h),
        *_flow_rules(swale),
        *_place_rules(swale, around),
    )
    return tuple(Caution(name, text, swale.id, advice) for raised, name, text, advice in rules if raised)


def cautions_by_name(cautions: Iterable[Caution]) -> list[tuple[str, list[str], str]]:
    """Cautions of the swales gathered: name, numbers of the swales, advice; in the order of their first swale."""
    gathered: dict[str, tuple[list[str], str]] = {}
    for caution in cautions:
        if caution.swale:
            gathered.setdefault(caution.name, ([], caution.advice))[0].append(caution.swale)
    return [(name, swales, advice) for name, (swales, advice) in gathered.items()]


_Rule = tuple[bool, str, str, str]


def _figure_rules(swale: Swale) -> tuple[_Rule, ...]:
    """Raised or not, name, what the figure is, what to do."""
    shape, short_m3 = swale.sized.shape, swale.sized.short_m3
    steepest = float(swale.line.cross_slope.max())
    return (
        (
            short_m3 > 0,
            "too small",
            f"it can't hold its share of the design storm by {short_m3:.0f} m³; what would: {swale.sized.cure}",
            "can't hold the design storm: deepen, widen or lengthen, or add a line above",
        ),
        (
            steepest > STEEP_SLOPE,
            "steep ground",
            f"the ground across the line reaches {100 * steepest:.0f} %",
            "over 15 % wet fill may slide: ask an engineer",
        ),
        (
            shape.depth_m >= EGRESS_DEPTH_M,
            "deep trench",
            f"it is dug {shape.depth_m:.2f} m deep",
            "from 1.2 m a way out within 7.6 m, from 1.5 m sloped or shored sides (29 CFR 1926.651, .652)",
        ),
    )


def _standing_rules(swale: Swale, empty_within_h: float) -> tuple[_Rule, ...]:
    """The same for the time that water stands."""
    stands_h = swale.routed.empty_after_h or 0.0
    return (
        (
            stands_h > empty_within_h,
            "stands long",
            f"after the design storm its water stands {'over 200' if isinf(stands_h) else round(stands_h)} h",
            f"not dry within {empty_within_h:g} h, and standing water breeds mosquitoes: "
            "make it shallower and wider, or rip the floor",
        ),
    )


def _flow_rules(swale: Swale) -> tuple[_Rule, ...]:
    """The same for the check storm's flow, and for the flow of its own failure."""
    overtops = () if swale.failure is None else swale.failure.overtops
    return (
        (
            bool(overtops),
            "failure overtops others",
            f"if it failed when fullest in the design storm, water would go over the berm of {', '.join(overtops)}",
            "compact these well, or give more freeboard",
        ),
        (
            swale.routed.overtopped,
            "water over the berm",
            f"the check storm rises {-swale.routed.freeboard_m:.2f} m over the crest",
            "the sill can't pass the check storm: give it more head or more freeboard",
        ),
        (
            bool(swale.routed.outlet.cure),
            "sill may scour",
            f"the ground below the sill does not bear its flow: {swale.routed.outlet.cure}",
            "lengthen the sill or lay stone below it: lengths are in the plan's earthwork.csv",
        ),
    )


def _place_rules(swale: Swale, around: Surroundings) -> tuple[_Rule, ...]:
    """The same for what lies around."""
    fill_m = max(swale.berm_height_m, around.greatest_fill_m)
    berm_m3, sigma_m = swale.quantities.berm_m3, swale.position_sigma_m
    half_spacing_m = (around.spacing_m or float("inf")) / 2.0
    harms, reached, exposed = (", ".join(each) for each in (swale.sill.harms, around.reached, around.exposed))
    return (
        (
            bool(exposed),
            f"above {exposed}",
            f"if the berm failed, its water would reach {exposed}",
            "compact and check this berm with care, or leave the line out",
        ),
        (
            bool(harms),
            f"spill towards {harms}",
            f"its overflow runs towards {harms}",
            "move or extend the line, or lead the water past",
        ),
        (
            bool(reached),
            f"works reach {reached}",
            f"ditch or berm reaches {reached}",
            "give a greater setback, which is measured from the line",
        ),
        (
            fill_m > HIGH_FILL_M,
            "high fill",
            f"its fill stands up to {fill_m:.2f} m above the ground",
            "fill over 1 m should be designed by an engineer, or end the line before it",
        ),
        (
            around.fill_m3 > SPOIL_SHORT * berm_m3,
            "short of soil",
            f"on the terrain its berm takes {around.fill_m3:.0f} m³, the ditch gives {berm_m3:.0f} m³",
            "the ground beside the line is uneven: bring soil, or end the line earlier",
        ),
        (
            around.cut_off_m > 0,
            "catchment cut off",
            f"its catchment meets {around.cut_off_m:.0f} m of the terrain's edge",
            "more water may come than is counted: use a larger tile",
        ),
        (
            sigma_m > half_spacing_m,
            "place unsure",
            f"height error moves the line by {sigma_m:.1f} m, more than half the spacing ({half_spacing_m:.1f} m)",
            "the terrain model is too rough for this spacing: survey before digging",
        ),
    )
