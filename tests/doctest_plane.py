"""A planned plane for the examples of docstrings: whatever an example names is made when it is first named."""

import re
from collections.abc import Callable
from functools import cache
from typing import Any

import pytest


@cache
def _design() -> Any:
    from grown import grow_design  # the folder of the tests is on the path by now

    return grow_design(greywater={"people": 3.0})


@cache
def _layout() -> Any:
    from swalekit.design.layout.lines import make_layout

    return make_layout(_design().site, _design().ground)


@cache
def _growth() -> Any:
    from grown import records

    from swalekit.design.growth.grow import grow

    return grow(_design(), records())


@cache
def _reliability() -> Any:
    from swalekit.design.reliability.reliability import how_sure

    return how_sure(_design().site.with_values({"uncertainty.draws": 20}), _design().ground.terrain)


@cache
def _comparison() -> Any:
    from swalekit.design.options.comparison import compare
    from swalekit.design.options.variations import axes_of, grid_of

    return compare(_design().site, _design().ground.terrain, grid_of(axes_of({"interval": [3.0, 4.0]})))


PLANNED: dict[str, Callable[[], Any]] = {
    "design": _design,
    "site": lambda: _design().site,
    "ground": lambda: _design().ground,
    "terrain": lambda: _design().ground.terrain,
    "layout": _layout,
    "growth": _growth,
    "reliability": _reliability,
    "comparison": _comparison,
}
"""What an example may name without making it: two swales across a plane, with a house above them."""


@pytest.fixture(autouse=True)
def _planned(request: pytest.FixtureRequest, doctest_namespace: dict[str, Any]) -> None:
    """Give an example what it names and doesn't make itself."""
    if isinstance(request.node, pytest.DoctestItem):
        code = "".join(example.source for example in request.node.dtest.examples)
        for name, make in PLANNED.items():
            if re.search(rf"(?<![\w.]){name}\b(?! = )", code) and f"{name} = " not in code:
                doctest_namespace.setdefault(name, make())
