"""What the docstring of every public function tells: its parameters, what it returns, what it raises, an example."""

import ast
import re
from collections.abc import Iterator
from itertools import pairwise
from pathlib import Path
from typing import NamedTuple

import pytest
from typer.main import get_command

import swalekit
from swalekit.cli.main import app

HOUSE = Path(swalekit.__file__).parent
ROOMS = sorted({file.parent.relative_to(HOUSE).as_posix() for file in HOUSE.rglob("*.py")})
LEAST_SHARE_WITH_EXAMPLE = 0.7

SHOWN_ELSEWHERE = {"kernels"}
"""Loops are shown by the public functions that call them; parts of them can't be called from outside when compiled."""

COMMANDS = {f"{command.callback.__module__}.{command.callback.__name__}" for command in app.registered_commands}
"""Their docstrings are the page of help word for word, and every parameter has words of its own there."""

NO_CALL = ("property", "cached_property", "locked_property", "overload", "setter")
"""Decorators of what reads like a value, or has its words elsewhere."""


class Spoken(NamedTuple):
    """A public function, the name that tells where it is, and its docstring by section, the summary under ''."""

    where: str
    function: ast.FunctionDef
    sections: dict[str, str]


def sections_of(docstring: str) -> dict[str, str]:
    """Text under each underlined heading, that before the first under ''."""
    heads = [(match[1], *match.span()) for match in re.finditer(r"^(\w[\w ]*)\n-{3,}$\n?", docstring, re.MULTILINE)]
    marks = [("", 0, 0), *heads, ("", len(docstring), len(docstring))]
    return {name: docstring[end:start].strip("\n") for (name, _, end), (_, start, _) in pairwise(marks)}


def is_public(function: ast.FunctionDef) -> bool:
    """Whether others may call it."""
    names = [getattr(row, "id", getattr(row, "attr", "")) for row in function.decorator_list]
    return not function.name.startswith("_") and not set(names) & set(NO_CALL)


def functions_of(body: list[ast.stmt], owner: str) -> Iterator[tuple[str, ast.FunctionDef]]:
    """Public functions of a module and methods of its public classes, each with its full name."""
    for row in body:
        if isinstance(row, ast.FunctionDef) and is_public(row):
            yield f"{owner}.{row.name}", row
        elif isinstance(row, ast.ClassDef) and not row.name.startswith("_"):
            yield from functions_of(row.body, f"{owner}.{row.name}")


def spoken_in(room: str) -> list[Spoken]:
    """The public functions of a room."""
    return [
        Spoken(where, function, sections_of(ast.get_docstring(function) or ""))
        for file in sorted((HOUSE / room).glob("*.py"))
        for where, function in functions_of(ast.parse(file.read_text()).body, f"{room}/{file.stem}")
        if f"swalekit.{where.replace('/', '.')}" not in COMMANDS
    ]


def taken(function: ast.FunctionDef) -> set[str]:
    """Names of its parameters."""
    a = function.args
    rows = [*a.posonlyargs, *a.args, *a.kwonlyargs, *filter(None, (a.vararg, a.kwarg))]
    return {row.arg for row in rows} - {"self", "cls"}


def told(section: str) -> set[str]:
    """Names of the parameters that a section tells of: those at its margin, several before one colon."""
    heads = [line.partition(" : ")[0] for line in section.splitlines() if line[:1].strip()]
    return {name.strip(" *") for head in heads for name in head.split(",")}


def gives(function: ast.FunctionDef) -> bool:
    """Whether something comes back."""
    words = "None" if function.returns is None else ast.unparse(function.returns)
    return words not in ("None", "NoReturn")


def refuses(function: ast.FunctionDef) -> bool:
    """Whether it raises, or calls a check that does."""
    calls = [row.func for row in ast.walk(function) if isinstance(row, ast.Call)]
    checks = any(isinstance(call, ast.Name) and call.id.startswith("check_") for call in calls)
    return checks or any(isinstance(row, ast.Raise) for row in ast.walk(function))


def gaps(spoken: Spoken) -> list[str]:
    """What is missing."""
    _, function, sections = spoken
    untold = sorted(taken(function) - told(sections.get("Parameters", "")))
    rules = {
        "summary": bool(sections[""].strip()) and not sections[""].startswith("The same"),
        f"parameters {', '.join(untold)}": not untold,
        "returns": not gives(function) or bool({"Returns", "Yields"} & set(sections)),
        "raises": not refuses(function) or "Raises" in sections,
    }
    return [rule for rule, kept in rules.items() if not kept]


def test_gaps_are_found():
    """Each rule fails on a function that breaks it, and on none that keeps it."""
    poor = "def depth_m(fall, *, slope) -> float:\n    check_positive(slope=slope)"
    marked = {"Parameters": "fall, slope : float", "Returns": "float", "Raises": "InputError"}
    words = ["Depth.", *(f"{name}\n    {'-' * len(name)}\n    {row}" for name, row in marked.items())]
    rich = 'def depth_m(fall, *, slope) -> float:\n    """' + "\n\n    ".join(words) + '"""\n    raise InputError'
    found = []
    for source in (poor, rich):
        [(where, function)] = functions_of(ast.parse(source).body, "room")
        found.append(gaps(Spoken(where, function, sections_of(ast.get_docstring(function) or ""))))
    assert found == [["summary", "parameters fall, slope", "returns", "raises"], []]


@pytest.mark.parametrize("room", ROOMS)
def test_functions_say_what_they_take_return_and_raise(room):
    """Summary, Parameters that name each one, Returns, Raises."""
    assert {spoken.where: gaps(spoken) for spoken in spoken_in(room) if gaps(spoken)} == {}


def test_commands_say_what_they_take():
    """The help of a command begins with a sentence, shows how it is called, and tells of each argument and option."""
    commands = get_command(app).commands.values()
    assert len(commands) == len(COMMANDS)
    assert all(re.match(r"[A-Z].*\.\n(.|\n)*As in: swalekit ", command.help) for command in commands)
    assert [(command.name, row.name) for command in commands for row in command.params if not row.help] == []


@pytest.mark.parametrize("room", [room for room in ROOMS if room not in SHOWN_ELSEWHERE])
def test_most_functions_show_an_example(room):
    """Seven of ten, at least, in each room."""
    functions = spoken_in(room)
    without = [spoken.where for spoken in functions if ">>>" not in spoken.sections.get("Examples", "")]
    assert len(without) <= (1.0 - LEAST_SHARE_WITH_EXAMPLE) * len(functions), without
