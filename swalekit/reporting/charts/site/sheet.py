"""What the ground of a site suits, on one sheet for a first meeting."""

from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.colors import ListedColormap
from matplotlib.figure import Figure
from matplotlib.image import AxesImage
from matplotlib.patches import PathPatch, Rectangle
from numpy.typing import NDArray
from scipy import ndimage

from swalekit.design.appraisal.appraisal import SHADED, SLOPE_BREAKS, SUNNY, Appraisal, ClassArea
from swalekit.design.appraisal.ground_classes import GROUND_CLASSES, MICROCATCHMENTS, NOTHING, SWALES
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.furniture import rule_frame
from swalekit.reporting.map.legend import fitting_columns
from swalekit.reporting.map.panel import draw_facts, draw_legend_above, draw_scale, draw_title
from swalekit.reporting.map.relief import draw_relief, terrain_in_view
from swalekit.reporting.map.sheet import draw_framed_map
from swalekit.reporting.map.view import MapView, frame_axes
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import LEAST_SIZE_PT, line_height_mm, text_width_mm, wrap
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.paper import EDGE_MM, PAPERS_MM, Panel, axes_on, blank_sheet
from swalekit.reporting.paper.table import draw_table, fit_table
from swalekit.reporting.words.shown import area_shown
from swalekit.terrain.terrain import Terrain

_PAPER = "A3"
_PANEL_MM, _PAD_MM, _TICK_MM, _GAP_MM, _MARGIN_MM = 132.0, 4.5, 5.5, 3.0, 4.0
_SMALL_MM, _BETWEEN_MM = 80.0, 4.0
_LEAST_SMALL_MM = 18.0
"""Height of the small maps, the room between them, and the height below which they are left out."""
_ROW_PT, _WHY_PT, _SWATCH_MM = 8.0, 6.8, 6.0
_KEY_ROWS = 3
_KEY_PT, _KEY_MM = 6.5, 3.6
_FINER, _FINEST_SIDE = 5, 2500
"""Parts into which a cell is cut for drawing, so that edges run smoothly, and cells along a side that come of it."""
_BLUR_CELLS = 0.7
_WASH = 0.62
_NUMBERS = {kind.name: kind.number for kind in GROUND_CLASSES}
_SIDE = 900


class _Key(NamedTuple):
    """A colour and what it stands for."""

    tint: str
    words: str


def site_sheet(found: Appraisal, content: MapContent) -> Figure:
    """Draw what the ground suits, its slopes and its winter sun on one landscape sheet.

    Parameters
    ----------
    found : Appraisal
        What was found.
    content : MapContent
        Title, figures, water, keep-outs, the table of ponds, cautions and credits.

    Returns
    -------
    Figure
        An A3 sheet in its true size, the map at a round scale.

    Examples
    --------
    >>> from swalekit.design.appraisal import appraise
    >>> sheet = site_sheet(appraise(site, ground), content)
    >>> len(sheet.axes), (sheet.get_size_inches() * 25.4).round().tolist()
    (4, [420.0, 297.0])
    """
    figure = blank_sheet(_PAPER)
    width_mm, height_mm = PAPERS_MM[_PAPER]
    clear = EDGE_MM + _PAD_MM
    left, bottom = EDGE_MM + _TICK_MM, EDGE_MM + _TICK_MM
    frame = (left, bottom, width_mm - left - _PANEL_MM - _PAD_MM - clear, height_mm - bottom - clear)
    axes = axes_on(figure, frame)
    view = draw_framed_map(content, axes, frame[2:], margin_mm=_MARGIN_MM)
    _lay_classes(found, axes, view)
    panel_box = (width_mm - clear - _PANEL_MM, clear, _PANEL_MM, height_mm - 2 * clear)
    panel = Panel.on(figure, panel_box)
    y = draw_title(content, panel)
    y = draw_facts(content.facts, panel, y, heading="THE SITE")
    y = _draw_uses(found, panel, y, units=content.units)
    y = _draw_ponds(found, content, panel, y)
    foot = _draw_foot(content, view, panel)
    _draw_small_maps(found, content, figure, panel, panel_box, (y, foot))
    return figure


def _tint(number: int) -> str:
    return palette.GROUND_TINTS[number - 1]


def _lay_classes(found: Appraisal, axes: Axes, view: MapView) -> None:
    """Colour the kinds of ground, the relief showing through, each within its true edges."""
    water = shapely.difference(found.beside_water, found.kept_clear)
    exact = {_NUMBERS["watercourse"]: water, _NUMBERS["kept clear"]: found.kept_clear}
    rest = shapely.difference(found.ground.area, shapely.union_all(list(exact.values())))
    image = _lay(
        found.terrain, _smooth(found.number, hidden=tuple(exact)), axes, palette.GROUND_TINTS, first=1, alpha=_WASH
    )
    image.set_clip_path(area_path(rest), axes.transData)
    for number, area in exact.items():
        patch = PathPatch(area_path(area), facecolor=_tint(number), alpha=_WASH, linewidth=0, zorder=0.3)
        axes.add_artist(patch)
    axes.set(xlim=(view.west_m, view.east_m), ylim=(view.south_m, view.north_m))


def _smooth(numbers: NDArray[np.uint8], *, hidden: tuple[int, ...]) -> NDArray[np.float32]:
    """Kinds of ground on finer cells, edges smooth; of hidden kinds, drawn by their outline, the nearest other."""
    drawn = (numbers > 0) & ~np.isin(numbers, hidden)
    if not drawn.any():
        return np.full(numbers.shape, np.nan, np.float32)
    row, column = ndimage.distance_transform_edt(~drawn, return_distances=False, return_indices=True)
    filled = numbers[row, column]
    finer = max(1, min(_FINER, _FINEST_SIDE // max(numbers.shape)))
    best = np.full([finer * side for side in numbers.shape], -1.0, np.float32)
    kind = np.zeros(best.shape, np.float32)
    for number in np.unique(filled):
        share = ndimage.gaussian_filter((filled == number).astype(np.float32), _BLUR_CELLS)
        share = ndimage.zoom(share, finer, order=1, grid_mode=True, mode="nearest")
        kind[share > best] = number
        np.maximum(best, share, out=best)
    return kind


def _lay(
    terrain: Terrain, values: NDArray[np.floating], axes: Axes, tints: Sequence[str], *, first: int, alpha: float
) -> AxesImage:
    west, south, east, north = terrain.grid.bounds
    return axes.imshow(
        values, extent=(west, east, south, north), cmap=ListedColormap(list(tints)), vmin=first - 0.5,
        vmax=first + len(tints) - 0.5, alpha=alpha, zorder=0.2, interpolation="nearest",
    )  # fmt: skip


def _draw_uses(found: Appraisal, panel: Panel, top_mm: float, *, units: str) -> float:
    """The kinds of ground by what they suit, each with its tint, its area and the reason; the lower edge [mm]."""
    y = panel.heading("WHAT THE GROUND SUITS", top_mm)
    for use in (SWALES, MICROCATCHMENTS, NOTHING):
        rows = [row for row in found.classes if row.use == use]
        area_m2 = found.use_m2(use)
        step = line_height_mm(_ROW_PT)
        title = f"{use[:1].upper()}{use[1:]}" if use != NOTHING else "Left alone"
        share = 100.0 * area_m2 / found.area_m2
        panel.letter(0.0, y + 0.75 * step, title, _ROW_PT, weight="bold")
        areas = f"{area_shown(area_m2, units=units)}   {share:.0f} %"
        panel.letter(panel.width_mm, y + 0.75 * step, areas, _ROW_PT, weight="bold", ha="right")
        y += step + 0.3
        for row in rows:
            y = _draw_class(row, found.limits.reason(row.kind, units=units), panel, y, units=units)
        y += 1.2
    return y + _GAP_MM - 1.2


def _draw_class(row: ClassArea, why: str, panel: Panel, top_mm: float, *, units: str) -> float:
    step = line_height_mm(_WHY_PT)
    area = area_shown(row.area_m2, units=units)
    name_mm = _SWATCH_MM + 2.0
    why_mm = name_mm + 26.0
    room_mm = panel.width_mm - why_mm - text_width_mm(area, _WHY_PT) - 3.0
    lines = wrap(why, room_mm, _WHY_PT)
    box = Rectangle((0.0, top_mm + 0.35), _SWATCH_MM, step - 0.7, facecolor=_tint(row.kind.number), alpha=0.85,
                    edgecolor=palette.QUIET_INK, linewidth=0.35)  # fmt: skip
    panel.axes.add_patch(box)
    panel.letter(name_mm, top_mm + 0.75 * step, row.name, _WHY_PT)
    for number, line in enumerate(lines):
        panel.letter(why_mm, top_mm + (number + 0.75) * step, line, _WHY_PT, color=palette.QUIET_INK)
    panel.letter(panel.width_mm, top_mm + 0.75 * step, area, _WHY_PT, ha="right")
    return top_mm + len(lines) * step + 0.5


def _draw_ponds(found: Appraisal, content: MapContent, panel: Panel, top_mm: float) -> float:
    if not content.table:
        return top_mm
    shown, all_ = len(content.table), len(found.ponds)
    of_all = f" ({shown} LARGEST OF {all_})" if shown < all_ else ""
    y = panel.heading(f"WATER THAT STANDS IN HOLLOWS, BY STORM{of_all}", top_mm)
    layout = fit_table(content.header, content.table, panel.width_mm, 40.0)
    return draw_table(layout, panel, top_mm=y, room_mm=40.0, file=content.table_file) + _GAP_MM


def _draw_foot(content: MapContent, view: MapView, panel: Panel) -> float:
    """Cautions, scale and credits; returns their upper edge [mm]."""
    words = [line for sentence in content.credits for line in wrap(sentence, panel.width_mm, LEAST_SIZE_PT)]
    credits_top = panel.height_mm - len(words) * line_height_mm(LEAST_SIZE_PT)
    panel.write(words, credits_top, LEAST_SIZE_PT, color=palette.QUIET_INK)
    scale_top = credits_top - 13.0
    draw_scale(view, panel, scale_top, units=content.units)
    cautions = [line for sentence in content.cautions for line in wrap(f"– {sentence}", panel.width_mm, LEAST_SIZE_PT)]
    top = scale_top - 2.0 - len(cautions) * line_height_mm(LEAST_SIZE_PT) - 4.4
    panel.write(cautions, panel.heading("MIND", top), LEAST_SIZE_PT)
    return draw_legend_above(content, panel, top, columns=fitting_columns(content, panel.width_mm)) - _GAP_MM


def _draw_small_maps(
    found: Appraisal,
    content: MapContent,
    figure: Figure,
    panel: Panel,
    panel_box: tuple[float, float, float, float],
    between_mm: tuple[float, float],
) -> None:
    """Slopes and winter sun side by side, each over its key."""
    half = (panel.width_mm - _BETWEEN_MM) / 2.0
    slope_keys = [
        _Key(tint, f"{words}: {100.0 * share:.0f} %")
        for tint, words, share in zip(palette.SLOPE_TINTS, _slope_names(), found.slope_shares, strict=True)
    ]
    slope_classes = np.digitize(found.slope, SLOPE_BREAKS).astype(np.float32)
    maps = [("SLOPE", slope_classes, slope_keys)]
    if found.sun is not None:
        names = ("shaded, under 85 %", "as level ground", "sunny, over 115 %")
        sun_keys = [
            _Key(tint, f"{words}: {100.0 * share:.0f} %")
            for tint, words, share in zip(palette.SUN_TINTS, names, found.sun_shares, strict=True)
        ]
        maps.append(("SUN AT A WINTER NOON", np.digitize(found.sun, (SHADED, SUNNY)).astype(np.float32), sun_keys))
    top, foot = between_mm
    room = foot - top - 4.4 - _KEY_ROWS * _KEY_MM - 1.5
    height = min(_SMALL_MM, room)
    if height < _LEAST_SMALL_MM:
        return
    for number, (title, classes, keys) in enumerate(maps):
        left = number * (half + _BETWEEN_MM)
        panel.line([(left, top), (left + half, top)], color=palette.QUIET_INK, linewidth=0.5)
        panel.letter(left, top + 3.3, title, 7.0, color=palette.QUIET_INK, weight="bold")
        box = (panel_box[0] + left, panel_box[1] + panel.height_mm - top - 4.4 - height, half, height)
        axes = axes_on(figure, box)
        _draw_small(found, content, classes, [key.tint for key in keys], axes)
        _draw_keys(keys, panel, left, top + 4.4 + height + 1.2, half)


def _slope_names() -> list[str]:
    edges = [f"{100.0 * edge:g}" for edge in SLOPE_BREAKS]
    middle = [f"{low} to {high} %" for low, high in pairwise(edges)]
    return [f"under {edges[0]} %", *middle, f"over {edges[-1]} %"]


def _draw_small(
    found: Appraisal, content: MapContent, classes: NDArray[np.float32], tints: Sequence[str], axes: Axes
) -> None:
    frame_axes(axes, content.framed_bounds, margin=0.03)
    axes.set_aspect("equal", adjustable="box")
    axes.set_facecolor(palette.VOID)
    view = MapView.of_axes(axes)
    seen = terrain_in_view(content.terrain, view, greatest_side=_SIDE)
    if seen is not None:
        draw_relief(seen, axes)
    shown = np.ma.masked_where(~found.inside | ~np.isfinite(found.slope), classes)
    _lay(found.terrain, shown, axes, tints, first=0, alpha=0.75)
    axes.add_patch(PathPatch(area_path(found.ground.area), fill=False, edgecolor=palette.INK, linewidth=0.7, zorder=3))
    axes.set(xlim=(view.west_m, view.east_m), ylim=(view.south_m, view.north_m), xticks=[], yticks=[])
    rule_frame(axes)


def _draw_keys(keys: Sequence[_Key], panel: Panel, left_mm: float, top_mm: float, width_mm: float) -> None:
    """Tints and words, in two columns where they are many."""
    rows = min(len(keys), _KEY_ROWS)
    for number, key in enumerate(keys):
        x, y = left_mm + number // rows * width_mm / 2.0, top_mm + number % rows * _KEY_MM
        panel.axes.add_patch(
            Rectangle((x, y + 0.4), 4.2, _KEY_MM - 1.0, facecolor=key.tint, edgecolor=palette.QUIET_INK, linewidth=0.3)
        )
        panel.letter(x + 5.4, y + 0.75 * _KEY_MM, key.words, _KEY_PT)
