"""The gauge sheet: the posts with their marks, what to look at after each rain, and rows to note what was read."""

from collections.abc import Sequence
from typing import Any

from matplotlib.figure import Figure
from matplotlib.patches import Rectangle

from swalekit.design.gauging.posts import GaugePost, worth_a_post
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import wrap
from swalekit.reporting.paper.paper import PAPERS_MM, Panel, blank_sheet
from swalekit.reporting.stakes.sheet import PAD_MM
from swalekit.reporting.words.gauge_words import after_rain, post_marks, post_place
from swalekit.reporting.words.shown import unit_name
from swalekit.reporting.words.spread import spread

_TITLE_MM, _GAP_MM, _COLUMN_GAP_MM = 9.0, 3.0, 8.0
_TEXT_PT, _MARK_PT, _HEAD_PT, _HEAD_MM = 8.0, 7.0, 8.5, 4.4
_POSTS_SHARE, _UPPER_SHARE = 0.62, 0.5
_STAFF_MM, _APART_MM = 3.2, 3.1
_STEP_MM, _STEP_GAP_MM = 4.5, 0.8
_ROW_MM, _TABLE_HEAD_MM = 6.6, 8.5
_FIXED_MM = (24.0, 17.0, 19.0)  # date, rain, hours after
_REMARKS_SHARE, _WIDEST_MM = 0.4, 26.0


def gauge_sheet(
    posts: Sequence[GaugePost], *, title: str, units: str, empty_within_h: float, paper: str = "A4"
) -> Figure:
    """Draw the gauge sheet of a site.

    Parameters
    ----------
    posts : sequence of GaugePost
        The posts of all swales, one or more; those that are worth one are drawn.
    title : str
        Name of the site, with revision and date.
    units : str
        ``metric`` or ``us``.
    empty_within_h : float
        Hours from the end of the rain in which a ditch should be dry [h].
    paper : str
        ``A4``, ``A3``, ``letter`` or ``tabloid``, landscape.

    Returns
    -------
    Figure
        One page in its true size.

    Examples
    --------
    >>> from swalekit.design.gauging import gauge_posts
    >>> sheet = gauge_sheet(gauge_posts(design), title="North", units="metric", empty_within_h=72.0)
    >>> sheet.axes[0].texts[0].get_text()
    'North: gauge posts'
    """
    figure, (paper_mm, high_mm) = blank_sheet(paper), PAPERS_MM[paper]
    width_mm, height_mm = paper_mm - 2 * PAD_MM, high_mm - 2 * PAD_MM
    sheet = Panel.on(figure, (PAD_MM, PAD_MM, width_mm, height_mm))
    sheet.letter(0, 5.0, f"{title}: gauge posts", 13.0, weight="bold")
    drawn = worth_a_post(posts)
    left_mm = _POSTS_SHARE * (width_mm - _COLUMN_GAP_MM)
    upper_mm = _UPPER_SHARE * height_mm
    left = Panel.on(figure, (PAD_MM, high_mm - PAD_MM - upper_mm, left_mm, upper_mm))
    _draw_posts(drawn, left, units, more=len(posts) - len(drawn))
    right_mm = width_mm - left_mm - _COLUMN_GAP_MM
    right = Panel.on(figure, (PAD_MM + width_mm - right_mm, high_mm - PAD_MM - upper_mm, right_mm, upper_mm))
    _write_steps(right, after_rain(empty_within_h))
    _draw_rows(sheet, drawn, units, top_mm=upper_mm + _GAP_MM)
    return figure


def _draw_posts(posts: Sequence[GaugePost], panel: Panel, units: str, *, more: int) -> None:
    """Posts side by side on one scale of heights, each with its marks."""
    y = panel.heading(f"MARKS ABOVE THE DITCH FLOOR, AND LEVELS [{unit_name('m', units=units)}]", _TITLE_MM)
    foot_mm = panel.height_mm - 8.0
    if more:
        words = f"{more} more swale{'s' if more > 1 else ''} without a post here: gauge_posts.csv has the marks of all"
        panel.letter(0, panel.height_mm - 1.0, words, _MARK_PT, color=palette.QUIET_INK)
    top_mm = y + 2 * _HEAD_MM + 4.0
    mm_per_m = (foot_mm - top_mm) / max(post.crest_m for post in posts)
    step_mm = panel.width_mm / max(len(posts), 4)
    for place, post in enumerate(posts):
        left = place * step_mm
        panel.letter(left, y + _HEAD_MM, post.swale, _HEAD_PT, weight="bold")
        panel.letter(left, y + 2 * _HEAD_MM, post_place(post, units=units), _MARK_PT, color=palette.QUIET_INK)
        _draw_post(post, panel, (left, foot_mm), mm_per_m, units)


def _draw_post(post: GaugePost, panel: Panel, foot_mm: tuple[float, float], mm_per_m: float, units: str) -> None:
    """One staff with water to its sill, and its marks lettered on the right."""
    left, down = foot_mm
    water: dict[str, Any] = {"facecolor": palette.WATER_FACE, "linewidth": 0, "zorder": 1}
    staff: dict[str, Any] = {"fill": False, "edgecolor": palette.INK, "linewidth": 0.8, "zorder": 2}
    for height_m, style in ((post.full_m, water), (post.crest_m, staff)):
        high = mm_per_m * height_m
        panel.axes.add_patch(Rectangle((left, down - high), _STAFF_MM, high, **style))
    marks = post_marks(post, units=units)
    heights = [down - mm_per_m * height_m for height_m, _ in marks]
    rows = spread(sorted(heights), _APART_MM)
    for (height_m, words), row in zip(marks, reversed(rows), strict=True):
        at = down - mm_per_m * height_m
        color = palette.SPILL if words.startswith(("full", "over")) else palette.INK
        panel.line([(left, at), (left + _STAFF_MM, at)], color=color, linewidth=1.4, zorder=3)
        panel.line([(left + _STAFF_MM, at), (left + _STAFF_MM + 1.6, row)], color=color, linewidth=0.5)
        panel.letter(left + _STAFF_MM + 2.2, row + 0.9, words, _MARK_PT, color=color)


def _write_steps(panel: Panel, steps: Sequence[str]) -> None:
    """What to look at, numbered."""
    y = panel.heading("AFTER EACH RAIN", _TITLE_MM)
    for number, step in enumerate(steps, 1):
        lines = wrap(step, panel.width_mm - _STEP_MM, _TEXT_PT)
        panel.letter(0, y + 2.7, f"{number}", _TEXT_PT, weight="bold")
        for line in lines:
            panel.letter(_STEP_MM, y + 2.7, line, _TEXT_PT)
            y += 3.55
        y += _STEP_GAP_MM


def _draw_rows(panel: Panel, posts: Sequence[GaugePost], units: str, *, top_mm: float) -> None:
    """Empty rows for the notes: a column a post."""
    y = panel.heading("NOTES: what was read, one row a reading; type them into a table for swalekit gauge", top_mm)
    left_mm = panel.width_mm - sum(_FIXED_MM)
    each_mm = min((1.0 - _REMARKS_SHARE) * left_mm / len(posts), _WIDEST_MM)
    remarks_mm = left_mm - each_mm * len(posts)
    depth, rain = unit_name("m", units=units), unit_name("mm", units=units)
    heads = [("date", ""), ("rain", rain), ("read after", "the rain, h")]
    heads += [(post.swale, depth) for post in posts]
    heads.append(("sill, berm, silt, seepage, water that stands", ""))
    edges = [0.0]
    for width in (*_FIXED_MM, *[each_mm] * len(posts), remarks_mm):
        edges.append(edges[-1] + width)
    for (word, unit), left in zip(heads, edges[:-1], strict=True):
        panel.letter(left + 0.8, y + 3.0, word, _MARK_PT, weight="bold")
        panel.letter(left + 0.8, y + 6.4, unit, _MARK_PT, color=palette.QUIET_INK)
    rows = int((panel.height_mm - y - _TABLE_HEAD_MM) / _ROW_MM)
    first = y + _TABLE_HEAD_MM
    last = first + rows * _ROW_MM
    for row in range(rows + 1):
        at = first + row * _ROW_MM
        panel.line([(0, at), (panel.width_mm, at)], color=palette.INK if row == 0 else palette.QUIET_INK,
                   linewidth=0.7 if row == 0 else 0.4)  # fmt: skip
    for edge in edges[1:-1]:
        panel.line([(edge, y + 0.5), (edge, last)], color=palette.QUIET_INK, linewidth=0.3)
