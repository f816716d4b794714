"""The crew's sheets: overview, order of work and quantities, then every swale piece by piece."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace
from functools import partial
from itertools import accumulate, chain, pairwise
from typing import Any

import numpy as np
import shapely
from matplotlib.axes import Axes
from matplotlib.figure import Figure
from matplotlib.patches import PathPatch

from swalekit._checks import check_one_of
from swalekit.contours.polyline import Polyline
from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.map.content import MapContent
from swalekit.reporting.map.panel import draw_facts, draw_legend_above, draw_scale, draw_title
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.map.sheet import draw_framed_map
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper import palette
from swalekit.reporting.paper.lettering import wrap
from swalekit.reporting.paper.outlines import area_path
from swalekit.reporting.paper.paper import PAPERS_MM, Panel, axes_on, blank_sheet
from swalekit.reporting.stakes.pieces import SCALES, Piece, cut_to_pieces, stake_xy, stretch_points
from swalekit.reporting.stakes.sheet import PAD_MM, SheetForm, stake_sheet
from swalekit.reporting.stakes.work import WorkForm, work_sheets
from swalekit.reporting.words.plan_words import plan_notes
from swalekit.reporting.words.shown import shown
from swalekit.reporting.words.stake_words import UNSURE_M, level_shown, swale_facts
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.stake import Stakeout

SHEET_PAPERS = ("A4", "A3", "letter", "tabloid")
_SIZE_PT = 7.0
_TEXT_PT = 8.5
_TICK_MM = 6.0
_GAP_MM = 3.0
_SITE_MARGIN_MM = 3.0
_SCALE_MM = 13.0
_FRAME_M = 2.0
_LEGEND_COLUMNS = 2


def check_paper(paper: str) -> None:
    """Refuse a paper that sheets aren't drawn for, before the work begins.

    Parameters
    ----------
    paper : str
        Its name.

    Raises
    ------
    InputError
        If it is not one of `SHEET_PAPERS`.

    Examples
    --------
    >>> check_paper("A3")
    >>> check_paper("B4")
    Traceback (most recent call last):
        ...
    swalekit.errors.InputError: paper is 'B4'; it must be one of A4, A3, letter, tabloid
    """
    check_one_of(SHEET_PAPERS, paper=paper)


def stake_sheets(plan: PlanRecord, stakeout: Stakeout, *, paper: str = "A4") -> Iterator[Figure]:
    """Draw all sheets, one after the other.

    Parameters
    ----------
    plan : PlanRecord
        The plan.
    stakeout : Stakeout
        Its stakes.
    paper : str
        ``A4``, ``A3``, ``letter`` or ``tabloid``, landscape.

    Yields
    ------
    Figure
        A sheet in its true size: printed without fitting to the page, the scale holds.

    Raises
    ------
    InputError
        If the paper is unknown.

    Examples
    --------
    >>> len(list(stake_sheets(record, stakeout, paper="A3")))
    4
    """
    check_paper(paper)
    content = plan_content(plan)
    form = SheetForm(stakeout, paper, content.units)
    swales = [_pieces(form, swale) for swale in stakeout.swales]
    work = WorkForm(plan, replace(content, title=stakeout.title or content.title), form)
    starts = list(accumulate(map(len, swales), initial=2 + (len(work.pages) if swales else 0)))
    sheets = starts[-1] - 1
    yield _overview_sheet(plan, content, form, dict(enumerate(chain(*swales), starts[0])), sheets=sheets)
    if swales:
        spans = [f"{start}" if stop == start + 1 else f"{start}–{stop - 1}" for start, stop in pairwise(starts)]
        yield from work_sheets(work, spans, sheets=sheets)
    for start, pieces in zip(starts, swales, strict=False):
        for k, piece in enumerate(pieces):
            before, after = (start + (k + step) % len(pieces) for step in (-1, 1))  # the ends of a ring meet
            beside = (f"from sheet {before}", f"continues on sheet {after}")
            yield stake_sheet(piece, content, form, sheet=f"Sheet {start + k} of {sheets}", beside=beside)


def _pieces(form: SheetForm, swale: LaidSwale) -> list[Piece]:
    """A swale cut to what the sheets hold."""
    stakes = [stake for stake in form.stakeout.stakes if stake.swale == swale.id]
    facts = len(form.facts(swale_facts(swale, units=form.units)))
    unsure = any(stake.position_sigma_m > UNSURE_M for stake in stakes)
    room = partial(form.room, facts=facts, unsure=unsure)
    return cut_to_pieces(swale, stakes, room=room, scales=SCALES[form.units])


def _overview_sheet(
    plan: PlanRecord, content: MapContent, form: SheetForm, pieces: Mapping[int, Piece], *, sheets: int
) -> Figure:
    """Draw the map of the site with the frames of the sheets, totals and how to read the rest.

    Parameters
    ----------
    plan : PlanRecord
        The plan.
    content : MapContent
        The site.
    form : SheetForm
        Paper and units.
    pieces : mapping of int to Piece
        Number of a sheet -> the piece that it shows.
    sheets : int
        How many sheets there are.
    """
    width, height = PAPERS_MM[form.paper]
    panel_mm = min(max(0.26 * width, 84.0), 115.0)
    left, low = PAD_MM + _TICK_MM, PAD_MM + _TICK_MM
    frame = (left, low, width - left - panel_mm - _GAP_MM - PAD_MM, height - low - PAD_MM)
    panel = (width - PAD_MM - panel_mm, PAD_MM, panel_mm, height - 2 * PAD_MM)
    figure = blank_sheet(form.paper)
    shown_on_map, axes = _index(content, pieces), axes_on(figure, frame)
    view = draw_framed_map(shown_on_map, axes, frame[2:], margin_mm=_SITE_MARGIN_MM, relief=False, least_pt=_SIZE_PT)
    _draw_frames(pieces.values(), axes)
    _draw_panel(plan, shown_on_map, form, view, Panel.on(figure, panel), sheets)
    return figure


def _index(content: MapContent, pieces: Mapping[int, Piece]) -> MapContent:
    """The site with a line for each piece, named by its swale and sheet."""
    lines = {f"{piece.swale.id}/{sheet}": _line_of(piece) for sheet, piece in pieces.items()}
    return replace(content, lines=lines, catchments={}, ponds=(), refused=(), failing=(), overtopped=())


def _line_of(piece: Piece) -> Polyline:
    """The level line of a piece."""
    return piece.swale.line.at(piece.swale.line.xy.T, stretch_points(piece.swale, piece.start_m, piece.stop_m)).T


def _draw_frames(pieces: Iterable[Piece], axes: Axes) -> None:
    """A thin rectangle round what each sheet shows of its swale."""
    for piece in pieces:
        on_sheet = piece.to_sheet(np.vstack([_line_of(piece), stake_xy(piece.stakes)]))
        box = shapely.box(*on_sheet.min(axis=0), *on_sheet.max(axis=0)).buffer(_FRAME_M, join_style="mitre")
        style: dict[str, Any] = {"fill": False, "edgecolor": palette.QUIET_INK, "linewidth": 0.6, "zorder": 7.8}
        axes.add_patch(PathPatch(area_path(shapely.transform(box, piece.to_ground)), **style))


def _draw_panel(
    plan: PlanRecord, content: MapContent, form: SheetForm, view: MapView, panel: Panel, sheets: int
) -> None:
    """Title, totals, benchmark, how to read the sheets, legend and scale."""
    y = draw_title(content, panel)
    y = draw_facts(_facts(plan, form, sheets), panel, y)
    foot = panel.height_mm - _SCALE_MM
    draw_scale(view, panel, foot, units=content.units, left_mm=2.0, size_pt=_SIZE_PT, color="black")
    draw_legend_above(content, panel, foot, columns=_LEGEND_COLUMNS, size_pt=_SIZE_PT)
    for heading, sentences in _reading(plan, form):
        y = panel.heading(heading, y)
        for sentence in sentences:
            y = panel.write(wrap(sentence, panel.width_mm, _TEXT_PT), y, _TEXT_PT) + 0.6
        y += _GAP_MM - 0.6


def _facts(plan: PlanRecord, form: SheetForm, sheets: int) -> tuple[tuple[str, str], ...]:
    """Totals: label and value."""
    figures, stakes, units = plan.totals, form.stakeout.stakes, form.units
    dug, berm, topsoil = (shown(figures[name], "m3", units=units) for name in ("dug_m3", "berm_m3", "topsoil_m3"))
    return (
        ("Swales", f"{figures['swales']} · {shown(figures['length_m'], 'm', units=units)}"),
        ("Stakes", f"{len(stakes)}"),
        ("Offset stakes", f"{sum(len(stake.offsets) for stake in stakes)}"),
        ("Sheets", f"{sheets}"),
        ("Soil dug", dug),
        ("In the berms", berm),
        ("Topsoil aside", topsoil),
        ("Machine", f"{figures['machine_h']:,.0f} h"),
    )


def _reading(plan: PlanRecord, form: SheetForm) -> list[tuple[str, list[str]]]:
    """Headings and sentences: heights, and how to use the sheets."""
    units, benchmark, ground = form.units, form.stakeout.benchmark, plan.ground
    unit = "feet" if units == "us" else "metres"
    sigma = shown(ground.vertical_sigma_m, "m", units=units, decimals=2)
    if benchmark is None:
        known = "No benchmark is given. Choose a fixed point, name it in the brief, and levels are shown against it."
    else:
        known = (
            f"Benchmark: {benchmark.name}, {level_shown(benchmark.level_m, units=units)}. ± BM is above or below it."
        )
    heights = f"Heights are {unit} in the datum of the terrain model, whose heights are good to {sigma}."
    if not plan.swales:
        return [("NO SWALES", [*(f"{warning[:1].upper()}{warning[1:]}." for warning in plan_notes(plan))])]
    return [
        ("HEIGHTS", [known, heights]),
        (
            "READING THE SHEETS",
            [
                "A name like S2/7 on the map: that stretch of swale S2, in its thin frame, is on sheet 7.",
                "Print at full size, not fitted to the page; try the scale bar with a ruler.",
                "Stake 4012 is the 12th of swale S4; 4312 is its offset stake uphill, 4612 the one downhill. The same "
                "numbers stand in stakes.csv, points.csv, stakes.gpx, stakes.kml and stakes.dxf.",
                "On the sheets chainage runs to the right and downhill is down the page. The table gives each offset "
                "stake's distance from the line, and how far it is from the ground at its foot down (−) or up (+) to "
                "the ditch's floor and to the top of the berm: its crest, and at the sill the sill.",
                f"Grid: {ground.grid.crs.name}, metres; north is grid north.",
            ],
        ),
    ]
