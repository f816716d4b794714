"""Cautions: each raised by a figure, or standing for every site. They defer to local codes and licensed practice."""

from swalekit.design.design import Caution, Swale

STEEP_SLOPE = 0.15
"""Slope above which saturated fill may fail: common practice, 15 to 20 %."""
HIGH_FILL_M = 1.0
"""Berm height above which an engineer should look: common practice."""
STANDING_LIMIT_H = 72.0
"""Hours after which standing water breeds mosquitoes: UC IPM (2004), after Metzger (2003)."""
EGRESS_DEPTH_M = 1.22
"""Trench depth from which a ladder or ramp is needed: 29 CFR 1926.651, 4 ft."""
PROTECTED_DEPTH_M = 1.52
"""Trench depth from which sides must be sloped or shored: 29 CFR 1926.652, 5 ft."""

STANDING_CAUTIONS: tuple[Caution, ...] = (
    Caution(
        "utilities",
        "Have buried utilities located and marked before digging; call the local one-call service days ahead.",
    ),
    Caution(
        "trench and machine",
        "Nobody in an unprotected trench or below the machine; spoil stays 0.6 m from the edge; stop when it is wet.",
    ),
    Caution(
        "permits and water rights",
        "Ask the local authority about permits, water rights, wetlands and heritage before work starts.",
    ),
    Caution(
        "licensed practice",
        "These figures are for planning. Where law or risk asks for it, a licensed engineer checks the layout.",
    ),
    Caution(
        "level on site",
        "Set every line and sill on site with a level or laser: the terrain model is only as good as its stated error.",
    ),
)


def swale_cautions(
    swale: Swale, *, spacing_m: float | None, cut_off_m: float, spill_harm: str, reached: tuple[str, ...] = ()
) -> tuple[Caution, ...]:
    """Cautions that the figures of one swale raise.

    Parameters
    ----------
    swale : Swale
        The swale.
    spacing_m : float or None
        Horizontal distance to the nearest other level [m]; None for a lone line.
    cut_off_m : float
        Length of the tile's edge, or of a void's rim, within its catchment [m].
    spill_harm : str
        Kind and name of the worst ground on the way of its overflow, '' for none.
    reached : tuple of str
        Things that stand within ditch, berm or the ground between.
    """
    shape, short_m3 = swale.sized.shape, swale.sized.short_m3
    steepest, stands_h = float(swale.line.cross_slope.max()), swale.standing_h or 0.0
    sigma_m, half_spacing_m = swale.position_sigma_m, (spacing_m or float("inf")) / 2.0
    needs_shoring = shape.depth_m >= PROTECTED_DEPTH_M
    rules = (
        (
            short_m3 > 0,
            "too small",
            f"it can't hold its share of the design storm by {short_m3:.0f} m³; what would: {swale.sized.cure}",
        ),
        (
            steepest > STEEP_SLOPE,
            "steep ground",
            f"the ground across the line reaches {steepest:.0%}; over 15 % wet fill may slide: ask an engineer",
        ),
        (
            swale.berm_height_m > HIGH_FILL_M,
            "high fill",
            f"the berm stands {swale.berm_height_m:.2f} m above the ground; over 1 m an engineer should design it",
        ),
        (
            needs_shoring,
            "deep trench",
            f"dug {shape.depth_m:.2f} m deep; from 1.5 m sides must be sloped or shored (29 CFR 1926.652)",
        ),
        (
            shape.depth_m >= EGRESS_DEPTH_M and not needs_shoring,
            "deep trench",
            f"dug {shape.depth_m:.2f} m deep; from 1.2 m a way out is needed within 7.6 m (29 CFR 1926.651)",
        ),
        (
            spill_harm != "",
            f"spill towards {spill_harm}",
            f"its overflow runs towards {spill_harm}: move or extend the line, or lead the water past",
        ),
        (
            bool(reached),
            "works reach " + ", ".join(reached),
            f"ditch or berm reaches {', '.join(reached)}: give a greater setback, which is measured from the line",
        ),
        (
            stands_h > STANDING_LIMIT_H,
            "stands long",
            f"a full ditch stands {stands_h:.0f} h, over 72 h: make it shallower and wider, or rip the floor",
        ),
        (
            cut_off_m > 0,
            "catchment cut off",
            f"its catchment meets {cut_off_m:.0f} m of the terrain's edge; more water may come than is counted",
        ),
        (
            sigma_m > half_spacing_m,
            "place unsure",
            f"height error moves the line by {sigma_m:.1f} m, more than half the spacing ({half_spacing_m:.1f} m)",
        ),
    )
    return tuple(Caution(name, text, swale.id) for raised, name, text in rules if raised)
