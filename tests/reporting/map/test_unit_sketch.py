"""One unit as it is drawn on the sheet, and the marks of many on the map."""

from itertools import combinations

import numpy as np
import pytest
from matplotlib.figure import Figure

from swalekit.microcatchments.negarim import bund_height_m
from swalekit.reporting.map.bund_marks import MapBunds, draw_bunds
from swalekit.reporting.map.unit_sketch import HEIGHT_MM, UnitShape, draw_unit
from swalekit.reporting.map.view import MapView
from swalekit.reporting.paper.paper import Panel, blank_sheet
from swalekit.tables.microcatchments import negarim_sizes

SQUARES = [
    UnitShape("negarim", row.side_m, slope, float(bund_height_m(row.side_m, slope)), 0.25, row.pit_side_m, units)
    for row in negarim_sizes()
    for slope in (0.005, 0.03, 0.05)
    for units in ("metric", "us")
    if bund_height_m(row.side_m, slope) <= 0.6
]
MOONS = [
    UnitShape("semi-circular", *given, 0.1, 0.0) for given in ((6.0, 0.01, 0.31), (10.0, 0.04, 0.6), (20.0, 0.02, 0.6))
]


def drawn(shape, width_mm):
    """Lettering of a unit in a panel [mm], and what is written."""
    figure = blank_sheet("A3")
    panel = Panel.on(figure, (20.0, 20.0, width_mm, 60.0))
    draw_unit(shape, panel, top_mm=0.0)
    figure.draw_without_rendering()
    back = panel.axes.transData.inverted()
    boxes = [text.get_window_extent().transformed(back) for text in panel.axes.texts]
    return boxes, [text.get_text() for text in panel.axes.texts], panel


@pytest.mark.parametrize(
    "shape", [*SQUARES, *MOONS], ids=lambda shape: f"{shape.size_m:g} m {shape.slope:g} {shape.units}"
)
@pytest.mark.parametrize("width_mm", [100.0, 105.0, 130.0])
def test_lettering_stays_within_its_room_and_apart(shape, width_mm):
    """On all sizes of sheet, for every published size."""
    boxes, words, _ = drawn(shape, width_mm)
    for box in boxes:
        assert box.x0 > -0.5
        assert box.x1 < width_mm + 1.5
        assert max(box.y0, box.y1) < HEIGHT_MM
    for (one, first), (other, second) in combinations(zip(boxes, words, strict=True), 2):
        apart = one.x1 < other.x0 or other.x1 < one.x0 or max(one.y0, one.y1) < min(other.y0, other.y1)
        assert apart or max(other.y0, other.y1) < min(one.y0, one.y1), (first, second)


def test_dimensions_are_told():
    """Side, pit and height of the bund, in the reader's units."""
    _, words, _ = drawn(UnitShape("negarim", 10.0, 0.03, 0.45, 0.25, 2.5), 105.0)
    assert {"side 10.0 m", "pit 2.5 × 2.5 m", "bund 0.45 m", "pit 0.40 m deep"} <= set(words)
    _, words, _ = drawn(UnitShape("semi-circular", 6.0, 0.01, 0.31, 0.1, 0.0, "us"), 105.0)
    assert "radius 20 ft" in words


def test_trees_are_left_out_where_units_are_small_on_paper():
    """Marks of trees would cover units of less than a millimetre."""
    square = np.array([[10.0, 0.0], [5.0, 5.0], [10.0, 10.0], [15.0, 5.0]])
    laid = MapBunds("Negarim of 7 m (1)", 7.0, (square,), (square,), np.array([[10.0, 1.0]]))
    lines = [
        len(draw_bunds(laid, MapView(0.0, 0.0, 20.0, 20.0, points_per_m=scale), Figure().subplots()).lines)
        for scale in (10.0, 0.2)
    ]
    assert lines == [1, 0]
