"""One sheet for the crew: a piece of a swale in plan and profile, with the table of its stakes."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from typing import Any

from matplotlib.figure import Figure

from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.furniture import draw_north_arrow, draw_scale_bar
from swalekit.reporting.map.view import MapView, scale_text
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import line_height_mm, shorten, text_width_mm, wrap
from swalekit.reporting.paper.paper import EDGE_MM, PAPERS_MM, Panel, axes_on, blank_sheet
from swalekit.reporting.paper.table import TableLayout, draw_table
from swalekit.reporting.stakes.pieces import Piece
from swalekit.reporting.stakes.plan import OFFSET_DASH, OFFSET_MARK, SIZE_PT, STAKE_MARK, draw_plan
from swalekit.reporting.stakes.profile import AXIS_MM, NAMES_MM, draw_profile, exaggeration
from swalekit.reporting.words.shown import number as shown_length
from swalekit.reporting.words.shown import unit_name
from swalekit.reporting.words.stake_words import place_note, stake_cells, stake_header, swale_facts
from swalekit.staking.stake import Stake, Stakeout

PAD_MM = EDGE_MM + 3.0  # from the paper's edge to what is drawn
_HEAD_MM = 12.0
_GAP_MM = 2.0
_TICKS_MM = (5.0, 4.5)  # left of and below the plan
_ABOVE_MM, _BELOW_MM = 12.0, 7.0  # within the plan, for numbers above and words below the works
_LEAST_PLAN_MM = 52.0
_NOTE_PT = 7.5
_KEY_MM = 5.0
_PROFILE_SHARE = 0.2
_BLOCK_GAP_MM = 7.0
_HEADING_MM = 3.5

_SAMPLES: tuple[tuple[str, dict[str, Any]], ...] = (
    ("stake (open: on another sheet)", {"linestyle": "none", "markerfacecolor": palette.INK, **STAKE_MARK}),
    (
        "offset stake: number + 300 uphill, + 600 downhill",
        {"color": palette.INK, "linewidth": 0.35, **OFFSET_MARK, "linestyle": OFFSET_DASH},
    ),
    ("level line, ditch centre", {"color": palette.SWALE, "linewidth": palette.SWALE_WIDTH}),
    ("ditch", {"color": palette.WATER_FACE, "alpha": 0.5, "linewidth": 6.0, "solid_capstyle": "butt"}),
    ("berm", {"color": palette.EARTH_FACE, "linewidth": 6.0, "solid_capstyle": "butt"}),
    ("toe", {"color": palette.INK, "linewidth": 0.55, "linestyle": palette.SETBACK_DASH}),
    ("sill", {"color": palette.SPILL, "linewidth": palette.SILL_WIDTH, "solid_capstyle": "butt"}),
)
"""What the signs of the plan mean."""


@dataclass(frozen=True, eq=False)
class SheetForm:
    """How a sheet is divided between plan, profile and table.

    Parameters
    ----------
    stakeout : Stakeout
        All stakes of the site: the columns of the table are as wide everywhere as the widest cell.
    paper : str
        A key of `PAPERS_MM`.
    units : str
        ``metric`` or ``us``.
    """

    stakeout: Stakeout
    paper: str
    units: str

    @property
    def size_mm(self) -> tuple[float, float]:
        """Width and height within the margins [mm]."""
        width, height = PAPERS_MM[self.paper]
        return width - 2 * PAD_MM, height - 2 * PAD_MM

    @property
    def profile_mm(self) -> float:
        """Height of the profile [mm]."""
        return _PROFILE_SHARE * self.size_mm[1]

    @cached_property
    def table(self) -> TableLayout:
        """The table of all stakes, from which the width of its columns follows."""
        benchmark = self.stakeout.benchmark
        rows = tuple(stake_cells(stake, benchmark, units=self.units) for stake in self.stakeout.stakes)
        return TableLayout(stake_header(benchmark, units=self.units), rows, self.size_mm[0], SIZE_PT)

    @cached_property
    def blocks(self) -> int:
        """How many tables stand side by side."""
        return max(int((self.size_mm[0] + _BLOCK_GAP_MM) / (sum(self.table.needed_mm) + _BLOCK_GAP_MM)), 1)

    @property
    def block_mm(self) -> float:
        """Width of each [mm]."""
        return (self.size_mm[0] - (self.blocks - 1) * _BLOCK_GAP_MM) / self.blocks

    def facts(self, text: str) -> list[str]:
        """Words broken to the sheet's width.

        Parameters
        ----------
        text : str
            What the sheet says of its swale.

        Returns
        -------
        list of str
            Lines.
        """
        return wrap(text, self.size_mm[0], SIZE_PT)

    def room(self, stakes: int, *, facts: int, unsure: bool) -> tuple[float, float] | None:
        """What the works of a piece may take on paper.

        Parameters
        ----------
        stakes : int
            How many stakes the piece has.
        facts : int
            Lines above the plan.
        unsure : bool
            Whether room is kept for a note on places that are unsure.

        Returns
        -------
        tuple of float, or None
            Width and height [mm]; None if the piece has too many stakes for a sheet.

        Examples
        --------
        >>> form = SheetForm(stakeout, "A4", "metric")
        >>> [round(side_mm, 1) for side_mm in form.room(10, facts=2, unsure=False)]
        [235.0, 58.2]
        >>> form.room(200, facts=2, unsure=False) is None
        True
        """
        _, height = _plan_mm(self, stakes, facts=facts, note=4 if unsure else 0)
        if height < _LEAST_PLAN_MM:
            return None
        return self.size_mm[0] - AXIS_MM - NAMES_MM, height - _ABOVE_MM - _BELOW_MM


def _table_of(stakes: Sequence[Stake], form: SheetForm) -> TableLayout:
    """A table of some stakes."""
    benchmark = form.stakeout.benchmark
    rows = tuple(stake_cells(stake, benchmark, units=form.units) for stake in stakes)
    return TableLayout(form.table.header, rows, form.block_mm, SIZE_PT)


def _tables_mm(form: SheetForm, stakes: int) -> float:
    """Height of the tables of so many stakes [mm]."""
    return _table_of((), form).header_mm + -(-stakes // form.blocks) * form.table.row_mm


def _plan_mm(form: SheetForm, stakes: int, *, facts: int, note: int) -> tuple[float, float]:
    """Width and height of the plan's frame beside so many stakes, lines of facts and lines of note [mm]."""
    width, height = form.size_mm
    others = _HEAD_MM + facts * line_height_mm(SIZE_PT) + _TICKS_MM[1] + form.profile_mm + _tables_mm(form, stakes)
    others += note * line_height_mm(_NOTE_PT) + (_GAP_MM if note else 0.0) + _KEY_MM + 5 * _GAP_MM
    return width - _TICKS_MM[0], height - others


def stake_sheet(piece: Piece, content: MapContent, form: SheetForm, *, sheet: str, beside: tuple[str, str]) -> Figure:
    """Draw a piece of a swale on a sheet.

    Parameters
    ----------
    piece : Piece
        The piece.
    content : MapContent
        The site.
    form : SheetForm
        How the sheet is divided.
    sheet : str
        Which sheet it is, as it stands in the head.
    beside : tuple of str
        Where its line goes on before and after, if it does.

    Returns
    -------
    Figure
        The sheet in its true size.

    Examples
    --------
    >>> form = SheetForm(stakeout, "A4", "metric")
    >>> sheet = stake_sheet(piece, content, form, sheet="Sheet 3 of 4", beside=("", ""))
    >>> print((sheet.get_size_inches() * 25.4).round())
    [297. 210.]
    """
    units, (width, height) = form.units, form.size_mm
    stakes = [stake for stake in form.stakeout.stakes if stake.swale == piece.swale.id]
    facts = form.facts(swale_facts(piece.swale, units=units))
    note = place_note(piece.stakes, first=stakes[0], units=units)
    note_lines = wrap(note, width, _NOTE_PT) if note else []
    plan_mm = _plan_mm(form, len(piece.stakes), facts=len(facts), note=len(note_lines))
    figure = blank_sheet(form.paper)
    panel = Panel.on(figure, (PAD_MM, PAD_MM, width, height))
    y = panel.write(facts, _HEAD_MM, SIZE_PT) + _GAP_MM
    plan = axes_on(figure, (PAD_MM + _TICKS_MM[0], PAD_MM + height - y - plan_mm[1], *plan_mm))
    draw_plan(piece, content, stakes, plan, beside=beside)
    content = replace(content, subtitle=form.stakeout.issue)
    _draw_head(piece, content, panel, MapView.of_axes(plan), [sheet, *_stretch_words(piece, beside, units=units)])
    y += plan_mm[1] + _TICKS_MM[1] + _GAP_MM
    heading = _profile_words(piece, form.profile_mm - _HEADING_MM)
    panel.letter(0, y + 2.4, heading, SIZE_PT, color=palette.QUIET_INK, weight="bold")
    draw_profile(piece, panel, top_mm=y + _HEADING_MM, height_mm=form.profile_mm - _HEADING_MM, units=units)
    y += form.profile_mm + _GAP_MM
    _draw_tables(piece.stakes, form, figure, y)
    panel.write(note_lines, y + _tables_mm(form, len(piece.stakes)) + _GAP_MM, _NOTE_PT)
    _draw_key(panel, height - 1.2)
    return figure


def _profile_words(piece: Piece, height_mm: float) -> str:
    """Heading of a profile drawn that high, with both scales."""
    up = exaggeration(piece, height_mm)
    return f"LONG PROFILE, along 1 : {piece.scale}, heights 1 : {piece.scale / up:g} (× {up})"


def _draw_head(piece: Piece, content: MapContent, panel: Panel, view: MapView, words: Sequence[str]) -> None:
    """Swale, site, sheet and chainage left; scale and north right."""
    units = content.units
    panel.letter(0, 8.6, piece.swale.id, 22.0, weight="bold")
    left = text_width_mm(piece.swale.id, 22.0, "bold") + 4.0
    right = panel.width_mm - 13.0
    bar_mm = 56.0
    room = right - bar_mm - 8.0 - left
    issue = f" · {content.subtitle}" if content.subtitle else ""
    title = shorten(content.title, room - text_width_mm(issue, 11.0, "bold"), 11.0, "bold") + issue
    panel.letter(left, 4.2, title, 11.0, color="black", weight="bold")
    text = shorten(" · ".join(words), room, 8.5)
    panel.letter(left, 8.6, text, 8.5)
    panel.letter(right - bar_mm, 2.6, f"Scale {scale_text(piece.scale, units)}", 8.5, color="black", weight="bold")
    draw_scale_bar(
        view, panel.axes, left_mm=right - bar_mm, top_mm=3.4, room_mm=bar_mm - 8.0, units=units, size_pt=SIZE_PT
    )
    draw_north_arrow(panel.axes, centre_mm=panel.width_mm - 5.5, top_mm=-0.2, turn=piece.turn)


def _stretch_words(piece: Piece, beside: tuple[str, str], *, units: str) -> list[str]:
    """What of its line a piece is, and where it goes on."""
    line, unit = piece.swale.line, unit_name("m", units=units)
    start, stop, length = (
        shown_length(min(max(chainage_m, 0.0), line.length_m), "m", units=units, decimals=0)
        for chainage_m in (piece.start_m, piece.stop_m, line.length_m)
    )
    if not any(piece.continues):
        return [f"the whole {'ring' if line.closed else 'line'}, {length} {unit}"]
    on = [words for words, goes_on in zip(beside, piece.continues, strict=True) if goes_on]
    return [f"chainage {start} to {stop} of {length} {unit}", *on]


def _draw_tables(stakes: Sequence[Stake], form: SheetForm, figure: Figure, top_mm: float) -> None:
    """The table of the stakes on the sheet, in columns side by side of equal height."""
    height, rows = _tables_mm(form, len(stakes)), -(-len(stakes) // form.blocks)
    for block in range(form.blocks):
        shown = stakes[block * rows : (block + 1) * rows]
        if shown:
            left = PAD_MM + block * (form.block_mm + _BLOCK_GAP_MM)
            box = (left, PAD_MM + form.size_mm[1] - top_mm - height, form.block_mm, height)
            draw_table(_table_of(shown, form), Panel.on(figure, box), top_mm=0.0, room_mm=height + 1.0)


def _draw_key(panel: Panel, baseline_mm: float) -> None:
    """What the signs of the plan mean, in a row at the foot."""
    left, middle = 0.0, baseline_mm - 0.9
    for words, sample in _SAMPLES:
        places = [left, left + 3.5, left + 7.0] if "marker" in sample and "color" in sample else [left, left + 7.0]
        if sample.get("linestyle") == "none":
            places = [left + 1.5]
        panel.line([(place, middle) for place in places], clip_on=False, **sample)
        left = places[-1] + 1.8
        panel.letter(left, baseline_mm, words, SIZE_PT)
        left += text_width_mm(words, SIZE_PT) + 4.0
