"""Cautions broken to the width of the panel."""

from dataclasses import dataclass
from functools import cached_property

from swalekit.reporting.paper.lettering import line_height_mm, wrap


@dataclass(frozen=True)
class Cautions:
    """Cautions broken to a width; each starts with a dash, at a lettering size [pt]. The file holds those left out."""

    sentences: tuple[str, ...]
    width_mm: float
    size_pt: float
    file: str = "summary.json"

    @cached_property
    def paragraphs(self) -> list[list[str]]:
        """Lines of each caution."""
        return [wrap(f"– {sentence}", self.width_mm, self.size_pt) for sentence in self.sentences]

    @property
    def height_mm(self) -> float:
        """Height of them all [mm]."""
        return sum(map(len, self.paragraphs)) * line_height_mm(self.size_pt)

    def lines(self, room_mm: float) -> list[str]:
        """Lines that fit the room [mm]; whole cautions only, the rest counted in a last line."""
        rows = int(room_mm / line_height_mm(self.size_pt) + 1e-6)
        shown: list[str] = []
        for number, paragraph in enumerate(self.paragraphs):
            last = number == len(self.paragraphs) - 1
            if len(shown) + len(paragraph) + (0 if last else 1) > rows:
                return [*shown, f"… and {len(self.paragraphs) - number} more in {self.file}"]
            shown += paragraph
        return shown
