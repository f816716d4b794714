"""Pieces of HTML that a notebook shows: headings, facts, tables, sentences, pictures. All text is escaped."""

from base64 import b64encode
from collections.abc import Iterable, Sequence
from html import escape

from matplotlib.axes import Axes

from swalekit.reporting.paper.save import picture_of

MOST_ROWS = 40
"""Rows of a table that are shown; the files have them all."""

_PICTURE_DPI = 120
_HEAD = "vertical-align:bottom;border-bottom:1px solid currentColor"
_LEFT = "text-align:left;vertical-align:top;padding:1px 8px"
_NOTE = f"{_LEFT};min-width:15em"
_NAME = f"{_LEFT};white-space:nowrap"
_FIGURE = "text-align:right;vertical-align:top;padding:1px 8px;white-space:nowrap"
_LABEL = f"{_NAME};font-weight:normal;opacity:0.75"


def view(*pieces: str) -> str:
    """Pieces below each other; empty ones are left out.

    Parameters
    ----------
    *pieces : str
        HTML.
    """
    return f'<div class="swalekit" style="max-width:60em;overflow-x:auto">{"".join(pieces)}</div>'


def heading(title: str, subtitle: str = "") -> str:
    """Name of what is shown, and a line below it.

    Examples
    --------
    >>> heading("<b>")
    '<p><strong>&lt;b&gt;</strong></p>'
    """
    below = f"<br>{escape(subtitle)}" if subtitle else ""
    return f"<p><strong>{escape(title)}</strong>{below}</p>"


def facts(pairs: Iterable[tuple[str, str]]) -> str:
    """Label and value a row.

    Parameters
    ----------
    pairs : iterable of (str, str)
        Label and value, as shown.
    """
    rows = "".join(
        f'<tr><th scope="row" style="{_LABEL}">{escape(label)}</th><td style="{_LEFT}">{escape(value)}</td></tr>'
        for label, value in pairs
    )
    return f'<table style="border-collapse:collapse"><tbody>{rows}</tbody></table>' if rows else ""


def table(
    header: Sequence[str],
    rows: Sequence[Sequence[str]],
    *,
    names: Sequence[int] = (0,),
    notes: Sequence[int] = (),
    strong: int | None = None,
) -> str:
    """A table, cut to `MOST_ROWS` rows with a word on the rest; '' without rows.

    Parameters
    ----------
    header : sequence of str
        Heads; a line end breaks them.
    rows : sequence of sequence of str
        Cells, as shown.
    names, notes : sequence of int
        Columns of words: those that stay on one line, and those that may be broken. All others are figures.
    strong : int, optional
        Row that is set in bold.
    """
    if not rows:
        return ""
    sides = [_NOTE if place in notes else _NAME if place in names else _FIGURE for place in range(len(header))]
    heads = "".join(
        f'<th scope="col" style="{side};{_HEAD}">{escape(head).replace(chr(10), "<br>")}</th>'
        for head, side in zip(header, sides, strict=True)
    )
    body = "".join(_row(row, sides, strong=place == strong) for place, row in enumerate(rows[:MOST_ROWS]))
    left = len(rows) - MOST_ROWS
    more = f'<tr><td colspan="{len(header)}" style="{_LEFT}">and {left:,} more</td></tr>' if left > 0 else ""
    style = "border-collapse:collapse;margin:0.6em 0"
    return f'<table style="{style}"><thead><tr>{heads}</tr></thead><tbody>{body}{more}</tbody></table>'


def sentences(lines: Sequence[str], title: str = "") -> str:
    """A list of sentences under a title; '' without any."""
    if not lines:
        return ""
    head = f"<p><strong>{escape(title)}</strong></p>" if title else ""
    return f"{head}<ul>{''.join(f'<li>{escape(line)}</li>' for line in lines)}</ul>"


def picture(axes: Axes, words: str) -> str:
    """A drawing, with words for who can't see it.

    Parameters
    ----------
    axes : Axes
        Axes whose figure is shown.
    words : str
        What it shows.
    """
    png, size = picture_of(axes, dpi=_PICTURE_DPI)
    data = b64encode(png).decode("ascii")
    return (
        f'<img alt="{escape(words)}" width="{size["width"]}" style="max-width:100%" src="data:image/png;base64,{data}">'
    )


def _row(cells: Sequence[str], sides: Sequence[str], *, strong: bool) -> str:
    weight = ";font-weight:bold" if strong else ""
    shown = (f'<td style="{side}{weight}">{escape(cell)}</td>' for cell, side in zip(cells, sides, strict=True))
    return f"<tr>{''.join(shown)}</tr>"
