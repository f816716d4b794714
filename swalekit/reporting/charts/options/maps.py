"""The lines of options on the ground: one of them as a map, and those that stand out as small maps side by side."""

from collections.abc import Sequence

from matplotlib.axes import Axes
from matplotlib.figure import Figure

from swalekit.design.options.comparison import Comparison
from swalekit.design.options.option import Option
from swalekit.errors import InputError
from swalekit.reporting.charts.options.marks import label_lines
from swalekit.reporting.map.cell import draw_content
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.plan_map import keep_outs_of
from swalekit.reporting.map.small_maps import SMALL_MAP_MM, WORDS_PT, draw_small_lines, small_maps
from swalekit.reporting.paper.lettering import shorten
from swalekit.reporting.paper.palette import HOLDS, INK, QUIET_INK, SWALE
from swalekit.reporting.words.option_words import figures_words

_TITLE_MM = 175.0
_MOST_LINES = 2


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
    count = f"lines of {len(comparison.kept)} of {len(comparison.options)} options"
    site = comparison.site
    title, captions = f"{site.brief.site.name}: {count}", [_captions(comparison, group) for group in groups]
    figure, maps = small_maps(title, comparison.terrain, site.boundary, captions)
    for (option, *_), axes in zip(groups, maps, strict=True):
        draw_small_lines([line.xy for line in option.lines], axes, color=SWALE)
        if option.recommended:
            for spine in axes.spines.values():
                spine.set(linewidth=2.4, edgecolor=HOLDS)
    return figure


def _by_lines(options: Sequence[Option]) -> list[list[Option]]:
    """Options with the same lines together, the recommended first."""
    groups: dict[bytes, list[Option]] = {}
    for option in sorted(options, key=lambda option: (not option.recommended, option.number)):
        groups.setdefault(b"".join(line.xy.tobytes() for line in option.lines), []).append(option)
    return sorted(groups.values(), key=lambda group: group[0].number)


def _captions(comparison: Comparison, group: Sequence[Option]) -> list[tuple[str, str, str]]:
    """Number, words and figures, and which options have the same lines: text, colour and weight of each line."""
    option, *others = group
    figures = figures_words(comparison, option)
    words = label_lines(f"{option.number}  {option.label}", SMALL_MAP_MM, WORDS_PT, "bold")[:_MOST_LINES]
    lines = [*((word, INK, "bold") for word in words), (figures, QUIET_INK, "normal")]
    if others:
        same = f"same lines: {', '.join(str(other.number) for other in others)}"
        lines.append((same, QUIET_INK, "normal"))
    return lines
