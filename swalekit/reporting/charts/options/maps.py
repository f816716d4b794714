"""The lines of options on the ground: one of them as a map, and those that stand out as small maps side by side."""

from collections.abc import Sequence
from math import ceil

from matplotlib.axes import Axes
from matplotlib.collections import LineCollection
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch

from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.errors import InputError
from swalekit.reporting.charts.options.marks import label_lines
from swalekit.reporting.map.cell import draw_content
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import keep_outs_of
from swalekit.reporting.map.relief import draw_relief, terrain_in_view
from swalekit.reporting.map.view import MapView, frame_axes
from swalekit.reporting.paper.lettering import font, line_height_mm, shorten
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.palette import BOUNDARY, HALO, HOLDS, INK, QUIET_INK, SWALE
from swalekit.reporting.paper.paper import axes_on
from swalekit.reporting.words.option_words import figures_words

_TITLE_MM = 175.0
_MAP_MM = 68.0
_COLUMNS = 4
_GAP_MM = 5.0
_WORDS_PT = 7.0
_MOST_LINES = 2
_HEAD_MM = 14.0
_RELIEF_SIDE = 400
_LEAST_ASPECT, _GREATEST_ASPECT = 0.5, 1.6


def draw_option(comparison: Comparison, number: int | None = None, ax: Axes | None = None) -> Axes:
    """Draw where the swales of one option run.

    Parameters
    ----------
    comparison : Comparison
        The options.
    number : int, optional
        Its number; the recommended one unless given, or the nearest where none keeps all limits.
    ax : Axes, optional
        Where to draw; new axes unless given.

    Returns
    -------
    Axes
        The map's axes.

    Raises
    ------
    InputError
        If there is no such option, or its lines were let go because others beat it.

    Examples
    --------
    >>> draw_option(comparison, 1).get_title(loc="left")
    'Option 1: interval 3 m'
    """
    option, site = _option(comparison, number), comparison.site
    content = MapContent(
        shorten(f"Option {option.number}: {option.label}", _TITLE_MM, 11.0),
        comparison.terrain,
        subtitle=figures_words(comparison, option),
        boundary=site.boundary,
        lines={line.swale: line.xy for line in option.lines},
        keep_outs=keep_outs_of(site),
        units=site.brief.site.units,
    )
    return draw_content(content, ax)


def _option(comparison: Comparison, number: int | None) -> Option:
    """An option that has its lines."""
    kept = ", ".join(str(option.number) for option in comparison.kept)
    if number is None:
        best = comparison.recommended or comparison.nearest
        if best is None:
            message = f"no option is recommended; give the number of one: {kept or 'none has its lines'}"
            raise InputError(message)
        return best
    found = next((option for option in comparison.kept if option.number == number), None)
    if found is None:
        message = f"option {number} is not among those whose lines are kept; give one of {kept or 'none'}"
        raise InputError(message)
    return found


def option_maps(comparison: Comparison) -> Figure:
    """Draw the lines of every kept option on the relief, all at one scale.

    Parameters
    ----------
    comparison : Comparison
        Options, one or more of which have lines.

    Returns
    -------
    Figure
        A map for all options with the same lines, with number, words and figures of the recommended or first of them;
        the recommended one has a heavy frame.

    Examples
    --------
    >>> len(option_maps(comparison).axes)
    2
    """
    groups = _by_lines(comparison.kept)
    bounds = comparison.terrain.grid.bounds if comparison.site.boundary is None else comparison.site.boundary.bounds
    west, south, east, north = bounds
    map_mm = _MAP_MM * min(max((north - south) / (east - west), _LEAST_ASPECT), _GREATEST_ASPECT)
    captions = [_captions(comparison, group) for group in groups]
    words_mm = max(map(len, captions)) * line_height_mm(_WORDS_PT) + 1.5
    columns = min(_COLUMNS, len(groups))
    step_mm = map_mm + words_mm + _GAP_MM
    width_mm = columns * (_MAP_MM + _GAP_MM) + _GAP_MM
    height_mm = _HEAD_MM + ceil(len(groups) / columns) * step_mm
    figure = Figure(figsize=(width_mm / 25.4, height_mm / 25.4))
    count = f"lines of {len(comparison.kept)} of {len(comparison.options)} options"
    title = shorten(f"{comparison.site.brief.site.name}: {count}", width_mm - 2 * _GAP_MM, 11)
    figure.text(_GAP_MM / width_mm, 1 - 4.0 / height_mm, title, va="top", color=INK, **font(11))
    for place, group in enumerate(groups):
        row, column = divmod(place, columns)
        left_mm, top_mm = _GAP_MM + column * (_MAP_MM + _GAP_MM), _HEAD_MM + row * step_mm + words_mm
        axes = axes_on(figure, (left_mm, height_mm - top_mm - map_mm, _MAP_MM, map_mm))
        frame_axes(axes, bounds)
        _draw_lines(comparison, group[0], axes)
        _letter(captions[place], axes, height_mm=map_mm)
    return figure


def _by_lines(options: Sequence[Option]) -> list[list[Option]]:
    """Options with the same lines together, the recommended first."""
    groups: dict[bytes, list[Option]] = {}
    for option in sorted(options, key=lambda option: (not option.recommended, option.number)):
        groups.setdefault(b"".join(line.xy.tobytes() for line in option.lines), []).append(option)
    return sorted(groups.values(), key=lambda group: group[0].number)


def _draw_lines(comparison: Comparison, option: Option, axes: Axes) -> None:
    view = MapView.of_axes(axes)
    ground = terrain_in_view(comparison.terrain, view, greatest_side=_RELIEF_SIDE)
    if ground is not None:
        draw_relief(ground, axes)
    if comparison.site.boundary is not None:
        outline = {"fill": False, "edgecolor": BOUNDARY, "linewidth": 0.6}
        axes.add_patch(PathPatch(area_path(comparison.site.boundary), zorder=4, **outline))
    paths = [line.xy for line in option.lines]
    for colour, width, order in ((HALO, 2.2, 8.0), (SWALE, 1.1, 8.1)):
        axes.add_collection(LineCollection(paths, colors=colour, linewidths=width, zorder=order), autolim=False)
    axes.set(xlim=(view.west_m, view.east_m), ylim=(view.south_m, view.north_m), xticks=[], yticks=[])
    width, colour = (2.4, HOLDS) if option.recommended else (0.5, INK)
    for spine in axes.spines.values():
        spine.set(linewidth=width, edgecolor=colour, zorder=20)


def _captions(comparison: Comparison, group: Sequence[Option]) -> list[tuple[str, str, str]]:
    """Number, words and figures, and which options have the same lines: text, colour and weight of each line."""
    option, *others = group
    figures = figures_words(comparison, option)
    words = label_lines(f"{option.number}  {option.label}", _MAP_MM, _WORDS_PT, "bold")[:_MOST_LINES]
    lines = [*((word, INK, "bold") for word in words), (figures, QUIET_INK, "normal")]
    if others:
        same = f"same lines: {', '.join(str(other.number) for other in others)}"
        lines.append((same, QUIET_INK, "normal"))
    return lines


def _letter(captions: Sequence[tuple[str, str, str]], axes: Axes, *, height_mm: float) -> None:
    """Write captions above a map."""
    step = line_height_mm(_WORDS_PT) / height_mm
    for place, (text, color, weight) in enumerate(reversed(captions)):
        y = 1 + (place + 0.35) * step
        short = shorten(text, _MAP_MM, _WORDS_PT, weight)
        axes.text(0, y, short, transform=axes.transAxes, va="baseline", color=color, **font(_WORDS_PT, weight))
