"""The legend of a map: what occurs on it, and nothing else."""

from dataclasses import replace
from typing import Any

from matplotlib.axes import Axes
from matplotlib.legend import Legend
from matplotlib.legend_handler import HandlerTuple
from matplotlib.lines import Line2D
from matplotlib.patches import Patch

from swalekit.reporting.map import layers as map_layers
from swalekit.reporting.map.bund_marks import bund_entries
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.layers import failing_mark, keep_out_area, keep_out_mark, keep_out_stroke
from swalekit.reporting.map.plant_marks import Over, planting_entries
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import FONT_FAMILY, shorten, text_width_mm
from swalekit.reporting.paper.save import hatched

_SIZE_PT = 6.8
_ROW_MM = 3.9
_COLUMNS = 3
_SAMPLE_MM = 8.0
_HANDLERS: dict[Any, Any] = {tuple: HandlerTuple(ndivide=None, pad=0), Over: HandlerTuple(ndivide=1)}
_SILL = Line2D(
    [], [], color=palette.SPILL, linewidth=palette.SILL_WIDTH, solid_capstyle="butt", marker="s", markersize=4.3,
    markerfacecolor=palette.HALO, markeredgecolor=palette.SPILL,
)  # fmt: skip

_FAILING = Line2D([], [], **failing_mark() | {"linestyle": "solid", "color": palette.SWALE})
_OVERTOPPED = Line2D(
    [], [], color=palette.SWALE, linewidth=palette.SWALE_WIDTH, marker="|", markersize=palette.OVERTOPPED_WIDTH,
    markeredgecolor=palette.FAILING, markeredgewidth=palette.OVERTOPPED_WIDTH * palette.OVERTOPPED_DASH[1][0],
)  # fmt: skip


def legend_entries(content: MapContent) -> list[tuple[str, Any]]:
    """Words and sample of every kind of thing on the map.

    Parameters
    ----------
    content : MapContent
        What the map shows.

    Returns
    -------
    list of (str, matplotlib handle)
        In reading order; empty for a map of bare ground.

    Examples
    --------
    >>> [words for words, sample in legend_entries(content)][:6]
    ['Swale, on contour', 'Catchments', 'Overflow sill', 'Apron at a sill', 'Path of spill water', 'Site boundary']
    """
    used = [palette.CATCHMENT_TINTS[number] for number in sorted(set(content.tint_numbers))]
    tints = tuple(Patch(facecolor=tint, alpha=palette.CATCHMENT_ALPHA) for tint in used)
    beside = {*content.new, *content.unchanged}
    entries = [
        ("New", bool(content.new), Over(*(stroke.sample for stroke in map_layers.NEW))),
        (
            "Changed" if _compares(content) else "Swale, on contour",
            not beside >= {*content.lines},
            map_layers.SWALE.sample,
        ),
        ("Built as before", bool(content.unchanged), map_layers.UNCHANGED.sample),
        ("Gone, or ran there", bool(content.former), map_layers.FORMER.sample),
        ("Where it may lie", bool(content.bands), Patch(facecolor=palette.BAND, alpha=palette.BAND_ALPHA)),
        ("Catchments", bool(content.catchments), tints),
        ("Overflow sill", bool(content.sills), _SILL),
        ("Apron at a sill", bool(content.aprons), Patch(**map_layers.APRON)),
        ("Bank over a pipe", bool(content.banks), Patch(**map_layers.BANK)),
        ("Ford", bool(content.fords), Patch(**map_layers.FORD)),
        ("Failing berm", bool(content.failing), _FAILING),
        ("Overtopped by it", bool(content.overtopped), _OVERTOPPED),
        ("Path of spill water", bool(content.sill_paths), map_layers.SPILL.sample),
        ("Refused stretch", bool(content.refused), map_layers.REFUSED.sample),
        ("Watercourse", bool(content.watercourses), map_layers.WATERCOURSE.sample),
        ("Pond in a hollow", bool(content.ponds), Patch(**map_layers.POND)),
        ("Site boundary", content.boundary is not None, map_layers.BOUNDARY.sample),
    ]
    shown = [*bund_entries(content.bunds), *planting_entries(content.planting)]
    shown += [(words, sample) for words, occurs, sample in entries if occurs]
    kinds: dict[str, dict[str, Any]] = {}
    for kind, _, geometry, _ in content.keep_outs:
        form = geometry.geom_type.removeprefix("Multi")
        kinds.setdefault(kind, {})[form] = _keep_out(kind, form)
    shown += [(kind[:1].upper() + kind[1:], tuple(samples.values())) for kind, samples in kinds.items()]
    setbacks = (content.workable, *(setback for _, _, _, setback in content.keep_outs))
    if any(setback is not None and not setback.is_empty for setback in setbacks):
        shown.append(("Setback", replace(map_layers.SETBACK, width=0.7).sample))
    if not content.terrain.valid.all():
        shown.append(("No ground data", Patch(facecolor=palette.VOID, edgecolor=palette.CONTOUR, linewidth=0.5)))
    return shown


def fitting_columns(content: MapContent, width_mm: float) -> int:
    """Most columns, no more than three, in which every word of a legend is whole; one if none will do.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    width_mm : float
        Width of the legend [mm].

    Returns
    -------
    int
        1, 2 or 3.

    Examples
    --------
    >>> [fitting_columns(content, width_mm) for width_mm in (60.0, 90.0, 130.0)]
    [1, 2, 3]
    """
    widest_mm = max((text_width_mm(words, _SIZE_PT) for words, _ in legend_entries(content)), default=0.0)
    fit = (columns for columns in range(_COLUMNS, 1, -1) if widest_mm <= _words_mm(width_mm / columns))
    return next(fit, 1)


def legend_height_mm(content: MapContent, *, columns: int = _COLUMNS) -> float:
    """Room the legend takes.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    columns : int
        Columns that it is set in.

    Returns
    -------
    float
        Height without a heading, zero where nothing is explained [mm].

    Examples
    --------
    >>> len(legend_entries(content)), round(legend_height_mm(content, columns=2), 1)
    (8, 15.6)
    """
    return -(-len(legend_entries(content)) // columns) * _ROW_MM


@hatched
def draw_legend(
    content: MapContent,
    axes: Axes,
    *,
    top_mm: float,
    width_mm: float,
    size_pt: float = _SIZE_PT,
    columns: int = _COLUMNS,
) -> Axes:
    """Draw the legend on axes that count in millimetres of paper, downward.

    Parameters
    ----------
    content : MapContent
        What the map shows.
    axes : Axes
        Where to draw.
    top_mm, width_mm : float
        Upper edge and width [mm].
    size_pt : float
        Size of the lettering [pt].
    columns : int
        Columns that it is set in.

    Returns
    -------
    Axes
        The same axes.

    Examples
    --------
    >>> from swalekit.reporting.paper.paper import Panel, blank_sheet
    >>> panel = Panel.on(blank_sheet("A4"), (10.0, 10.0, 90.0, 40.0))
    >>> axes = draw_legend(content, panel.axes, top_mm=0.0, width_mm=panel.width_mm, columns=2)
    >>> [len(column.get_texts()) for column in axes.artists]
    [4, 4]
    """
    entries = legend_entries(content)
    rows, column_mm, pt_per_mm = -(-len(entries) // columns), width_mm / columns, 72 / 25.4
    for column in range(columns):
        shown = entries[column * rows : (column + 1) * rows]
        legend = Legend(
            axes, [sample for _, sample in shown],
            [shorten(words, _words_mm(column_mm), size_pt) for words, _ in shown],
            loc="upper left", bbox_to_anchor=(column * column_mm, top_mm), bbox_transform=axes.transData,
            frameon=False, prop={"family": FONT_FAMILY, "size": size_pt}, labelcolor=palette.INK,
            borderpad=0, borderaxespad=0, handlelength=_SAMPLE_MM * pt_per_mm / size_pt, handleheight=1.25,
            labelspacing=_ROW_MM * pt_per_mm / size_pt - 1.25, handler_map=_HANDLERS,
        )  # fmt: skip
        for text in legend.get_texts():
            text.set_parse_math(False)
        axes.add_artist(legend)
    return axes


def _compares(content: MapContent) -> bool:
    """Whether an earlier plan is shown."""
    return bool(content.new or content.unchanged or content.former)


def _words_mm(column_mm: float) -> float:
    """Room for words in a column, right of their samples [mm]."""
    return column_mm - _SAMPLE_MM - 4.0


def _keep_out(kind: str, form: str) -> Any:
    """Sample of a keep-out, drawn as its geometry is."""
    if form == "LineString":
        return Line2D([], [], solid_capstyle="butt", **keep_out_stroke(kind))
    if form == "Point":
        return Line2D([], [], **keep_out_mark(kind))
    return Patch(**keep_out_area(kind))
