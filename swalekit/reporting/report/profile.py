"""The long profile of a swale of a written plan: ground, ditch floor, sill and crest along its line."""

from typing import Any

import numpy as np
from matplotlib.axes import Axes
from matplotlib.ticker import MaxNLocator
from numpy.typing import NDArray

from swalekit.reporting.paper import palette
from swalekit.reporting.paper.axes import dress, note
from swalekit.reporting.words.shown import unit_name
from swalekit.units import METRES_PER_FOOT

_SIZE_PT = 6.5


def draw_record_profile(row: dict[str, Any], ground_m: NDArray[np.float64], axes: Axes, *, units: str) -> Axes:
    """Draw the profile of a swale.

    Parameters
    ----------
    row : dict
        Figures of the swale by the names of `SWALE_COLUMNS`.
    ground_m : ndarray of float64, shape (n, 2)
        Chainage and height of the ground before [m].
    axes : Axes
        Where to draw.
    units : str
        ``metric`` or ``us``.

    Returns
    -------
    Axes
        The same axes, each line named at its right end.

    Examples
    --------
    >>> from matplotlib.figure import Figure
    >>> axes = draw_record_profile(record.swales[0], record.profiles["S1"], Figure().subplots(), units="metric")
    >>> [text.get_text() for text in axes.texts]
    ['ground before', 'crest', 'sill', 'floor']
    """
    unit_m, unit = (METRES_PER_FOOT if units == "us" else 1.0), unit_name("m", units=units)
    floor_m, end = row["level_m"] - row["depth_m"], row["length_m"] / unit_m
    half = row["sill_length_m"] / 2.0
    chainage, ground = (ground_m / unit_m).T
    levels = {"crest": row["crest_m"] / unit_m, "sill": row["sill_m"] / unit_m, "floor": floor_m / unit_m}
    styles: dict[str, dict[str, Any]] = {
        "crest": {"color": palette.SWALE, "linewidth": 1.2},
        "sill": {"color": palette.POND, "linewidth": 0.8, "linestyle": (0, (1, 1.5))},
        "floor": {"color": palette.INK, "linewidth": 1.2},
    }
    axes.fill_between(chainage, ground, levels["floor"], where=ground > levels["floor"], color=palette.WATER_FACE)
    axes.plot(chainage, ground, color=palette.QUIET_INK, linewidth=0.9, linestyle=(0, (4, 2)))
    note(axes, "ground before", (0.0, ground[0]), (4, -3), _SIZE_PT)
    for name, level in levels.items():
        axes.plot([0.0, end], [level, level], **styles[name])
        note(axes, name, (end, level), (3, 0), _SIZE_PT, path_effects=[], annotation_clip=False)
    at_sill = [(row["sill_at_m"] + step) / unit_m for step in (-half, half)]
    axes.plot(at_sill, [levels["sill"]] * 2, color=palette.SPILL, linewidth=3.0, solid_capstyle="butt")
    axes.set_xlim(0.0, end)
    axes.margins(y=0.12)
    axes.xaxis.set_major_locator(MaxNLocator(nbins=6, steps=[1, 2, 5, 10]))
    axes.yaxis.set_major_locator(MaxNLocator(nbins=4, steps=[1, 2, 5, 10]))
    axes.yaxis.set_major_formatter("{x:.1f}")
    dress(axes, f"Along the line [{unit}]", f"Level [{unit}]", size_pt=_SIZE_PT)
    axes.xaxis.labelpad = 1.0
    axes.tick_params(labelsize=_SIZE_PT)
    return axes
