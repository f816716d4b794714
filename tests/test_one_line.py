"""Values show themselves in one readable line."""

import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, fields, is_dataclass
from importlib import import_module
from typing import Any

import numpy as np
import pytest
from grown import grow_design, records
from sites import hills, make_site, plane
from surveyed_ground import crew
from test_public_names import ROOMS

import swalekit as sk
from swalekit._one_line import one_line
from swalekit.design.survey.stakeout import laid_swales


def listed_values() -> set[type]:
    """Classes of values that the rooms of the stages and the design offer."""
    rooms = [
        room for room in ROOMS if not room.startswith(("swalekit.reporting", "swalekit.formats", "swalekit.tables"))
    ]
    things = [getattr(import_module(room), name) for room in rooms for name in import_module(room).__all__]
    return {thing for thing in things if isinstance(thing, type) and is_dataclass(thing)}


def within(value: Any, seen: set[int]) -> Iterator[Any]:
    """A value and all values that it is made of, each once."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if is_dataclass(value):
        yield value
        parts = [getattr(value, field.name) for field in fields(value)]
    elif isinstance(value, Mapping):
        parts = [*value.keys(), *value.values()]
    else:
        parts = list(value) if isinstance(value, tuple | list) else []
    for part in parts:
        yield from within(part, seen)


@pytest.fixture(scope="module")
def values() -> list[Any]:
    """One or more values of nearly every class that the stages and the design offer."""
    dug = sk.plan(make_site(levels={"levels_m": [106.0]}), plane())
    site, terrain = make_site(soil={"curve_number": 80.0, "texture": "loam"}), hills()
    made = [
        sk.plan(site, terrain),
        sk.compare(
            site, terrain, sk.grid_of(sk.axes_of({"interval": [2.0, 4.0]})), limits=sk.Limits(greatest_depth_m=2.0)
        ),
        sk.spacing_rules_of(site, terrain),
        sk.grow(grow_design(), records()),
        sk.how_sure(site.with_values({"uncertainty": {"draws": 20}}), terrain),
        sk.survey_design(dug, crew(laid_swales(dug)[0])),
        sk.stake_design(dug),
        sk.section.stage_storage(dug.swales[0].sized.shape),
        sk.terrain.SurveyPoints(np.arange(3), *np.zeros((3, 3)), ("a", "b", "c")),
        sk.hydrology.DepthTable(np.array([1.0, 24.0]), np.array([2.0, 10.0]), np.array([[20.0, 30.0], [40.0, 60.0]])),
        sk.contours.LineRules(),
        sk.hydrology.Storm(60.0),
    ]
    return list(within(made, set()))


@pytest.mark.compiled
def test_every_value_is_one_short_line(values):
    """No value of the house spills an array or a second line, and each names its class."""
    for value in values:
        line = repr(value)
        assert line.startswith(type(value).__name__ + "(")
        assert "\n" not in line
        assert not re.search(r"array\(|\[|<.* at 0x|nan", line), line
        assert len(line) <= 120


def test_values_with_arrays_or_parts_say_which_figures_they_show():
    """A class of values whose fields aren't all numbers or words chooses its main figures."""
    plain = {"int", "float", "str", "bool", "None", "ClassVar"}
    lacking = [
        cls.__name__
        for cls in listed_values()
        if not {
            part
            for field in fields(cls)
            for part in re.findall(r"\w+", str(getattr(field.type, "__name__", field.type)))
        }
        <= plain
        and not hasattr(cls.__repr__, "names")
    ]
    assert sorted(lacking) == []


@pytest.mark.compiled
def test_nearly_all_classes_were_seen(values):
    """The test above looks at values of most classes, and of all that a designer handles."""
    seen = {type(value) for value in values}
    names = {cls.__name__ for cls in seen}
    handled = "Terrain Grid FlowNetwork LevelLine Storm Soil Section ShapedSwale SizedSwale Swale Design Site Growth"
    assert set(f"{handled} Comparison Option Reliability Survey Stakeout Stake StageStorage Species".split()) <= names


def test_figures_shown_are_there():
    """Every figure that a class shows begins at one of its fields or properties."""
    absent = [
        f"{cls.__name__}.{name}"
        for cls in listed_values()
        for name in getattr(cls.__repr__, "names", ())
        if name.partition(".")[0] not in {*(field.name for field in fields(cls)), *dir(cls)}
    ]
    assert sorted(absent) == []


def test_a_line_tells_figures_with_units():
    """Numbers have their unit, arrays their range, nothing is said of what is absent, long texts are cut."""

    @one_line("name", "depth_mm", "held.storage_m3", "flow_m3s", "stakes", "sorry", "open", "half")
    @dataclass(frozen=True)
    class Thing:
        name: str = "a\nname " + "x" * 100
        depth_mm: Any = None
        held: Any = None
        flow_m3s: float = 0.012345
        stakes: tuple[str, ...] = ("a",)
        sorry: str | None = None
        open: bool = False
        half: bool = True

    shown = repr(Thing(depth_mm=np.array([3.0, np.nan, 1234.567])))
    assert shown == f"Thing(a name {'x' * 40}…, depth 3 to 1,234.57 mm, flow 0.0123 m³/s, stakes 1, half)"
