"""Figures to files and pictures: the same figure gives the same bytes."""

import io
import warnings
from collections.abc import Callable, Iterable, Iterator
from contextlib import contextmanager
from functools import wraps
from pathlib import Path
from typing import ParamSpec, TypeVar

from matplotlib import rc_context
from matplotlib.axes import Axes
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure

from swalekit.errors import InputError, OutputError
from swalekit.reporting.paper.palette import PRINT_STYLE

_IMAGE_DPI = 200
_CELL_DPI, _SHOWN_DPI = 160, 100  # of a picture in a notebook, sharp on a dense screen, and at which it is shown
_EDGE_IN = 0.08
_PNG_METADATA = {"Software": "swalekit"}
_PDF_METADATA = {"Creator": "swalekit", "Producer": "swalekit", "CreationDate": None}

_Arguments = ParamSpec("_Arguments")
_Drawn = TypeVar("_Drawn")


def hatched(draw: Callable[_Arguments, _Drawn]) -> Callable[_Arguments, _Drawn]:
    """Decorate a drawing so that its hatches are as fine as in print, whatever the reader's own settings.

    Parameters
    ----------
    draw : callable
        A function that draws hatched areas.

    Returns
    -------
    callable
        The drawing with such hatches, called as it is.

    Examples
    --------
    >>> from matplotlib import rcParams
    >>> hatched(lambda: rcParams["hatch.linewidth"])()
    0.45
    """

    @wraps(draw)
    def drawn(*args: _Arguments.args, **choices: _Arguments.kwargs) -> _Drawn:
        with rc_context(PRINT_STYLE):
            return draw(*args, **choices)

    return drawn


def save_png(figure: Figure, path: Path | str, *, dpi: int = _IMAGE_DPI) -> Path:
    r"""Write a figure as PNG.

    Parameters
    ----------
    figure : Figure
        The drawing.
    path : Path or str
        File to write.
    dpi : int
        Dots per inch.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    OutputError
        If the file can't be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save_png(Figure(), Path(folder) / "map.png", dpi=50).read_bytes()[:4]
    b'\x89PNG'
    """
    with _writing(path):
        figure.savefig(path, format="png", dpi=dpi, metadata=_PNG_METADATA)
    return Path(path)


def save_pdf(pages: Iterable[Figure], path: Path | str, *, title: str = "") -> Path:
    """Write figures as the pages of one PDF, each in its true size, without a date.

    Parameters
    ----------
    pages : iterable of Figure
        The drawings, one or more; each is asked for when the one before is written.
    path : Path or str
        File to write.
    title : str
        What it says of itself.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    OutputError
        If the file can't be written.

    Examples
    --------
    >>> import tempfile
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     save_pdf([Figure(), Figure()], Path(folder) / "map.pdf").read_bytes()[:5]
    b'%PDF-'
    """
    with _writing(path), PdfPages(path, metadata=_PDF_METADATA | ({"Title": title} if title else {})) as file:
        for page in pages:
            file.savefig(page, dpi=_IMAGE_DPI)
    return Path(path)


def picture_of(axes: Axes, *, dpi: int = _CELL_DPI) -> tuple[bytes, dict[str, int]]:
    r"""The figure that axes stand on as PNG, and the width and height at which it is shown.

    Parameters
    ----------
    axes : Axes
        Axes whose figure has no window.
    dpi : int
        Dots per inch.

    Returns
    -------
    bytes
        The picture, cropped to what is drawn.
    dict of str to int
        ``width`` and ``height`` [px].

    Raises
    ------
    InputError
        If the axes were taken off their figure.

    Examples
    --------
    >>> picture, size = picture_of(Figure(figsize=(4.0, 3.0)).subplots())
    >>> picture[:4], size["width"] > size["height"]
    (b'\x89PNG', True)
    """
    figure = axes.get_figure(root=True)
    if figure is None:
        message = "the axes stand on no figure, so they have no picture"
        raise InputError(message)
    with io.BytesIO() as file, _writing("a picture"):
        figure.savefig(file, format="png", dpi=dpi, metadata=_PNG_METADATA, bbox_inches="tight", pad_inches=_EDGE_IN)
        picture = file.getvalue()
    sides = (int.from_bytes(picture[start : start + 4], "big") for start in (16, 20))  # of the PNG's first chunk
    width, height = (round(side * _SHOWN_DPI / dpi) for side in sides)
    return picture, {"width": width, "height": height}


@contextmanager
def _writing(path: Path | str) -> Iterator[None]:
    """Draw with the house's settings; a glyph that the font lacks shows as a box, without a warning."""
    try:
        with rc_context(PRINT_STYLE), warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            yield
    except OSError as error:
        message = f"drawing can't be written to {path}: {error.strerror or error}; choose another folder"
        raise OutputError(message) from error
