"""How sure a layout is, as one figure."""

import numpy as np
from matplotlib.figure import Figure

from swalekit.design.brief.settings import storm_of
from swalekit.design.reliability.reliability import Reliability
from swalekit.design.reliability.table import HIGH, LOW
from swalekit.reporting.charts.reliability.reliability_chart import draw_influence, draw_storms, draw_swales
from swalekit.reporting.paper.lettering import font

_TITLE_PT = 10.0
_ABOVE_LEGEND = 20.0  # points from the axes to a title that stands above a legend


def reliability_sheet(reliability: Reliability) -> Figure:
    """Storms held and to come, swale by swale, above what matters most.

    Parameters
    ----------
    reliability : Reliability
        What the draws say.
    """
    site, swales = reliability.layout.site, reliability.layout.swales
    design_mm, units = storm_of(site).depth_mm, site.brief.site.units
    weakest_mm = reliability.held_mm.min(axis=1)
    held_mm = np.quantile(reliability.held_mm, [LOW, 0.5, HIGH], axis=0)
    figure = Figure(figsize=(8.0, 9.6))
    above = figure.add_axes((0.1, 0.7, 0.86, 0.24))
    draw_storms(weakest_mm, reliability.storm_mm, design_mm, above, units=units)
    chance = f"all swales hold in {100 * reliability.chance:.0f} % of {reliability.storm_mm.size} draws"
    above.set_title(
        f"{site.brief.site.name}: {chance}", loc="left", fontsize=_TITLE_PT + 1, pad=_ABOVE_LEGEND, parse_math=False
    )
    middle = figure.add_axes((0.1, 0.37, 0.86, 0.25))
    names = [swale.id for swale in swales]
    draw_swales(names, held_mm, reliability.holds.mean(axis=0).tolist(), design_mm, middle, units=units)
    middle.set_title("Swale by swale", loc="left", fontsize=_TITLE_PT)
    words = "What matters: rank correlation with each input; in the shade it may be luck"
    figure.text(0.1, 0.295, words, ha="left", va="bottom", **font(_TITLE_PT))
    for column, (outcome, by_input) in enumerate(reliability.influence.items()):
        below = figure.add_axes((0.17 + 0.275 * column, 0.06, 0.235, 0.2))
        draw_influence(by_input, reliability.storm_mm.size, below, named=column == 0)
        below.set_title(outcome.capitalize(), loc="left", fontsize=_TITLE_PT - 1)
    return figure
