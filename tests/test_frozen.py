"""Values are frozen truly: no array that can be reached from a result can be written."""

import pickle
import subprocess
import sys
from collections.abc import Iterator
from dataclasses import dataclass, is_dataclass

import numpy as np
import pytest
from grown import grow_design, records
from numpy.typing import NDArray
from sites import hills, make_site

from swalekit.design.bunding.bund import bund
from swalekit.design.growth.grow import grow
from swalekit.design.options.comparison import compare
from swalekit.design.options.variations import axes_of, grid_of
from swalekit.design.plan.pipeline import plan
from swalekit.design.reliability.reliability import how_sure
from swalekit.design.survey.stakeout import laid_swales, stake_design
from swalekit.design.survey.survey import survey_design
from swalekit.frozen import Frozen, locked, locked_property, read_only
from swalekit.terrain.survey_points import SurveyPoints


@dataclass(frozen=True, eq=False)
class Heights(Frozen):
    """A value with arrays of every kind."""

    one: NDArray[np.float64]
    many: tuple[NDArray[np.float64], ...] = ()
    by_name: dict[str, list[NDArray[np.float64]]] | None = None

    @locked_property
    def twice(self) -> NDArray[np.float64]:
        """Worked out once."""
        return 2.0 * self.one


def writeable(value: object, where: str, seen: set[int]) -> Iterator[str]:
    """Places of arrays below a value that can be written."""
    if id(value) in seen:
        return
    seen.add(id(value))
    if isinstance(value, np.ndarray) and value.dtype != object:
        if value.flags.writeable:
            yield where
    elif isinstance(value, dict):
        for key, part in value.items():
            yield from writeable(part, f"{where}[{key!r}]", seen)
    elif isinstance(value, tuple | list):
        for place, part in enumerate(value):
            yield from writeable(part, f"{where}[{place}]", seen)
    elif is_dataclass(value):
        for name, part in vars(value).items():
            yield from writeable(part, f"{where}.{name}", seen)


@pytest.fixture(scope="module")
def design():
    """Hilly ground with hollows, planned."""
    return plan(make_site(soil={"curve_number": 85.0, "intake_mm_h": 10.0}), hills())


def surveyed(design):
    """Points on the floor of every swale, half a metre apart from its stations."""
    swales = laid_swales(design)
    xy = np.vstack([swale.line.xy for swale in swales])
    height = np.concatenate([np.full(len(swale.line.xy), swale.shape.floor_level_m) for swale in swales])
    codes = tuple(f"{swale.id} floor" for swale in swales for _ in swale.line.xy)
    return SurveyPoints(1 + np.arange(len(xy)), *xy.T.copy(), height, codes)


RESULTS = {
    "design": lambda design: design,
    "growth": lambda _: grow(grow_design(greywater={"people": 3.0}), records()),
    "reliability": lambda design: how_sure(design.site.with_values({"uncertainty.draws": 20}), design.ground.terrain),
    "survey": lambda design: survey_design(design, surveyed(design)),
    "stakeout": stake_design,
    "bunding": lambda design: bund(
        design.site.with_values({"microcatchments": {"size_m": 3.0, "greatest_slope": 0.14, "swales": "none"}}),
        design.ground.terrain,
    ),
    "comparison": lambda design: compare(
        make_site(), design.ground.terrain, grid_of(axes_of({"spacing": [12.0, 20.0]}))
    ),
}


@pytest.mark.parametrize("name", RESULTS)
def test_nothing_that_a_result_holds_can_be_written(design, name):
    """Nor what its properties have worked out, here and once it has gone to another process."""
    result = RESULTS[name](design)
    for value in (result, pickle.loads(pickle.dumps(result))):
        assert list(writeable(value, name, set())) == []


def test_a_value_locks_what_it_is_made_of():
    """Arrays, those in tuples, lists and mappings, and what a property makes of them."""
    value = Heights(np.zeros(2), (np.ones(2),), {"a": [np.ones(1)]})
    assert list(writeable(value, "value", set())) == []
    with pytest.raises(ValueError, match="read-only"):
        value.one[0] = 1.0
    with pytest.raises(ValueError, match="read-only"):
        value.twice[0] = 1.0


def test_a_value_from_another_process_is_locked_too():
    """Pickled arrays come back open, were it not for the value."""
    there = pickle.loads(pickle.dumps(Heights(np.zeros(2), (np.ones(2),))))
    assert list(writeable(there, "there", set())) == []


def test_a_view_that_is_read_only_leaves_its_array_open():
    """Only the view is locked; `locked` locks the array itself."""
    array = np.zeros(2)
    assert not read_only(array).flags.writeable
    array[0] = 1.0
    assert not locked(array).flags.writeable


@pytest.mark.compiled
def test_each_loop_is_compiled_for_one_kind_of_arrays(tmp_path):
    """Locked and open arrays are two kinds for the compiler: no loop gets now one, now the other."""
    code = """
import importlib, pkgutil, sys
sys.path.insert(0, sys.argv[1])
from grown import grow_design, records
from sites import hills, make_site
import swalekit, swalekit.kernels
site = make_site(soil={"curve_number": 85.0, "intake_mm_h": 10.0})
swalekit.stake_design(swalekit.plan(site, hills()))
swalekit.how_sure(site.with_values({"uncertainty.draws": 20}), hills())
swalekit.grow(grow_design(greywater={"people": 3.0}), records())
for module in pkgutil.iter_modules(swalekit.kernels.__path__):
    for name, loop in vars(importlib.import_module(f"swalekit.kernels.{module.name}")).items():
        if len(getattr(loop, "signatures", ())) > 1:
            print(module.name, name, *loop.signatures)
"""
    words = [sys.executable, "-c", code, str(pytest.importorskip("sites").__file__).rpartition("/")[0]]
    ran = subprocess.run(words, capture_output=True, text=True, cwd=tmp_path, check=False)
    assert (ran.returncode, ran.stdout) == (0, ""), ran.stderr
