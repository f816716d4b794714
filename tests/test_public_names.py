"""What ``import swalekit`` promises, and what each room offers."""

import ast
import pickle
import pydoc
import subprocess
import sys
from collections import defaultdict
from importlib import import_module
from inspect import ismodule
from pathlib import Path
from pkgutil import iter_modules

import pytest

import swalekit

HOUSE = Path(swalekit.__file__).parent
ROOMS = sorted(".".join(["swalekit", *stub.relative_to(HOUSE).parent.parts]) for stub in HOUSE.rglob("__init__.pyi"))
UNLISTED = ("swalekit.kernels", "swalekit.cli")
"""Compiled loops are called by their partners alone, commands by the command line."""


def modules() -> dict[str, Path]:
    """Every module of the house that isn't a package, by its name."""
    files = [file for file in HOUSE.rglob("*.py") if file.name != "__init__.py"]
    return {".".join(["swalekit", *file.relative_to(HOUSE).with_suffix("").parts]): file for file in files}


def defined_in(file: Path) -> set[str]:
    """Public functions and classes that a file defines."""
    rows = [row for row in ast.parse(file.read_text()).body if isinstance(row, ast.FunctionDef | ast.ClassDef)]
    return {row.name for row in rows if not row.name.startswith("_")}


def wanted_by_others() -> dict[str, set[tuple[str, str]]]:
    """Module and name of all functions and classes that are imported from another room, by the room they are from."""
    files = modules()
    defined = {module: defined_in(file) for module, file in files.items()}
    wanted: dict[str, set[tuple[str, str]]] = defaultdict(set)
    for importer, file in files.items():
        imports = [row for row in ast.walk(ast.parse(file.read_text())) if isinstance(row, ast.ImportFrom)]
        for row in imports:
            room, _, module = (row.module or "").rpartition(".")
            if row.module in files and room != importer.rpartition(".")[0]:
                wanted[room] |= {(module, alias.name) for alias in row.names if alias.name in defined[row.module]}
    return wanted


def run(*words: str) -> subprocess.CompletedProcess[str]:
    """A Python of its own."""
    return subprocess.run([sys.executable, *words], capture_output=True, text=True, check=False)


@pytest.mark.parametrize("room", ROOMS)
def test_what_a_room_lists_is_there_and_documented(room):
    """Every listed name resolves to a room below, or to a value or function that says what it is."""
    listed = import_module(room)
    assert listed.__all__ == sorted(set(listed.__all__))
    assert dir(listed) == listed.__all__
    for name in listed.__all__:
        thing = getattr(listed, name)
        assert ismodule(thing) or callable(thing)
        assert thing.__name__.rpartition(".")[2] == name
        assert thing.__doc__.strip()


@pytest.mark.parametrize("room", ROOMS)
def test_a_name_is_shadowed_by_no_other_module(room):
    """A name equals no module of its room but the one that defines it, which gives way to it however it is imported."""
    listed = import_module(room)
    beside = {module.name for module in iter_modules(listed.__path__)}
    stub = Path(listed.__file__).with_suffix(".pyi").read_text()
    for name in sorted(beside & set(listed.__all__)):
        module, offered = import_module(f"{room}.{name}"), getattr(listed, name)
        assert offered is (module if f"from . import {name} as {name}\n" in stub else vars(module).get(name))


def test_rooms_list_what_other_rooms_import():
    """A function or class that another room imports is listed where it is at home; errors name the line that lacks."""
    lacking = [
        f"{room.replace('.', '/')}/__init__.pyi: from .{module} import {name} as {name}"
        for room, names in wanted_by_others().items()
        if room != "swalekit" and room not in UNLISTED
        for module, name in sorted(names)
        if room not in ROOMS or name not in import_module(room).__all__
    ]
    assert lacking == []


def test_every_folder_is_a_room():
    """Each folder of code lists what it offers, but for commands and compiled loops."""
    folders = {".".join(["swalekit", *file.relative_to(HOUSE).parent.parts]) for file in HOUSE.rglob("__init__.py")}
    assert {folder for folder in folders if folder not in UNLISTED} == set(ROOMS)


@pytest.mark.parametrize("room", ROOMS)
def test_help_on_a_room_is_a_reference(room):
    """Python's help shows the paragraph of a room and every function and class that it lists."""
    listed = import_module(room)
    page = pydoc.plain(pydoc.render_doc(listed))
    assert len(listed.__doc__.split()) >= 12
    for name in listed.__all__:
        assert name in page


def test_rooms_are_attributes_without_an_import_of_their_own():
    """``import swalekit`` alone reaches a function of a room, even after its module of the same name was imported."""
    code = (
        "import swalekit, swalekit.terrain.slope, inspect;"
        "print(inspect.isfunction(swalekit.terrain.slope), swalekit.section.size_swale.__name__)"
    )
    assert run("-c", code).stdout.split() == ["True", "size_swale"]


def test_values_of_rooms_are_pickled():
    """What a room offers goes to another process and comes back as itself."""
    assert pickle.loads(pickle.dumps(swalekit.terrain.slope)) is swalekit.terrain.slope
    assert pickle.loads(pickle.dumps(swalekit.section.Section)) is swalekit.section.Section


def test_import_takes_nothing_heavy():
    """The package and all its rooms import without numbers, files, drawings or compilers."""
    heavy = {"numpy", "numba", "rasterio", "geopandas", "matplotlib", "scipy", "pydantic", "typer"}
    code = (
        f"import sys, importlib; [importlib.import_module(room) for room in {ROOMS}]; print({heavy} & set(sys.modules))"
    )
    assert (run("-c", code).stdout.strip(), run("-c", code).stderr) == ("set()", "")


def test_help_imports_nothing_heavy():
    """The command line's help needs neither numba nor the geospatial libraries."""
    heavy = {"numba", "rasterio", "geopandas", "matplotlib", "scipy", "pydantic"}
    done = run("-c", f"import sys, swalekit.cli.main; print({heavy} & set(sys.modules))")
    assert (done.stdout.strip(), done.stderr) == ("set()", "")


def test_the_package_runs_as_the_command():
    """``python -m swalekit`` takes the same words as the command, and ends bad input the same way."""
    shown = run("-m", "swalekit", "--help")
    assert (shown.returncode, shown.stderr) == (0, "")
    assert "plan" in shown.stdout
    refused = run("-m", "swalekit", "plan", "no_such_brief.toml", "--out", "nowhere")
    assert refused.returncode == 2
    assert refused.stderr.count("\n") == 1
    assert "no_such_brief.toml" in refused.stderr
