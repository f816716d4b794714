"""Rain of a storm over its time."""

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator

from swalekit._checks import check_one_of
from swalekit.hydrology.storm.hyetograph import Hyetograph
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import FONT_FAMILY, font, halo
from swalekit.units import to_us

_LABEL_PT = 8.0
_HEADROOM = 1.15


def draw_hyetograph(storm: Hyetograph, axes: Axes, *, step_min: float, units: str = "metric") -> Axes:
    """Draw the intensity of a storm as bars and the rain fallen so far as a line.

    Parameters
    ----------
    storm : Hyetograph
        The storm.
    axes : Axes
        Where to draw; the rain fallen so far gets a scale of its own on the right.
    step_min : float
        Width of a bar [min].
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes, those of the intensity.

    Raises
    ------
    InputError
        If the units are unknown or the width isn't positive.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> from swalekit.hydrology.storm.storm import nrcs_storm
    >>> draw_hyetograph(nrcs_storm(60.0, "II"), Figure().subplots(), step_min=30.0).get_ylabel()
    'Intensity over 30 min [mm/h]'
    """
    check_one_of(("metric", "us"), units=units)
    per_mm, unit = to_us(1.0, "mm") if units == "us" else (1.0, "mm")
    increments_mm = storm.increments_mm(step_min)
    edges_h = np.minimum(np.arange(len(increments_mm) + 1) * step_min / 60.0, storm.duration_h)
    intensity = per_mm * increments_mm / np.diff(edges_h)
    axes.stairs(intensity, edges_h, fill=True, facecolor=palette.WATERCOURSE, edgecolor=palette.SPILL, linewidth=0.6)
    axes.set_xlim(0, storm.duration_h)
    axes.xaxis.set_major_locator(MaxNLocator(nbins=9, steps=[1, 2, 3, 6, 10]))
    axes.set_ylim(0, _HEADROOM * intensity.max())
    axes.set_xlabel("Time since the start of the storm [h]", **font(9))
    axes.set_ylabel(f"Intensity over {step_min:g} min [{unit}/h]", **font(9), color=palette.SPILL)
    axes.spines[["top", "right"]].set_visible(False)
    axes.tick_params(labelsize=_LABEL_PT, labelfontfamily=FONT_FAMILY)
    fallen = axes.twinx()
    fallen.plot(storm.time_h, per_mm * storm.cumulative_mm, color=palette.SWALE, linewidth=1.6, path_effects=halo(3.0))
    fallen.set_ylim(0, _HEADROOM * per_mm * storm.depth_mm)
    fallen.set_ylabel(f"Rain fallen so far [{unit}]", **font(9), color=palette.SWALE)
    fallen.spines[["top", "left"]].set_visible(False)
    fallen.tick_params(labelsize=_LABEL_PT, labelfontfamily=FONT_FAMILY)
    fallen.annotate(
        f"{per_mm * storm.depth_mm:.3g} {unit} over {storm.duration_h:.3g} h",
        (storm.duration_h, per_mm * storm.depth_mm), (-4, 5), textcoords="offset points", ha="right", va="bottom",
        color=palette.SWALE, path_effects=halo(), **font(_LABEL_PT, "bold"),
    )  # fmt: skip
    return axes
