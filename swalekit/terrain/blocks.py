"""A grid in square blocks with what lies around them, for work that needs its neighbours and little memory."""

from collections.abc import Iterator
from typing import NamedTuple

SIDE_CELLS = 1024
"""Side of a block; fixed, so that the same tile is cut the same way on every machine."""

Window = tuple[slice, slice]


class Block(NamedTuple):
    """A block of cells, and the wider window that is looked at for it.

    Parameters
    ----------
    own : tuple of slice
        Rows and columns of the block on the grid.
    seen : tuple of slice
        Those of the window around it.
    inner : tuple of slice
        The block within the window.
    """

    own: Window
    seen: Window
    inner: Window


def blocks(shape: tuple[int, int], margin_cells: int) -> Iterator[Block]:
    """Blocks that cover a grid, each with a margin of cells around it as far as the grid goes.

    Parameters
    ----------
    shape : tuple of int
        Rows and columns of the grid.
    margin_cells : int
        Cells seen beyond the block on each side.

    Yields
    ------
    Block
        Row by row.

    Examples
    --------
    >>> [block.own for block in blocks((2, 1500), 4)]
    [(slice(0, 2, None), slice(0, 1024, None)), (slice(0, 2, None), slice(1024, 1500, None))]
    """
    rows, columns = shape
    for top in range(0, rows, SIDE_CELLS):
        for left in range(0, columns, SIDE_CELLS):
            spans = [_span(top, rows, margin_cells), _span(left, columns, margin_cells)]
            own, seen, inner = zip(*spans, strict=True)
            yield Block(own, seen, inner)


def _span(first: int, length: int, margin_cells: int) -> tuple[slice, slice, slice]:
    """A block's cells along one side, those of its window, and its place within that."""
    last = min(first + SIDE_CELLS, length)
    start = max(0, first - margin_cells)
    return slice(first, last), slice(start, min(last + margin_cells, length)), slice(first - start, last - start)
