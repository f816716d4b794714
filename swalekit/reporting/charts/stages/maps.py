"""The site as it stands after each season of building, as small maps side by side."""

from collections import Counter

from matplotlib.figure import Figure

from swalekit.design.stages.staged import BuildingStage, Staged
from swalekit.reporting.map.small_maps import Caption, draw_small_lines, small_maps
from swalekit.reporting.paper.palette import FAILS, FORMER, INK, POND, QUIET_INK, SWALE
from swalekit.reporting.words.shown import listed, shown


def stage_maps(staged: Staged) -> Figure:
    """Draw what stands after each season: new swales heavy, those before them thin, those to come dashed, and overflow.

    Parameters
    ----------
    staged : Staged
        A design in its seasons.

    Returns
    -------
    Figure
        A map a season, with its swales, soil and cost, what the site holds and keeps then, and what is left open.

    Examples
    --------
    >>> from dataclasses import replace
    >>> from swalekit import build_in_stages
    >>> staged = build_in_stages(replace(design, site=site.with_values({"stages.count": 2})))
    >>> [axes.texts[-1].get_text() for axes in stage_maps(staged).axes]
    ['Stage 1: S1', 'Stage 2: S2']
    """
    design = staged.design
    title = f"{design.site.brief.site.name}: the site after each stage of building"
    captions = [_captions(staged, stage) for stage in staged.stages]
    figure, maps = small_maps(title, design.ground.terrain, design.site.boundary, captions)
    for stage, axes in zip(staged.stages, maps, strict=True):
        built = {swale.id for swale in stage.interim.swales}
        new = {swale.id for swale in stage.swales}
        draw_small_lines([swale.sill.path for swale in stage.interim.swales], axes, color=POND, width=0.5)
        later, before, now = (
            [swale.line.path for swale in design.swales if swale.id in names]
            for names in ({swale.id for swale in design.swales} - built, built - new, new)
        )
        draw_small_lines(later, axes, color=FORMER, width=0.6, dashed=True)
        draw_small_lines(before, axes, color=SWALE, width=0.9)
        draw_small_lines(now, axes, color=SWALE, width=2.0)
    return figure


def _captions(staged: Staged, stage: BuildingStage) -> list[Caption]:
    """Swales; soil and cost; what the site holds and keeps; what is left open."""
    brief, interim, cost = staged.design.site.brief, stage.interim, stage.cost
    units = brief.site.units
    held = shown(interim.held_storm_mm, "mm", units=units, decimals=1)
    longest = stage.longest_sill
    sills = "" if longest is None else f", sills to {shown(longest.sill.length_m, 'm', units=units, decimals=1)}"
    work = [
        *([] if cost is None else [f"{cost:,.0f} {brief.rates.currency}".rstrip()]),
        f"{shown(stage.dug_m3, 'm3', units=units)} dug",
        f"{stage.machine_h:,.0f} machine hours",
    ]
    opens = Counter(caution.name for caution in stage.opens)
    left_open = f"leaves open: {'; '.join(opens)}" if opens else ""
    return [
        (f"Stage {stage.number}: {listed([swale.id for swale in stage.swales])}", INK, "bold"),
        (" · ".join(work), QUIET_INK, "normal"),
        (f"then holds {held}, keeps {100 * interim.kept_share:.0f} %{sills}", QUIET_INK, "normal"),
        (left_open, FAILS, "normal"),
    ]
