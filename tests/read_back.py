"""What was written or drawn, as a reader finds it."""

import csv
from pathlib import Path

from matplotlib.figure import Figure
from matplotlib.text import Text


def csv_rows(path: Path) -> list[dict[str, str]]:
    """Rows of a table, as spreadsheets read it."""
    with path.open(encoding="utf-8-sig", newline="") as file:
        return list(csv.DictReader(file))


def words(figure: Figure) -> list[str]:
    """Every text on a figure."""
    return [text.get_text() for text in figure.findobj(Text) if text.get_text()]
