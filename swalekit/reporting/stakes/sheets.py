"""The crew's sheets: overview, order of work and quantities, then every swale piece by piece."""

from collections.abc import Iterator, Sequence
from functools import partial

from matplotlib.figure import Figure

from swalekit._checks import check_one_of
from swalekit.design.plan.record import PlanRecord
from swalekit.reporting.map.plan_map import plan_content
from swalekit.reporting.stakes.overview import NumberedPiece, overview_sheet
from swalekit.reporting.stakes.pieces import SCALES, Piece, cut_to_pieces
from swalekit.reporting.stakes.sheet import SheetForm, SheetNumber, is_unsure, stake_sheet
from swalekit.reporting.stakes.work import WorkForm, work_sheets
from swalekit.reporting.words.stake_words import swale_facts
from swalekit.section.laid_swale import LaidSwale
from swalekit.staking.stake import Stakeout

SHEET_PAPERS = ("A4", "A3", "letter", "tabloid")


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
    """
    check_one_of(SHEET_PAPERS, paper=paper)
    content = plan_content(plan)
    form = SheetForm(stakeout, paper, content.units)
    swales = [_pieces(form, swale) for swale in stakeout.swales]
    work = WorkForm(plan, content, form)
    first = 2 + (len(work.pages) if swales else 0)
    sheets = first - 1 + sum(map(len, swales))
    numbered = _numbered(swales, first, sheets)
    yield overview_sheet(plan, content, form, numbered, sheets=sheets)
    if swales:
        yield from work_sheets(work, _sheets_of(swales, first), sheets=sheets)
    for each in numbered:
        yield stake_sheet(each.piece, content, form, each.number)


def _pieces(form: SheetForm, swale: LaidSwale) -> list[Piece]:
    """A swale cut to what the sheets hold."""
    stakes = [each for each in form.stakeout.stakes if each.swale == swale.id]
    facts = len(form.facts(swale_facts(swale, units=form.units)))
    room = partial(form.room, facts=facts, unsure=is_unsure(stakes))
    return cut_to_pieces(swale, stakes, room=room, scales=SCALES[form.units])


def _numbered(swales: Sequence[Sequence[Piece]], first: int, sheets: int) -> list[NumberedPiece]:
    """Pieces with the numbers of their sheets; the last piece of a ring goes on on its first."""
    numbered: list[NumberedPiece] = []
    for pieces in swales:
        start = first + len(numbered)
        for k, piece in enumerate(pieces):
            before, after = (start + (k + step) % len(pieces) for step in (-1, 1))
            number = SheetNumber(
                start + k, sheets, before if piece.continues[0] else None, after if piece.continues[1] else None
            )
            numbered.append(NumberedPiece(piece, number))
    return numbered


def _sheets_of(swales: Sequence[Sequence[Piece]], first: int) -> list[str]:
    """On which sheets each swale is drawn."""
    words = []
    for pieces in swales:
        words.append(f"{first}" if len(pieces) == 1 else f"{first}–{first + len(pieces) - 1}")
        first += len(pieces)
    return words
