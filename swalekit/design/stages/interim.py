"""The layout as it stands after a stage: only the swales built so far, as they were dug."""

from collections.abc import Collection

from swalekit.design.brief.decided_lines import HELD, Lines
from swalekit.design.layout.ground import Stage, silent
from swalekit.design.plan.design import Design
from swalekit.design.plan.lines_of import lines_of
from swalekit.design.plan.pipeline import lay_out


def interim_design(design: Design, built: Collection[str], *, stage: Stage = silent) -> Design:
    """Some swales of a design by themselves, each with its section, depth and sill, on the ground as built with them.

    Parameters
    ----------
    design : Design
        The whole.
    built : collection of str
        Names of the swales that are there.
    stage : callable
        Told the name of each step.

    Returns
    -------
    Design
        As a plan of these lines alone: what drains to each without the others, what the storms do, sills as long as the
        check storm asks for and no shorter than the design's, and the cautions. With all swales it is the design again.

    Raises
    ------
    InputError
        If a name isn't a swale's.

    Examples
    --------
    >>> upper = interim_design(design, ["S1"])
    >>> [swale.id for swale in upper.swales], upper.swales[0].storage_m3 == design.swales[0].storage_m3
    (['S1'], True)
    """
    swales = [swale for swale in design.swales if swale.id in built]
    site = design.site.with_values({"breach.swale": None}).with_lines(_as_dug(design))
    return lay_out(site, design.ground, lines=[swale.line for swale in swales], stage=stage)


def _as_dug(design: Design) -> Lines:
    """The lines of a design, laid ones held with the section, depth and sill of their swales."""
    lines = lines_of(design)
    for swale in design.swales:
        shape, sill = swale.sized.shape, swale.sill
        lines = lines.decide(
            swale.id,
            HELD,
            bottom_width_m=shape.section.bottom_width_m,
            depth_m=shape.depth_m,
            freeboard_m=shape.section.freeboard_m,
            sill_length_m=sill.length_m,
            sill_at_m=sill.chainage_m,
        )
    return lines
