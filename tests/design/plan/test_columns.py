"""A column says how its figure is taken from a value, and how it is written."""

import math
from dataclasses import dataclass

import pytest

from swalekit.design.plan.columns import Column, row_of


@dataclass(frozen=True)
class Box:
    """Something with figures."""

    width_m: float
    count: int = 3
    name: str = "box"


@dataclass(frozen=True)
class Shelf:
    """Something that holds it."""

    box: Box


@pytest.mark.parametrize(
    ("column", "figure"),
    [
        (Column("width_m", "m", "by its name", 2, "box.width_m"), 1.23),
        (Column("double_m", "m", "by a function", 1, lambda shelf: 2 * shelf.box.width_m), 2.5),
        (Column("whole_m", "m", "without decimals a whole number", 0, "box.width_m"), 1),
        (Column("count", "", "whole numbers as they are", 2, "box.count"), 3),
        (Column("name", "", "words as they are", of="box.name"), "box"),
        (Column("endless", "h", "no finite figure", of=lambda _: math.inf), None),
        (Column("unknown", "h", "none", of=lambda _: math.nan), None),
        (Column("lost", "m", "a zero has no sign", 1, lambda _: -0.01), 0.0),
    ],
)
def test_a_figure_is_taken_and_rounded_once(column, figure):
    """Its kind too: a whole number where no decimals are written."""
    (found,) = row_of(Shelf(Box(1.2345)), (column,)).values()
    assert (found, type(found), str(found)) == (figure, type(figure), str(figure))


def test_a_column_that_a_value_lacks_is_a_slip():
    """An attribute that isn't there is never taken for an empty cell."""
    with pytest.raises(AttributeError, match="widht_m"):
        row_of(Box(1.0), (Column("widht_m", "m", "misspelt"),))


def test_figures_by_name_may_lack_some():
    """A mapping that says nothing of a column leaves it empty; what is given goes before what the value says."""
    columns = (Column("width_m", "m", "width"), Column("depth_m", "m", "depth"), Column("cost", "", "cost", 0))
    assert row_of({"width_m": 2.04}, columns, cost=7.6) == {"width_m": 2.0, "depth_m": None, "cost": 8}
