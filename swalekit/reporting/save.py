"""Figures to files: the same figure gives the same bytes."""

import warnings
from pathlib import Path
from typing import Any

from matplotlib import rc_context
from matplotlib.figure import Figure

from swalekit.errors import OutputError
from swalekit.reporting.palette import PRINT_STYLE

_IMAGE_DPI = 200


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
    metadata = {"Creator": "swalekit", "Producer": "swalekit", "CreationDate": None}
    return _save(figure, Path(path), format="pdf", dpi=_IMAGE_DPI, metadata=metadata)


def _save(figure: Figure, path: Path, **choices: Any) -> Path:
    """Write a figure; a glyph that the font lacks shows as a box, without a warning."""
    try:
        with rc_context(PRINT_STYLE), warnings.catch_warnings():
            warnings.filterwarnings("ignore", message="Glyph .* missing from font")
            figure.savefig(path, **choices)
    except OSError as error:
        message = f"drawing can't be written to {path}: {error.strerror or error}; choose another folder"
        raise OutputError(message) from error
    return path
