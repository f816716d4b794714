"""What a notebook shows of a value, as HTML: a heading, facts, a picture, a table, lists. All text is escaped."""

from base64 import b64encode
from collections.abc import Iterable, Sequence

from jinja2 import Environment, PackageLoader, StrictUndefined
from matplotlib.axes import Axes

from swalekit.reporting.paper.save import picture_of

MOST_ROWS = 40
"""Rows of a table that are shown; the files have them all."""

_PICTURE_DPI = 120
_PLACES = Environment(
    loader=PackageLoader("swalekit.reporting.notebook"),
    autoescape=True,
    undefined=StrictUndefined,
    trim_blocks=True,
    lstrip_blocks=True,
)


def html_view(
    title: str,
    subtitle: str = "",
    *,
    facts: Iterable[tuple[str, str]] = (),
    picture: tuple[Axes, str] | None = None,
    table: tuple[Sequence[str], Sequence[Sequence[str]]] = ((), ()),
    names: Sequence[int] = (0,),
    notes: Sequence[int] = (),
    strong: int | None = None,
    lists: Sequence[tuple[str, Sequence[str]]] = (),
) -> str:
    """Pieces below each other; empty ones are left out.

    Parameters
    ----------
    title, subtitle : str
        Name of what is shown, and a line below it.
    facts : iterable of (str, str)
        Label and value, as shown.
    picture : tuple of (Axes, str), optional
        Axes whose figure is shown, and words for who can't see it.
    table : tuple of (sequence of str, sequence of sequence of str)
        Heads, which a line end breaks, and cells, as shown; cut to `MOST_ROWS` rows with a word on the rest.
    names, notes : sequence of int
        Columns of words: those that stay on one line, and those that may be broken. All others are figures.
    strong : int, optional
        Row that is set in bold.
    lists : sequence of (str, sequence of str)
        Titles and sentences.

    Returns
    -------
    str
        One ``div``, with its styles inside.

    Examples
    --------
    >>> html_view("<b>", lists=[("Notes", ["dry"]), ("None", [])]).partition(">")[2]
    '<p><strong>&lt;b&gt;</strong></p><p><strong>Notes</strong></p><ul><li>dry</li></ul></div>'
    """
    (header, rows), drawn = table, None
    if picture is not None:
        png, size = picture_of(picture[0], dpi=_PICTURE_DPI)
        drawn = {"words": picture[1], "width": size["width"], "png": b64encode(png).decode("ascii")}
    return _PLACES.get_template("view.html").render(
        title=title,
        subtitle=subtitle,
        facts=list(facts),
        picture=drawn,
        header=header,
        rows=rows,
        names=names,
        notes=notes,
        strong=strong,
        most_rows=MOST_ROWS,
        lists=lists,
    )
