"""All lines of a design with what was decided about each: what a next plan goes on from."""

from dataclasses import replace

from swalekit.design.brief.decided_lines import LAPSED, PROPOSED, DecidedLine, Lines
from swalekit.design.layout.sized_layout import DugSwale, SizedLayout


def lines_of(design: SizedLayout) -> Lines:
    """The lines of a design, laid ones as they are and all others that were ever decided on.

    Parameters
    ----------
    design : SizedLayout or Design
        The design.

    Returns
    -------
    Lines
        In the order of those that the site had, then new ones from the top of the site downward, in the CRS of the
        terrain. Laid lines keep their state: a drawn one has the stations that were laid in place of its stroke, and a
        plan of these lines lays the same. Held, drawn and dropped lines that weren't laid stay as they are; proposed
        ones that are proposed no more have lapsed.

    Examples
    --------
    >>> lines_of(design).lines
    (DecidedLine(S1, proposed, level 108 m, OwnSettings()), DecidedLine(S2, proposed, level 104 m, OwnSettings()))

    Hold the upper, drop the lower, and plan again:

    >>> from swalekit import plan
    >>> decided = lines_of(design).decide("S1", "held").decide("S2", "dropped", note="the oak stands there")
    >>> again = plan(site.with_lines(decided), terrain)
    >>> [swale.id for swale in again.swales], [line.state for line in lines_of(again).lines]
    (['S1'], ['held', 'dropped'])
    """
    crs = design.site.crs
    before = Lines((), crs) if design.site.lines is None else design.site.lines
    laid = {swale.id: _decided(swale) for swale in design.swales}
    known = {line.name for line in before.lines}
    rows = [laid.get(line.name, _not_laid(line)) for line in before.lines]
    return replace(before, lines=(*rows, *(line for name, line in laid.items() if name not in known)))


def _decided(swale: DugSwale) -> DecidedLine:
    line = swale.line
    return DecidedLine(swale.id, swale.state, line.xy, line.closed, line.level_m, swale.own)


def _not_laid(line: DecidedLine) -> DecidedLine:
    return replace(line, state=LAPSED) if line.state == PROPOSED else line
