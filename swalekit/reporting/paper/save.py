"""Figures to files: the same figure gives the same bytes."""

import warnings
from collections.abc import Iterable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from matplotlib import rc_context
from matplotlib.backends.backend_pdf import PdfPages
from matplotlib.figure import Figure

from swalekit.errors import OutputError
from swalekit.reporting.paper.palette import PRINT_STYLE

_IMAGE_DPI = 200
_PDF_METADATA = {"Creator": "swalekit", "Producer": "swalekit", "CreationDate": None}


def save_png(figure: Figure, path: Path | str, *, dpi: int = _IMAGE_DPI) -> Path:
    """Write a figure as PNG.

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
    """
    return _save(figure, Path(path), format="png", dpi=dpi, metadata={"Software": "swalekit"})


def save_pdf(figure: Figure, path: Path | str) -> Path:
    """Write a figure as PDF in its true size, without a date.

    Parameters
    ----------
    figure : Figure
        The drawing.
    path : Path or str
        File to write.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    OutputError
        If the file can't be written.
    """
    return _save(figure, Path(path), format="pdf", dpi=_IMAGE_DPI, metadata=_PDF_METADATA)


def save_pages(figures: Iterable[Figure], path: Path | str) -> Path:
    """Write figures as the pages of one PDF, each in its true size, without a date.

    Parameters
    ----------
    figures : iterable of Figure
        The drawings, one or more; each is asked for when the one before is written.
    path : Path or str
        File to write.

    Returns
    -------
    Path
        The file.

    Raises
    ------
    OutputError
        If the file can't be written.
    """
    path = Path(path)
    with _writing(path), PdfPages(path, metadata=_PDF_METADATA) as pages:
        for figure in figures:
            pages.savefig(figure, dpi=_IMAGE_DPI)
    return path


def _save(figure: Figure, path: Path, **choices: Any) -> Path:
    with _writing(path):
        figure.savefig(path, **choices)
    return path


@contextmanager
def _writing(path: Path) -> Iterator[None]:
    """Draw with the house's settings; a glyph that the font lacks shows as a box, without a warning."""
    try:
        with rc_context(PRINT_STYLE), warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            yield
    except OSError as error:
        message = f"drawing can't be written to {path}: {error.strerror or error}; choose another folder"
        raise OutputError(message) from error
